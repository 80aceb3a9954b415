//! The moves over the ground of a recess: in passes down to its floor, each entered along the first loop of its way.

use crate::geometry::{Point, Segment};
use crate::shop::RouterCraft;

use super::super::order;
use super::super::track::{NOTHING_MM, Track};
use super::super::{Cut, Move};
use super::Depths;
use super::entry::{self, MOST_TURNS};

impl Depths<'_> {
    /// The recess from the wood's face to its floor. Gives where the cutter ends.
    pub(super) fn cleared(&self, cut: &Cut, craft: &RouterCraft, moves: &mut Vec<Move>) -> Point {
        let way = Track::of_path(&cut.path);
        let (begin, end) = (order::begin_of(cut), order::end_of(cut));
        let depth = cut.depth_mm.unwrap_or(0.0);
        let passes = (depth / self.setting.pass_mm - 1e-9).ceil().max(1.0);
        let mut above = 0.0;
        for pass in 1..=passes as u32 {
            if pass > 1 {
                self.back_over(begin, end, above, moves);
            }
            let z = -depth * f64::from(pass) / passes;
            self.enter(&way, (above, z), craft, moves);
            self.level(&way, 0.0, way.length(), z, moves);
            above = z;
        }
        end
    }

    /// From the end of one pass back over its beginning, and down to the floor that it left there.
    fn back_over(&self, begin: Point, end: Point, floor: f64, moves: &mut Vec<Move>) {
        moves.push(Move::Rapid { to: end, z: self.clearance });
        moves.push(Move::Rapid { to: begin, z: self.clearance });
        moves.push(Move::Line { to: begin, z: 0.0, feed: self.setting.feed_mm_min });
        moves.push(Move::Line { to: begin, z: floor, feed: self.setting.plunge_mm_min });
    }

    /// Down round and round the first loop of the way and on to its beginning; straight down where the craft plunges, or
    /// where there is hardly a loop.
    fn enter(&self, way: &Track, z: (f64, f64), craft: &RouterCraft, moves: &mut Vec<Move>) {
        let first = first_loop(way);
        let circle = entry::is_circle(&first);
        let degrees = if circle { craft.helix_deg.min(craft.ramp_deg) } else { craft.ramp_deg };
        let run = entry::run_of(z.0 - z.1, degrees).filter(|run| *run <= MOST_TURNS * first.length());
        let Some(run) = run else {
            moves.push(Move::Line { to: way.point(0.0), z: z.1, feed: self.setting.plunge_mm_min });
            return;
        };
        let round = (run / first.length() - NOTHING_MM).ceil() * first.length();
        self.ride(&first, (0.0, run), z, moves);
        self.ride(&first, (run, round), (z.1, z.1), moves);
    }
}

/// The way as far as it comes back to where it began; all of it where it does not.
fn first_loop(way: &Track) -> Track {
    let segments = way.segments();
    let begin = way.point(0.0);
    let closes = segments.iter().position(|segment| segment.to.distance(begin) <= NOTHING_MM);
    let loop_of: &[Segment] = closes.map_or(segments, |last| &segments[..=last]);
    Track::of(loop_of.iter().copied())
}
