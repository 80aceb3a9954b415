//! How a part may lie on its sheet, beyond what its grain says.

use crate::yaml::{Fields, Node, Reader, What};

/// How a part may be turned.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Turn {
    /// As its grain says: along the sheet's, either way; in quarter turns where it has none.
    #[default]
    Grain,
    /// So many degrees off that, at most.
    Within(f64),
    /// Any way.
    Any,
}

/// How a part may lie on its sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lying {
    /// How it may be turned.
    pub turn: Turn,
    /// Whether it may be turned over: both faces are equal.
    pub flip: bool,
}

/// A grain further off than this is no longer along, degrees.
const MOST_WITHIN: f64 = 45.0;

/// Reads it from a part's rule.
pub(super) fn read(fields: &mut Fields, reader: &mut Reader) -> Lying {
    Lying {
        turn: fields.take("turn").and_then(|node| turn(&node, reader)).unwrap_or_default(),
        flip: fields.take("flip").and_then(|node| reader.flag(&node, "flip")).unwrap_or(false),
    }
}

fn turn(node: &Node, reader: &mut Reader) -> Option<Turn> {
    match &node.what {
        What::Text(word) if word == "any" => Some(Turn::Any),
        What::Number(..) => reader.number(node, "turn", 0.0..=MOST_WITHIN).map(Turn::Within),
        _ => {
            reader.wrong_type(node, "turn", "'any' or how many degrees off the grain will do");
            None
        }
    }
}
