//! Dimensions of a part: between two edges, and across a slot.

use crate::geometry::{Outline, Point, Region, Segment, Vec2, Vertex};

/// A point may lie so far from the edge that it means, mm: it is read off a plan.
const NEAR: f64 = 2.0;

/// A corner so near to a point, mm, is what it means, rather than an edge beside it.
const CORNER: f64 = 0.5;

/// The corners or edges nearest to two points; none where one is near no edge.
pub(super) fn between(region: &Region, from: Point, to: Point) -> Option<(Point, Point)> {
    Some((snapped(region, from)?, snapped(region, to)?))
}

fn snapped(region: &Region, at: Point) -> Option<Point> {
    let vertices = region.outlines().flat_map(|outline| outline.vertices().iter().map(|v: &Vertex| v.at));
    let corner = vertices.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))?;
    if corner.distance(at) <= CORNER {
        return Some(corner);
    }
    let (segment, t, away) = nearest(region, at)?;
    (away <= NEAR).then(|| segment.at(t))
}

fn nearest(region: &Region, at: Point) -> Option<(Segment, f64, f64)> {
    let segments = region.outlines().flat_map(Outline::segments);
    let measured = segments.map(|s| {
        let (t, away) = s.nearest(at);
        (s, t, away)
    });
    measured.min_by(|a, b| a.2.total_cmp(&b.2))
}

/// The width of the slot, notch or hole at a point outside the material: square to the edge nearest to it, from that edge
/// to the one opposite. None where the point lies in the wood, or nothing lies opposite.
pub(super) fn slot(region: &Region, at: Point) -> Option<f64> {
    walls(region, at).map(|walls| walls.width_mm)
}

/// The two walls of a slot.
#[derive(Clone, Copy, Debug)]
pub(super) struct Walls {
    pub(super) near: Segment,
    pub(super) opposite: Segment,
    /// From the near wall to the other, a unit vector.
    pub(super) across: Vec2,
    pub(super) width_mm: f64,
}

/// The walls of the slot at a point.
pub(super) fn walls(region: &Region, at: Point) -> Option<Walls> {
    if region.contains(at) {
        return None;
    }
    let (near, t, away) = nearest(region, at)?;
    let edge = near.at(t);
    let along = near.tangent(t);
    let square = Vec2::new(-along.y, along.x);
    let across = if (at - edge).dot(square) >= 0.0 { square } else { -square };
    // From a little off the edge, so that it does not meet itself.
    let start = edge + across * away.max(1e-6);
    let met =
        region.outlines().flat_map(Outline::segments).filter_map(|s| Some((meets(s, start, across)?, s)));
    let (reach, opposite) = met.reduce(|a, b| if b.0 < a.0 { b } else { a })?;
    Some(Walls { near, opposite, across, width_mm: reach + start.distance(edge) })
}

/// How far along a ray a segment lies; an arc by the chords of its sixty-fourths.
fn meets(segment: Segment, from: Point, towards: Vec2) -> Option<f64> {
    const STEPS: u32 = 64;
    let steps = if segment.is_line() { 1 } else { STEPS };
    let points: Vec<Point> = (0..=steps).map(|k| segment.at(f64::from(k) / f64::from(steps))).collect();
    let one = |pair: &[Point]| {
        let chord = pair[1] - pair[0];
        let det = towards.cross(chord);
        let w = pair[0] - from;
        let (s, t) = (w.cross(chord) / det, w.cross(towards) / det);
        (s > 0.0 && (-1e-9..=1.0 + 1e-9).contains(&t)).then_some(s)
    };
    points.windows(2).filter_map(one).reduce(f64::min)
}
