//! Paths as rows of numbers, to a ten-thousandth of a millimetre: less than the page can be zoomed to.

use crate::geometry::{Point, Segment, Vertex};
use crate::stages::proof::Trace;

/// Steps to a millimetre, and of a bulge to one: an arc across a metre keeps its place to a thousandth of a millimetre.
const STEPS: f64 = 1e4;
const BULGE_STEPS: f64 = 1e7;

/// A length to a ten-thousandth of a millimetre.
pub(super) fn mm(value: f64) -> f64 {
    rounded(value, STEPS)
}

/// A place.
pub(super) fn place(at: Point) -> [f64; 2] {
    [mm(at.x), mm(at.y)]
}

/// x, y and bulge of each vertex.
pub(super) fn vertices(vertices: &[Vertex]) -> Vec<f64> {
    vertices.iter().flat_map(|v| [mm(v.at.x), mm(v.at.y), rounded(v.bulge, BULGE_STEPS)]).collect()
}

/// x, y and bulge of each corner of segments that follow each other.
pub(super) fn chain(segments: &[Segment]) -> Vec<f64> {
    let begins = segments.iter().map(|s| (s.from, s.bulge));
    let last = segments.last().map(|s| (s.to, 0.0));
    begins.chain(last).flat_map(|(at, bulge)| [mm(at.x), mm(at.y), rounded(bulge, BULGE_STEPS)]).collect()
}

/// x, y, z and bulge of each corner of a trace.
pub(super) fn trace(trace: &Trace) -> Vec<f64> {
    let corners = trace.corners.iter();
    corners.flat_map(|c| [mm(c.at.x), mm(c.at.y), mm(c.z), rounded(c.bulge, BULGE_STEPS)]).collect()
}

fn rounded(value: f64, steps: f64) -> f64 {
    let rounded = (value * steps).round() / steps;
    if rounded == 0.0 { 0.0 } else { rounded }
}
