//! The `fit` of a job: what has to fit together, and what waits until it does.
//!
//! | key | value |
//! | --- | --- |
//! | `name` | what it is called in the table |
//! | `is` | a dimension of the part that has to fit, see below: needed |
//! | `should` | what it has to fit: a dimension, a length, or a list of them that are added up: needed |
//! | `less` | the same, taken off: what lies between |
//! | `play` | how much smaller than that it should be; below 0 for a press fit |
//! | `within` | how far it may be off |
//! | `built` | the dimension as it was measured on what is built: takes the place of `should` |
//! | `holds` | a pattern over part names, or a list: these are not cut before the fit holds |
//! | `until` | `fits` (where it is left out), or `built`: not before it was measured |
//! | `adjust` | `[x, y]`: the part is brought to size by moving all that lies beyond this point, as seen from the beginning of its dimension; `true`, for a slot: its walls are moved |
//!
//! A dimension is a map of `part` with `from` and `to`, two points near its edges, or with `slot`, a point in a slot, notch
//! or hole, whose width is meant; or of `wood` and `thickness`: the thickness as it was measured, else as it is sold.

use super::stretch::point;
use crate::geometry::Point;
use crate::units::Unit;
use crate::yaml::{Fields, Node, Place, Reader, What};

pub(super) const FIT: [&str; 10] =
    ["name", "is", "should", "less", "play", "within", "built", "holds", "until", "adjust"];
pub(super) const TERM: [&str; 6] = ["part", "from", "to", "slot", "wood", "thickness"];
/// What a part may wait for.
pub(super) const UNTIL: [&str; 2] = ["fits", "built"];

/// How far a dimension may be off where nobody says, mm: what glue fills (common practice, no source).
pub const WITHIN: f64 = 0.1;

/// What has to fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// What it is called.
    pub name: String,
    /// The dimension that has to fit.
    pub is: Term,
    /// What it has to fit, added up.
    pub should: Vec<Term>,
    /// What is taken off.
    pub less: Vec<Term>,
    /// How much smaller it should be, mm.
    pub play_mm: f64,
    /// How far it may be off, mm.
    pub within_mm: f64,
    /// The dimension as measured on what is built, mm.
    pub built_mm: Option<f64>,
    /// Patterns over the parts that wait.
    pub holds: Vec<String>,
    /// Whether they wait for a measured dimension even where the drawing fits.
    pub until_built: bool,
    /// How the part is brought to size.
    pub adjust: Option<Adjust>,
    /// Line and column in the job file.
    pub line: Place,
}

/// How a part is brought to size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Adjust {
    /// All that lies beyond a point moves.
    Beyond(Point),
    /// The walls of the slot move, each by half.
    Walls,
}

/// One dimension.
#[derive(Clone, Debug, PartialEq)]
pub enum Term {
    /// So many mm.
    Length(f64),
    /// Between two points at the edges of a part.
    Between(String, Point, Point),
    /// The width of the slot, notch or hole at a point.
    Slot(String, Point),
    /// The thickness of a wood, mm as it is sold.
    Wood(String, f64),
}

pub(super) fn read(node: Node, unit: Unit, woods: &[&str], reader: &mut Reader) -> Vec<Fit> {
    let nodes = reader.list(node, "fit").unwrap_or_default();
    nodes.into_iter().filter_map(|node| fit(node, unit, woods, reader)).collect()
}

fn fit(node: Node, unit: Unit, woods: &[&str], reader: &mut Reader) -> Option<Fit> {
    let line = node.place;
    let mut fields = reader.map(node, "a fit", &FIT)?;
    let name = fields.take("name").and_then(|node| reader.word(node, "name"));
    let is = fields.need("is", "a fit", reader).and_then(|node| term(node, "is", unit, woods, reader));
    let built = length(&mut fields, "built", unit, reader, 0.0);
    let mut terms = |key: &str, reader: &mut Reader| {
        let nodes = fields.take(key).map(|node| reader.one_or_more(node)).unwrap_or_default();
        nodes.into_iter().filter_map(|node| term(node, key, unit, woods, reader)).collect::<Vec<_>>()
    };
    let (should, less) = (terms("should", reader), terms("less", reader));
    if should.is_empty() && built.is_none() {
        reader.wrong(
            "missing-key",
            line,
            "a fit needs 'should', what it has to fit",
            "or 'built', as measured",
        );
    }
    let play = length(&mut fields, "play", unit, reader, -50.0);
    let within = length(&mut fields, "within", unit, reader, 0.001);
    let holds = fields.take("holds").map(|node| reader.words(node, "holds")).unwrap_or_default();
    let until_built = fields.take("until").is_some_and(|node| {
        let place = node.place;
        let word = reader.word(node, "until").unwrap_or_default();
        if !UNTIL.contains(&word.as_str()) {
            reader.unknown("fit-until", place, "what parts can wait for", &word, &UNTIL);
        }
        word == "built"
    });
    let adjust = fields.take("adjust").and_then(|node| match node.what {
        What::Flag(flag) => flag.then_some(Adjust::Walls),
        _ => point(node, "adjust", unit, reader).map(Adjust::Beyond),
    });
    let is = is?;
    let name = name.unwrap_or_else(|| match &is {
        Term::Between(part, ..) | Term::Slot(part, _) => part.clone(),
        _ => "fit".to_owned(),
    });
    Some(Fit {
        name,
        is,
        should,
        less,
        play_mm: play.unwrap_or(0.0),
        within_mm: within.unwrap_or(WITHIN),
        built_mm: built,
        holds,
        until_built,
        adjust,
        line,
    })
}

fn length(fields: &mut Fields, key: &str, unit: Unit, reader: &mut Reader, least: f64) -> Option<f64> {
    let node = fields.take(key)?;
    reader.length(&node, key, unit, least..=10_000.0)
}

fn term(node: Node, key: &str, unit: Unit, woods: &[&str], reader: &mut Reader) -> Option<Term> {
    let place = node.place;
    if !matches!(node.what, What::Map(_)) {
        return reader.length(&node, key, unit, 0.0..=10_000.0).map(Term::Length);
    }
    let mut fields = reader.map(node, "a dimension", &TERM)?;
    if let Some(node) = fields.take("wood") {
        let wood_place = node.place;
        let wood = reader.word(node, "wood")?;
        if !woods.iter().any(|known| known.eq_ignore_ascii_case(&wood)) {
            reader.unknown("unknown-wood", wood_place, "a wood that the shop knows", &wood, woods);
        }
        fields.place_of("thickness");
        let thickness = fields.need("thickness", "a wood that has to fit", reader)?;
        let thickness = reader.length(&thickness, "thickness", unit, 0.1..=100.0)?;
        return Some(Term::Wood(wood, thickness));
    }
    let part = fields.need("part", "a dimension", reader).and_then(|node| reader.word(node, "part"))?;
    let mut at = |key: &str| fields.take(key).and_then(|node| point(node, key, unit, reader));
    match (at("from"), at("to"), at("slot")) {
        (Some(from), Some(to), None) => Some(Term::Between(part, from, to)),
        (None, None, Some(slot)) => Some(Term::Slot(part, slot)),
        _ => {
            let hint = "give 'from' and 'to', two points at its edges, or 'slot', a point in a slot";
            reader.wrong("fit-dimension", place, "a dimension of a part is between two edges", hint);
            None
        }
    }
}
