//! The contours that together run around what a disc sweeps along a run: filled wherever they wind round, whichever way.
//!
//! Each segment sweeps a band, each corner the wedge that opens on its outer side, each end half a disc. Bands and wedges
//! that follow each other are one strip, for what they have in common is no edge of it: contours add up.

use std::f64::consts::{PI, TAU};

use super::Run;
use crate::geometry::{Point, Segment, Vec2, trig};

/// A turn at a corner smaller than this opens no wedge that a grid would hold, radians.
const NO_TURN: f64 = 1e-9;

/// A segment shorter than this has no direction, mm.
const NO_LENGTH: f64 = 1e-9;

/// Seams between bands whose edges only lie on one another are covered so far to both sides, mm: many steps of the grid, and
/// so little that a corner of the cover leaves the disc by less than one.
const SEAM: f64 = 5e-4;

/// Hands over the contours around what is swept by a disc of this radius along the run, mm. Chords leave the true edge by
/// at most `chord`.
pub(super) fn sweep(run: &Run, radius: f64, chord: f64, each: &mut dyn FnMut(&[Point])) {
    let pen = Pen { radius, step: step(radius, chord), chord };
    let mut strip = Strip::default();
    let mut points = Vec::new();
    let mut before: Option<(Point, Vec2)> = None;
    let mut first: Option<(Point, Vec2)> = None;
    let moving = |s: &&Segment| s.chord().hypot() > NO_LENGTH;
    for segment in run.iter().filter(moving) {
        let ahead = segment.tangent(0.0);
        // An arc so tight that the disc covers its centre has no inner side.
        let tight = segment.radius() <= radius;
        match before {
            Some((at, way)) if at.distance(segment.from) <= NO_LENGTH => {
                if tight {
                    strip.end(each);
                }
                if strip.is_empty() {
                    pen.corner(segment.from, way, ahead, &mut points, each);
                } else {
                    pen.turn(segment.from, way, ahead, &mut strip);
                }
            }
            Some((at, way)) => {
                strip.end(each);
                pen.cap(at, way, &mut points, each);
                pen.cap(segment.from, -ahead, &mut points, each);
            }
            None => first = Some((segment.from, ahead)),
        }
        if tight {
            strip.end(each);
            pen.tight(segment, &mut points, each);
        } else {
            pen.band(segment, &mut strip);
        }
        before = Some((segment.to, segment.tangent(1.0)));
    }
    match (first, before) {
        (Some((begin, ahead)), Some((end, way))) if begin.distance(end) <= NO_LENGTH => {
            if strip.is_whole() {
                pen.turn(begin, way, ahead, &mut strip);
                strip.close(each);
            } else {
                strip.end(each);
                pen.corner(begin, way, ahead, &mut points, each);
            }
        }
        (Some((begin, ahead)), Some((end, way))) => {
            strip.end(each);
            pen.cap(begin, -ahead, &mut points, each);
            pen.cap(end, way, &mut points, each);
        }
        // It stands still: a hole as wide as itself.
        _ => run.first().into_iter().for_each(|s| pen.disc(s.from, &mut points, each)),
    }
}

/// Bands and the wedges between them, both sides in the direction of the run.
#[derive(Default)]
struct Strip {
    right: Vec<Point>,
    left: Vec<Point>,
    /// Where its middle begins and ends: corners of its square ends, so that wedges and caps share whole edges with it. A
    /// grid opens slits between edges that only lie on one another.
    ends: Option<(Point, Point)>,
    /// Whether anything was handed over, or left out, before.
    parted: bool,
}

impl Strip {
    fn is_empty(&self) -> bool {
        self.ends.is_none()
    }

    /// Whether it holds everything since the run began.
    fn is_whole(&self) -> bool {
        !self.parted
    }

    /// Hands it over, its ends square, and begins anew.
    fn end(&mut self, each: &mut dyn FnMut(&[Point])) {
        self.parted = true;
        let Some((begin, end)) = self.ends.take() else { return };
        self.right.push(end);
        self.right.extend(self.left.drain(..).rev());
        self.right.push(begin);
        each(&self.right);
        self.right.clear();
    }

    /// Hands over both sides of one that has come round.
    fn close(&mut self, each: &mut dyn FnMut(&[Point])) {
        self.ends = None;
        each(&self.right);
        self.right.clear();
        self.left.reverse();
        each(&self.left);
        self.left.clear();
    }
}

/// The largest angle whose chord leaves a circle by at most `chord`.
fn step(radius: f64, chord: f64) -> f64 {
    2.0 * trig::acos((1.0 - chord / radius.max(chord)).clamp(0.0, 1.0))
}

struct Pen {
    radius: f64,
    /// Angle between the corners of its own disc.
    step: f64,
    chord: f64,
}

impl Pen {
    /// Adds what it sweeps along one segment to the strip.
    fn band(&self, segment: &Segment, strip: &mut Strip) {
        let side = |t: f64| left(segment.tangent(t)) * self.radius;
        let (begin, end) = (side(0.0), side(1.0));
        let (from, to) = (segment.from, segment.to);
        if let Some(centre) = segment.centre() {
            let (radius, sweep) = (segment.radius(), segment.sweep());
            // The left side lies towards the centre of an arc that runs counter-clockwise.
            let more = if sweep > 0.0 { self.radius } else { -self.radius };
            self.arc(centre, from - begin, to - end, sweep, radius + more, &mut strip.right);
            self.arc(centre, from + begin, to + end, sweep, radius - more, &mut strip.left);
        } else {
            strip.right.extend([from - begin, to - end]);
            strip.left.extend([from + begin, to + end]);
        }
        strip.ends = Some((strip.ends.map_or(from, |(begin, _)| begin), to));
    }

    /// What it sweeps along an arc whose centre it covers. Whatever place it sweeps is swept from the nearest on the run:
    /// on the inner side of the arc none lies beyond its centre.
    fn tight(&self, segment: &Segment, points: &mut Vec<Point>, each: &mut dyn FnMut(&[Point])) {
        let Some(centre) = segment.centre() else { return };
        points.clear();
        let side = |t: f64| left(segment.tangent(t)) * self.radius;
        let sweep = segment.sweep();
        let sign = if sweep > 0.0 { 1.0 } else { -1.0 };
        let (from, to) = (segment.from - side(0.0) * sign, segment.to - side(1.0) * sign);
        self.arc(centre, from, to, sweep, segment.radius() + self.radius, points);
        points.extend([segment.to, centre, segment.from]);
        if sweep < 0.0 {
            points.reverse();
        }
        each(points);
        // What lies beside it reaches farther along the same line than to the centre: edges that only lie on one another.
        for at in [segment.from, segment.to] {
            let way = centre - at;
            let beside = left(way) * (SEAM / way.hypot());
            points.clear();
            points.extend([at - beside, centre - beside, centre + beside, at + beside]);
            each(points);
        }
    }

    /// Adds the wedge on the outer side of a corner to the strip, and the corner itself on its inner side.
    fn turn(&self, at: Point, way: Vec2, ahead: Vec2, strip: &mut Strip) {
        let turn = trig::atan2(way.cross(ahead), way.dot(ahead));
        if turn.abs() <= NO_TURN {
            return;
        }
        let (sign, outer, inner) = if turn > 0.0 {
            (-self.radius, &mut strip.right, &mut strip.left)
        } else {
            (self.radius, &mut strip.left, &mut strip.right)
        };
        self.fan(at, left(way) * sign, left(ahead) * sign, turn, outer);
        inner.push(at);
    }

    /// Points along an arc about a centre, its ends as they are given.
    fn arc(&self, centre: Point, from: Point, to: Point, sweep: f64, radius: f64, points: &mut Vec<Point>) {
        let count = (sweep.abs() / step(radius, self.chord)).ceil().max(1.0);
        points.push(from);
        let (sin, cos) = trig::sin_cos(sweep / count);
        let mut ray = from - centre;
        for _ in 1..count as usize {
            ray = Vec2::new(ray.x * cos - ray.y * sin, ray.x * sin + ray.y * cos);
            points.push(centre + ray);
        }
        points.push(to);
    }

    /// The wedge on the outer side of a corner.
    fn corner(
        &self,
        at: Point,
        way: Vec2,
        ahead: Vec2,
        points: &mut Vec<Point>,
        each: &mut dyn FnMut(&[Point]),
    ) {
        let turn = trig::atan2(way.cross(ahead), way.dot(ahead));
        if turn.abs() <= NO_TURN {
            return;
        }
        let sign = if turn > 0.0 { -self.radius } else { self.radius };
        points.clear();
        points.push(at);
        self.fan(at, left(way) * sign, left(ahead) * sign, turn, points);
        if turn < 0.0 {
            points.reverse();
        }
        each(points);
    }

    /// Half a disc beyond an end.
    fn cap(&self, at: Point, way: Vec2, points: &mut Vec<Point>, each: &mut dyn FnMut(&[Point])) {
        points.clear();
        points.push(at);
        let side = left(way) * self.radius;
        self.fan(at, -side, side, PI, points);
        each(points);
    }

    fn fan(&self, at: Point, first: Vec2, last: Vec2, turn: f64, points: &mut Vec<Point>) {
        let count = (turn.abs() / self.step).ceil().max(1.0);
        points.push(at + first);
        for i in 1..count as usize {
            let (sin, cos) = trig::sin_cos(turn * i as f64 / count);
            points.push(at + Vec2::new(first.x * cos - first.y * sin, first.x * sin + first.y * cos));
        }
        points.push(at + last);
    }

    fn disc(&self, at: Point, points: &mut Vec<Point>, each: &mut dyn FnMut(&[Point])) {
        points.clear();
        let count = (TAU / self.step).ceil().max(3.0);
        points.extend((0..count as usize).map(|i| {
            let (sin, cos) = trig::sin_cos(TAU * i as f64 / count);
            at + Vec2::new(cos, sin) * self.radius
        }));
        each(points);
    }
}

fn left(way: Vec2) -> Vec2 {
    Vec2::new(-way.y, way.x)
}
