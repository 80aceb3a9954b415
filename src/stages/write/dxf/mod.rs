//! DXF R12 (AC1009) and R2000 (AC1015), after the published DXF reference.
//!
//! A writer of our own: the `dxf` crate, which reads the drawings, stamps dates and a new GUID into every file, leaves
//! handles of R2000 tables out, and writes an R12 header that a strict reader refuses (all three seen with its version
//! 0.6.2 and ezdxf). Here the same cuts give the same bytes.

mod entities;
mod groups;
mod r12;
mod r2000;

use super::{Written, decimal, shape};
use crate::geometry::Point;
use crate::problem::{Problem, Problems};
use crate::shop::{DrawingFormat, LayerStyle, Machine};
use crate::stages::cut::SheetCuts;

/// What both versions write.
struct Drawing<'a> {
    cuts: &'a SheetCuts,
    /// Layers by name, each name once.
    layers: Vec<(String, u8)>,
    /// Name and colour for each operation, in the order of [`shape::OPERATIONS`].
    styles: Vec<(String, u8)>,
    /// The box around all cuts.
    extents: [Point; 2],
}

/// Writes one sheet; none where a coordinate cannot be written.
pub(super) fn file(
    cuts: &SheetCuts,
    machine: &Machine,
    format: DrawingFormat,
    name: String,
    problems: &mut Problems,
) -> Option<Written> {
    let extents = shape::extents(cuts).unwrap_or([Point::ZERO, Point::ZERO]);
    if !extents.iter().all(|p| decimal::fits(p.x) && decimal::fits(p.y)) {
        let message = "a coordinate is too large to be written";
        problems.push(
            Problem::error("number-out-of-range", message).in_file(&name).hint("the file is not written"),
        );
        return None;
    }
    let old = format == DrawingFormat::DxfR12;
    let style = |operation| {
        let LayerStyle { name, dxf_colour, .. } = shape::style_of(&machine.layers, operation);
        (if old { old_name(name) } else { new_name(name) }, (*dxf_colour).max(1))
    };
    let mut styles: Vec<(String, u8)> = shape::OPERATIONS.into_iter().map(style).collect();
    let layers = unlike(&mut styles);
    let drawing = Drawing { cuts, layers, styles, extents };
    let text = if old { r12::write(&drawing) } else { r2000::write(&drawing) };
    Some(Written { name, sheet: Some(cuts.sheet.number), bytes: text.into_bytes() })
}

/// The layers beside layer 0, each once; names that differ in case alone are one layer, spelled as it comes first.
fn unlike(styles: &mut [(String, u8)]) -> Vec<(String, u8)> {
    let mut layers: Vec<(String, u8)> = Vec::new();
    for (name, colour) in styles {
        match layers.iter().find(|(known, _)| known.eq_ignore_ascii_case(name)) {
            Some((known, _)) => name.clone_from(known),
            None if name != "0" => layers.push((name.clone(), *colour)),
            None => {}
        }
    }
    layers
}

/// A layer name in R12: at most 31 letters, digits, `$`, `-` and `_`.
fn old_name(name: &str) -> String {
    let safe = |c: char| if c.is_ascii_alphanumeric() || matches!(c, '$' | '-' | '_') { c } else { '_' };
    let short: String = name.chars().take(31).map(safe).collect();
    if short.is_empty() { "0".to_owned() } else { short }
}

/// A layer name from R2000 on: at most 255 characters without those that the reference forbids; letters beyond ASCII by
/// their number.
fn new_name(name: &str) -> String {
    let mut out = String::new();
    for c in super::plain::one_line(name).chars() {
        let piece = match c {
            '<' | '>' | '/' | '\\' | '"' | ':' | ';' | '?' | '*' | '|' | ',' | '=' | '`' => "_".to_owned(),
            c if c.is_ascii() => c.to_string(),
            c => c
                .encode_utf16(&mut [0; 2])
                .iter()
                .fold(String::new(), |text, unit| format!("{text}\\U+{unit:04X}")),
        };
        if out.len() + piece.len() > 255 {
            break;
        }
        out.push_str(&piece);
    }
    if out.is_empty() { "0".to_owned() } else { out }
}
