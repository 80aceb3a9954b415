//! Takes the wobble out of points that were read with an error.
//!
//! The points are moved to where the sum of the squares of the distances moved, and of the fourth differences of the
//! curve times a stiffness, is least (Whittaker's graduation, On a New Method of Graduation, 1923, with divided
//! differences as the points are not evenly spaced). Of the stiffnesses at which no point moves across the curve by more
//! than the reading error, nor all of them by more than errors of that size would on the mean, the softest is taken of
//! those with the fewest turning points: softer follows the errors, stiffer flattens the curve itself.

use super::band::{Band, REACH};
use super::{Comb, End, through};
use crate::geometry::{Point, Vec2};

/// Stiffnesses that are tried, as powers of ten, from one that moves nothing to one that leaves a cubic.
const STIFFNESSES: (i32, i32) = (-8, 56);

/// So many of them to a power of ten.
const TO_A_POWER: f64 = 4.0;

/// The root of the mean square of how far points lie off across the curve, as a fraction of the reading error: that of
/// readings anywhere within a disc is a half, and a little more where some are worse.
const MEAN_OFF: f64 = 0.55;

/// A point that would move too far is held firmer, and firmer again, so many times.
const FIRMER: usize = 40;

/// How much firmer than the others a point is held that must stay.
const FIRM: f64 = 1e7;

/// Across the curve a point may exceed the error by this fraction of it: less than anybody reads.
const OVER: f64 = 0.01;

/// The points, moved by no more than `error_mm` across the curve to where a batten lies fair. `held` says of the first
/// and the last point of an open curve whether they stay where they are.
pub fn fair(points: &[Point], closed: bool, error_mm: f64, held: (bool, bool)) -> Vec<Point> {
    let n = points.len();
    if error_mm <= 0.0 || n <= REACH + 1 {
        return points.to_vec();
    }
    if closed {
        let wrap = n.min(4 * REACH);
        let ring: Vec<Point> = (0..n + 2 * wrap).map(|i| points[(i + n - wrap) % n]).collect();
        return eased(&ring, error_mm, (false, false))[wrap..wrap + n].to_vec();
    }
    eased(points, error_mm, held)
}

fn eased(points: &[Point], error_mm: f64, held: (bool, bool)) -> Vec<Point> {
    let band = differences(points);
    let mut best: Option<(usize, Vec<Point>)> = None;
    for power in STIFFNESSES.0..=STIFFNESSES.1 {
        let stiffness = libm::pow(10.0, f64::from(power) / TO_A_POWER);
        let Some(moved) = moved(points, &band, stiffness, error_mm, held) else { break };
        let Ok(curves) = through(&moved, false, (End::Running, End::Running)) else { break };
        let comb = Comb::of(&curves);
        let turns = comb.turning_points() + comb.inflections();
        if best.as_ref().is_none_or(|(fewest, _)| turns < *fewest) {
            best = Some((turns, moved));
        }
    }
    best.map_or_else(|| points.to_vec(), |(_, moved)| moved)
}

/// The points at one stiffness; none where they would move too far.
fn moved(
    points: &[Point],
    band: &Band,
    stiffness: f64,
    error_mm: f64,
    held: (bool, bool),
) -> Option<Vec<Point>> {
    let (n, near) = (points.len(), points[0]);
    let right: Vec<Vec2> = points.iter().map(|p| *p - near).collect();
    let mut weights = vec![1.0; n];
    if held.0 {
        weights[0] = FIRM;
    }
    if held.1 {
        weights[n - 1] = FIRM;
    }
    for _ in 0..FIRMER {
        let mut moved: Vec<Point> =
            band.solve(stiffness, &weights, &right).into_iter().map(|v| near + v).collect();
        let off = across(points, &moved);
        if off.iter().all(|off| *off <= error_mm * (1.0 + OVER)) {
            let mean = off.iter().map(|off| off * off).sum::<f64>() / n as f64;
            let (first, last) = (points[0], points[n - 1]);
            moved[0] = if held.0 { first } else { moved[0] };
            moved[n - 1] = if held.1 { last } else { moved[n - 1] };
            return (mean.sqrt() <= MEAN_OFF * error_mm).then_some(moved);
        }
        for (weight, off) in weights.iter_mut().zip(off) {
            let over = off / error_mm;
            *weight *= if over > 1.0 { over * over.sqrt() } else { 1.0 };
        }
    }
    None
}

/// How far each point was moved across the curve that the moved ones make.
fn across(points: &[Point], moved: &[Point]) -> Vec<f64> {
    let n = moved.len();
    let off = |i: usize| {
        let along = moved[(i + 1).min(n - 1)] - moved[i.saturating_sub(1)];
        ((points[i] - moved[i]).cross(along) / along.hypot().max(f64::MIN_POSITIVE)).abs()
    };
    (0..n).map(off).collect()
}

/// The sum of the squares of the fourth divided differences, each times the length that it stands for.
fn differences(points: &[Point]) -> Band {
    let n = points.len();
    let mut along = vec![0.0];
    for pair in points.windows(2) {
        along.push(along[along.len() - 1] + pair[0].distance(pair[1]).max(SHORTEST));
    }
    let mut rows: Vec<Vec<f64>> = (0..n).map(|_| vec![1.0]).collect();
    for order in 1..=REACH {
        let row = |i: usize| {
            let scale = order as f64 / (along[i + order] - along[i]);
            let mut next = vec![0.0; order + 1];
            for k in 0..order {
                next[k + 1] += rows[i + 1][k] * scale;
                next[k] -= rows[i][k] * scale;
            }
            next
        };
        rows = (0..n - order).map(row).collect();
    }
    let mut band = Band::new(n);
    for (i, row) in rows.iter().enumerate() {
        let length = (along[i + REACH] - along[i]) / REACH as f64;
        let factors: Vec<f64> = row.iter().map(|v| v * length.sqrt()).collect();
        band.add_square(i, &factors);
    }
    band
}

/// Points nearer to each other than this, in millimetres, count as so far apart: nobody pricks twice in one place.
const SHORTEST: f64 = 1e-3;
