//! A placement with its sine and cosine worked out, for many points.

use crate::geometry::{Placement, Point, Vec2, trig};

/// Where a part lies: mirrored about its y axis, turned, shifted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pose {
    pub(super) mirrored: bool,
    /// Radians.
    turn: f64,
    sin: f64,
    cos: f64,
    shift: Vec2,
}

impl Pose {
    /// The pose of this hand and turn (radians) that brings one point to another.
    pub(super) fn over(mirrored: bool, turn: f64, from: Point, to: Point) -> Self {
        let (sin, cos) = trig::sin_cos(turn);
        let at_origin = Self { mirrored, turn, sin, cos, shift: Vec2::ZERO };
        Self { shift: to - at_origin.point(from), ..at_origin }
    }

    pub(super) fn direction(&self, v: Vec2) -> Vec2 {
        let x = if self.mirrored { -v.x } else { v.x };
        Vec2::new(x * self.cos - v.y * self.sin, x * self.sin + v.y * self.cos)
    }

    pub(super) fn point(&self, p: Point) -> Point {
        (self.direction(p.to_vec2()) + self.shift).to_point()
    }

    /// The point of the part that comes to lie there.
    pub(super) fn back(&self, placed: Point) -> Point {
        let v = placed - self.shift;
        let x = v.x * self.cos + v.y * self.sin;
        Point::new(if self.mirrored { -x } else { x }, v.y * self.cos - v.x * self.sin)
    }

    /// Turned about a point of the sheet by so many radians, then shifted.
    pub(super) fn moved(&self, about: Point, turn: f64, shift: Vec2) -> Self {
        let (sin, cos) = trig::sin_cos(turn);
        let arm = self.shift - about.to_vec2();
        let turned = Vec2::new(arm.x * cos - arm.y * sin, arm.x * sin + arm.y * cos);
        let (whole_sin, whole_cos) = trig::sin_cos(self.turn + turn);
        Self {
            mirrored: self.mirrored,
            turn: self.turn + turn,
            sin: whole_sin,
            cos: whole_cos,
            shift: turned + about.to_vec2() + shift,
        }
    }

    pub(super) fn placement(&self) -> Placement {
        let turn_deg = self.turn.to_degrees().rem_euclid(360.0);
        Placement { mirrored: self.mirrored, turn_deg, shift: self.shift }
    }
}
