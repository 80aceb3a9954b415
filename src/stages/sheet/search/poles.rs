//! Circles that fill a polygon, largest first: how deep two shapes overlap is told quickly by their circles.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::convex;
use crate::geometry::Point;

/// A circle within a shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pole {
    pub(super) centre: Point,
    pub(super) radius: f64,
}

/// Enough circles at each share of the area that they cover: a few for what a few fill, more for what is thin or bent.
const ENOUGH: [(f64, usize); 3] = [(0.9, 8), (0.8, 14), (0.0, 24)];

/// How much larger a circle would have to be to be worth looking for, as a share of the shape's longer side.
const FINE_SHARE: f64 = 0.005;

/// A square cell in which the centre of the next circle may lie.
#[derive(Debug)]
struct Cell {
    centre: Point,
    half: f64,
    radius: f64,
}

impl Cell {
    fn new(centre: Point, half: f64, points: &[Point], poles: &[Pole]) -> Self {
        Self { centre, half, radius: room(centre, points, poles) }
    }

    /// No circle with its centre in the cell is larger.
    fn most(&self) -> f64 {
        self.radius + self.half * std::f64::consts::SQRT_2
    }
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Cell {}
impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Cell {
    fn cmp(&self, other: &Self) -> Ordering {
        self.most().total_cmp(&other.most())
    }
}

/// The poles of a simple polygon.
pub(super) fn poles(points: &[Point]) -> Vec<Pole> {
    let area = convex::area(points);
    let (mut poles, mut covered) = (Vec::new(), 0.0);
    while let Some(pole) = next(points, &poles) {
        covered += std::f64::consts::PI * pole.radius * pole.radius;
        poles.push(pole);
        if ENOUGH.iter().any(|&(share, count)| covered >= share * area && poles.len() >= count) {
            break;
        }
    }
    poles
}

/// The largest circle that lies in the polygon and in none of the poles.
fn next(points: &[Point], poles: &[Pole]) -> Option<Pole> {
    let [x0, y0, x1, y1] = convex::bounds(points);
    let fine = (x1 - x0).max(y1 - y0) * FINE_SHARE;
    let half = (x1 - x0).min(y1 - y0).max(fine) / 2.0;
    let count = |length: f64| (length / (2.0 * half)).ceil().max(1.0) as usize;
    let mut heap = BinaryHeap::new();
    for i in 0..count(x1 - x0) {
        for j in 0..count(y1 - y0) {
            let centre = Point::new(x0 + half * (2 * i + 1) as f64, y0 + half * (2 * j + 1) as f64);
            heap.push(Cell::new(centre, half, points, poles));
        }
    }
    let mut best: Option<Pole> = None;
    let radius = |best: &Option<Pole>| best.map_or(0.0, |pole| pole.radius);
    while let Some(cell) = heap.pop() {
        if cell.most() <= radius(&best) + fine {
            break;
        }
        if cell.radius > radius(&best) {
            best = Some(Pole { centre: cell.centre, radius: cell.radius });
        }
        let half = cell.half / 2.0;
        for (dx, dy) in [(-half, -half), (half, -half), (-half, half), (half, half)] {
            heap.push(Cell::new(cell.centre + crate::geometry::Vec2::new(dx, dy), half, points, poles));
        }
    }
    best
}

/// How far a point within the polygon lies from its sides and from the poles; negative outside.
fn room(point: Point, points: &[Point], poles: &[Pole]) -> f64 {
    let (mut inside, mut nearest) = (false, f64::INFINITY);
    for (i, &a) in points.iter().enumerate() {
        let b = points[(i + 1) % points.len()];
        if (a.y > point.y) != (b.y > point.y) && point.x < a.x + (b.x - a.x) * (point.y - a.y) / (b.y - a.y) {
            inside = !inside;
        }
        let along = b - a;
        let length2 = along.hypot2();
        let t = if length2 > 0.0 { ((point - a).dot(along) / length2).clamp(0.0, 1.0) } else { 0.0 };
        nearest = nearest.min((point - (a + along * t)).hypot2());
    }
    let to_sides = if inside { nearest.sqrt() } else { -nearest.sqrt() };
    poles.iter().fold(to_sides, |least, pole| least.min((point - pole.centre).hypot() - pole.radius))
}
