//! The cuts as entities: circles, and polylines whose curves are bulges, in the order in which they are cut.

use super::super::decimal;
use super::super::shape::{self, Shape};
use super::Drawing;
use super::groups::{Groups, Handle, Handles};
use crate::geometry::{Point, STRAIGHT_BULGE, Segment};

/// A polyline's corners with the bulge of what follows each.
struct Polyline {
    corners: Vec<(Point, f64)>,
    closed: bool,
}

/// Where an entity lies and what it looks like.
struct Common<'a> {
    layer: &'a str,
    colour: u8,
    /// The block record that owns it; none in R12.
    owner: Option<Handle>,
}

/// Writes all cuts; `owner` is the block record of the model space, which R12 does not have.
pub(super) fn write(out: &mut Groups, drawing: &Drawing<'_>, handles: &mut Handles, owner: Option<Handle>) {
    for cut in &drawing.cuts.cuts {
        let at = shape::OPERATIONS.iter().position(|o| *o == cut.operation).unwrap_or(0);
        let (layer, colour) = &drawing.styles[at];
        let common = Common { layer, colour: *colour, owner };
        for shape in shape::shapes(cut) {
            match shape {
                Shape::Circle { centre, radius } => circle(out, &common, handles, centre, radius),
                Shape::Closed(segments) => polyline(out, &common, handles, &corners(&segments, true)),
                Shape::Open(segments) => polyline(out, &common, handles, &corners(&segments, false)),
            }
        }
    }
}

/// Corners that are written alike count once.
fn corners(segments: &[Segment], closed: bool) -> Polyline {
    let same = |a: Point, b: Point| decimal::alike(a.x, b.x) && decimal::alike(a.y, b.y);
    let bulge = |s: &Segment| if s.bulge.abs() < STRAIGHT_BULGE { 0.0 } else { s.bulge };
    let moving = segments.iter().filter(|s| !same(s.from, s.to));
    let mut corners: Vec<(Point, f64)> = moving.map(|s| (s.from, bulge(s))).collect();
    if let Some(last) = segments.last().filter(|_| !closed) {
        corners.push((last.to, 0.0));
    }
    Polyline { corners, closed }
}

fn begin(out: &mut Groups, common: &Common<'_>, handles: &mut Handles, kind: &str, class: &str) {
    out.put(0, kind);
    out.put(5, handles.next());
    if let Some(owner) = common.owner {
        out.put(330, owner);
        out.put(100, "AcDbEntity");
    }
    out.put(8, common.layer);
    out.put(62, common.colour);
    if common.owner.is_some() {
        out.put(100, class);
    }
}

fn circle(out: &mut Groups, common: &Common<'_>, handles: &mut Handles, centre: Point, radius: f64) {
    begin(out, common, handles, "CIRCLE", "AcDbCircle");
    out.point3(10, centre);
    out.length(40, radius);
}

fn polyline(out: &mut Groups, common: &Common<'_>, handles: &mut Handles, line: &Polyline) {
    if line.corners.len() < 2 {
        return;
    }
    if common.owner.is_some() { light(out, common, handles, line) } else { heavy(out, common, handles, line) }
}

/// LWPOLYLINE, which R12 does not know.
fn light(out: &mut Groups, common: &Common<'_>, handles: &mut Handles, line: &Polyline) {
    begin(out, common, handles, "LWPOLYLINE", "AcDbPolyline");
    out.put(90, line.corners.len());
    out.put(70, u8::from(line.closed));
    for (at, bulge) in &line.corners {
        out.point(10, *at);
        if *bulge != 0.0 {
            out.put(42, decimal::bulge(*bulge));
        }
    }
}

/// POLYLINE with its vertices.
fn heavy(out: &mut Groups, common: &Common<'_>, handles: &mut Handles, line: &Polyline) {
    begin(out, common, handles, "POLYLINE", "");
    out.put(66, 1);
    out.point3(10, Point::ZERO);
    out.put(70, u8::from(line.closed));
    for (at, bulge) in &line.corners {
        begin(out, common, handles, "VERTEX", "");
        out.point3(10, *at);
        if *bulge != 0.0 {
            out.put(42, decimal::bulge(*bulge));
        }
    }
    begin(out, common, handles, "SEQEND", "");
}
