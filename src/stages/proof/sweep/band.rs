//! The polygons that a disc sweeps along a run; all run counter-clockwise.

use std::f64::consts::{PI, TAU};

use super::Run;
use crate::geometry::{Point, Segment, Vec2, trig};

/// A turn at a corner smaller than this opens no wedge that a grid would hold, radians.
const NO_TURN: f64 = 1e-9;

/// A segment shorter than this has no direction, mm.
const NO_LENGTH: f64 = 1e-9;

/// Hands over the polygons that together are swept by a disc of this radius along the run, mm. Chords leave the true
/// edge by at most `chord`.
pub(super) fn sweep(run: &Run, radius: f64, chord: f64, each: &mut dyn FnMut(&[Point])) {
    let pen = Pen { radius, step: step(radius, chord), chord };
    let mut points = Vec::new();
    let mut before: Option<(Point, Vec2)> = None;
    let mut first: Option<(Point, Vec2)> = None;
    let moving = |s: &&Segment| s.chord().hypot() > NO_LENGTH;
    for segment in run.iter().filter(moving) {
        pen.band(segment, &mut points);
        each(&points);
        if segment.radius() <= radius {
            for at in [segment.from, segment.to] {
                pen.disc(at, &mut points, each);
            }
        }
        let ahead = segment.tangent(0.0);
        match before {
            Some((at, way)) if at.distance(segment.from) <= NO_LENGTH => {
                pen.corner(segment.from, way, ahead, &mut points, each);
            }
            Some((at, way)) => {
                pen.cap(at, way, &mut points, each);
                pen.cap(segment.from, -ahead, &mut points, each);
            }
            None => first = Some((segment.from, ahead)),
        }
        before = Some((segment.to, segment.tangent(1.0)));
    }
    match (first, before) {
        (Some((begin, ahead)), Some((end, way))) if begin.distance(end) <= NO_LENGTH => {
            pen.corner(begin, way, ahead, &mut points, each);
        }
        (Some((begin, ahead)), Some((end, way))) => {
            pen.cap(begin, -ahead, &mut points, each);
            pen.cap(end, way, &mut points, each);
        }
        // It stands still: a hole as wide as itself.
        _ => run.first().into_iter().for_each(|s| pen.disc(s.from, &mut points, each)),
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
    /// What it sweeps along one segment, ends cut square. The segment's own ends are corners, too, so that wedges and
    /// caps share whole edges with it: a grid opens slits between edges that only lie on one another.
    fn band(&self, segment: &Segment, points: &mut Vec<Point>) {
        points.clear();
        let side = |t: f64| left(segment.tangent(t)) * self.radius;
        let (begin, end) = (side(0.0), side(1.0));
        let Some(centre) = segment.centre() else {
            let (from, to) = (segment.from, segment.to);
            points.extend([from - begin, to - end, to, to + end, from + begin, from]);
            return;
        };
        let (radius, sweep) = (segment.radius(), segment.sweep());
        let (outer, inner) = (radius + self.radius, radius - self.radius);
        // The left side lies towards the centre of an arc that runs counter-clockwise.
        let sign = if sweep > 0.0 { 1.0 } else { -1.0 };
        let (from, to) = (segment.from - begin * sign, segment.to - end * sign);
        self.arc(centre, from, to, sweep, outer, points);
        points.push(segment.to);
        if inner > 0.0 {
            self.arc(centre, segment.to + end * sign, segment.from + begin * sign, -sweep, inner, points);
        } else {
            points.push(centre);
        }
        points.push(segment.from);
        if sweep < 0.0 {
            points.reverse();
        }
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
