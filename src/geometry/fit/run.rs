//! One smooth run, from end to end or round and round.

use super::bulges::Directions;
use super::samples::Sample;
use super::search::{Piece, Task, search};
use crate::geometry::{Point, Segment, Vec2, trig};

/// The part of the tolerance that samples may use. The rest is for the curve between them.
const REACH: f64 = 0.97;

/// How often a run is fitted again, each time closer, when the curve leaves the tolerance between samples.
const TRIES: u32 = 5;

/// The largest kink that is made, in degrees: a little less than the one allowed, for rounding.
const MADE_KINK_DEG: f64 = super::KINK_DEG - 0.001;

/// Fits a run whose ends stay where they are. `leave` and `arrive` are directions to be smooth with.
pub(super) fn open(
    samples: &[Sample],
    tolerance: f64,
    leave: Option<Vec2>,
    arrive: Option<Vec2>,
) -> Vec<Segment> {
    let kink = MADE_KINK_DEG.to_radians();
    let limits = |direction: Option<Vec2>| direction.map(|d| Directions::about(d, kink));
    let ends = (samples[0].at, samples[samples.len() - 1].at);
    segments(&within(samples, tolerance, (limits(leave), limits(arrive)), |_| ends))
}

/// Searches, closer and closer, until the curve between the samples lies within the tolerance too. `ends` gives the
/// first and last point for a reach.
fn within(
    samples: &[Sample],
    tolerance: f64,
    (leave, arrive): (Option<Directions>, Option<Directions>),
    ends: impl Fn(f64) -> (Point, Point),
) -> Vec<Piece> {
    let kink = trig::sin_cos(MADE_KINK_DEG.to_radians());
    let mut reach = tolerance * REACH;
    let mut pieces = Vec::new();
    for _ in 0..TRIES {
        pieces = search(&Task { samples, reach, kink, leave, arrive, ends: ends(reach) });
        let off = worst(samples, &pieces);
        if off <= tolerance {
            break;
        }
        reach *= (tolerance / off * 0.99).min(0.98);
    }
    pieces
}

/// The largest distance from a point halfway between samples to the arc that covers it.
fn worst(samples: &[Sample], pieces: &[Piece]) -> f64 {
    let of = |piece: &Piece| {
        let segment = Segment::arc(piece.from, piece.to, piece.bulge);
        let centre = segment.centre().map(|c| (c, segment.radius()));
        let far = move |p: Point| match centre {
            Some((centre, radius)) => (p.distance(centre) - radius).abs(),
            None => segment.nearest(p).1,
        };
        samples[piece.first..piece.last].iter().map(move |s| far(s.half)).fold(0.0, f64::max)
    };
    pieces.iter().map(of).fold(0.0, f64::max)
}

fn segments(pieces: &[Piece]) -> Vec<Segment> {
    pieces.iter().map(|p| Segment::arc(p.from, p.to, p.bulge)).collect()
}

/// Fits a closed run that is smooth all round; the last sample repeats the first.
pub(super) fn ring(samples: &[Sample], tolerance: f64) -> Vec<Segment> {
    if let Some(circle) = circle(samples, tolerance) {
        return circle;
    }
    let start = samples[0].along;
    let mut best = from_seam(samples, tolerance, start, 0.0);
    // A seam in the middle of an arc costs one. A joint that the first try found makes a better one.
    for share in [3, 2] {
        let joint = best[best.len() / share];
        let before = best[best.len() / share - 1];
        let arrive = Segment::arc(before.from, before.to, before.bulge).tangent(1.0);
        let leave = Segment::arc(joint.from, joint.to, joint.bulge).tangent(0.0);
        let turned = rotated(samples, joint.first);
        let side = Vec2::new(-turned[0].along.y, turned[0].along.x);
        let offset = (joint.from - turned[0].at).dot(side);
        let again = from_seam(&turned, tolerance, (arrive + leave).normalize(), offset);
        if again.len() < best.len() {
            best = again;
            break;
        }
    }
    segments(&best)
}

/// A closed run cut at its first sample, where it passes at `offset` from it in this direction.
fn from_seam(samples: &[Sample], tolerance: f64, direction: Vec2, offset: f64) -> Vec<Piece> {
    let half_kink = Directions::about(direction, (MADE_KINK_DEG / 2.0).to_radians());
    let side = Vec2::new(-samples[0].along.y, samples[0].along.x);
    let seam = |reach: f64| {
        let at = samples[0].at + side * offset.clamp(-reach, reach);
        (at, at)
    };
    within(samples, tolerance, (Some(half_kink), Some(half_kink)), seam)
}

/// The ring begun at another sample.
fn rotated(samples: &[Sample], first: usize) -> Vec<Sample> {
    let count = samples.len() - 1;
    (0..=count).map(|i| samples[(first + i) % count]).collect()
}

/// Two half circles, where all of the ring lies within the tolerance of one circle and goes round it once.
fn circle(samples: &[Sample], tolerance: f64) -> Option<Vec<Segment>> {
    let (centre, radius) = circle_through(samples)?;
    let off = |p: Point| (p.distance(centre) - radius).abs();
    if samples.iter().any(|s| off(s.at) > tolerance * REACH || off(s.half) > tolerance) {
        return None;
    }
    let turn = |pair: &[Sample]| crate::geometry::turn_between(pair[0].at - centre, pair[1].at - centre);
    let round: f64 = samples.windows(2).map(turn).sum();
    if (round.abs() - std::f64::consts::TAU).abs() > 0.1 || radius <= 0.0 {
        return None;
    }
    let out = (samples[0].at - centre).normalize() * radius;
    let (east, west) = (centre + out, centre - out);
    let bulge = round.signum();
    Some(vec![Segment::arc(east, west, bulge), Segment::arc(west, east, bulge)])
}

/// The circle nearest to all samples, by least squares of x^2 + y^2 (I. Kåsa, 1976), its radius midway between the
/// nearest and the farthest.
fn circle_through(samples: &[Sample]) -> Option<(Point, f64)> {
    let count = samples.len() as f64;
    let middle = samples.iter().fold(Vec2::ZERO, |sum, s| sum + s.at.to_vec2()) / count;
    let (mut xx, mut xy, mut yy, mut xz, mut yz) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for sample in samples {
        let v = sample.at.to_vec2() - middle;
        let z = v.hypot2();
        xx += v.x * v.x;
        xy += v.x * v.y;
        yy += v.y * v.y;
        xz += v.x * z;
        yz += v.y * z;
    }
    let determinant = xx * yy - xy * xy;
    if determinant <= 1e-12 * (xx + yy) * (xx + yy) {
        return None;
    }
    let centre = Vec2::new(xz * yy - yz * xy, yz * xx - xz * xy) / (2.0 * determinant);
    let centre = (middle + centre).to_point();
    let radii = samples.iter().map(|s| s.at.distance(centre));
    let (least, most) = radii.fold((f64::INFINITY, 0.0_f64), |(a, b), r| (a.min(r), b.max(r)));
    Some((centre, f64::midpoint(least, most)))
}
