//! Splines: by control points, or through fit points.

use dxf::entities::Spline as Entity;

use super::frame::Frame;
use super::shape::{Shape, triple};
use crate::geometry::Vec2;
use crate::geometry::curve::{BadSpline, Curve, Spline};

/// Ends nearer than this, in millimetres, close a spline that says that it is closed.
const CLOSED: f64 = 1e-6;

/// Knots that go back by no more than this part of their range do so by rounding.
const KNOT_ROUNDING: f64 = 1e-9;

/// The curve of a spline, in millimetres.
pub(super) fn spline(frame: &Frame, entity: &Entity) -> Result<Shape, String> {
    let curve =
        if entity.control_points.is_empty() { through(frame, entity) } else { controlled(frame, entity) };
    let curve = Curve::Spline(curve.map_err(|bad| bad.to_string())?);
    let closed = (entity.is_closed() || entity.is_periodic()) && curve.from().distance(curve.to()) <= CLOSED;
    Ok(Shape { curves: vec![curve], closed, leans: false })
}

fn controlled(frame: &Frame, entity: &Entity) -> Result<Spline, BadSpline> {
    let degree = usize::try_from(entity.degree_of_curve).unwrap_or(0);
    let points: Vec<_> = entity.control_points.iter().map(|p| frame.flat(triple(p))).collect();
    let weights = entity.weight_values.clone();
    if entity.knot_values.is_empty() && weights.iter().all(|w| w.to_bits() == 1.0_f64.to_bits()) {
        return Spline::uniform(degree, points, entity.is_periodic());
    }
    Spline::new(degree, points, weights, risen(&entity.knot_values))
}

/// The knots, with what rounding took back put right.
fn risen(knots: &[f64]) -> Vec<f64> {
    let (Some(first), Some(last)) = (knots.first(), knots.last()) else { return Vec::new() };
    let slack = (last - first).abs() * KNOT_ROUNDING;
    let mut risen: Vec<f64> = Vec::with_capacity(knots.len());
    for knot in knots {
        match risen.last() {
            Some(before) if before > knot && before - knot <= slack => risen.push(*before),
            _ => risen.push(*knot),
        }
    }
    risen
}

/// The spline through the fit points, in the drawing's own plane: its parameter runs with lengths as drawn.
fn through(frame: &Frame, entity: &Entity) -> Result<Spline, BadSpline> {
    let points: Vec<_> = entity.fit_points.iter().map(|p| crate::geometry::Point::new(p.x, p.y)).collect();
    let tangent = |d: [f64; 3]| {
        let v = Vec2::new(d[0], d[1]);
        (v.hypot2() > 0.0).then_some(v)
    };
    let tangents = (tangent(triple(&entity.start_tangent)), tangent(triple(&entity.end_tangent)));
    let closed = entity.is_closed() || entity.is_periodic();
    let height = entity.fit_points.first().map_or(0.0, |p| p.z);
    Spline::through(&points, closed, tangents).map(|spline| spline.transformed(frame.plane(height)))
}
