//! Notches: rectangles taken out of an edge, be it straight or curved.

use super::Bench;
use crate::geometry::curve::Curve;
use crate::geometry::{Point, Segment, Vec2, trig};
use crate::stages::job::measured::Notch;
use kurbo::ParamCurve;

/// So many places along a curve are looked at before the nearest is refined.
const LOOKS: u32 = 32;

/// How often an interval is halved: down to the last bits.
const HALVINGS: u32 = 50;

/// The mouth may lie so far from the edge, mm: farther, and another edge was meant.
const FARTHEST_MOUTH: f64 = 2.0;

/// The outline with a notch taken out of it. None where that cannot be; it is told.
pub(super) fn taken(bench: &mut Bench<'_>, curves: &[Curve], notch: &Notch) -> Option<Vec<Curve>> {
    let ccw = signed_area(curves) > 0.0;
    let (edge, t) = nearest(curves, notch.at);
    let (mouth, along) = curves[edge].at_with_derivative(t);
    if mouth.distance(notch.at) > FARTHEST_MOUTH {
        let message = format!("the notch lies {:.2} mm off the edge", mouth.distance(notch.at));
        bench.wrong(notch.line, "measured-notch", &message, "give the middle of its mouth, on the edge");
        return None;
    }
    let forward = along / along.hypot().max(f64::MIN_POSITIVE);
    let square = if ccw { Vec2::new(-forward.y, forward.x) } else { Vec2::new(forward.y, -forward.x) };
    let inwards = notch.angle_deg.map_or(square, |degrees| {
        let (sin, cos) = trig::sin_cos_deg(degrees);
        Vec2::new(cos, sin)
    });
    let across = if ccw { Vec2::new(inwards.y, -inwards.x) } else { Vec2::new(-inwards.y, inwards.x) };
    let half = notch.width_mm / 2.0;
    let ahead = walk(curves, (edge, t), |p| (p - mouth).dot(across) - half, true);
    let behind = walk(curves, (edge, t), |p| (mouth - p).dot(across) - half, false);
    let ((Some(ahead), Some(behind)), true) = ((ahead, behind), inwards.dot(square) > 0.0) else {
        let message = format!("the edge has no room for a notch {:.2} mm wide", notch.width_mm);
        bench.wrong(notch.line, "measured-notch", &message, "check its place, its width and its angle");
        return None;
    };
    let (front, back) = (point(curves, ahead), point(curves, behind));
    let deep = mouth + inwards * notch.depth_mm;
    let (floor_back, floor_front) = (deep - across * half, deep + across * half);
    if (deep - front).dot(inwards) <= 0.0 || (deep - back).dot(inwards) <= 0.0 {
        let message = format!("a notch {:.2} mm deep does not reach into the wood", notch.depth_mm);
        bench.wrong(notch.line, "measured-notch", &message, "make it deeper, or give its angle");
        return None;
    }
    let mut rest = between(curves, ahead, behind);
    rest.extend([
        Curve::line(back, floor_back),
        Curve::line(floor_back, floor_front),
        Curve::line(floor_front, front),
    ]);
    Some(rest)
}

/// A place on the loop: which curve, and its parameter.
type Place = (usize, f64);

fn point(curves: &[Curve], (edge, t): Place) -> Point {
    curves[edge].at(t)
}

/// Twice the area would do as well: only its sign counts.
fn signed_area(curves: &[Curve]) -> f64 {
    let step = |curve: &Curve, k: u32| curve.at(f64::from(k) / f64::from(LOOKS)).to_vec2();
    let of = |curve: &Curve| (0..LOOKS).map(|k| step(curve, k).cross(step(curve, k + 1))).sum::<f64>();
    curves.iter().map(of).sum()
}

fn nearest(curves: &[Curve], to: Point) -> Place {
    let mut best = (0, 0.0, f64::INFINITY);
    for (edge, curve) in curves.iter().enumerate() {
        for k in 0..=LOOKS {
            let t = f64::from(k) / f64::from(LOOKS);
            let away = curve.at(t).distance(to);
            if away < best.2 {
                best = (edge, t, away);
            }
        }
    }
    let (edge, t, _) = best;
    let step = 1.0 / f64::from(LOOKS);
    let (mut low, mut high) = ((t - step).max(0.0), (t + step).min(1.0));
    for _ in 0..HALVINGS {
        let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if curves[edge].at(a).distance(to) <= curves[edge].at(b).distance(to) {
            high = b;
        } else {
            low = a;
        }
    }
    (edge, f64::midpoint(low, high))
}

/// From a place on, or back, to where `over` first is no longer negative; not farther than once round.
fn walk(curves: &[Curve], from: Place, over: impl Fn(Point) -> f64, onward: bool) -> Option<Place> {
    let n = curves.len();
    let end = if onward { 1.0 } else { 0.0 };
    let (mut edge, mut start) = from;
    for _ in 0..n {
        let mut last = start;
        for k in 1..=LOOKS {
            let t = start + (end - start) * f64::from(k) / f64::from(LOOKS);
            if over(curves[edge].at(t)) >= 0.0 {
                let (mut outside, mut inside) = (t, last);
                for _ in 0..HALVINGS {
                    let middle = f64::midpoint(outside, inside);
                    if over(curves[edge].at(middle)) >= 0.0 { outside = middle } else { inside = middle }
                }
                return Some((edge, outside));
            }
            last = t;
        }
        edge = if onward { (edge + 1) % n } else { (edge + n - 1) % n };
        start = 1.0 - end;
    }
    None
}

/// The loop from one place on to another.
fn between(curves: &[Curve], from: Place, to: Place) -> Vec<Curve> {
    let n = curves.len();
    if from.0 == to.0 && from.1 <= to.1 {
        return vec![piece(&curves[from.0], from.1, to.1)];
    }
    let mut all = vec![piece(&curves[from.0], from.1, 1.0)];
    let mut edge = (from.0 + 1) % n;
    while edge != to.0 {
        all.push(curves[edge].clone());
        edge = (edge + 1) % n;
    }
    all.push(piece(&curves[to.0], 0.0, to.1));
    all.retain(|curve| curve.from().distance(curve.to()) > 0.0);
    all
}

/// A curve between two parameters.
fn piece(curve: &Curve, t0: f64, t1: f64) -> Curve {
    match curve {
        Curve::Segment(s) => Curve::Segment(Segment { from: s.at(t0), to: s.at(t1), ..s.between(t0, t1) }),
        Curve::Cubic(c) => Curve::Cubic(c.subsegment(t0..t1)),
        other => other.clone(),
    }
}
