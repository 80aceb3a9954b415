//! What a sheet in stock is like, beyond its size: its outline where it is a remnant, zones to avoid, room for clamps.
//!
//! | key of `stock` | value |
//! | --- | --- |
//! | `outline` | of a remnant: a drawing of it, its grain along x, or a list of points; in place of `sheet` |
//! | `avoid` | a list of zones: maps of `circle` (a diameter, its middle `at` a point), `rectangle` (`[length, width]`, its lower left corner `at` a point) or `points` |
//! | `clamp` | room that is taken at the edges beyond the margin: one length, or a map of `left`, `right`, `bottom`, `top` |
//!
//! Places are on the sheet: from its lower left corner, x along the grain.

use super::stretch::point;
use crate::geometry::{Outline, Placement, Point, Rect, crossing};
use crate::units::Unit;
use crate::yaml::{Fields, Node, Reader, What};

pub(super) const ZONE: [&str; 4] = ["circle", "rectangle", "points", "at"];
pub(super) const CLAMP: [&str; 4] = ["left", "right", "bottom", "top"];

/// What a sheet is like.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Blank {
    /// Its outline; none where it is the whole rectangle.
    pub outline: Option<Outline>,
    /// What no piece may touch: a knot, a split.
    pub avoid: Vec<Outline>,
    /// What is taken at its edges.
    pub clamp: Clamp,
}

/// Room that is taken at the edges of a sheet beyond its margin, mm: clamps, screws, a fence.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Clamp {
    /// Where its length begins.
    pub left: f64,
    /// Where its length ends.
    pub right: f64,
    /// Where its width begins.
    pub bottom: f64,
    /// Where its width ends.
    pub top: f64,
}

/// Where a remnant's outline comes from.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Source {
    File(String),
    Points(Outline),
}

/// Widest clamp, mm: no bench has more.
const WIDEST_CLAMP_MM: f64 = 1000.0;

/// Smallest and largest zone, mm: a pinhole, a sheet.
const ZONES_MM: std::ops::RangeInclusive<f64> = 0.1..=10_000.0;

/// An outline whose area falls short of its bounds' by less than this share is the whole rectangle.
const WHOLE_SHARE: f64 = 1e-9;

impl Blank {
    /// Area of a sheet of this length and width, mm².
    pub fn area_mm2(&self, length_mm: f64, width_mm: f64) -> f64 {
        self.outline.as_ref().map_or(length_mm * width_mm, Outline::area)
    }

    /// A remnant of this outline, with zones within it that are to be avoided, and its length and width; the corner of its
    /// bounds becomes the origin. `avoid` holds zones of this job in the sheet's own coordinates.
    #[must_use]
    pub fn remnant(mut self, outline: &Outline, within: &[Outline]) -> (Self, (f64, f64)) {
        let bounds = outline.bounds();
        let to_corner = Placement { shift: -bounds.origin().to_vec2(), ..Placement::HERE };
        self.avoid.extend(within.iter().map(|zone| zone.placed(&to_corner)));
        let whole = outline.area() >= bounds.area() * (1.0 - WHOLE_SHARE);
        self.outline = (!whole).then(|| outline.placed(&to_corner).wound(true));
        (self, (bounds.width(), bounds.height()))
    }
}

/// The outline of a remnant, as a file or as points.
pub(super) fn outline(fields: &mut Fields, unit: Unit, reader: &mut Reader) -> Option<Source> {
    let node = fields.take("outline")?;
    match node.what {
        What::List(_) => polygon(node, "outline", unit, reader).map(Source::Points),
        _ => reader.word(node, "outline").map(Source::File),
    }
}

/// Zones and clamps.
pub(super) fn read(fields: &mut Fields, unit: Unit, reader: &mut Reader) -> Blank {
    let zones = fields.take("avoid").and_then(|node| reader.list(node, "avoid")).unwrap_or_default();
    let avoid = zones.into_iter().filter_map(|node| zone(node, unit, reader)).collect();
    let clamp = fields.take("clamp").map(|node| clamp(node, unit, reader)).unwrap_or_default();
    Blank { outline: None, avoid, clamp }
}

fn clamp(node: Node, unit: Unit, reader: &mut Reader) -> Clamp {
    let side = |node: &Node, name: &str, reader: &mut Reader| {
        reader.length(node, name, unit, 0.0..=WIDEST_CLAMP_MM).unwrap_or(0.0)
    };
    if !matches!(node.what, What::Map(_)) {
        let all = side(&node, "clamp", reader);
        return Clamp { left: all, right: all, bottom: all, top: all };
    }
    let Some(mut fields) = reader.map(node, "clamp", &CLAMP) else { return Clamp::default() };
    let mut side = |key: &str| fields.take(key).map_or(0.0, |node| side(&node, key, reader));
    Clamp { left: side("left"), right: side("right"), bottom: side("bottom"), top: side("top") }
}

fn zone(node: Node, unit: Unit, reader: &mut Reader) -> Option<Outline> {
    let mut fields = reader.map(node, "a zone", &ZONE)?;
    let at = fields.take("at").and_then(|node| point(node, "at", unit, reader)).unwrap_or(Point::ZERO);
    let given: Vec<&str> = ZONE[..3].iter().copied().filter(|key| fields.place_of(key).is_some()).collect();
    let [form] = given[..] else {
        let hint = "give one of circle, rectangle, points";
        reader.wrong("zone-form", fields.place, "a zone to avoid has one outline", hint);
        return None;
    };
    let node = fields.take(form)?;
    match form {
        "circle" => {
            let diameter = reader.length(&node, "circle", unit, ZONES_MM)?;
            Some(Outline::circle(at, diameter / 2.0))
        }
        "rectangle" => {
            let place = node.place;
            let size = point(node, "rectangle", unit, reader)?;
            if !(ZONES_MM.contains(&size.x) && ZONES_MM.contains(&size.y)) {
                let hint = "write [length, width], such as [30, 8]";
                reader.wrong("out-of-range", place, "a zone is from 0.1 mm to 10 m long and wide", hint);
                return None;
            }
            Some(Outline::rectangle(Rect::from_origin_size(at, (size.x, size.y))))
        }
        _ => {
            let outline = polygon(node, "points", unit, reader)?;
            Some(outline.placed(&Placement { shift: at.to_vec2(), ..Placement::HERE }))
        }
    }
}

/// A closed outline with straight sides.
fn polygon(node: Node, name: &str, unit: Unit, reader: &mut Reader) -> Option<Outline> {
    let place = node.place;
    let nodes = reader.list(node, name)?;
    let count = nodes.len();
    let points: Vec<(f64, f64)> =
        nodes.into_iter().filter_map(|node| point(node, name, unit, reader).map(|p| (p.x, p.y))).collect();
    if points.len() < count {
        return None;
    }
    let simple = |outline: &Outline| outline.area() > 0.0 && crossing::self_meeting(outline, 0.0).is_none();
    let outline = Outline::polygon(&points).ok().filter(simple);
    if outline.is_none() {
        let hint = "three points or more, once round, no two the same, no sides that cross";
        reader.wrong("bad-outline", place, format!("the points of '{name}' make no outline"), hint);
    }
    outline
}
