//! What a file is, by its first bytes.

/// The two kinds of file that machines take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// DXF or SVG, or what can be neither that nor G-code: the reader of drawings says what it is.
    Drawing,
    /// Lines of G-code.
    Program,
}

/// So many bytes are looked at to see whether a file is text.
const HEAD: usize = 4096;

/// First bytes of files that are neither drawings nor programs but are taken for drawings by people: PDF, compressed SVG,
/// pictures, binary drawings.
const FOREIGN: [&[u8]; 7] =
    [b"%PDF", b"\x1f\x8b", b"AC10", b"\x89PNG", b"\xff\xd8\xff", b"GIF8", b"AutoCAD Binary DXF"];

/// What a file is. An empty one is a drawing of nothing.
pub(super) fn of(bytes: &[u8]) -> Kind {
    let wide = bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]);
    if wide || FOREIGN.iter().any(|first| bytes.starts_with(first)) {
        return Kind::Drawing;
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let head = bytes[..bytes.len().min(HEAD)].trim_ascii_start();
    let line = head.split(|b| matches!(b, b'\r' | b'\n')).next().unwrap_or_default().trim_ascii();
    // No line of G-code is a number by itself, and every DXF file begins with a group code: the name of its
    // first section, where that was lost.
    let group_code = line == b"SECTION" || !line.is_empty() && line.iter().all(u8::is_ascii_digit);
    if head.is_empty() || head.starts_with(b"<") || group_code { Kind::Drawing } else { Kind::Program }
}
