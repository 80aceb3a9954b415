//! Dimensions of a part: between two places, across a slot, over all.

use crate::geometry::ray::first_met;
use crate::geometry::{Outline, Placement, Point, Region, Segment, Vec2, Vertex, trig};
use crate::stages::job::fit::Target;

/// A point may lie so far from the edge that it means, mm: it is read off a plan.
const NEAR: f64 = 2.0;

/// A corner so near to a point, mm, is what it means, rather than an edge beside it.
const CORNER: f64 = 0.5;

/// A ray starts this far off the edge that it leaves, mm, so that it does not meet that.
const OFF: f64 = 1e-6;

/// How far it is from an edge to another place, mm; in a direction, degrees, where there is one. A slot's middle is
/// measured square to its walls where there is none. None where a point is near no edge.
pub(super) fn between(region: &Region, from: Point, to: Target, along_deg: Option<f64>) -> Option<f64> {
    let from = snapped(region, from)?;
    match (to, along_deg) {
        (Target::Edge(to), None) => Some(snapped(region, to)?.distance(from)),
        (Target::Middle(slot), None) => {
            let walls = walls(region, slot)?;
            Some((walls.middle() - from).dot(walls.across).abs())
        }
        (to, Some(along)) => Some((target(region, to, along)? - from).dot(way(along)).abs()),
    }
}

/// How far a place lies from a point in a direction, mm; from the origin where there is none.
pub(super) fn place(region: &Region, from: Option<Point>, (to, along_deg): (Target, f64)) -> Option<f64> {
    let from = from.map_or(Some(Point::ZERO), |from| snapped(region, from))?;
    Some((target(region, to, along_deg)? - from).dot(way(along_deg)))
}

/// How long a part is in a direction, mm.
pub(super) fn overall(region: &Region, way_deg: f64) -> f64 {
    let turned = Placement { turn_deg: -way_deg, ..Placement::HERE };
    region.placed(&turned).bounds().width()
}

/// The corners or edges nearest to two points; none where one is near no edge.
pub(super) fn ends(region: &Region, from: Point, to: Point) -> Option<(Point, Point)> {
    Some((snapped(region, from)?, snapped(region, to)?))
}

/// A direction of length 1.
fn way(degrees: f64) -> Vec2 {
    let (sin, cos) = trig::sin_cos_deg(degrees);
    Vec2::new(cos, sin)
}

fn target(region: &Region, to: Target, along_deg: f64) -> Option<Point> {
    match to {
        Target::Edge(at) => snapped(region, at),
        Target::Middle(at) => walls_along(region, at, way(along_deg)).map(|walls| walls.middle()),
    }
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

fn segments(region: &Region) -> impl Iterator<Item = Segment> + '_ {
    region.outlines().flat_map(Outline::segments)
}

fn nearest(region: &Region, at: Point) -> Option<(Segment, f64, f64)> {
    let measured = segments(region).map(|s| {
        let (t, away) = s.nearest(at);
        (s, t, away)
    });
    measured.min_by(|a, b| a.2.total_cmp(&b.2))
}

/// The two walls of a slot; lengths in mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Walls {
    pub(super) near: Segment,
    pub(super) opposite: Segment,
    /// From the near wall to the other, a unit vector.
    pub(super) across: Vec2,
    pub(super) width: f64,
    /// Where the line across meets the near wall.
    foot: Point,
}

impl Walls {
    fn middle(&self) -> Point {
        self.foot + self.across * (self.width / 2.0)
    }
}

/// The walls of the slot, notch or hole at a point outside the material: square to the edge nearest to it, from that edge
/// to the one opposite. None where the point lies in the wood, or nothing lies opposite.
pub(super) fn walls(region: &Region, at: Point) -> Option<Walls> {
    if region.contains(at) {
        return None;
    }
    let (near, t, away) = nearest(region, at)?;
    let foot = near.at(t);
    let along = near.tangent(t);
    let square = Vec2::new(-along.y, along.x);
    let across = if (at - foot).dot(square) >= 0.0 { square } else { -square };
    let start = foot + across * away.max(OFF);
    let (reach, opposite) = first_met(segments(region), start, across)?;
    Some(Walls { near, opposite, across, width: reach + start.distance(foot), foot })
}

/// The walls of the slot at a point outside the material, in a direction.
fn walls_along(region: &Region, at: Point, across: Vec2) -> Option<Walls> {
    if region.contains(at) {
        return None;
    }
    let (behind, near) = first_met(segments(region), at, -across)?;
    let (ahead, opposite) = first_met(segments(region), at, across)?;
    Some(Walls { near, opposite, across, width: behind + ahead, foot: at - across * behind })
}

/// A slot that is open at one end; lengths in mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Recess {
    pub(super) width: f64,
    /// From its mouth to its floor, in the middle.
    pub(super) depth: f64,
    /// Wood behind its floor, in the middle.
    pub(super) behind: f64,
}

/// The slot at a point: from wall to wall, from mouth to floor. None where there is none that ends in the wood.
pub(super) fn recess(region: &Region, at: Point) -> Option<Recess> {
    let (near, t, _) = nearest(region, at)?;
    let along = near.tangent(t);
    // The edge nearest to the point is a wall, or the floor.
    let mut ways = [Vec2::new(-along.y, along.x), along].into_iter();
    ways.find_map(|across| open_at_one_end(region, &walls_along(region, at, across)?))
}

fn open_at_one_end(region: &Region, walls: &Walls) -> Option<Recess> {
    let along = Vec2::new(-walls.across.y, walls.across.x);
    let middle = walls.middle();
    let span = |way: Vec2| {
        // How far the walls reach this way, on the mean; a floor is met no farther than that.
        let reach = |wall: &Segment| [wall.from, wall.to].map(|end| (end - middle).dot(way));
        let [near, far] = [reach(&walls.near), reach(&walls.opposite)].map(|r| r[0].max(r[1]));
        let met = first_met(segments(region), middle, way).map(|(met, _)| met);
        (f64::midpoint(near, far), met.filter(|met| *met <= near.max(far) + NEAR))
    };
    let (floor, mouth, inwards) = match (span(along), span(-along)) {
        ((_, Some(floor)), (mouth, None)) => (floor, mouth, along),
        ((mouth, None), (_, Some(floor))) => (floor, mouth, -along),
        _ => return None,
    };
    let (behind, _) = first_met(segments(region), middle + inwards * (floor + OFF), inwards)?;
    Some(Recess { width: walls.width, depth: floor + mouth, behind: behind + OFF })
}
