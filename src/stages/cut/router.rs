//! Moves of a cutter: in passes down to below the wood, lifted over tabs, at clearance height in between.
//!
//! The cutter turns clockwise seen from above. Where it climbs it runs with the material that stays on its right: that
//! leaves a clean edge in wood and bends a thin cutter away from the part rather than into it (common practice, no
//! source). Outer outlines are then cut clockwise, holes counter-clockwise; conventional cutting is the other way round.

mod entry;
mod clear;
mod feeds;
pub(super) mod rough;
pub(super) mod start;

use crate::geometry::{Point, trig};
use crate::problem::{Problem, Problems};
use crate::shop::{RouterCraft, RouterSetting, TabShape, chip};

use super::means::Means;
use super::track::{NOTHING_MM, Track};
use super::{Cut, Move, Operation, Path, Tab, lead, moves, order};
use entry::Way;

/// Slope at which the cutter is lifted over a ramped tab and comes down behind it, in degrees.
const RAMP_DEG: f64 = 30.0;

/// A round tab is climbed in so many slopes; even, so that one ends on its top.
const HUMP_SLOPES: u32 = 12;

/// Both ramps lie within the tab's stretch, and each takes at most this share of the wood's width there, so that at least
/// half of the tab has its full height.
const RAMP_SHARE: f64 = 0.25;

/// A cut no deeper than this, mm, is plunged into: the depth of a mark, which a ramp would only make longer.
const SHALLOW_MM: f64 = 0.3;

/// A hole whose path is a circle smaller than this share of the cutter is drilled, not milled.
const DRILLED: f64 = 0.25;

/// Where one sheet's cuts are made.
struct Depths<'a> {
    setting: &'a RouterSetting,
    kerf: f64,
    thickness: f64,
    /// Height of travel, mm.
    clearance: f64,
    shape: TabShape,
    /// Share of the feed in inside corners.
    corner_feed: f64,
}

/// All moves of the cuts; `of` gives the name of the part that a cut belongs to, and how it is cut.
pub(super) fn moves(
    cuts: &[Cut],
    setting: &RouterSetting,
    means: &Means,
    thickness: f64,
    of: impl Fn(usize) -> (String, Means),
) -> Vec<Move> {
    let clearance = means.clearance_mm;
    let mut moves = Vec::new();
    for cut in cuts {
        let (part, means) = of(cut.placed);
        moves.push(Move::Begin { operation: cut.operation, part });
        moves.push(Move::Rapid { to: order::begin_of(cut), z: clearance });
        let depths = Depths { clearance, ..Depths::of(setting, &means, thickness) };
        let end = depths.milled(cut, &means.router, &mut moves);
        moves.push(Move::Rapid { to: end, z: clearance });
    }
    moves
}

/// What found no room on a sheet, or on several.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Missing {
    leads: u32,
    finishes: u32,
}

impl Missing {
    pub(super) fn and(self, other: Self) -> Self {
        Self { leads: self.leads + other.leads, finishes: self.finishes + other.finishes }
    }

    pub(super) fn tell(self, problems: &mut Problems) {
        if self.leads > 0 {
            let message =
                format!("{} leads into or out of cuts are left out: there is no room for them", self.leads);
            let hint = "give parts more spacing or leads a smaller radius, or leave them out with 'lead: 0'";
            problems.push(Problem::note("lead-left-out", message).hint(hint));
        }
        if self.finishes > 0 {
            let message = format!(
                "{} cuts have no finishing pass: the cutter has no room beside their last pass",
                self.finishes
            );
            let hint = "take a smaller cutter or a smaller 'finish', or do without with 'finish: 0'";
            problems.push(Problem::note("finish-left-out", message).hint(hint));
        }
    }
}

/// The cuts with leads into and out of each closed path, and with their passes before the last laid out; and how many of
/// these found no room.
pub(super) fn with_leads(
    cuts: Vec<Cut>,
    setting: &RouterSetting,
    means: &Means,
    sheet: &crate::stages::sheet::Sheet,
    craft: impl Fn(usize) -> RouterCraft,
) -> (Vec<Cut>, Missing) {
    let depths = Depths::of(setting, means, sheet.thickness_mm);
    let ground = lead::Ground::of(&cuts, sheet, means.kerf_mm);
    let mut missing = Missing::default();
    let with = |(i, cut): (usize, Cut)| {
        let craft = craft(cut.placed);
        let (cut, unfinished) = depths.with_rough(cut, &craft);
        let (lead, without) = ground.leads(i, &cut, craft.lead_mm, depths.overrun(&cut, &craft));
        missing = missing.and(Missing { leads: without, finishes: u32::from(unfinished) });
        Cut { lead, ..cut }
    };
    let cuts = cuts.into_iter().enumerate().map(with).collect();
    (cuts, missing)
}

impl<'a> Depths<'a> {
    fn of(setting: &'a RouterSetting, means: &Means, thickness: f64) -> Self {
        let RouterCraft { tab_shape: shape, corner_feed, .. } = means.router;
        let (kerf, clearance) = (means.kerf_mm, means.clearance_mm);
        Self { setting, kerf, thickness, clearance, shape, corner_feed }
    }
}

impl Depths<'_> {
    /// Depth of an operation below the wood's face, mm.
    fn depth(&self, operation: Operation) -> f64 {
        match operation {
            Operation::Mark => self.setting.mark_depth_mm.min(self.thickness),
            Operation::Score => self.setting.score_depth.clamp(0.0, 1.0) * self.thickness,
            // Its own depth goes with each of them.
            Operation::Recess => 0.0,
            Operation::CutInside | Operation::CutOutside => self.thickness + self.setting.overcut_mm,
        }
    }

    /// What all passes but the last leave of the wood's thickness, mm: as the craft has it, and something where the last
    /// one finishes. 0 where the last pass could not take it.
    fn skin(&self, operation: Operation, craft: &RouterCraft) -> f64 {
        if !matches!(operation, Operation::CutInside | Operation::CutOutside) {
            return 0.0;
        }
        let least = if craft.finish_mm > 0.0 { rough::LEAST_SKIN_MM } else { 0.0 };
        let skin = craft.skin_mm.max(least);
        let fits = skin + self.setting.overcut_mm <= self.setting.pass_mm && skin <= self.thickness / 2.0;
        if fits { skin } else { 0.0 }
    }

    /// Heights of the passes of a cut, none deeper than the setting allows: equal ones, but for a last one through a skin.
    fn heights(&self, operation: Operation, craft: &RouterCraft) -> Vec<f64> {
        let (depth, skin) = (self.depth(operation), self.skin(operation, craft));
        let upper = if skin > 0.0 { self.thickness - skin } else { depth };
        let passes = (upper / self.setting.pass_mm - 1e-9).ceil().max(1.0);
        let last = (skin > 0.0).then_some(-depth);
        (1..=passes as u32).map(|pass| -upper * f64::from(pass) / passes).chain(last).collect()
    }

    /// How far past its beginning a closed path ends.
    fn overrun(&self, cut: &Cut, craft: &RouterCraft) -> f64 {
        let track = Track::of_path(&cut.path);
        let heights = self.heights(cut.operation, craft);
        if cut.tabs.is_empty()
            && let Some(run) = entry::helix(&track, self.depth(cut.operation), self.setting.pass_mm, craft)
        {
            return run % track.length();
        }
        let bottom = heights.last().copied().unwrap_or(0.0);
        let above = heights.iter().rev().nth(1).copied().unwrap_or(0.0);
        let free = entry::free(&track, &cut.tabs, self.thickness, bottom);
        entry::overrun(entry::way(above - bottom, free, craft))
    }

    /// The cut, from the wood's face down to its depth. Gives where the cutter ends.
    fn milled(&self, cut: &Cut, craft: &RouterCraft, moves: &mut Vec<Move>) -> Point {
        let begin = order::begin_of(cut);
        moves.push(Move::Line { to: begin, z: 0.0, feed: self.setting.feed_mm_min });
        match cut.path {
            Path::Open(_) if cut.depth_mm.is_some() => self.cleared(cut, craft, moves),
            Path::Open(_) => self.there_and_back(cut, craft, moves),
            Path::Closed(_) => self.round_and_round(cut, craft, moves),
        }
    }

    /// An open path, pass after pass, there and back.
    fn there_and_back(&self, cut: &Cut, craft: &RouterCraft, moves: &mut Vec<Move>) -> Point {
        let there = Track::of_path(&cut.path);
        let back = Track::of_path(&order::run_backwards(cut.clone()).path);
        let (mut end, mut above) = (there.point(0.0), 0.0);
        for (pass, z) in self.heights(cut.operation, craft).into_iter().enumerate() {
            let track = if pass % 2 == 0 { &there } else { &back };
            // Half of the path's length: what it comes down on it has to go back over.
            let way = entry::way(above - z, track.length() / 2.0, craft);
            let way = match way {
                _ if self.depth(cut.operation) <= SHALLOW_MM => Way::Plunge,
                Way::Ahead(run) => Way::ThereAndBack(run / 2.0, 1),
                other => other,
            };
            self.descend(track, way, (above, z), moves);
            self.level(track, 0.0, track.length(), z, moves);
            (end, above) = (track.point(track.length()), z);
        }
        end
    }

    /// A closed path, pass after pass, each down a ramp from the one above. What a ramp leaves standing the next pass
    /// takes; the last one runs on over its own.
    fn round_and_round(&self, cut: &Cut, craft: &RouterCraft, moves: &mut Vec<Move>) -> Point {
        let track = Track::of_path(&cut.path);
        let depth = self.depth(cut.operation);
        let heights = self.heights(cut.operation, craft);
        let (upper, last) = heights.split_at(heights.len() - 1);
        let helix =
            if cut.tabs.is_empty() { entry::helix(&track, depth, self.setting.pass_mm, craft) } else { None };
        let done = if let Some(run) = helix {
            let above = self.come(cut, 0.0, heights[0], craft, moves);
            self.ride(&track, (0.0, run), (above, -depth), moves);
            self.ride(&track, (run, run + track.length()), (-depth, -depth), moves);
            run % track.length()
        } else if let Some(rough) = &cut.rough {
            let (track, tabs) = (Track::of_outline(rough), rough::tabs(cut, rough).unwrap_or_default());
            self.passes_and_back(&track, &tabs, upper, 0.0, craft, moves);
            self.finish(cut, upper[upper.len() - 1], last, craft, moves)
        } else if self.skin(cut.operation, craft) > 0.0 {
            let above = self.come(cut, 0.0, heights[0], craft, moves);
            self.passes_and_back(&track, &cut.tabs, upper, above, craft, moves);
            let above = upper[upper.len() - 1];
            self.passes(&track, &cut.tabs, last, (above, above), craft, moves)
        } else {
            let above = self.come(cut, 0.0, heights[0], craft, moves);
            self.passes(&track, &cut.tabs, &heights, (0.0, above), craft, moves)
        };
        let Some(arc) = cut.lead.leave else { return track.point(done) };
        entry::down_along(&[arc], (-depth, 0.0), self.setting.feed_mm_min, moves);
        arc.to
    }

    /// The last pass, from the end of those that ran farther out.
    fn finish(&self, cut: &Cut, above: f64, last: &[f64], craft: &RouterCraft, moves: &mut Vec<Move>) -> f64 {
        let track = Track::of_path(&cut.path);
        let to = cut.lead.come.map_or_else(|| track.point(0.0), |arc| arc.from);
        moves.push(Move::Line { to, z: above, feed: self.setting.feed_mm_min });
        let below = self.come(cut, above, last[0], craft, moves);
        // Thin chips allow a faster feed, though never more than the sheet's own last passes have.
        let most = self.setting.finish_feed_mm_min / self.setting.feed_mm_min;
        let faster = chip::faster(craft.finish_mm, self.kerf, craft.thin_feed.min(most));
        let setting = RouterSetting { feed_mm_min: self.setting.feed_mm_min * faster, ..*self.setting };
        let thin = Depths { setting: &setting, ..*self };
        thin.passes(&track, &cut.tabs, last, (above, below), craft, moves)
    }

    /// Passes at these heights, the last one over its own ramp and back to where it began.
    fn passes_and_back(
        &self,
        track: &Track,
        tabs: &[Tab],
        heights: &[f64],
        above: f64,
        craft: &RouterCraft,
        moves: &mut Vec<Move>,
    ) {
        let done = self.passes(track, tabs, heights, (0.0, above), craft, moves);
        let z = heights[heights.len() - 1];
        self.ride(track, (done, 0.0), (z, z), moves);
    }

    /// Passes at these heights, from the height `begins.1`; the first is laid out as from `begins.0`, so that all are alike
    /// where a lead has gone down already. Gives how far past its beginning the path ends.
    fn passes(
        &self,
        track: &Track,
        tabs: &[Tab],
        heights: &[f64],
        begins: (f64, f64),
        craft: &RouterCraft,
        moves: &mut Vec<Move>,
    ) -> f64 {
        let (mut from, mut above) = begins;
        let (mut done, mut lowest) = (0.0, above);
        // All passes come down in the same way, so that each takes what the one before left standing.
        let free = entry::free(track, tabs, self.thickness, heights[heights.len() - 1]);
        for &z in heights {
            let way = entry::way(from - z, free, craft);
            if way == Way::Plunge && self.drilled(track) && above < 0.0 {
                self.clear_chips(track.point(0.0), above, moves);
            }
            self.descend(track, way, (above, z), moves);
            done = entry::overrun(way);
            self.round(track, done, tabs, z, moves);
            (from, above, lowest) = (z, z, z);
        }
        self.level(track, 0.0, done, lowest, moves);
        done
    }

    /// Whether a hole is hardly wider than the cutter.
    fn drilled(&self, track: &Track) -> bool {
        track.length() < DRILLED * std::f64::consts::PI * self.kerf
    }

    /// Up to the wood's face and down again, so that the chips come out of a drilled hole.
    fn clear_chips(&self, at: Point, above: f64, moves: &mut Vec<Move>) {
        moves.push(Move::Line { to: at, z: 0.0, feed: self.setting.feed_mm_min });
        moves.push(Move::Line { to: at, z: above, feed: self.setting.plunge_mm_min });
    }

    /// Down the lead as steep as a ramp, at most half way to `below`; gives the height at its end.
    fn come(&self, cut: &Cut, above: f64, below: f64, craft: &RouterCraft, moves: &mut Vec<Move>) -> f64 {
        let Some(arc) = cut.lead.come else { return above };
        let down = if entry::run_of(1.0, craft.ramp_deg).is_some() {
            arc.length() * trig::tan(craft.ramp_deg.to_radians())
        } else {
            0.0
        };
        let z = above - down.min((above - below) / 2.0);
        entry::down_along(&[arc], (above, z), self.slope_feed(arc.length(), z - above), moves);
        z
    }

    /// From `from` to the end of the path at height `z`, lifted over tabs whose top is higher than that.
    fn round(&self, track: &Track, from: f64, tabs: &[Tab], z: f64, moves: &mut Vec<Move>) {
        let mut here = from;
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

    /// Straight up to the wood's lower face, over the tab in its shape, and down again, all within the tab's stretch: what is
    /// as wide as the stretch, less the cutter, is wood.
    fn over(&self, track: &Track, tab: &Tab, z: f64, top: f64, moves: &mut Vec<Move>) {
        let face = z.max(-self.thickness);
        let below = face - z > NOTHING_MM;
        let upright = |s: f64, z: f64| Move::Line { to: track.point(s), z, feed: self.setting.plunge_mm_min };
        if below {
            moves.push(upright(tab.from_mm, face));
        }
        match self.shape {
            TabShape::Square => {
                moves.push(upright(tab.from_mm, top));
                self.level(track, tab.from_mm, tab.to_mm, top, moves);
                moves.push(upright(tab.to_mm, face));
            }
            TabShape::Ramped => {
                let width = tab.to_mm - tab.from_mm - self.kerf;
                let gentle = (top - face) / trig::tan(RAMP_DEG.to_radians());
                let ramp = gentle.min(RAMP_SHARE * width).max(NOTHING_MM);
                let (up, down) = (tab.from_mm + ramp, tab.to_mm - ramp);
                self.ride(track, (tab.from_mm, up), (face, top), moves);
                self.level(track, up, down, top, moves);
                self.ride(track, (down, tab.to_mm), (top, face), moves);
            }
            TabShape::Round => self.hump(track, tab, (face, top), moves),
        }
        if below {
            moves.push(upright(tab.to_mm, z));
        }
    }

    /// Up and down as half a wave of a sine, in short straight slopes.
    fn hump(&self, track: &Track, tab: &Tab, z: (f64, f64), moves: &mut Vec<Move>) {
        let share = |i: u32| f64::from(i) / f64::from(HUMP_SLOPES);
        let place = |i: u32| tab.from_mm + (tab.to_mm - tab.from_mm) * share(i);
        let height = |i: u32| z.0 + (z.1 - z.0) * trig::sin_cos_deg(180.0 * share(i)).0;
        for i in 0..HUMP_SLOPES {
            self.ride(track, (place(i), place(i + 1)), (height(i), height(i + 1)), moves);
        }
    }

    fn level(&self, track: &Track, from: f64, to: f64, z: f64, moves: &mut Vec<Move>) {
        for (from, to, feed) in feeds::along(track, (from, to), self.kerf / 2.0, self.feeds()) {
            track.between(from, to).into_iter().for_each(|s| moves::along(s, z, z, feed, moves));
        }
    }

    /// The feed along a path, and in its corners.
    fn feeds(&self) -> [f64; 2] {
        [self.setting.feed_mm_min, self.setting.feed_mm_min * self.corner_feed]
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
