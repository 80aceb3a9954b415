//! Where along a path a tab may sit: the straight stretches first, then the gentle curves, then what is left.

use crate::geometry::{Point, Segment, Vec2, turn_between};

use super::track::Track;

/// Lines that turn by no more than this where they meet, and in all along the stretch, are one straight, in degrees:
/// a knife laid along it does not notice.
const STRAIGHT_DEG: f64 = 0.6;

/// Between two inward corners a straight shorter than this is the bottom of a notch, in millimetres.
const NOTCH_MM: f64 = 40.0;

/// With another wall of the part closer than this in front of it, in millimetres, a tab sits in a slot: no knife or
/// sanding block gets at it.
const ELBOW_ROOM_MM: f64 = 20.0;

/// A corner is a turn of more than this, in degrees.
const CORNER_DEG: f64 = 5.0;

/// The rounding of a corner is an arc of a smaller radius than this, in millimetres.
const ROUNDED_CORNER_MM: f64 = 20.0;

/// Places for the middle of a tab: from `from` to `to` along the path in millimetres. `from` lies on the path, `to` is
/// no less and runs on past the end where the stretch holds the path's first vertex.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Interval {
    pub(super) from: f64,
    pub(super) to: f64,
    /// How little it is wanted: 0 is best, 1 is worth one whole distance between tabs.
    pub(super) penalty: f64,
}

/// A run of segments that a tab may sit on.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    from: f64,
    to: f64,
    /// It is the whole path, without an end.
    ring: bool,
    first: usize,
    last: usize,
}

/// What kind of stretch is asked for.
#[derive(Clone, Copy, Debug)]
pub(super) enum Kind {
    /// Straight, within an angle (degrees) of a direction.
    Straight { towards: Vec2, within_deg: f64 },
    /// Straight or an arc of at least this radius, with no join that turns more than this (degrees).
    Curve { radius_mm: f64, join_deg: f64 },
}

/// What is asked of a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ask {
    pub(super) kind: Kind,
    /// From the tab's end to the end of the stretch, mm.
    pub(super) clear_mm: f64,
    /// Whether the bottoms and walls of notches and slots will do.
    pub(super) notches: bool,
    pub(super) penalty: f64,
}

/// The places on `track` where a tab that takes `span` millimetres meets what is asked.
pub(super) fn intervals(track: &Track, span: f64, ask: Ask) -> Vec<Interval> {
    let shrink = span / 2.0 + ask.clear_mm;
    let long_enough = |s: &Stretch| s.ring || s.to - s.from >= 2.0 * shrink;
    let stretches = stretches(track, ask.kind);
    let fits = stretches.into_iter().filter(|s| long_enough(s) && direction_fits(track, s, ask.kind));
    fits.filter(|s| ask.notches || !(notch_bottom(track, s) || hemmed_in(track, s)))
        .map(|s| {
            let shrink = if s.ring { 0.0 } else { shrink };
            interval(track, s.from + shrink, s.to - shrink, ask.penalty)
        })
        .collect()
}

/// With its beginning brought back onto the path.
fn interval(track: &Track, from: f64, to: f64, penalty: f64) -> Interval {
    let length = track.length();
    let back = if from >= length { length } else { 0.0 };
    // Where the tab just fits, rounding must not turn the interval round.
    Interval { from: from - back, to: (to - back).max(from - back), penalty }
}

/// The longest runs of segments of the kind.
fn stretches(track: &Track, kind: Kind) -> Vec<Stretch> {
    let segments = track.segments();
    let count = segments.len();
    let goes_on = |first: usize, i: usize| continues(segments, kind, first, i, (i + 1) % count);
    let Some(begin) = (0..count).find(|&i| !goes_on(i, i)) else {
        return vec![Stretch { from: 0.0, to: track.length(), ring: true, first: 0, last: count - 1 }];
    };
    let mut found = Vec::new();
    let mut first = begin + 1;
    for i in begin + 1..=begin + count {
        if !goes_on(first % count, i % count) {
            if is_of(segments[i % count], kind) {
                found.push(stretch(track, first, i));
            }
            first = i + 1;
        }
    }
    found
}

/// From segment `first` to segment `last`, counted on past the end of the path.
fn stretch(track: &Track, first: usize, last: usize) -> Stretch {
    let count = track.segments().len();
    let at = |i: usize| track.start(i % count) + if i >= count { track.length() } else { 0.0 };
    let to = at(last) + track.start(last % count + 1) - track.start(last % count);
    Stretch { from: at(first), to, ring: false, first: first % count, last: last % count }
}

fn is_of(segment: Segment, kind: Kind) -> bool {
    match kind {
        Kind::Straight { .. } => segment.is_line(),
        Kind::Curve { radius_mm, .. } => segment.radius() >= radius_mm,
    }
}

/// Whether a run that began with segment `first` and holds `here` holds `next` too.
fn continues(segments: &[Segment], kind: Kind, first: usize, here: usize, next: usize) -> bool {
    if !(is_of(segments[here], kind) && is_of(segments[next], kind)) {
        return false;
    }
    let turn = |a: usize, b: usize| turn_between(segments[a].tangent(1.0), segments[b].tangent(0.0)).abs();
    let most = match kind {
        Kind::Straight { .. } => STRAIGHT_DEG,
        Kind::Curve { join_deg, .. } => join_deg,
    };
    let along = matches!(kind, Kind::Curve { .. }) || turn(first, next).to_degrees() <= STRAIGHT_DEG;
    along && turn(here, next).to_degrees() <= most
}

fn direction_fits(track: &Track, stretch: &Stretch, kind: Kind) -> bool {
    let Kind::Straight { towards, within_deg } = kind else { return true };
    let way = track.segments()[stretch.first].tangent(0.0);
    let turn = turn_between(towards, way).to_degrees().abs();
    turn.min(180.0 - turn) <= within_deg
}

/// Whether both ends turn inwards and lie close together. The material is on the left: inwards is to the right.
fn notch_bottom(track: &Track, stretch: &Stretch) -> bool {
    let segments = track.segments();
    let count = segments.len();
    if stretch.ring || stretch.to - stretch.from > NOTCH_MM {
        return false;
    }
    let before = (stretch.first + count - 1) % count;
    let after = (stretch.last + 1) % count;
    let begins = turn_between(segments[before].tangent(1.0), segments[stretch.first].tangent(0.0));
    let ends = turn_between(segments[stretch.last].tangent(1.0), segments[after].tangent(0.0));
    turns_inwards(begins, segments[before]) && turns_inwards(ends, segments[after])
}

/// Whether the corner made by a join and by the rounding beside it turns to the right.
fn turns_inwards(join: f64, beside: Segment) -> bool {
    let corner = CORNER_DEG.to_radians();
    join < -corner || (join < corner && beside.radius() < ROUNDED_CORNER_MM && beside.sweep() < -corner)
}

/// Whether another wall of the part stands close in front of the stretch's ends or middle.
fn hemmed_in(track: &Track, stretch: &Stretch) -> bool {
    let length = track.length();
    [0.1, 0.5, 0.9].iter().any(|share| {
        let s = (stretch.from + (stretch.to - stretch.from) * share) % length;
        let way = track.tangent(s);
        wall_ahead(track, track.point(s), Vec2::new(way.y, -way.x))
    })
}

/// Whether the path crosses the ray from `from` in direction `way` within the elbow room.
fn wall_ahead(track: &Track, from: Point, way: Vec2) -> bool {
    // The ray starts on the path itself: what it meets this close is where it stands.
    const OWN_MM: f64 = 1e-3;
    let ahead = |hit: &f64| (OWN_MM..ELBOW_ROOM_MM).contains(hit);
    track.segments().iter().any(|segment| crossings(*segment, from, way).iter().flatten().any(ahead))
}

/// Distances along the ray at which it crosses the segment.
fn crossings(segment: Segment, from: Point, way: Vec2) -> [Option<f64>; 2] {
    let Some(centre) = segment.centre() else {
        let (chord, apart) = (segment.chord(), segment.from - from);
        let across = way.cross(chord);
        let (along, share) = (apart.cross(chord) / across, apart.cross(way) / across);
        return [(across != 0.0 && (0.0..=1.0).contains(&share)).then_some(along), None];
    };
    let radius = segment.radius();
    let middle = (centre - from).dot(way);
    let aside = (centre - from).hypot2() - middle * middle;
    let half = radius * radius - aside;
    if half < 0.0 {
        return [None, None];
    }
    let on_arc = |along: f64| {
        let off = segment.nearest(from + way * along).1;
        (off < 1e-6 * radius.max(1.0)).then_some(along)
    };
    [on_arc(middle - half.sqrt()), on_arc(middle + half.sqrt())]
}
