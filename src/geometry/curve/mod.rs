//! Curves as drawings hold them. They are import source only: [`super::fit`] turns them into lines and arcs once.

mod ellipse;
mod spline;
mod through;

use std::f64::consts::PI;

use kurbo::{CubicBez, ParamCurve, ParamCurveDeriv, Shape};

use super::{Affine, FARTHEST, Point, Rect, Segment, Vec2};
pub use ellipse::EllipticArc;
pub use spline::{BadSpline, Spline};

/// A map whose axes differ in length by less than this fraction, and stand square as nearly, keeps circles round: over
/// the ten metres of the largest drawing it moves nothing by more than a millionth of a millimetre.
const SIMILAR: f64 = 1e-10;

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

impl Curve {
    /// A straight line.
    pub const fn line(from: Point, to: Point) -> Self {
        Self::Segment(Segment::line(from, to))
    }

    /// Where it begins.
    pub fn from(&self) -> Point {
        match self {
            Self::Segment(s) => s.from,
            Self::Ellipse(e) => e.at(0.0),
            Self::Cubic(c) => c.p0,
            Self::Spline(s) => s.at(0.0),
        }
    }

    /// Where it ends.
    pub fn to(&self) -> Point {
        match self {
            Self::Segment(s) => s.to,
            Self::Ellipse(e) => e.at(1.0),
            Self::Cubic(c) => c.p3,
            Self::Spline(s) => s.at(1.0),
        }
    }

    /// The point at parameter `t`, 0 to 1 (not in general the fraction of the length); the ends are exact.
    pub fn at(&self, t: f64) -> Point {
        match self {
            Self::Segment(s) => s.at(t),
            Self::Ellipse(e) => e.at(t),
            Self::Cubic(c) if t <= 0.0 => c.p0,
            Self::Cubic(c) if t >= 1.0 => c.p3,
            Self::Cubic(c) => c.eval(t),
            Self::Spline(s) => s.at(t),
        }
    }

    /// The derivative by the parameter at `t`, millimetres; zero where the curve stands still.
    pub fn derivative(&self, t: f64) -> Vec2 {
        match self {
            Self::Segment(s) => s.tangent(t) * s.length(),
            Self::Ellipse(e) => e.derivative(t),
            Self::Cubic(c) => c.deriv().eval(t.clamp(0.0, 1.0)).to_vec2(),
            Self::Spline(s) => s.derivative(t),
        }
    }

    /// The point and the derivative at `t`: as [`Curve::at`] and [`Curve::derivative`], in one go.
    pub fn at_with_derivative(&self, t: f64) -> (Point, Vec2) {
        match self {
            Self::Spline(s) => s.at_with_derivative(t),
            _ => (self.at(t), self.derivative(t)),
        }
    }

    /// The same curve run backwards.
    #[must_use]
    pub fn reversed(&self) -> Self {
        match self {
            Self::Segment(s) => Self::Segment(s.reversed()),
            Self::Ellipse(e) => Self::Ellipse(e.reversed()),
            Self::Cubic(c) => Self::Cubic(CubicBez::new(c.p3, c.p2, c.p1, c.p0)),
            Self::Spline(s) => Self::Spline(s.reversed()),
        }
    }

    /// The curve under an affine map. A circular arc stays one where the map keeps circles round, and becomes an
    /// elliptic arc where it does not; a mirror turns it the other way.
    #[must_use]
    pub fn transformed(&self, map: Affine) -> Self {
        match self {
            Self::Segment(s) if s.is_line() || keeps_circles(map) => {
                let bulge = if map.determinant() < 0.0 { -s.bulge } else { s.bulge };
                Self::Segment(Segment { from: map * s.from, to: map * s.to, bulge })
            }
            Self::Segment(s) => EllipticArc::from_segment(s)
                .map_or_else(|| Self::line(map * s.from, map * s.to), |e| Self::Ellipse(e.transformed(map))),
            Self::Ellipse(e) => Self::Ellipse(e.transformed(map)),
            Self::Cubic(c) => Self::Cubic(map * *c),
            Self::Spline(s) => Self::Spline(s.transformed(map)),
        }
    }

    /// The curve with its ends moved to these points: turned and scaled as a whole, or only shifted (to the first
    /// point) where it closes on itself or would have to change by more than a tenth. A segment gets the very ends
    /// and keeps its bulge.
    #[must_use]
    pub fn with_ends(&self, from: Point, to: Point) -> Self {
        if let Self::Segment(s) = self {
            return Self::Segment(Segment { from, to, bulge: s.bulge });
        }
        let (before, after) = (self.to() - self.from(), to - from);
        let shift = from - self.from();
        if (after - before).hypot() >= 0.1 * before.hypot() {
            return self.transformed(Affine::translate(shift));
        }
        let turn = super::turn_between(before, after);
        let map = Affine::scale_about(after.hypot() / before.hypot(), self.from());
        self.transformed(Affine::rotate_about(turn, self.from()) * map).transformed(Affine::translate(shift))
    }

    /// Length in millimetres: exact for lines and circular arcs, else by Gauss's rule piece by piece, an estimate to
    /// about six digits on fair curves and fewer where there is a cusp.
    pub fn length(&self) -> f64 {
        match self {
            Self::Segment(s) => s.length(),
            Self::Ellipse(e) => {
                let pieces = (e.sweep.abs() / (PI / 8.0)).ceil().clamp(1.0, 1e4) as usize;
                gauss_length(self, (0..=pieces).map(|i| i as f64 / pieces as f64))
            }
            Self::Cubic(_) => gauss_length(self, (0..=4_u8).map(|i| f64::from(i) / 4.0)),
            Self::Spline(s) => {
                let breaks = s.breaks();
                let quarters = |p: &[f64]| [0.0, 0.25, 0.5, 0.75].map(|t| p[0] + (p[1] - p[0]) * t);
                gauss_length(self, breaks.windows(2).flat_map(quarters).chain([1.0]))
            }
        }
    }

    /// An upright rectangle around it: the smallest, save that a spline's holds all of its control points.
    pub fn bounds(&self) -> Rect {
        match self {
            Self::Segment(s) => s.bounds(),
            Self::Ellipse(e) => e.bounds(),
            Self::Cubic(c) => c.bounding_box(),
            Self::Spline(s) => s.bounds(),
        }
    }

    /// Whether every number in it is finite and no point lies beyond [`FARTHEST`].
    pub fn is_finite(&self) -> bool {
        let near = |p: Point| p.x.abs() <= FARTHEST && p.y.abs() <= FARTHEST;
        match self {
            Self::Segment(s) => near(s.from) && near(s.to) && s.bulge.is_finite(),
            Self::Ellipse(e) => e.is_finite(),
            Self::Cubic(c) => [c.p0, c.p1, c.p2, c.p3].into_iter().all(near),
            Self::Spline(s) => s.points().iter().copied().all(near),
        }
    }
}

/// Whether a map is a similarity: turn, mirror, shift and one scale.
fn keeps_circles(map: Affine) -> bool {
    let [a, b, c, d, ..] = map.as_coeffs();
    let (x, y) = (Vec2::new(a, b), Vec2::new(c, d));
    let size = x.hypot2().max(y.hypot2());
    (x.hypot2() - y.hypot2()).abs() <= SIMILAR * size && x.dot(y).abs() <= SIMILAR * size
}

/// Nodes and weights of Gauss's rule of five points on -1 to 1 (Abramowitz and Stegun, table 25.4).
const GAUSS: [(f64, f64); 5] = [
    (0.0, 0.568_888_888_888_888_9),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
    (-0.906_179_845_938_664, 0.236_926_885_056_189_08),
    (0.906_179_845_938_664, 0.236_926_885_056_189_08),
];

fn gauss_length(curve: &Curve, breaks: impl Iterator<Item = f64>) -> f64 {
    let breaks: Vec<f64> = breaks.collect();
    let piece = |pair: &[f64]| {
        let (middle, half) = (f64::midpoint(pair[0], pair[1]), (pair[1] - pair[0]) / 2.0);
        GAUSS.iter().map(|&(x, w)| w * curve.derivative(middle + half * x).hypot()).sum::<f64>() * half
    };
    breaks.windows(2).map(piece).sum()
}
