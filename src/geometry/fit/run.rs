//! One smooth run, from end to end or round and round.

use super::bulges::Directions;
use super::samples::Sample;
use super::search::{Piece, Stuck, Task, chords, search};
use crate::geometry::{Point, Segment, Vec2, trig};

/// How many places of a run may be gone through carefully (see [`Stuck`]) before kinks are put up with.
const WAYS: u32 = 20;

/// The part of the tolerance that samples may use. The rest is for the curve between them.
const REACH: f64 = 0.97;

/// The part of the tolerance that the points looked at between samples may use.
const CHECKED: f64 = 0.995;

/// Beyond this many tolerances a radius is so large that what lies near the circle lies near the arc.
const NEEDLE: f64 = 20.0;

/// How often a run is fitted again, with more samples, when the curve leaves the tolerance between samples.
const TRIES: u32 = 8;

/// And each time this much closer.
const CLOSER: f64 = 0.99;

/// The largest kink that is made, in degrees: a little less than the one allowed, for rounding.
const MADE_KINK_DEG: f64 = super::KINK_DEG - 0.001;

/// What came of a run, and the samples that its pieces count by.
struct Fitted {
    pieces: Vec<Piece>,
    samples: Vec<Sample>,
    /// Whether no kink had to be put up with.
    smooth: bool,
}

/// Fits a run whose ends stay where they are. `leave` and `arrive` are directions to be smooth with. The lines of a
/// trace have no directions of their own to go by where there is no smooth way on.
pub(super) fn open(
    samples: &[Sample],
    tolerance: f64,
    leave: Option<Vec2>,
    arrive: Option<Vec2>,
    is_trace: bool,
) -> Vec<Segment> {
    let kink = MADE_KINK_DEG.to_radians();
    let limits = |direction: Option<Vec2>| direction.map(|d| Directions::about(d, kink));
    let ends = (samples[0].at, samples[samples.len() - 1].at);
    segments(&within(samples, tolerance, (limits(leave), limits(arrive)), is_trace, |_| ends).pieces)
}

/// Searches until the curve between the samples lies within the tolerance too, with more samples where it did not.
/// `ends` gives the first and last point for a reach.
fn within(
    samples: &[Sample],
    tolerance: f64,
    (leave, arrive): (Option<Directions>, Option<Directions>),
    is_trace: bool,
    ends: impl Fn(f64) -> (Point, Point),
) -> Fitted {
    let kink = trig::sin_cos(MADE_KINK_DEG.to_radians());
    let mut reach = tolerance * REACH;
    let mut samples = samples.to_vec();
    let mut careful = vec![false; samples.len()];
    let (mut tries, mut ways) = (0, 0);
    loop {
        let ends = ends(reach);
        let task = Task { samples: &samples, reach, kink, leave, arrive, careful: &careful, ends };
        let (pieces, stuck) = search(&task);
        if let Some(Stuck { first, last }) = stuck
            && !is_trace
            && ways < WAYS
            && careful[first + 1..last].contains(&false)
        {
            careful[first + 1..last].fill(true);
            ways += 1;
            continue;
        }
        let off = strays(&samples, &pieces, tolerance);
        tries += 1;
        if off.is_empty() {
            return Fitted { pieces, samples, smooth: stuck.is_none() };
        }
        if tries == TRIES {
            // Never seen to happen; right, if no beauty.
            let pieces = chords(&samples, ends);
            return Fitted { pieces, samples, smooth: false };
        }
        samples = refined(&samples, &off);
        careful = vec![false; samples.len()];
        reach *= CLOSER;
    }
}

/// The samples after which the curve leaves the tolerance before the next.
fn strays(samples: &[Sample], pieces: &[Piece], tolerance: f64) -> Vec<usize> {
    let of = |piece: &Piece| {
        let segment = Segment::arc(piece.from, piece.to, piece.bulge);
        let centre = segment.centre().map(|c| (c, segment.radius()));
        let far = move |p: Point| match centre {
            Some((centre, radius)) if radius > NEEDLE * tolerance => (p.distance(centre) - radius).abs(),
            _ => segment.nearest(p).1,
        };
        let strays =
            move |&i: &usize| between(&samples[i..i + 2]).into_iter().any(|p| far(p) > tolerance * CHECKED);
        (piece.first..piece.last).filter(strays)
    };
    pieces.iter().flat_map(of).collect()
}

/// The samples with one more after each of these.
fn refined(samples: &[Sample], after: &[usize]) -> Vec<Sample> {
    let mut found = Vec::with_capacity(samples.len() + after.len());
    let mut next = after.iter().peekable();
    for (i, sample) in samples.iter().enumerate() {
        if next.next_if_eq(&&i).is_none() {
            found.push(*sample);
            continue;
        }
        let [_, early, _, half, _, late, _] = between(&samples[i..i + 2]);
        let chord = samples[i + 1].at - sample.at;
        let along = if chord.hypot2() > 0.0 { chord.normalize() } else { sample.along };
        found.push(Sample { half: early, ..*sample });
        found.push(Sample { at: half, along, half: late, corner: false });
    }
    found
}

/// Seven points of the curve between two samples: the one halfway, and more on the parabola through all three.
fn between(pair: &[Sample]) -> [Point; 7] {
    let (a, half, b) = (pair[0].at, pair[0].half, pair[1].at);
    let (ahead, back) = (b - half, a - half);
    let (slope, bend) = ((ahead - back) / 2.0, (ahead + back) / 2.0);
    [-0.75, -0.5, -0.25, 0.0, 0.25, 0.5, 0.75].map(|t| half + (slope + bend * t) * t)
}

fn segments(pieces: &[Piece]) -> Vec<Segment> {
    pieces.iter().map(|p| Segment::arc(p.from, p.to, p.bulge)).collect()
}

/// Fits a closed run that is smooth all round; the last sample repeats the first.
pub(super) fn ring(samples: &[Sample], tolerance: f64, is_trace: bool) -> Vec<Segment> {
    if let Some(circle) = circle(samples, tolerance) {
        return circle;
    }
    let mut best = from_seam(samples, tolerance, samples[0].along, 0.0, is_trace);
    // A seam in the middle of an arc costs one. A joint that the first try found makes a better one.
    let count = best.pieces.len();
    if count > 2 {
        let (before, joint) = (best.pieces[count / 2 - 1], best.pieces[count / 2]);
        let arrive = Segment::arc(before.from, before.to, before.bulge).tangent(1.0);
        let leave = Segment::arc(joint.from, joint.to, joint.bulge).tangent(0.0);
        let turned = rotated(&best.samples, joint.first);
        let side = Vec2::new(-turned[0].along.y, turned[0].along.x);
        let offset = (joint.from - turned[0].at).dot(side);
        let again = from_seam(&turned, tolerance, (arrive + leave).normalize(), offset, is_trace);
        if again.pieces.len() < count && (again.smooth || !best.smooth) {
            best = again;
        }
    }
    segments(&best.pieces)
}

/// A closed run cut at its first sample, where it passes at `offset` from it in this direction.
fn from_seam(samples: &[Sample], tolerance: f64, direction: Vec2, offset: f64, is_trace: bool) -> Fitted {
    let half_kink = Directions::about(direction, (MADE_KINK_DEG / 2.0).to_radians());
    let side = Vec2::new(-samples[0].along.y, samples[0].along.x);
    let seam = |reach: f64| {
        let at = samples[0].at + side * offset.clamp(-reach, reach);
        (at, at)
    };
    within(samples, tolerance, (Some(half_kink), Some(half_kink)), is_trace, seam)
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
