//! Which arcs through two points pass near a third, and in which directions they leave and arrive.
//!
//! The arcs from one point to another are a family in one number, the bulge, and move steadily to one side as it
//! grows. So the arcs that pass within a distance of a point are an interval of bulges, and those that pass near many
//! points are the intersection of such intervals.

use crate::geometry::{Point, Vec2, trig};

/// The largest bulge a fitted arc may have: three quarters of a circle (the tangent of 67.5 degrees).
pub(super) const LARGEST_BULGE: f64 = 1.0 + std::f64::consts::SQRT_2;

/// An interval of bulges; empty where `low` exceeds `high`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bulges {
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Bulges {
    pub(super) const ALL: Self = Self { low: -LARGEST_BULGE, high: LARGEST_BULGE };

    pub(super) fn meet(self, other: Self) -> Self {
        Self { low: self.low.max(other.low), high: self.high.min(other.high) }
    }

    pub(super) fn is_empty(self) -> bool {
        self.low > self.high
    }

    pub(super) fn clamp(self, bulge: f64) -> f64 {
        bulge.max(self.low).min(self.high)
    }
}

/// A range of directions, from the most clockwise to the most counter-clockwise, less than half a turn wide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Directions {
    pub(super) low: Vec2,
    pub(super) high: Vec2,
}

impl Directions {
    /// All directions within `angle` radians of one.
    pub(super) fn about(direction: Vec2, angle: f64) -> Self {
        Self { low: direction, high: direction }.widened(trig::sin_cos(angle))
    }

    /// The range made wider on both sides by the angle with this sine and cosine.
    pub(super) fn widened(self, (sin, cos): (f64, f64)) -> Self {
        let Self { low: l, high: h } = self;
        Self {
            low: Vec2::new(l.x * cos + l.y * sin, l.y * cos - l.x * sin),
            high: Vec2::new(h.x * cos - h.y * sin, h.y * cos + h.x * sin),
        }
    }
}

/// The arcs from one point to another.
#[derive(Clone, Copy, Debug)]
pub(super) struct Family {
    middle: Point,
    half: f64,
    along: Vec2,
}

impl Family {
    /// None where the two points are the same.
    pub(super) fn new(from: Point, to: Point) -> Option<Self> {
        let chord = to - from;
        let length = chord.hypot();
        (length > 1e-9).then(|| Self { middle: from.midpoint(to), half: length / 2.0, along: chord / length })
    }

    /// The bulges of the arcs that pass within `reach` of `point`.
    ///
    /// With the chord from (-c, 0) to (c, 0) and the point at (x, y), the circle of bulge b passes the point at the
    /// signed distance r on its right where c (y - r) b^2 + (x^2 + y^2 - c^2 - r^2) b - c (y + r) = 0.
    pub(super) fn near(&self, point: Point, reach: f64) -> Bulges {
        let v = point - self.middle;
        let (x, y) = (v.dot(self.along), self.along.cross(v));
        let c = self.half;
        let q = x * x + y * y - c * c - reach * reach;
        let square = q * q + 4.0 * c * c * (y * y - reach * reach);
        if square < 0.0 {
            // Within reach of an end, which all of them pass.
            return Bulges::ALL;
        }
        let (above, below) = (c * (y + reach), c * (y - reach));
        if q <= 0.0 {
            let by = 2.0 / (q - square.sqrt());
            Bulges { low: above * by, high: below * by }
        } else {
            let by = -(q + square.sqrt()) / 2.0;
            Bulges { low: by / below, high: by / above }
        }
    }

    /// The bulges of the minor arcs of at least this radius.
    pub(super) fn wider_than(&self, radius: f64) -> Bulges {
        let ratio = radius / self.half;
        if ratio <= 1.0 {
            return Bulges::ALL;
        }
        let high = 1.0 / (ratio + (ratio * ratio - 1.0).sqrt());
        Bulges { low: -high, high }
    }

    /// The bulges of the arcs that leave in one of these directions.
    pub(super) fn leaving(&self, directions: Directions) -> Bulges {
        let (low, high) = (self.turn(directions.low), self.turn(directions.high));
        if low.1 > 0.0 && high.1 < 0.0 {
            return Bulges { low: 1.0, high: -1.0 };
        }
        Bulges { low: -half_tangent(high), high: -half_tangent(low) }
    }

    /// The bulges of the arcs that arrive in one of these directions.
    pub(super) fn arriving(&self, directions: Directions) -> Bulges {
        let (low, high) = (self.turn(directions.low), self.turn(directions.high));
        if low.1 > 0.0 && high.1 < 0.0 {
            return Bulges { low: 1.0, high: -1.0 };
        }
        Bulges { low: half_tangent(low), high: half_tangent(high) }
    }

    /// The bulge of the arc that leaves, or arrives, in this direction.
    pub(super) fn leaving_along(&self, direction: Vec2) -> f64 {
        -half_tangent(self.turn(direction))
    }

    /// As [`Family::leaving_along`], at the other end.
    pub(super) fn arriving_along(&self, direction: Vec2) -> f64 {
        half_tangent(self.turn(direction))
    }

    /// The direction in which the arc of this bulge leaves.
    pub(super) fn start(&self, bulge: f64) -> Vec2 {
        self.turned(-bulge)
    }

    /// The direction in which the arc of this bulge arrives.
    pub(super) fn end(&self, bulge: f64) -> Vec2 {
        self.turned(bulge)
    }

    /// The directions in which the arcs of these bulges arrive.
    pub(super) fn ends(&self, bulges: Bulges) -> Directions {
        Directions { low: self.end(bulges.low), high: self.end(bulges.high) }
    }

    /// Cosine and sine of the turn from the chord to a direction.
    fn turn(&self, direction: Vec2) -> (f64, f64) {
        (self.along.dot(direction), self.along.cross(direction))
    }

    /// The chord's direction turned by twice the angle whose tangent is `half`.
    fn turned(&self, half: f64) -> Vec2 {
        let by = 1.0 + half * half;
        let (cos, sin) = ((1.0 - half * half) / by, 2.0 * half / by);
        let a = self.along;
        Vec2::new(a.x * cos - a.y * sin, a.x * sin + a.y * cos)
    }
}

/// The tangent of half the angle with this cosine and sine, kept finite.
fn half_tangent((cos, sin): (f64, f64)) -> f64 {
    sin / (1.0 + cos).max(1e-12)
}
