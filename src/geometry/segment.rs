//! One piece of an outline: a straight line or a circular arc between two points.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::{Point, Rect, Vec2, trig};

/// A bulge smaller than this is a straight line: over a chord of a metre its sagitta is below a millionth of a millimetre.
pub const STRAIGHT_BULGE: f64 = 1e-9;

/// A straight line or a circular arc from one point to another, in millimetres.
///
/// `bulge` is the tangent of a quarter of the included angle, positive for an arc that runs counter-clockwise
/// (the DXF reference's definition): 0 is straight, 1 a half circle. A segment never runs a full circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// Tangent of a quarter of the included angle; positive counter-clockwise.
    pub bulge: f64,
}

impl Segment {
    /// A straight line.
    pub const fn line(from: Point, to: Point) -> Self {
        Self { from, to, bulge: 0.0 }
    }

    /// An arc by its bulge; straight where the bulge is 0.
    pub const fn arc(from: Point, to: Point, bulge: f64) -> Self {
        Self { from, to, bulge }
    }

    /// The arc from `from` to `to` about `centre`, counter-clockwise or clockwise. Where the two radii differ the ends
    /// are kept and the centre gives way.
    pub fn about(from: Point, to: Point, centre: Point, counter_clockwise: bool) -> Self {
        let (a, b) = (from - centre, to - centre);
        let turn = trig::atan2(a.cross(b), a.dot(b));
        let sweep = match (counter_clockwise, turn < 0.0) {
            (true, true) => turn + TAU,
            (false, false) => turn - TAU,
            _ => turn,
        };
        Self { from, to, bulge: trig::tan(sweep / 4.0) }
    }

    /// Whether it is a straight line.
    pub fn is_line(&self) -> bool {
        self.bulge.abs() < STRAIGHT_BULGE
    }

    /// From the first point straight to the last.
    pub fn chord(&self) -> Vec2 {
        self.to - self.from
    }

    /// Included angle in radians, signed, counter-clockwise positive; 0 for a line.
    pub fn sweep(&self) -> f64 {
        if self.is_line() { 0.0 } else { 4.0 * trig::atan(self.bulge) }
    }

    /// Radius in millimetres; infinite for a line.
    pub fn radius(&self) -> f64 {
        if self.is_line() {
            f64::INFINITY
        } else {
            self.chord().hypot() * (1.0 + self.bulge * self.bulge) / (4.0 * self.bulge.abs())
        }
    }

    /// Centre of the arc; none for a line.
    pub fn centre(&self) -> Option<Point> {
        if self.is_line() {
            return None;
        }
        let chord = self.chord();
        let left = Vec2::new(-chord.y, chord.x);
        let up = (1.0 - self.bulge * self.bulge) / (4.0 * self.bulge);
        Some(self.from + chord * 0.5 + left * up)
    }

    /// Length along it, in millimetres.
    pub fn length(&self) -> f64 {
        if self.is_line() { self.chord().hypot() } else { self.radius() * self.sweep().abs() }
    }

    /// Into how many equal chords it goes so that none strays from it by more than `stray`, mm: a line is one.
    pub fn chord_count(&self, stray: f64) -> usize {
        if self.is_line() {
            return 1;
        }
        let step = 2.0 * trig::acos((1.0 - stray / self.radius()).max(0.0));
        (self.sweep().abs() / step).ceil().max(1.0) as usize
    }

    /// Its beginning, and where each of its chords ends but the last, for chords that stray by no more than `stray`, mm.
    pub fn chord_points(self, stray: f64) -> impl Iterator<Item = Point> {
        let count = self.chord_count(stray);
        (0..count).map(move |k| self.at(k as f64 / count as f64))
    }

    /// The point at fraction `t` of the length, 0 to 1; the ends are exact.
    pub fn at(&self, t: f64) -> Point {
        if t <= 0.0 {
            return self.from;
        }
        if t >= 1.0 {
            return self.to;
        }
        match self.centre() {
            None => self.from.lerp(self.to, t),
            Some(centre) => centre + turned(self.from - centre, self.sweep() * t),
        }
    }

    /// Direction of travel at fraction `t` of the length, a unit vector; zero for a segment of no length.
    pub fn tangent(&self, t: f64) -> Vec2 {
        let length = self.chord().hypot();
        if length == 0.0 {
            return Vec2::ZERO;
        }
        turned(self.chord() / length, self.sweep() * (t - 0.5))
    }

    /// The same piece run backwards.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self { from: self.to, to: self.from, bulge: -self.bulge }
    }

    /// The piece between the fractions `t0` and `t1` of the length.
    #[must_use]
    pub fn between(&self, t0: f64, t1: f64) -> Self {
        let bulge = if self.is_line() { 0.0 } else { trig::tan(self.sweep() * (t1 - t0) / 4.0) };
        Self { from: self.at(t0), to: self.at(t1), bulge }
    }

    /// The smallest upright rectangle around it.
    pub fn bounds(&self) -> Rect {
        let mut bounds = Rect::from_points(self.from, self.to);
        if let Some(centre) = self.centre() {
            let radius = self.radius();
            for quarter in 0..4 {
                let direction = f64::from(quarter) * FRAC_PI_2;
                if self.fraction_towards(direction).is_some() {
                    let (sin, cos) = trig::sin_cos_deg(f64::from(quarter) * 90.0);
                    bounds = bounds.union_pt(centre + Vec2::new(cos, sin) * radius);
                }
            }
        }
        bounds
    }

    /// Twice the area between the segment and the origin, signed: the sum over a closed chain is twice its area.
    pub fn twice_area(&self) -> f64 {
        let flat = self.from.to_vec2().cross(self.to.to_vec2());
        if self.is_line() {
            return flat;
        }
        let (radius, sweep) = (self.radius(), self.sweep());
        // Of a flat arc the difference would lose its digits: the first terms of its series keep them.
        let square = sweep * sweep;
        let cap = if square < 1e-4 {
            sweep * square / 6.0 * (1.0 - square / 20.0)
        } else {
            sweep - trig::sin(sweep)
        };
        flat + radius * radius * cap
    }

    /// The nearest point of the segment to `point`: fraction of the length, and distance in millimetres.
    pub fn nearest(&self, point: Point) -> (f64, f64) {
        match self.centre() {
            None => {
                let chord = self.chord();
                let square = chord.hypot2();
                let t = if square == 0.0 {
                    0.0
                } else {
                    ((point - self.from).dot(chord) / square).clamp(0.0, 1.0)
                };
                (t, self.from.lerp(self.to, t).distance(point))
            }
            Some(centre) => {
                let ray = point - centre;
                if ray.hypot2() > 0.0
                    && let Some(t) = self.fraction_towards(trig::atan2(ray.y, ray.x))
                {
                    return (t, (ray.hypot() - self.radius()).abs());
                }
                let (a, b) = (self.from.distance(point), self.to.distance(point));
                if a <= b { (0.0, a) } else { (1.0, b) }
            }
        }
    }

    /// The fraction of the length at which the arc lies in direction `angle` (radians) from its centre.
    fn fraction_towards(&self, angle: f64) -> Option<f64> {
        let centre = self.centre()?;
        let start = self.from - centre;
        let sweep = self.sweep();
        let turn = angle - trig::atan2(start.y, start.x);
        let turn = if sweep > 0.0 { turn.rem_euclid(TAU) } else { -((-turn).rem_euclid(TAU)) };
        let t = turn / sweep;
        (t <= 1.0).then_some(t)
    }
}

/// `vector` turned counter-clockwise by `angle` radians.
pub(crate) fn turned(vector: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = trig::sin_cos(angle);
    Vec2::new(vector.x * cos - vector.y * sin, vector.x * sin + vector.y * cos)
}

/// The turn in radians, within ±π, from one direction to another; counter-clockwise positive.
pub fn turn_between(from: Vec2, to: Vec2) -> f64 {
    let turn = trig::atan2(from.cross(to), from.dot(to));
    if turn <= -PI { PI } else { turn }
}
