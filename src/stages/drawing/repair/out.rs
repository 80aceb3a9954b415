//! Groups written the way the strict reader wants them.

use std::io::Write as _;

/// A whole DXF text around these parts, in UTF-8.
pub(super) fn drawing(blocks: &[u8], entities: &[u8]) -> Vec<u8> {
    let mut text = Vec::with_capacity(blocks.len() + entities.len() + 200);
    // From AC1021 (R2007) on the text is UTF-8.
    text.extend_from_slice(
        b"0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1021\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n",
    );
    text.extend_from_slice(blocks);
    text.extend_from_slice(b"0\nENDSEC\n0\nSECTION\n2\nENTITIES\n");
    text.extend_from_slice(entities);
    text.extend_from_slice(b"0\nENDSEC\n0\nEOF\n");
    text
}

/// Writes a number so that reading it gives the same number.
pub(super) fn real(out: &mut Vec<u8>, code: i32, value: f64) {
    // Writing to memory does not fail.
    let _ = write!(out, "{code}\n{value:e}\n");
}

/// Writes an integer.
pub(super) fn whole(out: &mut Vec<u8>, code: i32, value: i64) {
    let _ = write!(out, "{code}\n{value}\n");
}

/// Writes a text; a caret is followed by a space, as the DXF reference asks.
pub(super) fn text(out: &mut Vec<u8>, code: i32, value: &str) {
    let _ = writeln!(out, "{code}");
    for c in value.chars() {
        match c {
            '^' => out.extend_from_slice(b"^ "),
            '\n' | '\r' | '\0' => out.push(b' '),
            c => out.extend_from_slice(c.encode_utf8(&mut [0; 4]).as_bytes()),
        }
    }
    out.push(b'\n');
}
