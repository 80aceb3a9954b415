//! A curve through measured points, as a wooden batten lies between its pins: smooth, its curvature without jumps.
//!
//! [`through`] lays it through the very points. [`fair`] first moves the points, no farther than they may be wrong, to
//! where the batten lies without wobble. [`Comb`] is its curvature, to look at and to count turning points in.

mod band;
mod comb;
mod fair;

use kurbo::CubicBez;

use super::curve::{BadSpline, Curve, Spline};
use super::{Point, Vec2};

pub use comb::{Comb, Tooth};
pub use fair::fair;

/// How a batten ends.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum End {
    /// It runs on past the last pin, bent as before.
    #[default]
    Running,
    /// It ends at the pin: no curvature there, as in the natural spline.
    Free,
    /// It is held in this direction of travel.
    Held(Vec2),
}

/// The batten through the points: one cubic piece between each two. Closed: smooth all round, the first point not
/// repeated; the ends then mean nothing.
///
/// # Errors
/// [`BadSpline`] where fewer than two points differ, or a number is not finite.
pub fn through(points: &[Point], closed: bool, ends: (End, End)) -> Result<Vec<Curve>, BadSpline> {
    let back: Vec<Point> = points.iter().rev().copied().take(ENOUGH).collect();
    let held = (direction(points, ends.0), direction(&back, ends.1).map(|d| -d));
    let held = match ends {
        (_, End::Held(last)) => (held.0, Some(last)),
        _ => held,
    };
    let spline = Spline::through(points, closed, held)?;
    Ok(pieces(&spline))
}

/// So many points tell the direction at an end: more of them carry what is wrong with them farther.
const ENOUGH: usize = 4;

/// The direction of travel at the first point; none where the end is free or nothing tells it.
fn direction(points: &[Point], end: End) -> Option<Vec2> {
    match end {
        End::Free => None,
        End::Held(direction) => Some(direction),
        End::Running => running(points),
    }
}

/// The derivative at the first point of the polynomial through the first few, its parameter running with the chords
/// (Lagrange's form).
fn running(points: &[Point]) -> Option<Vec2> {
    let mut near: Vec<Point> = points.iter().copied().take(ENOUGH).collect();
    near.dedup();
    let mut along = vec![0.0];
    for pair in near.windows(2) {
        along.push(along[along.len() - 1] + pair[0].distance(pair[1]));
    }
    if near.len() < 3 {
        return None;
    }
    let weight = |i: usize| {
        let others = (1..near.len()).filter(|&j| j != i);
        others.fold(1.0 / along[i], |product, j| product * -along[j] / (along[i] - along[j]))
    };
    let slope = (1..near.len()).fold(Vec2::ZERO, |sum, i| sum + (near[i] - near[0]) * weight(i));
    (slope.is_finite() && slope.hypot2() > 0.0).then_some(slope)
}

/// The spline as cubic pieces.
fn pieces(spline: &Spline) -> Vec<Curve> {
    let breaks = spline.breaks();
    let piece = |pair: &[f64]| {
        let (from, leaving) = spline.at_with_derivative(pair[0]);
        let (to, arriving) = spline.at_with_derivative(pair[1]);
        let third = (pair[1] - pair[0]) / 3.0;
        Curve::Cubic(CubicBez::new(from, from + leaving * third, to - arriving * third, to))
    };
    breaks.windows(2).map(piece).collect()
}
