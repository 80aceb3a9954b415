//! Circles that fill a polygon, largest first: how deep two shapes overlap is told quickly by their circles.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::convex;
use crate::geometry::{Point, Vec2};

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
    /// Of a circle about its centre that lies in the polygon and in none of the first poles; negative outside.
    radius: f64,
    /// How many poles that were.
    poles: usize,
}

impl Cell {
    fn new(centre: Point, half: f64, points: &[Point], poles: &[Pole]) -> Self {
        let mut cell = Self { centre, half, radius: to_sides(centre, points), poles: 0 };
        cell.look(poles);
        cell
    }

    /// Looks at the poles that have come since.
    fn look(&mut self, poles: &[Pole]) {
        let to = |pole: &Pole| (self.centre - pole.centre).hypot() - pole.radius;
        self.radius = poles[self.poles..].iter().map(to).fold(self.radius, f64::min);
        self.poles = poles.len();
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
    let mut cells = Cells::new(points);
    while let Some(pole) = cells.next(points, &poles) {
        covered += std::f64::consts::PI * pole.radius * pole.radius;
        poles.push(pole);
        if ENOUGH.iter().any(|&(share, count)| covered >= share * area && poles.len() >= count) {
            break;
        }
    }
    poles
}

/// All cells in which there may be room, those for the largest circles first.
struct Cells {
    heap: BinaryHeap<Cell>,
    fine: f64,
}

impl Cells {
    fn new(points: &[Point]) -> Self {
        let [x0, y0, x1, y1] = convex::bounds(points);
        let fine = (x1 - x0).max(y1 - y0) * FINE_SHARE;
        let half = (x1 - x0).min(y1 - y0).max(fine) / 2.0;
        let count = |length: f64| (length / (2.0 * half)).ceil().max(1.0) as usize;
        let middle = |from: f64, i: usize| from + half * (2 * i + 1) as f64;
        let mut cells = Self { heap: BinaryHeap::new(), fine };
        for i in 0..count(x1 - x0) {
            for j in 0..count(y1 - y0) {
                cells.add(Cell::new(Point::new(middle(x0, i), middle(y0, j)), half, points, &[]));
            }
        }
        cells
    }

    /// Cells without room are forgotten: they never get any.
    fn add(&mut self, cell: Cell) {
        if cell.most() > self.fine {
            self.heap.push(cell);
        }
    }

    /// The largest circle that lies in the polygon and in none of the poles.
    fn next(&mut self, points: &[Point], poles: &[Pole]) -> Option<Pole> {
        let mut best = Pole { centre: Point::ORIGIN, radius: 0.0 };
        while let Some(mut cell) = self.heap.pop() {
            if cell.most() <= best.radius + self.fine {
                self.heap.push(cell);
                break;
            }
            if cell.poles < poles.len() {
                cell.look(poles);
                self.add(cell);
                continue;
            }
            if cell.radius > best.radius {
                best = Pole { centre: cell.centre, radius: cell.radius };
            }
            let half = cell.half / 2.0;
            for (dx, dy) in [(-half, -half), (half, -half), (-half, half), (half, half)] {
                self.add(Cell::new(cell.centre + Vec2::new(dx, dy), half, points, poles));
            }
        }
        (best.radius > 0.0).then_some(best)
    }
}

/// How far a point within the polygon lies from its sides; negative outside.
fn to_sides(point: Point, points: &[Point]) -> f64 {
    let (mut inside, mut nearest) = (false, f64::INFINITY);
    let mut a = points[points.len() - 1];
    for &b in points {
        if (a.y > point.y) != (b.y > point.y) && point.x < a.x + (b.x - a.x) * (point.y - a.y) / (b.y - a.y) {
            inside = !inside;
        }
        let along = b - a;
        let length2 = along.hypot2();
        let t = if length2 > 0.0 { ((point - a).dot(along) / length2).clamp(0.0, 1.0) } else { 0.0 };
        nearest = nearest.min((point - (a + along * t)).hypot2());
        a = b;
    }
    if inside { nearest.sqrt() } else { -nearest.sqrt() }
}
