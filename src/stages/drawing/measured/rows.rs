//! Knots to curves: straights, arcs, and battens along the rows of knots between them.

use super::knots::{Knot, On, drawn};
use super::{Bench, Fair, Loop};
use crate::geometry::batten::{self, Comb, End};
use crate::geometry::curve::Curve;
use crate::geometry::{Point, Vec2, trig};
use crate::stages::job::measured::{Corner, Lead};

/// Knots in order; of closed ones the last runs on to the first.
#[derive(Debug)]
pub(super) struct Rows {
    pub(super) knots: Vec<Knot>,
    pub(super) closed: bool,
}

impl Rows {
    /// The curves along the knots. None where a batten cannot be laid; it is told.
    pub(super) fn curves(mut self, bench: &mut Bench<'_>) -> Option<Loop> {
        let Some(first) = (0..self.knots.len()).find(|&i| self.breaks(i)) else {
            let points: Vec<Point> = self.knots.iter().map(|k| k.at).collect();
            return laid(bench, &points, true, (false, false), (End::Running, End::Running));
        };
        self.knots.rotate_left(if self.closed { first } else { 0 });
        self.settle_corners(bench.piece.reading_error_mm);
        let mut curves: Loop = Vec::new();
        let mut from = 0;
        while from < self.ends() {
            let to = self.row_end(from);
            match self.knots[from].on {
                On::Straight(rise) => {
                    curves.push((drawn(self.knot(from).at, self.knot(to).at, rise), self.knot(to).treated));
                }
                On::Fair => {
                    let points = self.points(from, to);
                    let ends = (self.end(from, true), self.end(to, false));
                    curves.extend(laid(bench, &points, false, (true, true), ends)?);
                }
            }
            from = to;
        }
        Some(curves)
    }

    /// How many knots have something running on from them.
    fn ends(&self) -> usize {
        if self.closed { self.knots.len() } else { self.knots.len() - 1 }
    }

    fn knot(&self, i: usize) -> Knot {
        self.knots[i % self.knots.len()]
    }

    /// What runs up to a knot; none at the beginning of an open row.
    fn before(&self, i: usize) -> Option<On> {
        let n = self.knots.len();
        if i.is_multiple_of(n) && !self.closed { None } else { Some(self.knots[(i + n - 1) % n].on) }
    }

    /// Whether a batten cannot run on over this knot.
    fn breaks(&self, i: usize) -> bool {
        let n = self.knots.len();
        let knot = self.knots[i % n];
        knot.corner
            || knot.on != On::Fair
            || self.before(i) != Some(On::Fair)
            || (!self.closed && i % n == n - 1)
    }

    /// Where the row from this knot ends.
    fn row_end(&self, from: usize) -> usize {
        if self.knots[from].on != On::Fair {
            return from + 1;
        }
        (from + 1..self.ends()).find(|&i| self.breaks(i)).unwrap_or(self.ends())
    }

    fn points(&self, from: usize, to: usize) -> Vec<Point> {
        (from..=to).map(|i| self.knot(i).at).collect()
    }

    /// How the batten ends at a knot.
    fn end(&self, i: usize, begins: bool) -> End {
        let knot = self.knot(i);
        match if begins { knot.out } else { knot.into } {
            Lead::Running => End::Running,
            Lead::Free => End::Free,
            Lead::Degrees(degrees) => {
                let (sin, cos) = trig::sin_cos_deg(degrees);
                End::Held(Vec2::new(cos, sin))
            }
            Lead::Tangent => self.tangent(i, begins).map_or(End::Running, End::Held),
        }
    }

    /// The direction of the straight or arc that a batten joins at a knot.
    fn tangent(&self, i: usize, begins: bool) -> Option<Vec2> {
        let n = self.knots.len();
        let (from, to) = if begins { (i + n - 1, i) } else { (i, i + 1) };
        if !self.closed && (to.is_multiple_of(n) || from >= 2 * n - 1) {
            return None;
        }
        let On::Straight(rise) = self.knot(from).on else { return None };
        let curve = drawn(self.knot(from).at, self.knot(to).at, rise);
        Some(curve.derivative(if begins { 1.0 } else { 0.0 }))
    }

    /// A corner between two battens was read with an error too: it moves to the middle of where they would end.
    fn settle_corners(&mut self, error_mm: f64) {
        if error_mm <= 0.0 {
            return;
        }
        let n = self.knots.len();
        let mut ends: Vec<Vec<Point>> = vec![Vec::new(); n];
        let mut from = 0;
        while from < self.ends() {
            let to = self.row_end(from);
            if self.knots[from].on == On::Fair {
                let held = (self.before(from) != Some(On::Fair), self.knot(to).on != On::Fair);
                let moved = batten::fair(&self.points(from, to), false, error_mm, held);
                ends[from % n].extend(moved.first());
                ends[to % n].extend(moved.last());
            }
            from = to;
        }
        for (knot, ends) in self.knots.iter_mut().zip(ends) {
            if let [a, b] = ends[..] {
                knot.at = a.midpoint(b);
            }
        }
    }
}

fn laid(
    bench: &mut Bench<'_>,
    points: &[Point],
    closed: bool,
    held: (bool, bool),
    ends: (End, End),
) -> Option<Loop> {
    let moved = batten::fair(points, closed, bench.piece.reading_error_mm, held);
    match batten::through(&moved, closed, ends) {
        Ok(curves) => {
            let moved_mm = points.iter().zip(&moved).map(|(a, b)| a.distance(*b)).fold(0.0, f64::max);
            let (piece, comb) = (bench.piece.name.clone(), Comb::of(&curves));
            bench.fair.push(Fair { piece, pricked: points.to_vec(), moved_mm, comb });
            Some(curves.into_iter().map(|curve: Curve| (curve, Corner::Sharp)).collect())
        }
        Err(error) => {
            let hint = "check that the points differ";
            bench.wrong(bench.piece.line, "measured-point", &format!("no curve: {error}"), hint);
            None
        }
    }
}
