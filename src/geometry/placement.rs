//! Where a part lies on its sheet: mirrored, turned, shifted.

use super::{Point, Vec2, Vertex, trig};

/// Maps a part's own drawing coordinates to its sheet: mirror about the part's y axis first, then turn, then shift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Mirrored about the y axis: x becomes -x.
    pub mirrored: bool,
    /// Turn about the origin in degrees, counter-clockwise; whole quarter turns are exact.
    pub turn_deg: f64,
    /// Shift in millimetres.
    pub shift: Vec2,
}

impl Placement {
    /// Where nothing moves.
    pub const HERE: Self = Self { mirrored: false, turn_deg: 0.0, shift: Vec2::ZERO };

    /// A point moved to its place.
    pub fn point(&self, point: Point) -> Point {
        (self.direction(point.to_vec2()) + self.shift).to_point()
    }

    /// A direction mirrored and turned.
    pub fn direction(&self, vector: Vec2) -> Vec2 {
        let x = if self.mirrored { -vector.x } else { vector.x };
        let (sin, cos) = trig::sin_cos_deg(self.turn_deg);
        Vec2::new(x * cos - vector.y * sin, x * sin + vector.y * cos)
    }

    /// The point of the drawing that this place came from.
    pub fn point_back(&self, placed: Point) -> Point {
        let v = placed - self.shift;
        let (sin, cos) = trig::sin_cos_deg(self.turn_deg);
        let x = v.x * cos + v.y * sin;
        Point::new(if self.mirrored { -x } else { x }, -v.x * sin + v.y * cos)
    }

    /// A vertex moved to its place; a mirrored arc bulges to the other side.
    pub(crate) fn vertex(&self, vertex: Vertex) -> Vertex {
        let bulge = if self.mirrored { -vertex.bulge } else { vertex.bulge };
        Vertex { at: self.point(vertex.at), bulge }
    }

    /// The direction in degrees, 0 up to 180, in which a grain line at `grain_deg` in the drawing comes to lie.
    pub fn grain_deg(&self, grain_deg: f64) -> f64 {
        let there = if self.mirrored { 180.0 - grain_deg } else { grain_deg };
        (there + self.turn_deg).rem_euclid(180.0)
    }
}
