//! Bytes to [`Found`]: picks the reader by what the file holds, not by its name.

use std::borrow::Cow;

use encoding_rs::{UTF_16BE, UTF_16LE, WINDOWS_1252};

use super::role::Roles;
use super::talk::Talk;
use super::{Found, dxf, svg};
use crate::problem::{Problem, Problems};
use crate::stages::job::{DrawingSource, LayerRules};

/// The largest drawing that is read, in bytes. A plan of 5,000 parts takes a tenth of it; what is read takes about
/// ten times as much memory.
pub const LARGEST: usize = 256 << 20;

/// What a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Format {
    DxfText,
    DxfBinary,
    Svg,
    Empty,
    TooLarge,
    /// Something else, with its name and what to do.
    Other(&'static str, &'static str),
}

/// Reads one drawing: everything in it in millimetres, with layer and role, and a count of what was used. None where it
/// could not be read at all; the problems say why.
pub fn find(
    source: &DrawingSource,
    bytes: &[u8],
    rules: &LayerRules,
    problems: &mut Problems,
) -> Option<Found> {
    let mut talk = Talk::new(&source.file, problems);
    let roles = Roles::new(rules, &mut talk);
    let found = match format_of(bytes) {
        Format::DxfText => dxf::read(source, &plain_text(bytes), false, &roles, &mut talk),
        Format::DxfBinary => dxf::read(source, bytes, true, &roles, &mut talk),
        Format::Svg => svg::read(source, &unicode(bytes, &mut talk), &roles, &mut talk),
        other => {
            talk.push(refused(other, bytes.len()));
            None
        }
    };
    if let Some(found) = &found
        && found.strokes.is_empty()
    {
        talk.push(nothing(found));
    }
    talk.finish();
    found
}

/// First bytes of a binary DXF file, as the DXF reference gives them.
pub(super) const BINARY_DXF: &[u8] = b"AutoCAD Binary DXF\r\n\x1a\0";

fn format_of(bytes: &[u8]) -> Format {
    let head = head(bytes);
    if bytes.len() > LARGEST {
        Format::TooLarge
    } else if bytes.starts_with(&BINARY_DXF[..18]) {
        Format::DxfBinary
    } else if bytes.starts_with(&[0x1f, 0x8b]) {
        Format::Other("a compressed file", "unpack it first: Grainwise reads plain SVG and DXF")
    } else if bytes.starts_with(b"%PDF") {
        Format::Other("a PDF file", "export the drawing as SVG or DXF")
    } else if bytes.starts_with(b"AC10") {
        Format::Other("a DWG file", "save the drawing as DXF")
    } else if bytes.starts_with(b"\x89PNG")
        || bytes.starts_with(b"\xff\xd8\xff")
        || bytes.starts_with(b"GIF8")
    {
        Format::Other("a picture", "Grainwise reads outlines from SVG and DXF, not from pixels")
    } else if head.is_empty() {
        Format::Empty
    } else if head.starts_with('<') {
        markup(&head)
    } else if is_group_code(&head) {
        Format::DxfText
    } else {
        Format::Other("neither DXF nor SVG", "give a DXF or SVG file")
    }
}

/// The first characters of the file that are not blank, whatever its encoding.
fn head(bytes: &[u8]) -> String {
    let start = &bytes[..bytes.len().min(1 << 16)];
    let text = plain_text(start);
    let text = String::from_utf8_lossy(&text);
    text.trim_start_matches(|c: char| c.is_whitespace() || c == '\u{feff}' || c == '\0').to_owned()
}

fn markup(head: &str) -> Format {
    let html = head.get(..14).is_some_and(|h| h.eq_ignore_ascii_case("<!doctype html"))
        || head.get(..5).is_some_and(|h| h.eq_ignore_ascii_case("<html"));
    if html { Format::Other("a web page", "save the drawing itself as SVG or DXF") } else { Format::Svg }
}

/// Whether the first line of the file is a group code, as it is in every DXF file, or a comment by a sloppy writer.
fn is_group_code(head: &str) -> bool {
    let line = head.split(['\r', '\n']).next().unwrap_or_default().trim();
    line.parse::<i16>().is_ok_and(|code| (0..=1071).contains(&code)) || head.contains("SECTION")
}

/// The text without a UTF-16 coat or a byte order mark.
fn plain_text(bytes: &[u8]) -> Cow<'_, [u8]> {
    let wide = |encoding: &'static encoding_rs::Encoding| {
        Cow::Owned(encoding.decode_with_bom_removal(bytes).0.into_owned().into_bytes())
    };
    match bytes {
        [0xef, 0xbb, 0xbf, rest @ ..] => Cow::Borrowed(rest),
        [0xff, 0xfe, ..] => wide(UTF_16LE),
        [0xfe, 0xff, ..] => wide(UTF_16BE),
        _ => Cow::Borrowed(bytes),
    }
}

/// The text of an SVG file; bytes that are no UTF-8 are taken as the encoding that the file names, or as Windows-1252.
fn unicode(bytes: &[u8], talk: &mut Talk) -> String {
    match String::from_utf8(plain_text(bytes).into_owned()) {
        Ok(text) => text,
        Err(error) => {
            let raw = error.into_bytes();
            let encoding = declared(&raw).unwrap_or(WINDOWS_1252);
            let message = format!("the file is no UTF-8 text: it was read as {}", encoding.name());
            talk.push(Problem::note("not-utf8", message).hint("check names with letters beyond ASCII"));
            encoding.decode_without_bom_handling(&raw).0.into_owned()
        }
    }
}

/// The encoding that the first line of an XML file names.
fn declared(raw: &[u8]) -> Option<&'static encoding_rs::Encoding> {
    let head = String::from_utf8_lossy(&raw[..raw.len().min(200)]).into_owned();
    let after = head.split("encoding=").nth(1)?;
    let label = after.split(['"', '\'']).nth(1)?;
    encoding_rs::Encoding::for_label(label.as_bytes())
}

fn refused(format: Format, size: usize) -> Problem {
    match format {
        Format::Empty => {
            Problem::error("empty-drawing", "the file is empty").hint("export the drawing again")
        }
        Format::TooLarge => Problem::error(
            "too-large",
            format!("the file holds {} MB, more than the {} that are read", size >> 20, LARGEST >> 20),
        )
        .hint("take pictures and hidden layers out of the drawing, or split it"),
        Format::Other(what, hint) => {
            Problem::error("unknown-format", format!("the file is {what}")).hint(hint)
        }
        Format::DxfText | Format::DxfBinary | Format::Svg => Problem::error("unreadable", "not readable"),
    }
}

fn nothing(found: &Found) -> Problem {
    let seen: Vec<String> = found.unused.iter().map(|(kind, count)| format!("{count} {kind}")).collect();
    let seen = if seen.is_empty() { "nothing at all".to_owned() } else { seen.join(", ") };
    Problem::warning("nothing-to-cut", format!("no line of the drawing is used; it holds {seen}"))
        .hint("check the layers and colours that the job names")
}
