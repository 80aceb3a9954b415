//! The first witness: the offset of the same outlines by a kernel of arcs and lines that works in another way.

use std::panic::{AssertUnwindSafe, catch_unwind};

use cavalier_contours::polyline::{PlineSource, PlineSourceMut, Polyline};
use cavalier_contours::shape_algorithms::{Shape, ShapeOffsetOptions};

use super::assemble::Outlines;
use crate::geometry::{Point, Segment};

/// The offset of loops that have the material on their left; none where the kernel gave up.
pub(super) fn offset(loops: &[Vec<Segment>], distance: f64) -> Option<Outlines> {
    // The kernel's own invariants may fail on nasty outlines; then it is no witness, and another one is asked.
    catch_unwind(AssertUnwindSafe(|| {
        let shape = Shape::from_plines(loops.iter().map(|one| polyline(one)));
        let result = shape.parallel_offset(-distance, &ShapeOffsetOptions::new());
        let found = result.ccw_plines.iter().chain(&result.cw_plines);
        Outlines::of(found.map(|indexed| segments(&indexed.polyline)))
    }))
    .ok()
}

fn polyline(one: &[Segment]) -> Polyline<f64> {
    let mut line = Polyline::new_closed();
    for segment in one {
        line.add(segment.from.x, segment.from.y, segment.bulge);
    }
    line
}

fn segments(line: &Polyline<f64>) -> Vec<Segment> {
    let at = |k: usize| {
        let vertex = line.at(k % line.vertex_count());
        (Point::new(vertex.x, vertex.y), vertex.bulge)
    };
    (0..line.vertex_count()).map(|k| Segment::arc(at(k).0, at(k + 1).0, at(k).1)).collect()
}
