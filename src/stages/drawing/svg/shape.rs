//! Basic shapes to curves (SVG 2, "Basic Shapes"), in the shape's own user units.

use std::f64::consts::TAU;

use svgtypes::{LengthUnit, PointsParser, ViewBox};
use usvg::roxmltree::Node;

use super::path::{self, Piece};
use super::size::{Page, length};
use crate::geometry::curve::{Curve, EllipticArc};
use crate::geometry::{Point, Segment, Vec2};

/// Size of letters where nothing says it, in user units: the medium size of CSS.
const MEDIUM: f64 = 16.0;

/// What an element draws, and what is wrong with it.
#[derive(Debug, Default)]
pub(super) struct Drawn {
    pub(super) pieces: Vec<Piece>,
    pub(super) wrong: Option<String>,
}

impl Drawn {
    fn one(curves: Vec<Curve>, closed: bool) -> Self {
        Self { pieces: vec![Piece { curves, closed }], wrong: None }
    }
}

/// What a shape draws; nothing where its sizes are 0 or missing.
pub(super) fn drawn(node: Node, page: &Page) -> Drawn {
    let made = match node.tag_name().name() {
        "path" => {
            let (pieces, wrong) = path::pieces(node.attribute("d").unwrap_or_default());
            return Drawn { pieces, wrong };
        }
        "rect" => rect(node, page),
        "circle" => ring(node, page, "r", "r"),
        "ellipse" => ring(node, page, "rx", "ry"),
        "line" => line(node, page),
        "polyline" => return points(node, false),
        _ => return points(node, true),
    };
    made.unwrap_or_else(|wrong| Drawn { pieces: Vec::new(), wrong: Some(wrong) })
}

/// A length of an element in user units; 0 where it is missing.
fn measure(node: Node, name: &str, page: &Page) -> Result<f64, String> {
    Ok(optional(node, name, page)?.unwrap_or(0.0))
}

fn optional(node: Node, name: &str, page: &Page) -> Result<Option<f64>, String> {
    let Some(text) = node.attribute(name).map(str::trim).filter(|text| *text != "auto") else {
        return Ok(None);
    };
    let wrong = || format!("'{text}' is no length ({name})");
    let (number, unit) = length(text).ok_or_else(wrong)?;
    let user = number * unit_of(unit, node, name, page);
    if user.is_finite() { Ok(Some(user)) } else { Err(wrong()) }
}

/// User units of one unit of length, here.
pub(super) fn unit_of(unit: LengthUnit, node: Node, name: &str, page: &Page) -> f64 {
    match unit {
        LengthUnit::None | LengthUnit::Px => 1.0,
        LengthUnit::Mm => page.per_mm,
        LengthUnit::Cm => page.per_mm * 10.0,
        LengthUnit::In => page.per_mm * 25.4,
        LengthUnit::Pt => page.per_mm * 25.4 / 72.0,
        LengthUnit::Pc => page.per_mm * 25.4 / 6.0,
        LengthUnit::Em => MEDIUM,
        LengthUnit::Ex => MEDIUM / 2.0,
        LengthUnit::Percent => {
            let view = viewport(node, page);
            let along = match name {
                "x" | "width" | "x1" | "x2" | "cx" | "rx" => view.x,
                "y" | "height" | "y1" | "y2" | "cy" | "ry" => view.y,
                _ => (view.hypot2() / 2.0).sqrt(),
            };
            along / 100.0
        }
    }
}

/// Size of the nearest viewport around an element.
fn viewport(node: Node, page: &Page) -> Vec2 {
    node.ancestors()
        .skip(1)
        .filter(|around| {
            around.parent_element().is_some() && matches!(around.tag_name().name(), "svg" | "symbol")
        })
        .find_map(|around| around.attribute("viewBox").and_then(|text| text.parse::<ViewBox>().ok()))
        .map_or(page.user, |view| Vec2::new(view.w, view.h))
}

fn line(node: Node, page: &Page) -> Result<Drawn, String> {
    let end = |x, y| Ok::<_, String>(Point::new(measure(node, x, page)?, measure(node, y, page)?));
    Ok(Drawn::one(vec![Curve::line(end("x1", "y1")?, end("x2", "y2")?)], false))
}

fn points(node: Node, closed: bool) -> Drawn {
    let text = node.attribute("points").unwrap_or_default();
    let points: Vec<Point> = PointsParser::from(text).map(|(x, y)| Point::new(x, y)).collect();
    let mut curves: Vec<Curve> = points.windows(2).map(|pair| Curve::line(pair[0], pair[1])).collect();
    if let (true, [first, .., last]) = (closed, points.as_slice())
        && first != last
    {
        curves.push(Curve::line(*last, *first));
    }
    // Two numbers a point: where the count is off, the list breaks off at an error.
    let numbers = text.split([' ', ',', '\t', '\n', '\r']).filter(|word| !word.is_empty()).count();
    let broken = numbers > points.len() * 2 && !text.contains('-');
    let wrong = broken.then(|| "its list of points breaks off at an error".to_owned());
    let pieces = if curves.is_empty() { Vec::new() } else { vec![Piece { curves, closed }] };
    Drawn { pieces, wrong }
}

#[allow(clippy::float_cmp, reason = "radii that are written the same make a circle")]
fn ring(node: Node, page: &Page, across: &str, down: &str) -> Result<Drawn, String> {
    let centre = Point::new(measure(node, "cx", page)?, measure(node, "cy", page)?);
    let (rx, ry) = match (optional(node, across, page)?, optional(node, down, page)?) {
        (Some(rx), Some(ry)) => (rx, ry),
        (Some(r), None) | (None, Some(r)) => (r, r),
        (None, None) => (0.0, 0.0),
    };
    if rx <= 0.0 || ry <= 0.0 {
        return Ok(Drawn::default());
    }
    if rx == ry {
        let (east, west) = (centre + Vec2::new(rx, 0.0), centre - Vec2::new(rx, 0.0));
        let half = |from, to| Curve::Segment(Segment::arc(from, to, 1.0));
        return Ok(Drawn::one(vec![half(east, west), half(west, east)], true));
    }
    let (a, b) = (Vec2::new(rx, 0.0), Vec2::new(0.0, ry));
    Ok(Drawn::one(vec![Curve::Ellipse(EllipticArc { centre, a, b, start: 0.0, sweep: TAU })], true))
}

fn rect(node: Node, page: &Page) -> Result<Drawn, String> {
    let (x, y) = (measure(node, "x", page)?, measure(node, "y", page)?);
    let (w, h) = (measure(node, "width", page)?, measure(node, "height", page)?);
    if w <= 0.0 || h <= 0.0 {
        return Ok(Drawn::default());
    }
    let radius = |name| optional(node, name, page).map(|r| r.filter(|r| *r >= 0.0));
    let (rx, ry) = match (radius("rx")?, radius("ry")?) {
        (Some(rx), Some(ry)) => (rx, ry),
        (Some(r), None) | (None, Some(r)) => (r, r),
        (None, None) => (0.0, 0.0),
    };
    let (rx, ry) = (rx.min(w / 2.0), ry.min(h / 2.0));
    Ok(Drawn::one(rounded(Point::new(x, y), Vec2::new(w, h), Vec2::new(rx, ry)), true))
}

/// A rectangle with quarters of ellipses at its corners, as the standard runs it: along the top first.
fn rounded(at: Point, size: Vec2, r: Vec2) -> Vec<Curve> {
    let (far, mut curves) = (at + size, Vec::new());
    let corners = [Point::new(far.x, at.y), far, Point::new(at.x, far.y), at];
    let mut pen = Point::new(at.x + r.x, at.y);
    let start = pen;
    for (i, corner) in corners.into_iter().enumerate() {
        // Towards this corner, and away from it.
        let ways = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0), Vec2::new(-1.0, 0.0), Vec2::new(0.0, -1.0)];
        let (way, next) = (ways[i], ways[(i + 1) % 4]);
        let before = corner - Vec2::new(way.x * r.x, way.y * r.y);
        let after = if i == 3 { start } else { corner + Vec2::new(next.x * r.x, next.y * r.y) };
        if pen != before {
            curves.push(Curve::line(pen, before));
        }
        if before != after {
            curves.push(quarter(before, after, way, next, r));
        }
        pen = after;
    }
    curves
}

#[allow(clippy::float_cmp, reason = "radii that are written the same make a circle")]
fn quarter(from: Point, to: Point, way: Vec2, next: Vec2, r: Vec2) -> Curve {
    /// Tangent of a sixteenth of a turn: the bulge of a quarter circle.
    const QUARTER: f64 = 0.414_213_562_373_095_03;
    if r.x == r.y {
        return Curve::Segment(Segment::arc(from, to, QUARTER));
    }
    let stretch = |v: Vec2| Vec2::new(v.x * r.x, v.y * r.y);
    let (a, b) = (-stretch(next), stretch(way));
    Curve::Ellipse(EllipticArc { centre: from - a, a, b, start: 0.0, sweep: TAU / 4.0 })
}
