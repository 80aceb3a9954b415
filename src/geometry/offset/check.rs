//! Measures an offset's result against its source.

use super::assemble::Outlines;
use super::source::Source;
use crate::geometry::distance::{Visit, around};
use crate::geometry::piece::Piece;
use crate::geometry::{Outline, Point};

/// How far a point of the result may be from the full distance, in millimetres: half of what a check from outside allows.
const OFF: f64 = 5e-4;

/// The first point found where the result is not at the distance from the source. Ends and middles of all pieces are
/// measured: a line that keeps the distance at three points of a convex neighbour keeps it between them.
pub(super) fn off_the_source(found: &Outlines, source: &Source, distance: f64) -> Option<Point> {
    let points = found.all().flat_map(Outline::segments).flat_map(|s| [s.from, Piece::new(s).middle()]);
    points.into_iter().find(|&at| !keeps(source, at, distance))
}

/// Whether the nearest piece of the source lies at the distance from a point.
fn keeps(source: &Source, at: Point, distance: f64) -> bool {
    let (mut near, mut nearer) = (false, false);
    source.index.visit(around(at, distance + OFF), |which| {
        let off = source.pieces()[which].distance(at) - distance;
        near |= off.abs() <= OFF;
        nearer |= off < -OFF;
        if nearer { Visit::Stop } else { Visit::Go }
    });
    near && !nearer
}
