//! Both forms of an arc in the XY plane: what the words say to centre and sweep.

use std::f64::consts::TAU;

use super::Fault;
use super::words::Block;
use crate::geometry::{Point, Vec2, trig};

/// Radii at both ends may differ this much: 0.002 mm, or 0.0002 inch.
const AGREE_MM: f64 = 0.002;
const AGREE_INCH: f64 = 0.0002;

/// Ends nearer than this are one point, mm: numbers of a file differ by its last digit or not at all.
const ONE_POINT: f64 = 1e-9;

/// A turn smaller than this is none, radians (the reference's interpreter has 1e-12 too; from memory).
const NO_TURN: f64 = 1e-12;

/// An arc: centre and sweep (radians, counter-clockwise positive).
pub(super) type Arc = (Point, f64);

/// The arc that the words of a block mean.
pub(super) fn arc(
    block: &Block,
    from: Point,
    to: Point,
    unit: f64,
    counter_clockwise: bool,
) -> Result<Arc, Fault> {
    if block.of(b'K').is_some() {
        return Err(Fault::new("arc-k", "K has no meaning for an arc in the XY plane"));
    }
    if !block.any(b"XY") {
        return Err(Fault::new("arc-no-end", "an arc in the XY plane needs X or Y"));
    }
    let tolerance = if unit > 1.0 { AGREE_INCH * unit } else { AGREE_MM };
    match (block.of(b'R'), block.of(b'I'), block.of(b'J')) {
        (Some(r), None, None) => by_radius(from, to, r * unit, counter_clockwise, tolerance),
        (Some(_), ..) => Err(Fault::new("arc-two-forms", "an arc has a radius or a centre, not both")),
        (None, None, None) => Err(Fault::new("arc-no-form", "an arc needs I, J or R")),
        (None, i, j) => {
            let centre = from + Vec2::new(i.unwrap_or(0.0), j.unwrap_or(0.0)) * unit;
            by_centre(from, to, centre, counter_clockwise, tolerance)
        }
    }
}

fn by_centre(from: Point, to: Point, centre: Point, ccw: bool, tolerance: f64) -> Result<Arc, Fault> {
    let (start, end) = (from.distance(centre), to.distance(centre));
    if start <= ONE_POINT || end <= ONE_POINT {
        return Err(Fault::new("arc-no-radius", "an arc has its centre at one of its ends"));
    }
    if (start - end).abs() > tolerance {
        let message = format!("the radii at the ends of an arc differ: {start:.5} and {end:.5} mm");
        return Err(Fault::new("arc-radii-differ", message));
    }
    Ok((centre, sweep(from, to, centre, ccw)))
}

/// R form: a positive R means the arc of at most 180 degrees, a negative one the larger.
fn by_radius(from: Point, to: Point, r: f64, ccw: bool, tolerance: f64) -> Result<Arc, Fault> {
    let half = from.distance(to) / 2.0;
    if half <= ONE_POINT {
        return Err(Fault::new("arc-ends-equal", "an arc by its radius needs two different ends"));
    }
    if r == 0.0 {
        return Err(Fault::new("arc-no-radius", "an arc has a radius of 0"));
    }
    if half - r.abs() > tolerance {
        let message =
            format!("a radius of {:.5} mm does not reach from end to end, {:.5} mm", r.abs(), 2.0 * half);
        return Err(Fault::new("arc-radius-too-small", message));
    }
    // A half circle whose radius was rounded down still is one.
    let height = (r * r - half * half).max(0.0).sqrt();
    let left = Vec2::new(from.y - to.y, to.x - from.x) / (2.0 * half);
    let side = if ccw == (r > 0.0) { height } else { -height };
    let centre = from.midpoint(to) + left * side;
    Ok((centre, sweep(from, to, centre, ccw)))
}

/// From one end to the other the way that is said; a full circle where they are one point.
fn sweep(from: Point, to: Point, centre: Point, ccw: bool) -> f64 {
    let (a, b) = (from - centre, to - centre);
    let turn = trig::atan2(a.cross(b), a.dot(b));
    let turn = if from.distance(to) <= ONE_POINT { 0.0 } else { turn };
    match ccw {
        true if turn <= NO_TURN => turn + TAU,
        false if turn >= -NO_TURN => turn - TAU,
        _ => turn,
    }
}
