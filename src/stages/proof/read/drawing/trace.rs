//! Strokes to lines and arcs, and these to traces.

use super::Path;
use crate::geometry::curve::Curve;
use crate::geometry::{Segment, fit};
use crate::stages::drawing::Stroke;
use crate::stages::proof::{Corner, Does, Trace};

/// How far curves other than lines and arcs may stray when they become such, mm: half of the least step of a machine,
/// and a quarter of what the proof may be wrong by in all.
const CURVE_MM: f64 = 0.0005;

/// Ends of a closed stroke this near are one point, mm: what rounding in transforms leaves.
const SAME_MM: f64 = 1e-6;

/// The lines and arcs of a stroke; none where a curve of it cannot be followed.
pub(super) fn segments(stroke: &Stroke) -> Option<Vec<Segment>> {
    let mut segments: Vec<Segment> = Vec::with_capacity(stroke.curves.len());
    for curve in &stroke.curves {
        match curve {
            Curve::Segment(segment) => segments.push(*segment),
            other => segments.extend(fit::chain(std::slice::from_ref(other), CURVE_MM).ok()?.segments()),
        }
    }
    (!segments.is_empty()).then_some(segments)
}

/// The trace of a path. Segments of no length are left out, unless there is no other: a machine burns a dot there.
pub(super) fn of(path: &Path, does: Does) -> Trace {
    let corner = |segment: &Segment| Corner { at: segment.from, z: 0.0, bulge: segment.bulge };
    let (first, last) = (path.segments[0], path.segments[path.segments.len() - 1]);
    let mut corners: Vec<Corner> = Vec::with_capacity(path.segments.len() + 1);
    corners.extend(path.segments.iter().filter(|segment| segment.from != segment.to).map(corner));
    if corners.is_empty() {
        corners.push(Corner { bulge: 0.0, ..corner(&first) });
    }
    let comes_back = path.closed && first.from.distance(last.to) <= SAME_MM;
    let end = if comes_back { corners[0].at } else { last.to };
    corners.push(Corner { at: end, z: 0.0, bulge: 0.0 });
    Trace { lines: vec![0; corners.len()], corners, does }
}
