//! Elliptic arcs.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use crate::geometry::{Affine, FARTHEST, Point, Rect, Segment, Vec2, trig};

/// A sweep this near a full turn, in radians, is one, and ends in the very point it began at.
const FULL: f64 = 1e-9;

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

impl EllipticArc {
    /// A full circle about `centre`, counter-clockwise from its eastmost point.
    pub const fn circle(centre: Point, radius: f64) -> Self {
        Self { centre, a: Vec2::new(radius, 0.0), b: Vec2::new(0.0, radius), start: 0.0, sweep: TAU }
    }

    /// The arc of a segment; none for a line.
    pub fn from_segment(segment: &Segment) -> Option<Self> {
        let centre = segment.centre()?;
        let a = segment.from - centre;
        Some(Self { centre, a, b: Vec2::new(-a.y, a.x), start: 0.0, sweep: segment.sweep() })
    }

    /// Whether it is a whole ellipse.
    pub fn is_full(&self) -> bool {
        self.sweep.abs() >= TAU - FULL
    }

    /// The point at parameter `t`, 0 to 1.
    pub fn at(&self, t: f64) -> Point {
        let t = if t >= 1.0 && self.is_full() { 0.0 } else { t.clamp(0.0, 1.0) };
        let (sin, cos) = trig::sin_cos(self.start + self.sweep * t);
        self.centre + self.a * cos + self.b * sin
    }

    /// The derivative by the parameter at `t`.
    pub fn derivative(&self, t: f64) -> Vec2 {
        let (sin, cos) = trig::sin_cos(self.start + self.sweep * t.clamp(0.0, 1.0));
        (self.b * cos - self.a * sin) * self.sweep
    }

    /// The same arc run backwards.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self { start: self.start + self.sweep, sweep: -self.sweep, ..*self }
    }

    /// The arc under an affine map.
    #[must_use]
    pub fn transformed(&self, map: Affine) -> Self {
        let [a, b, c, d, ..] = map.as_coeffs();
        let linear = |v: Vec2| Vec2::new(a * v.x + c * v.y, b * v.x + d * v.y);
        Self { centre: map * self.centre, a: linear(self.a), b: linear(self.b), ..*self }
    }

    /// The smallest upright rectangle around it.
    pub fn bounds(&self) -> Rect {
        let mut bounds = Rect::from_points(self.at(0.0), self.at(1.0));
        for u in [trig::atan2(self.b.x, self.a.x), trig::atan2(self.b.y, self.a.y)] {
            for turn in [u, u + PI] {
                let ahead = if self.sweep < 0.0 { self.start - turn } else { turn - self.start };
                let t = ahead.rem_euclid(TAU) / self.sweep.abs();
                if t < 1.0 {
                    bounds = bounds.union_pt(self.at(t));
                }
            }
        }
        bounds
    }

    /// Whether every number in it is finite and none lies beyond [`FARTHEST`]. It may not turn more than once.
    pub fn is_finite(&self) -> bool {
        let numbers = [self.centre.x, self.centre.y, self.a.x, self.a.y, self.b.x, self.b.y];
        numbers.into_iter().all(|n| n.abs() <= FARTHEST)
            && self.start.is_finite()
            && self.sweep.abs() <= TAU + FULL
    }

    /// The same arc as a circular one, in at most two segments, where the ellipse is round to within `tolerance`
    /// millimetres; none where it is not.
    pub fn round(&self, tolerance: f64) -> Option<Vec<Segment>> {
        // The half axes of the ellipse lie between these (singular values of the matrix of a and b).
        let (p, q) = (self.a.hypot2() + self.b.hypot2(), 2.0 * self.a.cross(self.b));
        let (long, short) = ((p + q).max(0.0).sqrt(), (p - q).max(0.0).sqrt());
        let (most, least) = (f64::midpoint(long, short), (long - short).abs() / 2.0);
        if least == 0.0 || most - least > tolerance {
            return None;
        }
        let pieces = if self.sweep.abs() > PI + FRAC_PI_2 { 2_u32 } else { 1 };
        let bulge = trig::tan(self.sweep / f64::from(pieces) / 4.0) * q.signum();
        let cut = |i: u32| self.at(f64::from(i) / f64::from(pieces));
        Some((0..pieces).map(|i| Segment::arc(cut(i), cut(i + 1), bulge)).collect())
    }
}
