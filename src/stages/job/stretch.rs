//! The `stretch` of a drawing: how a print or a scan is brought to true scale.
//!
//! | key | value |
//! | --- | --- |
//! | `lengths` | a list of known lengths: `is`, its true length; and as drawn either `from` and `to`, or `drawn` and `angle` (degrees from the x axis, 0 where it is left out); `is_angle`, its true direction, where that is known |
//! | `reading_error` | how far one length as drawn may be read wrong |
//! | `continues` | another drawing of the job that this one goes on from, as a plan printed in pieces |
//! | `points` | a list of maps of `here` and `there`: one point on this drawing and on that |

use super::DrawingSource;
use crate::geometry::stretch::Known;
use crate::geometry::{FARTHEST, Point, Vec2, trig};
use crate::units::Unit;
use crate::yaml::{Fields, Node, Reader};

pub(super) const STRETCH: [&str; 4] = ["lengths", "reading_error", "continues", "points"];
pub(super) const LENGTH: [&str; 6] = ["is", "is_angle", "from", "to", "drawn", "angle"];
pub(super) const PAIR: [&str; 2] = ["here", "there"];

/// How far a length is read wrong where nobody says, mm: a steel rule, read to a quarter of a millimetre by eye (common
/// practice, no source).
pub const READING_ERROR: f64 = 0.25;

/// Whoever reads worse than this, mm, had better measure again.
const WORST_READING: f64 = 5.0;

/// How a drawing is brought to true scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// Known lengths.
    pub lengths: Vec<Known>,
    /// How far one of them may be read wrong, mm.
    pub reading_error_mm: f64,
    /// The drawing that this one goes on from.
    pub continues: Option<String>,
    /// Points on this drawing and on that, mm as drawn.
    pub points: Vec<(Point, Point)>,
    /// Line and column in the job file.
    pub line: (usize, usize),
}

pub(super) fn read(node: Node, unit: Unit, before: &[DrawingSource], reader: &mut Reader) -> Option<Stretch> {
    let line = node.place;
    let mut fields = reader.map(node, "stretch", &STRETCH)?;
    let list = |fields: &mut Fields, key: &str, reader: &mut Reader| {
        fields.take(key).and_then(|node| reader.list(node, key)).unwrap_or_default()
    };
    let nodes = list(&mut fields, "lengths", reader);
    let lengths: Vec<Known> = nodes.into_iter().filter_map(|node| known(node, unit, reader)).collect();
    let nodes = list(&mut fields, "points", reader);
    let points: Vec<(Point, Point)> = nodes.into_iter().filter_map(|node| pair(node, unit, reader)).collect();
    let error = fields.take("reading_error");
    let error = error.and_then(|node| reader.length(&node, "reading_error", unit, 0.001..=WORST_READING));
    let continues = fields.take("continues").and_then(|node| {
        let place = node.place;
        let file = reader.word(node, "continues")?;
        let names: Vec<&str> = before.iter().map(|source| source.file.as_str()).collect();
        if !names.contains(&file.as_str()) {
            reader.unknown("unknown-drawing", place, "a drawing listed before this one", &file, &names);
            return None;
        }
        Some(file)
    });
    if lengths.is_empty() && points.len() < 3 {
        let hint = "give lengths from the plan's own dimensions, such as { drawn: 301.4, is: 300, angle: 0 }";
        reader.wrong("stretch-unknown", line, "'stretch' needs known lengths, or three common points", hint);
        return None;
    }
    if continues.is_some() && points.len() < 2 {
        let hint = "give two points that both drawings show, far apart";
        reader.wrong("stretch-unknown", line, "'continues' needs two common points", hint);
        return None;
    }
    let reading_error_mm = error.unwrap_or(READING_ERROR);
    Some(Stretch { lengths, reading_error_mm, continues, points, line })
}

fn known(node: Node, unit: Unit, reader: &mut Reader) -> Option<Known> {
    let place = node.place;
    let mut fields = reader.map(node, "a known length", &LENGTH)?;
    let is = fields.need("is", "a known length", reader);
    let true_mm = is.and_then(|node| reader.length(&node, "is", unit, 0.1..=FARTHEST));
    let mut degrees = |key: &str, reader: &mut Reader| {
        let node = fields.take(key)?;
        reader.number(&node, key, -360.0..=360.0)
    };
    let (true_deg, angle) = (degrees("is_angle", reader), degrees("angle", reader));
    let drawn = fields.take("drawn").and_then(|node| reader.length(&node, "drawn", unit, 0.1..=FARTHEST));
    let mut end = |key: &str| fields.take(key).and_then(|node| point(node, key, unit, reader));
    let drawn = match (drawn, end("from"), end("to")) {
        (Some(length), None, None) => {
            let (sin, cos) = trig::sin_cos_deg(angle.unwrap_or(0.0));
            Vec2::new(cos, sin) * length
        }
        (None, Some(from), Some(to)) if from != to => to - from,
        _ => {
            let hint = "say 'from' and 'to', two points as drawn, or 'drawn' and its 'angle'";
            reader.wrong("stretch-unknown", place, "a known length has one length as drawn", hint);
            return None;
        }
    };
    Some(Known { drawn, true_mm: true_mm?, true_deg })
}

fn pair(node: Node, unit: Unit, reader: &mut Reader) -> Option<(Point, Point)> {
    let mut fields = reader.map(node, "a common point", &PAIR)?;
    let mut side = |key: &str| {
        let node = fields.need(key, "a common point", reader)?;
        point(node, key, unit, reader)
    };
    let (here, there) = (side("here"), side("there"));
    here.zip(there)
}

/// Two coordinates of a place on a drawing.
pub(super) fn point(node: Node, name: &str, unit: Unit, reader: &mut Reader) -> Option<Point> {
    let place = node.place;
    let nodes = reader.list(node, name)?;
    if nodes.len() != 2 {
        reader.wrong("wrong-type", place, format!("'{name}' has two coordinates"), "such as [10, 25.5]");
        return None;
    }
    let x = reader.length(&nodes[0], "x", unit, -FARTHEST..=FARTHEST);
    let y = reader.length(&nodes[1], "y", unit, -FARTHEST..=FARTHEST);
    Some(Point::new(x?, y?))
}
