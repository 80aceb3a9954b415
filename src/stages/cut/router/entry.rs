//! How a cutter comes down: along its path on a ramp, round and round on a helix where the path is short, straight down
//! only where that is asked for or where there is no room.
//!
//! A ramp of angle `a` that goes down by `d` is `d / tan(a)` long over the wood. A helix on a circle of diameter `D` goes
//! down by `pi D tan(a)` each turn. Ramps of 3 to 10 degrees and helices of 2 to 5 are common practice (no source).

use crate::geometry::{Segment, trig};
use crate::shop::RouterCraft;

use super::super::track::{NOTHING_MM, Track};
use super::super::{Move, Tab, moves};
use super::Depths;

/// There and back on less than this, mm, is no ramp: a cutter does not turn round in a tenth of a millimetre.
const LEAST_RUN_MM: f64 = 0.5;

/// More turns than this and a hole is drilled: there is hardly any circle to go round.
pub(super) const MOST_TURNS: f64 = 40.0;

/// An angle from here on is a plunge, degrees.
const PLUNGE_DEG: f64 = 89.0;

/// Run over the wood that a descent takes, mm; none where it is a plunge.
pub(super) fn run_of(depth: f64, degrees: f64) -> Option<f64> {
    (degrees < PLUNGE_DEG).then(|| depth / trig::tan(degrees.to_radians()))
}

/// Which way a closed path is entered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Way {
    /// Down a ramp of this run at the beginning of each pass, and on from there.
    Ahead(f64),
    /// There and back on a stretch of this length, so many times.
    ThereAndBack(f64, u32),
    /// Straight down.
    Plunge,
}

/// The way down by `depth` where the path is free for `free` millimetres from its beginning.
pub(super) fn way(depth: f64, free: f64, craft: &RouterCraft) -> Way {
    match run_of(depth, craft.ramp_deg) {
        None => Way::Plunge,
        Some(run) if run <= free => Way::Ahead(run),
        Some(_) if free < LEAST_RUN_MM => Way::Plunge,
        Some(run) => {
            let times = (run / (2.0 * free) - 1e-9).ceil().max(1.0);
            Way::ThereAndBack(run / (2.0 * times), times as u32)
        }
    }
}

/// How far the last pass runs past its beginning: over the ramp that it came down on.
pub(super) fn overrun(way: Way) -> f64 {
    if let Way::Ahead(run) = way { run } else { 0.0 }
}

/// The length from the beginning that is free of tabs which a cutter at height `z` would meet.
pub(super) fn free(track: &Track, tabs: &[Tab], thickness: f64, z: f64) -> f64 {
    let met = |tab: &&Tab| tab.height_mm - thickness > z + NOTHING_MM;
    tabs.iter().find(met).map_or(track.length(), |tab| tab.from_mm)
}

/// Whether a path so short is gone down on without a level round in between: each turn goes no deeper than a pass. Gives
/// the run of the whole descent.
pub(super) fn helix(track: &Track, depth: f64, pass: f64, craft: &RouterCraft) -> Option<f64> {
    let degrees = if is_circle(track) { craft.helix_deg.min(craft.ramp_deg) } else { craft.ramp_deg };
    let run = run_of(depth, degrees)?;
    let short = track.length() * trig::tan(degrees.to_radians()) <= pass;
    (short && run <= MOST_TURNS * track.length()).then_some(run)
}

/// A circle is two half circles.
pub(super) fn is_circle(track: &Track) -> bool {
    let half = |s: &Segment| (s.bulge.abs() - 1.0).abs() < 1e-9;
    track.segments().len() == 2 && track.segments().iter().all(half)
}

impl Depths<'_> {
    /// Along the path from `s.0` to `s.1` (which may be behind it, or past the path's end) and from one height to another.
    pub(super) fn ride(&self, track: &Track, s: (f64, f64), z: (f64, f64), moves: &mut Vec<Move>) {
        let pieces = stretch(track, s.0, s.1);
        let length: f64 = pieces.iter().map(Segment::length).sum();
        if length <= NOTHING_MM {
            return;
        }
        let feed = self.slope_feed(length, z.1 - z.0);
        down_along(&pieces, z, feed, moves);
    }

    /// From the path's beginning at one height to another.
    pub(super) fn descend(&self, track: &Track, way: Way, z: (f64, f64), moves: &mut Vec<Move>) {
        match way {
            Way::Ahead(run) => self.ride(track, (0.0, run), z, moves),
            Way::ThereAndBack(stretch, times) => {
                let height = |half: u32| z.0 + (z.1 - z.0) * f64::from(half) / f64::from(2 * times);
                for pair in 0..times {
                    let half = 2 * pair;
                    self.ride(track, (0.0, stretch), (height(half), height(half + 1)), moves);
                    let last = if pair + 1 == times { z.1 } else { height(half + 2) };
                    self.ride(track, (stretch, 0.0), (height(half + 1), last), moves);
                }
            }
            Way::Plunge => {
                moves.push(Move::Line { to: track.point(0.0), z: z.1, feed: self.setting.plunge_mm_min });
            }
        }
    }
}

/// Along these segments from one height to another, evenly.
pub(super) fn down_along(pieces: &[Segment], z: (f64, f64), feed: f64, moves: &mut Vec<Move>) {
    let length: f64 = pieces.iter().map(Segment::length).sum();
    let mut done = 0.0;
    for piece in pieces {
        let begin = z.0 + (z.1 - z.0) * done / length;
        done += piece.length();
        let end = z.0 + (z.1 - z.0) * done / length;
        moves::along(*piece, begin, end, feed, moves);
    }
    // The last piece ends on the height itself, whatever rounding made of the sum.
    super::set_height(moves, z.1);
}

/// The segments from `from` to `to` along a path: backwards where `to` is less, round and round where it is more than the
/// path's length.
fn stretch(track: &Track, from: f64, to: f64) -> Vec<Segment> {
    if to < from {
        return track.between(to, from).iter().rev().map(Segment::reversed).collect();
    }
    let length = track.length();
    let mut pieces = Vec::new();
    let mut here = from;
    while to - here > NOTHING_MM {
        let turn = (here / length + 1e-12).floor() * length;
        let end = to.min(turn + length);
        pieces.extend(track.between((here - turn).max(0.0), end - turn));
        here = end;
    }
    pieces
}
