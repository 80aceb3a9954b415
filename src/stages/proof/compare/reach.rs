//! Where a disc of a radius can lie beside a part: what beam or cutter could remove at the best, found from the part alone.

use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Point, Vec2};

/// Steps towards the nearest place at the most: in a corner of 20 degrees each step leaves a thirtieth less.
const STEPS: usize = 80;

/// A place that clears the part by its radius less this is clear, mm.
const CLEAR_MM: f64 = 1e-6;

/// The place nearest to `start` (about) where a disc of this radius clears the part; none where it was not found: it is
/// too narrow there. `start` lies outside the part's material, or on its edge with `out` pointing away from it.
pub(super) fn clear_place(part: &SegmentIndex, start: Point, out: Vec2, radius: f64) -> Option<Point> {
    let mut place = start;
    for _ in 0..STEPS {
        let near = part.nearest(place)?;
        let away = place - near.at;
        let inside = near.distance > CLEAR_MM && part.winding(place) != 0;
        if near.distance >= radius - CLEAR_MM && !inside {
            return Some(place);
        }
        let way = match (near.distance <= CLEAR_MM, inside) {
            (true, _) => out,
            (false, true) => -away / near.distance,
            (false, false) => away / near.distance,
        };
        place = near.at + way * radius;
    }
    None
}
