//! One motion as a line or an arc in space: how long it is, where it lies, which part of it is in the wood.

use std::f64::consts::{PI, TAU};

use super::ngc::Motion;
use crate::geometry::{Point, Rect, Segment, Vec2, trig};

/// Heights this near to the wood's face are on it, mm: rounding of sums, far below the last digit of any program.
pub(super) const ON_FACE_MM: f64 = 1e-6;

/// A half circle that rounding makes a little more is still one: half turns.
const HALF_TURN_SLACK: f64 = 1e-6;

/// A turn that lacks less than this of a full one is full, radians.
const FULL_TURN_SLACK: f64 = 1e-9;

/// A motion from a place that is known to another, millimetres; z changes evenly along it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Way {
    pub(super) from: [f64; 3],
    pub(super) to: [f64; 3],
    /// Centre and sweep of an arc (radians, counter-clockwise positive).
    round: Option<(Point, f64)>,
}

impl Way {
    /// The way of a motion; none where it is no motion or begins or ends where nobody knows. A height that no word of the
    /// program has named is `unsaid`.
    pub(super) fn of(motion: &Motion, unsaid: Option<f64>) -> Option<Self> {
        let known = |at: &[Option<f64>; 3]| Some([at[0]?, at[1]?, at[2].or(unsaid)?]);
        Some(match motion {
            Motion::Line { from, to, .. } => Self { from: *from, to: *to, round: None },
            Motion::Arc { from, to, centre, sweep, .. } => {
                Self { from: *from, to: *to, round: Some((*centre, *sweep)) }
            }
            Motion::Rapid { from, to } => Self { from: known(from)?, to: known(to)?, round: None },
            _ => return None,
        })
    }

    /// Its length over the wood, heights left out.
    pub(super) fn across(&self) -> f64 {
        match self.round {
            None => (square(self.to[0] - self.from[0]) + square(self.to[1] - self.from[1])).sqrt(),
            Some((_, sweep)) => {
                let (begin, end) = self.radii();
                begin.midpoint(end) * sweep.abs()
            }
        }
    }

    /// How far it rises; negative where it falls.
    pub(super) fn rise(&self) -> f64 {
        self.to[2] - self.from[2]
    }

    /// Its length in space.
    pub(super) fn length(&self) -> f64 {
        (square(self.across()) + square(self.rise())).sqrt()
    }

    /// Its lower end.
    pub(super) fn lowest(&self) -> f64 {
        self.from[2].min(self.to[2])
    }

    /// The part of it, as fractions of its length, that lies below the wood's face.
    pub(super) fn sunk(&self) -> Option<(f64, f64)> {
        let [from, to] = [self.from[2], self.to[2]].map(|z| if z < -ON_FACE_MM { z } else { z.max(0.0) });
        match (from < 0.0, to < 0.0) {
            (true, true) => Some((0.0, 1.0)),
            (true, false) => Some((0.0, from / (from - to))),
            (false, true) => Some((from / (from - to), 1.0)),
            (false, false) => None,
        }
    }

    /// The place at a fraction of its length; its ends are exact.
    pub(super) fn at(&self, t: f64) -> Point {
        let (from, to) = (flat(self.from), flat(self.to));
        if t <= 0.0 {
            return from;
        }
        if t >= 1.0 {
            return to;
        }
        let Some((centre, sweep)) = self.round else { return from.lerp(to, t) };
        let (begin, end) = self.radii();
        let (sin, cos) = trig::sin_cos(sweep * t);
        let ray = (from - centre) * ((begin + (end - begin) * t) / begin);
        centre + Vec2::new(ray.x * cos - ray.y * sin, ray.x * sin + ray.y * cos)
    }

    /// The height at a fraction of its length; at its ends exact.
    pub(super) fn height(&self, t: f64) -> f64 {
        if t >= 1.0 { self.to[2] } else { self.from[2] + self.rise() * t }
    }

    /// The part between two fractions in segments of at most a half turn, each with the fraction at which it ends.
    pub(super) fn segments(&self, (t0, t1): (f64, f64)) -> impl Iterator<Item = (Segment, f64)> + use<> {
        let sweep = self.round.map_or(0.0, |(_, sweep)| sweep * (t1 - t0));
        let n = (sweep.abs() / PI - HALF_TURN_SLACK).ceil().max(1.0);
        let bulge = if self.round.is_none() { 0.0 } else { trig::tan(sweep / n / 4.0) };
        let way = *self;
        let fraction = move |i: u32| if f64::from(i) < n { t0 + (t1 - t0) * f64::from(i) / n } else { t1 };
        (1..=n as u32)
            .map(move |i| (Segment::arc(way.at(fraction(i - 1)), way.at(fraction(i)), bulge), fraction(i)))
    }

    /// Whether it is an arc.
    pub(super) const fn is_round(&self) -> bool {
        self.round.is_some()
    }

    /// An upright rectangle around it: the smallest, but for what the radii at an arc's ends differ.
    pub(super) fn bounds(&self) -> Rect {
        let (from, to) = (flat(self.from), flat(self.to));
        let ends = Rect::from_points(from, to);
        let Some((centre, sweep)) = self.round else { return ends };
        let (begin, end) = self.radii();
        // Counter-clockwise from the first ray to the second.
        let rays = [from - centre, to - centre];
        let [a, b] = if sweep < 0.0 { [rays[1], rays[0]] } else { rays };
        let within = |ray: Vec2| {
            if sweep.abs() <= PI {
                a.cross(ray) >= 0.0 && ray.cross(b) >= 0.0
            } else {
                // What is left out is the smaller arc, from the second ray to the first.
                sweep.abs() >= TAU - FULL_TURN_SLACK || b.cross(ray) < 0.0 || ray.cross(a) < 0.0
            }
        };
        let quarters = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0), Vec2::new(-1.0, 0.0), Vec2::new(0.0, -1.0)];
        let met = quarters.into_iter().filter(|ray| within(*ray));
        met.fold(ends, |bounds, ray| bounds.union_pt(centre + ray * begin.max(end)))
    }

    /// Radii at both ends of an arc: a file's numbers let them differ a little.
    fn radii(&self) -> (f64, f64) {
        let Some((centre, _)) = self.round else { return (0.0, 0.0) };
        let radius = |at: [f64; 3]| (square(at[0] - centre.x) + square(at[1] - centre.y)).sqrt();
        (radius(self.from), radius(self.to))
    }
}

fn flat(at: [f64; 3]) -> Point {
    Point::new(at[0], at[1])
}

fn square(number: f64) -> f64 {
    number * number
}
