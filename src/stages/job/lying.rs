//! How a part may lie on its sheet, beyond what its grain says, and on which.

use super::stock::QUALITIES;
use super::stretch::point;
use crate::geometry::Point;
use crate::units::Unit;
use crate::yaml::{Fields, Node, Reader, What};

pub(super) const PIN: [&str; 3] = ["sheet", "at", "turn"];

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
    /// The least quality of its sheet; 0 where any will do.
    pub quality: u32,
    /// Parts with the same word here lie on one sheet.
    pub together: Option<String>,
    /// Where the first pieces lie, said by hand.
    pub pins: Vec<Pin>,
    /// So many more pieces at most, where sheets that are used anyway have room for them.
    pub spares: u32,
}

/// Where a piece lies, said by hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pin {
    /// Which of the sheets of its wood and thickness, from 1.
    pub sheet: u32,
    /// Where the lower left corner of its bounds lies on it, mm.
    pub at: Point,
    /// How far it is turned from its drawing, degrees; along the grain where nothing is said.
    pub turn_deg: Option<f64>,
    /// Line and column in the job file.
    pub line: (usize, usize),
}

/// More sheets of one wood than this nobody numbers by hand.
const MOST_SHEETS: u32 = 1000;

/// More spares than this are pieces that are wanted.
pub(super) const MOST_SPARES: u32 = 1000;

/// A grain further off than this is no longer along, degrees.
const MOST_WITHIN: f64 = 45.0;

/// Reads it from a part's rule.
pub(super) fn read(fields: &mut Fields, unit: Unit, reader: &mut Reader) -> Lying {
    let pins = fields.take("pin").map(|node| pins(node, unit, reader)).unwrap_or_default();
    Lying {
        turn: fields.take("turn").and_then(|node| turn(&node, reader)).unwrap_or_default(),
        flip: fields.take("flip").and_then(|node| reader.flag(&node, "flip")).unwrap_or(false),
        quality: fields
            .take("quality")
            .and_then(|node| reader.whole(&node, "quality", QUALITIES))
            .unwrap_or_default(),
        together: fields.take("together").and_then(|node| reader.word(node, "together")),
        pins,
        spares: fields
            .take("spares")
            .and_then(|node| reader.whole(&node, "spares", 0..=MOST_SPARES))
            .unwrap_or_default(),
    }
}

fn pins(node: Node, unit: Unit, reader: &mut Reader) -> Vec<Pin> {
    reader.one_or_more(node).into_iter().filter_map(|node| pin(node, unit, reader)).collect()
}

fn pin(node: Node, unit: Unit, reader: &mut Reader) -> Option<Pin> {
    let line = node.place;
    let mut fields = reader.map(node, "a pin", &PIN)?;
    let sheet = fields.take("sheet").map_or(Some(1), |node| reader.whole(&node, "sheet", 1..=MOST_SHEETS));
    let at = fields.need("at", "a pin", reader).and_then(|node| point(node, "at", unit, reader));
    let turn_deg = fields.take("turn").and_then(|node| reader.number(&node, "turn", -360.0..=360.0));
    Some(Pin { sheet: sheet?, at: at?, turn_deg, line })
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
