//! Places in space: the arbitrary axis algorithm, and inserts within inserts, seen from above at the end.

use crate::geometry::{Affine, Point, Vec2, trig};

/// A point or direction in space.
pub(super) type Triple = [f64; 3];

/// Where something lies: the images of the three axes, and of the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Frame {
    axes: [Triple; 3],
    origin: Triple,
}

/// Below this x and y of a normal the other axis is taken (DXF reference, "Arbitrary axis algorithm").
const NEAR_Z: f64 = 1.0 / 64.0;

/// A plane leans where its normal, seen from above, is longer than this: less than a ten-thousandth of a millimetre over
/// ten metres.
const LEANS: f64 = 1e-8;

impl Frame {
    /// The drawing itself, one unit being so many millimetres.
    pub(super) fn scaled(s: f64) -> Self {
        Self { axes: [[s, 0.0, 0.0], [0.0, s, 0.0], [0.0, 0.0, s]], origin: [0.0; 3] }
    }

    /// The frame of an entity with this extrusion direction; none where the direction has no length.
    pub(super) fn of_normal(normal: Triple) -> Option<Self> {
        let z = unit(normal)?;
        let near_z = z[0].abs() < NEAR_Z && z[1].abs() < NEAR_Z;
        let x = unit(cross(if near_z { [0.0, 1.0, 0.0] } else { [0.0, 0.0, 1.0] }, z))?;
        Some(Self { axes: [x, cross(z, x), z], origin: [0.0; 3] })
    }

    /// A turn about the z axis, in degrees.
    pub(super) fn turned(degrees: f64) -> Self {
        let (sin, cos) = trig::sin_cos_deg(degrees);
        Self { axes: [[cos, sin, 0.0], [-sin, cos, 0.0], [0.0, 0.0, 1.0]], origin: [0.0; 3] }
    }

    /// Different scales along the axes.
    pub(super) fn stretched(x: f64, y: f64, z: f64) -> Self {
        Self { axes: [[x, 0.0, 0.0], [0.0, y, 0.0], [0.0, 0.0, z]], origin: [0.0; 3] }
    }

    /// A shift.
    pub(super) fn shifted(by: Triple) -> Self {
        Self { origin: by, ..Self::scaled(1.0) }
    }

    /// First `inner`, then this.
    pub(super) fn after(&self, inner: &Self) -> Self {
        Self { axes: inner.axes.map(|axis| self.direction(axis)), origin: self.point(inner.origin) }
    }

    /// A direction in this frame.
    pub(super) fn direction(&self, d: Triple) -> Triple {
        let [x, y, z] = &self.axes;
        [0, 1, 2].map(|i| x[i] * d[0] + y[i] * d[1] + z[i] * d[2])
    }

    /// A point in this frame.
    pub(super) fn point(&self, p: Triple) -> Triple {
        let d = self.direction(p);
        [0, 1, 2].map(|i| d[i] + self.origin[i])
    }

    /// A point seen from above.
    pub(super) fn flat(&self, p: Triple) -> Point {
        let p = self.point(p);
        Point::new(p[0], p[1])
    }

    /// A direction seen from above.
    pub(super) fn flat_direction(&self, d: Triple) -> Vec2 {
        let d = self.direction(d);
        Vec2::new(d[0], d[1])
    }

    /// The map, seen from above, of the plane at this height.
    pub(super) fn plane(&self, height: f64) -> Affine {
        let [x, y, _] = &self.axes;
        let origin = self.flat([0.0, 0.0, height]);
        Affine::new([x[0], x[1], y[0], y[1], origin.x, origin.y])
    }

    /// Whether its planes lean, so that what is seen from above is not what was drawn.
    pub(super) fn leans(&self) -> bool {
        let [x, y, _] = self.axes;
        let normal = cross(x, y);
        let length = dot(normal, normal).sqrt();
        trig::hypot(normal[0], normal[1]) > LEANS * length || length == 0.0
    }
}

/// The cross product.
pub(super) fn cross(a: Triple, b: Triple) -> Triple {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn dot(a: Triple, b: Triple) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// The direction with length 1.
pub(super) fn unit(v: Triple) -> Option<Triple> {
    let most = v.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
    if most == 0.0 || !most.is_finite() {
        return None;
    }
    let small = v.map(|x| x / most);
    let length = dot(small, small).sqrt();
    Some(small.map(|x| x / length))
}
