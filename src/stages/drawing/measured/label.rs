//! Where a piece's name stands: well inside its material.

use super::super::{Drawn, Role};
use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Outline, Point};

/// So many places along each side of the bounds are tried, a little off halves and quarters, where lines run.
const PLACES: u32 = 41;

/// The roomiest of some places in the material, and how far it is from every edge.
pub(in super::super) fn place(outlines: &[Drawn<Outline>]) -> Option<(Point, f64)> {
    let cut: Vec<&Outline> = outlines.iter().filter(|d| d.role == Role::Cut).map(|d| &d.item).collect();
    let bounds = cut.iter().map(|o| o.bounds()).reduce(|a, b| a.union(b))?;
    let edges: Vec<SegmentIndex> = cut.iter().map(|o| SegmentIndex::of_outline(o)).collect();
    let inside = |at: Point| edges.iter().filter(|edge| edge.winding(at) != 0).count() % 2 == 1;
    let mut best: Option<(Point, f64)> = None;
    for row in 0..PLACES {
        for column in 0..PLACES {
            let part = |k: u32| (f64::from(k) + 0.503) / f64::from(PLACES);
            let at = Point::new(
                bounds.x0 + part(column) * bounds.width(),
                bounds.y0 + part(row) * bounds.height(),
            );
            if !inside(at) {
                continue;
            }
            let room = edges.iter().map(|edge| edge.distance(at)).fold(f64::INFINITY, f64::min);
            if best.is_none_or(|(_, most)| room > most) {
                best = Some((at, room));
            }
        }
    }
    best
}
