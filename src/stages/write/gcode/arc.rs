//! Arcs in whole counts: which centre or radius, after rounding, still makes the arc that is meant.

use std::f64::consts::TAU;

use super::number;
use crate::geometry::{Point, Vec2, trig};
use crate::shop::post::{Arcs, Post};

/// An arc as it is meant, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Meant {
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) centre: Point,
    /// Radians, counter-clockwise positive.
    pub(super) sweep: f64,
}

/// Written centres may be this many counts off the nearest, in search of radii that agree.
const REACH: i64 = 2;

/// Rounded ends leave an arc at most 0.7 counts off; one that strays more than this many counts has a wrong centre.
const STRAY_COUNTS: f64 = 1.5;

/// The least that an arc may stray, mm: a tenth of what a finished part may be off.
const STRAY_MM: f64 = 0.002;

/// The angle written may differ this much from the one meant, radians: more is an arc of a few counts that rounding has
/// bent, and lines serve it as well.
const BENT: f64 = 0.35;

/// Of the allowed difference of radii this much is used, so that the reader's own arithmetic cannot exceed it.
const SHARE: f64 = 0.9;

impl Meant {
    /// The arc about `centre`, the way round that is said; equal ends are a full circle.
    pub(super) fn new(from: Point, to: Point, centre: Point, counter_clockwise: bool) -> Self {
        let (a, b) = (from - centre, to - centre);
        let turn = trig::atan2(a.cross(b), a.dot(b));
        let turn = if from == to { 0.0 } else { turn };
        let sweep = match counter_clockwise {
            true if turn <= 0.0 => turn + TAU,
            false if turn >= 0.0 => turn - TAU,
            _ => turn,
        };
        Self { from, to, centre, sweep }
    }

    pub(super) fn radius(&self) -> f64 {
        self.from.distance(self.centre)
    }

    /// How far its middle lies from its chord, mm; for arcs up to a half circle.
    pub(super) fn rise(&self) -> f64 {
        let quarter = trig::sin(self.sweep / 4.0);
        2.0 * self.radius() * quarter * quarter
    }

    /// The point at a fraction of it; where the radii at its ends differ, between them.
    fn at(&self, t: f64) -> Point {
        let (a, b) = (self.from - self.centre, self.to - self.centre);
        let radius = a.hypot() + (b.hypot() - a.hypot()) * t;
        let turned = turned(a, self.sweep * t);
        if a.hypot() > 0.0 { self.centre + turned * (radius / a.hypot()) } else { self.centre }
    }

    /// The same in `n` even pieces.
    pub(super) fn pieces(&self, n: usize) -> Vec<Self> {
        let at = |i: usize| match i {
            0 => self.from,
            i if i == n => self.to,
            i => self.at(i as f64 / n as f64),
        };
        let sweep = self.sweep / n as f64;
        (0..n).map(|i| Self { from: at(i), to: at(i + 1), centre: self.centre, sweep }).collect()
    }

    /// How many chords stay within `tolerance` mm of it.
    pub(super) fn chords(&self, tolerance: f64) -> usize {
        /// Never more than this for one arc: at the largest radius a drawing may have it is still one chord a millimetre.
        const MOST: f64 = 100_000.0;
        let half = trig::acos(1.0 - tolerance / self.radius().max(tolerance));
        (self.sweep.abs() / (2.0 * half)).ceil().clamp(1.0, MOST) as usize
    }
}

fn turned(vector: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = trig::sin_cos(angle);
    Vec2::new(vector.x * cos - vector.y * sin, vector.x * sin + vector.y * cos)
}

/// A place in counts.
pub(super) type Counts = [i64; 2];

/// Turns counts of a post into millimetres and judges what it would write.
pub(super) struct Judge<'p> {
    arcs: &'p Arcs,
    decimals: u32,
    unit: f64,
}

impl<'p> Judge<'p> {
    pub(super) fn new(post: &'p Post) -> Self {
        Self { arcs: &post.arcs, decimals: post.numbers.decimals, unit: post.units.millimetres() }
    }

    fn mm(&self, counts: Counts) -> Point {
        let one = |count| number::value(count, self.decimals) * self.unit;
        Point::new(one(counts[0]), one(counts[1]))
    }

    /// One count, mm.
    pub(super) fn count_mm(&self) -> f64 {
        number::value(1, self.decimals) * self.unit
    }

    /// Whether the arc from `from` to `to` about `centre`, as a reader of the file has it, is the one that is meant.
    fn same(&self, from: Point, to: Point, centre: Point, meant: &Meant) -> bool {
        let written = Meant::new(from, to, centre, meant.sweep > 0.0);
        let stray = written.at(0.5).distance(meant.at(0.5));
        let agree = (from.distance(centre) - to.distance(centre)).abs();
        agree <= SHARE * self.arcs.agree_mm
            && stray <= STRAY_MM.max(STRAY_COUNTS * self.count_mm())
            && (written.sweep - meant.sweep).abs() <= BENT
    }

    /// I and J: the nearest counts whose radii agree, none if none near do.
    pub(super) fn centre(&self, from: Counts, to: Counts, meant: &Meant) -> Option<Counts> {
        let (a, b) = (self.mm(from), self.mm(to));
        let offset = (meant.centre - a) / self.unit;
        let near = [number::count(offset.x, self.decimals)?, number::count(offset.y, self.decimals)?];
        let good = |ij: &Counts| self.same(a, b, a + self.mm(*ij).to_vec2(), meant);
        around(near).into_iter().find(good)
    }

    /// R: the nearest count that makes the arc, none if none near does.
    pub(super) fn radius(&self, from: Counts, to: Counts, meant: &Meant) -> Option<i64> {
        let (a, b) = (self.mm(from), self.mm(to));
        let near = number::count(meant.radius() / self.unit, self.decimals)?;
        let good = |r: &i64| {
            let radius = number::value(*r, self.decimals) * self.unit;
            centre_by_radius(a, b, radius, meant.sweep > 0.0).is_some_and(|c| self.same(a, b, c, meant))
        };
        [0, 1, -1, 2, -2].into_iter().map(|off| near + off).find(good)
    }
}

/// The centre of the arc of at most a half circle with this radius.
fn centre_by_radius(from: Point, to: Point, radius: f64, counter_clockwise: bool) -> Option<Point> {
    let chord = to - from;
    let square = radius * radius - chord.hypot2() / 4.0;
    if chord.hypot2() == 0.0 || square < 0.0 {
        return None;
    }
    let left = Vec2::new(-chord.y, chord.x) / chord.hypot();
    let side = if counter_clockwise { 1.0 } else { -1.0 };
    Some(from + chord * 0.5 + left * (side * square.sqrt()))
}

/// The counts around one, nearest first.
fn around(near: Counts) -> Vec<Counts> {
    let mut offsets: Vec<Counts> =
        (-REACH..=REACH).flat_map(|i| (-REACH..=REACH).map(move |j| [i, j])).collect();
    offsets.sort_by_key(|o| (o[0] * o[0] + o[1] * o[1], *o));
    offsets.into_iter().map(|o| [near[0] + o[0], near[1] + o[1]]).collect()
}
