//! Strokes to traces.

use crate::geometry::curve::Curve;
use crate::geometry::{Segment, fit};
use crate::stages::drawing::Stroke;
use crate::stages::proof::{Corner, Does, Trace};

/// How far curves other than lines and arcs may stray when they become such, mm: half of the least step of a machine,
/// and a quarter of what the proof may be wrong by in all.
const CURVE_MM: f64 = 0.0005;

/// Ends of a closed stroke this near are one point, mm: what rounding in transforms leaves.
const SAME_MM: f64 = 1e-6;

/// The trace of a stroke; none where a curve of it cannot be followed.
pub(super) fn of(stroke: &Stroke, does: Does) -> Option<Trace> {
    let mut segments: Vec<Segment> = Vec::with_capacity(stroke.curves.len());
    for curve in &stroke.curves {
        match curve {
            Curve::Segment(segment) => segments.push(*segment),
            other => segments.extend(fit::chain(std::slice::from_ref(other), CURVE_MM).ok()?.segments()),
        }
    }
    let corners = corners(&segments, stroke.closed)?;
    Some(Trace { lines: vec![0; corners.len()], corners, does })
}

/// The corners of segments that follow each other. Those of no length are left out, unless there is no other: a machine
/// burns a dot there.
fn corners(segments: &[Segment], closed: bool) -> Option<Vec<Corner>> {
    let first = segments.first()?.from;
    let last = segments.last()?.to;
    let moving = segments.iter().filter(|segment| segment.from != segment.to);
    let mut corners: Vec<Corner> =
        moving.map(|segment| Corner { at: segment.from, z: 0.0, bulge: segment.bulge }).collect();
    if corners.is_empty() {
        corners.push(Corner { at: first, z: 0.0, bulge: 0.0 });
    }
    let end = if closed && first.distance(last) <= SAME_MM { corners[0].at } else { last };
    corners.push(Corner { at: end, z: 0.0, bulge: 0.0 });
    Some(corners)
}
