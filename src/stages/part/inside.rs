//! A point well inside a piece of material.

use crate::geometry::distance::{SegmentIndex, Visit};
use crate::geometry::{Outline, Point, Rect, Segment, Vec2};

/// Where the cuts through the material are made, as fractions of its bounds. Not the usual ones: drawings have lines and
/// corners at halves and quarters.
const CUTS: [f64; 5] = [0.503, 0.307, 0.711, 0.127, 0.887];

/// Further cuts, for material that the first ones miss: a thin crescent, a comb.
const FURTHER: u32 = 200;

/// How often the point is moved to where there is more room.
const MOVES: usize = 24;

/// A point in the material between the outlines of the index, far from all of them as far as a quick look tells. None
/// where there is no material.
pub(super) fn point_inside(index: &SegmentIndex) -> Option<Point> {
    let cuts = CUTS.into_iter().flat_map(|part| middles(index, part));
    let best = roomiest(index, cuts).or_else(|| {
        let further = (0..FURTHER).flat_map(|i| middles(index, (f64::from(i) + 0.5) / f64::from(FURTHER)));
        roomiest(index, further)
    })?;
    Some(moved_inwards(index, best))
}

/// As [`point_inside`], of one outline alone; its first vertex where it has no inside.
pub(super) fn point_inside_outline(outline: &Outline, index: &SegmentIndex) -> Point {
    let quick = CUTS.into_iter().flat_map(|part| middles(index, part)).find(|at| index.distance(*at) > 0.0);
    quick.or_else(|| point_inside(index)).unwrap_or_else(|| outline.vertices()[0].at)
}

fn roomiest(index: &SegmentIndex, points: impl Iterator<Item = Point>) -> Option<Point> {
    let measured = points.map(|at| (index.distance(at), at)).filter(|found| found.0 > 0.0);
    measured.reduce(|best, other| if other.0 > best.0 { other } else { best }).map(|best| best.1)
}

/// The middles of the widest stretches of material on a level and on an upright cut through the bounds.
fn middles(index: &SegmentIndex, part: f64) -> impl Iterator<Item = Point> {
    let b = index.bounds();
    let (x, y) = (b.x0 + part * b.width(), b.y0 + part * b.height());
    let level = widest(index, Rect::new(b.x0, y, b.x1, y), |s| xs_at(&s, y), |x| Point::new(x, y));
    let upright = widest(index, Rect::new(x, b.y0, x, b.y1), |s| xs_at(&swapped(s), x), |y| Point::new(x, y));
    level.into_iter().chain(upright)
}

fn widest(
    index: &SegmentIndex,
    cut: Rect,
    places: impl Fn(Segment) -> [Option<f64>; 2],
    at: impl Fn(f64) -> Point,
) -> Option<Point> {
    let mut stops = Vec::new();
    index.visit(cut, |which| {
        stops.extend(places(index.segment(which)).into_iter().flatten());
        Visit::Go
    });
    stops.sort_by(f64::total_cmp);
    let mut gaps: Vec<(f64, f64)> =
        stops.windows(2).map(|pair| (pair[1] - pair[0], f64::midpoint(pair[0], pair[1]))).collect();
    gaps.sort_by(|a, b| b.0.total_cmp(&a.0));
    gaps.into_iter().map(|(_, middle)| at(middle)).find(|&point| index.winding(point) != 0)
}

/// The segment mirrored about the diagonal: x and y change places.
fn swapped(s: Segment) -> Segment {
    Segment { from: Point::new(s.from.y, s.from.x), to: Point::new(s.to.y, s.to.x), bulge: -s.bulge }
}

/// Where the segment, or the circle that it is part of, crosses the height `y`.
fn xs_at(s: &Segment, y: f64) -> [Option<f64>; 2] {
    if let Some(centre) = s.centre() {
        let (up, radius) = (y - centre.y, s.radius());
        let half = (radius * radius - up * up).sqrt();
        let near = |x: f64| (s.nearest(Point::new(x, y)).1 <= 1e-6 * radius.max(1.0)).then_some(x);
        return if half.is_nan() { [None, None] } else { [near(centre.x - half), near(centre.x + half)] };
    }
    let t = (y - s.from.y) / (s.to.y - s.from.y);
    [(0.0..=1.0).contains(&t).then_some(s.from.x + t * (s.to.x - s.from.x)), None]
}

/// Moves a point to where the nearest outline is farther away, step by smaller step.
fn moved_inwards(index: &SegmentIndex, start: Point) -> Point {
    let (mut at, mut room) = (start, index.distance(start));
    let mut step = room / 2.0;
    for _ in 0..MOVES {
        let Some(nearest) = index.nearest(at) else { return at };
        let away = at - nearest.at;
        let side = Vec2::new(-away.y, away.x);
        let length = away.hypot();
        if length <= 0.0 || step < room / 100.0 {
            return at;
        }
        let tries = [away, away + side, away - side, side, -side];
        let better = tries
            .into_iter()
            .map(|way| at + way * (step / way.hypot()))
            .map(|point| (index.distance(point), point))
            .find(|&(distance, point)| distance > room * 1.01 && index.winding(point) != 0);
        match better {
            Some((distance, point)) => (at, room) = (point, distance),
            None => step /= 2.0,
        }
    }
    at
}
