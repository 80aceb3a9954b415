//! Moves of a cutter: in passes down to below the wood, lifted over tabs, at clearance height in between.
//!
//! The cutter turns clockwise seen from above. Where it climbs it runs with the material that stays on its right: that
//! leaves a clean edge in wood and bends a thin cutter away from the part rather than into it (common practice, no
//! source). Outer outlines are then cut clockwise, holes counter-clockwise; conventional cutting is the other way round.

use crate::geometry::{Point, Segment, trig};
use crate::shop::RouterSetting;

use super::means::Means;
use super::track::{NOTHING_MM, Track};
use super::{Cut, Move, Operation, Tab, moves, order};

/// Slope at which the cutter is lifted over a tab and comes down behind it, in degrees.
const RAMP_DEG: f64 = 30.0;

/// Both ramps lie within the tab's stretch, and each takes at most this share of the wood's width there, so that at least
/// half of the tab has its full height.
const RAMP_SHARE: f64 = 0.25;

/// Where one sheet's cuts are made.
struct Depths<'a> {
    setting: &'a RouterSetting,
    kerf: f64,
    thickness: f64,
}

/// All moves of the cuts.
pub(super) fn moves(
    cuts: &[Cut],
    setting: &RouterSetting,
    means: &Means,
    thickness: f64,
    name: impl Fn(usize) -> String,
) -> Vec<Move> {
    let clearance = means.clearance_mm;
    let depths = Depths { setting, kerf: means.kerf_mm, thickness };
    let mut moves = Vec::new();
    for cut in cuts {
        moves.push(Move::Begin { operation: cut.operation, part: name(cut.placed) });
        moves.push(Move::Rapid { to: order::begin_of(cut), z: clearance });
        let end = depths.milled(cut, &mut moves);
        moves.push(Move::Rapid { to: end, z: clearance });
    }
    moves
}

impl Depths<'_> {
    /// Depth of an operation below the wood's face, mm.
    fn depth(&self, operation: Operation) -> f64 {
        match operation {
            Operation::Mark => self.setting.mark_depth_mm.min(self.thickness),
            Operation::Score => self.setting.score_depth.clamp(0.0, 1.0) * self.thickness,
            Operation::CutInside | Operation::CutOutside => self.thickness + self.setting.overcut_mm,
        }
    }

    /// The cut's path in equal passes, none deeper than the setting allows; an open path there and back. Gives where the
    /// cutter ends.
    fn milled(&self, cut: &Cut, moves: &mut Vec<Move>) -> Point {
        let depth = self.depth(cut.operation);
        let passes = (depth / self.setting.pass_mm - 1e-9).ceil().max(1.0);
        let open = matches!(cut.path, super::Path::Open(_));
        let there = Track::of_path(&cut.path);
        let back = (open && passes > 1.0).then(|| Track::of_path(&order::run_backwards(cut.clone()).path));
        let mut end = order::begin_of(cut);
        for pass in 1..=passes as u32 {
            let z = -depth * f64::from(pass) / passes;
            let track = back.as_ref().filter(|_| pass % 2 == 0).unwrap_or(&there);
            moves.push(Move::Line { to: track.point(0.0), z, feed: self.setting.plunge_mm_min });
            self.round(track, &cut.tabs, z, moves);
            end = track.point(track.length());
        }
        end
    }

    /// Once along the path at height `z`, lifted over tabs whose top is higher than that.
    fn round(&self, track: &Track, tabs: &[Tab], z: f64, moves: &mut Vec<Move>) {
        let mut here = 0.0;
        for tab in tabs {
            let top = tab.height_mm - self.thickness;
            if top > z + NOTHING_MM {
                self.level(track, here, tab.from_mm, z, moves);
                self.over(track, tab, z, top, moves);
                here = tab.to_mm;
            }
        }
        self.level(track, here, track.length(), z, moves);
    }

    /// Straight up to the wood's lower face, up a ramp, along the tab's top, and down again, all within the tab's stretch:
    /// what is as wide as the stretch, less the cutter, is wood.
    fn over(&self, track: &Track, tab: &Tab, z: f64, top: f64, moves: &mut Vec<Move>) {
        let face = z.max(-self.thickness);
        let width = tab.to_mm - tab.from_mm - self.kerf;
        let gentle = (top - face) / trig::tan(RAMP_DEG.to_radians());
        let ramp = gentle.min(RAMP_SHARE * width).max(NOTHING_MM);
        let (up, down) = (tab.from_mm + ramp, tab.to_mm - ramp);
        let below = face - z > NOTHING_MM;
        if below {
            moves.push(Move::Line {
                to: track.point(tab.from_mm),
                z: face,
                feed: self.setting.plunge_mm_min,
            });
        }
        self.slope(track, (tab.from_mm, up), (face, top), moves);
        self.level(track, up, down, top, moves);
        self.slope(track, (down, tab.to_mm), (top, face), moves);
        if below {
            moves.push(Move::Line { to: track.point(tab.to_mm), z, feed: self.setting.plunge_mm_min });
        }
    }

    fn level(&self, track: &Track, from: f64, to: f64, z: f64, moves: &mut Vec<Move>) {
        if to - from > NOTHING_MM {
            track
                .between(from, to)
                .into_iter()
                .for_each(|s| moves::along(s, z, z, self.setting.feed_mm_min, moves));
        }
    }

    /// Along the path from one height to another.
    fn slope(&self, track: &Track, s: (f64, f64), z: (f64, f64), moves: &mut Vec<Move>) {
        let feed = self.slope_feed(s.1 - s.0, z.1 - z.0);
        let pieces: Vec<Segment> = track.between(s.0, s.1);
        let length: f64 = pieces.iter().map(Segment::length).sum();
        let mut done = 0.0;
        for piece in pieces {
            let begin = z.0 + (z.1 - z.0) * done / length;
            done += piece.length();
            let end = z.0 + (z.1 - z.0) * done / length;
            moves::along(piece, begin, end, feed, moves);
        }
        // The last piece ends on the height itself, whatever rounding made of the sum.
        set_height(moves, z.1);
    }

    /// Down a slope no faster than the plunge feed into the wood.
    fn slope_feed(&self, run: f64, rise: f64) -> f64 {
        if rise >= 0.0 {
            return self.setting.feed_mm_min;
        }
        let steep = trig::hypot(run, rise) / -rise;
        self.setting.feed_mm_min.min(self.setting.plunge_mm_min * steep)
    }
}

fn set_height(moves: &mut [Move], height: f64) {
    if let Some(Move::Line { z, .. } | Move::Arc { z, .. }) = moves.last_mut() {
        *z = height;
    }
}
