//! Splines through given points.

use super::{BadSpline, Spline};
use crate::geometry::{Point, Vec2};

/// Points nearer to each other than this, in millimetres, are one: chord lengths divide the slopes.
const SAME_POINT: f64 = 1e-9;

impl Spline {
    /// The cubic spline through the points, its parameter running with the chord lengths, as drawings mean that give
    /// fit points only. Its curvature is continuous. Closed: periodic, the first point not repeated (a repeat is
    /// dropped). Open: `tangents` are the directions of travel at the first and last point where they are known; an
    /// end without one is natural, with no curvature.
    ///
    /// # Errors
    /// [`BadSpline`] where fewer than two points differ, or a number is not finite.
    pub fn through(
        points: &[Point],
        closed: bool,
        tangents: (Option<Vec2>, Option<Vec2>),
    ) -> Result<Self, BadSpline> {
        if points.iter().any(|p| !p.is_finite()) {
            return Err(BadSpline::NotFinite);
        }
        let mut points = points.to_vec();
        points.dedup_by(|a, b| a.distance(*b) <= SAME_POINT);
        while closed && points.len() > 1 && points[0].distance(points[points.len() - 1]) <= SAME_POINT {
            points.pop();
        }
        if points.len() < 2 {
            return Err(BadSpline::Points { degree: 1, points: points.len() });
        }
        if closed && points.len() > 2 {
            let slopes = periodic_slopes(&points);
            points.push(points[0]);
            return hermite(&points, &slopes);
        }
        if closed {
            points.push(points[0]);
        }
        let slopes = open_slopes(&points, tangents);
        hermite(&points, &slopes)
    }
}

/// One row of the equations for the slopes: `below * m[i-1] + here * m[i] + above * m[i+1] = right`.
#[derive(Clone, Copy, Debug)]
struct Row {
    below: f64,
    here: f64,
    above: f64,
    right: Vec2,
}

/// The row that makes the curvature continuous at `b`.
fn inner(a: Point, b: Point, c: Point) -> Row {
    let (h, k) = (a.distance(b), b.distance(c));
    let right = ((b - a) * (k / h) + (c - b) * (h / k)) * 3.0;
    Row { below: k, here: 2.0 * (h + k), above: h, right }
}

fn open_slopes(points: &[Point], tangents: (Option<Vec2>, Option<Vec2>)) -> Vec<Vec2> {
    let n = points.len();
    let end = |tangent: Option<Vec2>, a: Point, b: Point| match tangent {
        Some(t) if t.is_finite() && t.hypot2() > 0.0 => (0.0, t / t.hypot()),
        _ => (1.0, (b - a) * (3.0 / a.distance(b))),
    };
    let row = |i: usize| {
        if i == 0 {
            let (free, right) = end(tangents.0, points[0], points[1]);
            Row { below: 0.0, here: 1.0 + free, above: free, right }
        } else if i == n - 1 {
            let (free, right) = end(tangents.1, points[n - 2], points[n - 1]);
            Row { below: free, here: 1.0 + free, above: 0.0, right }
        } else {
            inner(points[i - 1], points[i], points[i + 1])
        }
    };
    solve(&(0..n).map(row).collect::<Vec<_>>())
}

/// Slopes of the closed spline, the first repeated at the end: the ring of equations is cut open and closed again by
/// Sherman and Morrison's formula.
fn periodic_slopes(points: &[Point]) -> Vec<Vec2> {
    let n = points.len();
    let ring: Vec<Row> =
        (0..n).map(|i| inner(points[(i + n - 1) % n], points[i], points[(i + 1) % n])).collect();
    let (corner, gamma) = ((ring[0].below, ring[n - 1].above), -ring[0].here);
    let mut cut = ring.clone();
    cut[0].here -= gamma;
    cut[n - 1].here -= corner.0 * corner.1 / gamma;
    let plain = solve(&cut);
    for (i, row) in cut.iter_mut().enumerate() {
        let right = if i == 0 { gamma } else { 0.0 } + if i == n - 1 { corner.1 } else { 0.0 };
        row.right = Vec2::new(right, 0.0);
    }
    let lift: Vec<f64> = solve(&cut).iter().map(|v| v.x).collect();
    let ratio = corner.0 / gamma;
    let share = (plain[0] + plain[n - 1] * ratio) / (1.0 + lift[0] + lift[n - 1] * ratio);
    let mut slopes: Vec<Vec2> = plain.iter().zip(&lift).map(|(m, z)| *m - share * *z).collect();
    slopes.push(slopes[0]);
    slopes
}

/// Gauss's elimination down a band of three; the rows are diagonally dominant.
fn solve(rows: &[Row]) -> Vec<Vec2> {
    let mut reduced: Vec<(f64, Vec2)> = Vec::with_capacity(rows.len());
    let mut before = (0.0, Vec2::ZERO);
    for row in rows {
        let pivot = row.here - row.below * before.0;
        before = (row.above / pivot, (row.right - before.1 * row.below) / pivot);
        reduced.push(before);
    }
    let mut slopes = vec![Vec2::ZERO; rows.len()];
    let mut next = Vec2::ZERO;
    for (slope, (above, right)) in slopes.iter_mut().zip(reduced).rev() {
        next = right - next * above;
        *slope = next;
    }
    slopes
}

/// The spline with double inner knots that passes the points with these slopes.
fn hermite(points: &[Point], slopes: &[Vec2]) -> Result<Spline, BadSpline> {
    let mut controls = vec![points[0]];
    let mut knots = vec![0.0; 4];
    let mut along = 0.0;
    for (pair, slope) in points.windows(2).zip(slopes.windows(2)) {
        let third = pair[0].distance(pair[1]) / 3.0;
        controls.push(pair[0] + slope[0] * third);
        controls.push(pair[1] - slope[1] * third);
        along += 3.0 * third;
        knots.extend([along, along]);
    }
    controls.push(points[points.len() - 1]);
    knots.extend([along, along]);
    Spline::new(3, controls, Vec::new(), knots)
}
