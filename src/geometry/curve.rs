//! Curves as drawings hold them. They are import source only: [`super::fit`] turns them into lines and arcs once.

use kurbo::CubicBez;

use super::{Point, Segment, Vec2};

/// One curve of a drawing, in millimetres, run from parameter 0 to 1.
#[derive(Clone, Debug, PartialEq)]
pub enum Curve {
    /// A line or circular arc: kept as it is.
    Segment(Segment),
    /// An elliptic arc.
    Ellipse(EllipticArc),
    /// A cubic Bézier curve.
    Cubic(CubicBez),
    /// A B-spline, rational or not.
    Spline(Spline),
}

/// The points `centre + a cos u + b sin u` for u from `start` to `start + sweep` (radians).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EllipticArc {
    /// Centre.
    pub centre: Point,
    /// First conjugate half axis.
    pub a: Vec2,
    /// Second conjugate half axis.
    pub b: Vec2,
    /// Parameter of the first point, radians.
    pub start: f64,
    /// Change of the parameter, radians, signed.
    pub sweep: f64,
}

/// A B-spline of any degree: `knots.len() == points.len() + degree + 1`; weights are 1 where it is not rational.
#[derive(Clone, Debug, PartialEq)]
pub struct Spline {
    /// Degree, at least 1.
    pub degree: usize,
    /// Control points.
    pub points: Vec<Point>,
    /// Weights, one per control point, positive.
    pub weights: Vec<f64>,
    /// Knots, never decreasing.
    pub knots: Vec<f64>,
}
