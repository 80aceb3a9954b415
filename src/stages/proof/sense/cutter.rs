//! What a cutter does: travel clear of the wood, and cuts no faster and no deeper than they may be.

use super::{ON_FACE_MM, Sense, Spindle, Step, Tally, Way, point};
use crate::geometry::Point;
use crate::units::millimetres;

/// A way across shorter than this is none, mm: rounding of sums.
const ONE_PLACE_MM: f64 = 1e-6;

/// A spindle's speed may differ from the table's by this share.
const SPEED_SHARE: f64 = 0.01;

/// A speed outside the machine's range by less than this is rounding, turns a minute.
const SPEED_RPM: f64 = 0.5;

impl Sense<'_> {
    /// Travel: above the clearance height when it goes across, straight up out of the wood, and never into it.
    pub(super) fn rapid(&self, step: &Step, from: [Option<f64>; 3], to: [Option<f64>; 3], tally: &mut Tally) {
        let moved = |axis: usize| match (from[axis], to[axis]) {
            (Some(a), Some(b)) => (a - b).abs() > ONE_PLACE_MM,
            (a, b) => a != b,
        };
        let (across, at) = (moved(0) || moved(1), point(to));
        let Some(end) = to[2] else {
            if across {
                let message = "the cutter travels before the program has said how high";
                tally.at("height-unknown", self.odd, step.line, at, || message.into());
            }
            return;
        };
        let begin = from[2].unwrap_or(end.max(0.0));
        if begin < -ON_FACE_MM {
            if across || end < begin {
                let message = "a rapid starts in the wood and does not go straight up";
                tally.error("rapid-in-wood", step.line, at, || message.into());
            }
        } else if end < -ON_FACE_MM {
            tally.error("rapid-into-wood", step.line, at, || {
                format!("a rapid goes into the wood, to z {}", millimetres(end))
            });
        } else if across {
            self.clear(step, begin.min(end), at, tally);
        }
    }

    fn clear(&self, step: &Step, lowest: f64, at: Option<Point>, tally: &mut Tally) {
        let clearance = self.limits.clearance_mm.unwrap_or(0.0);
        if lowest < clearance - 2.0 * self.rounding.place_mm {
            tally.error("rapid-too-low", step.line, at, || {
                let [z, clear] = [millimetres(lowest), millimetres(clearance)];
                format!("a rapid goes across at z {z}, the clearance height is {clear} mm")
            });
        }
    }

    /// A cut: the part of it that is in the wood is judged.
    pub(super) fn mill(&mut self, step: &Step, way: &Way, feed: f64, tally: &mut Tally) {
        if way.sunk().is_none() {
            return;
        }
        self.cut = true;
        self.slow_enough(step, way, feed, tally);
        self.plunge(step, way, feed, tally);
    }

    /// The speed downwards, on slopes too. On a slope, rounding of its ends may make it steeper than it was meant.
    fn plunge(&self, step: &Step, way: &Way, feed: f64, tally: &mut Tally) {
        let Some(limit) = self.limits.plunge_mm_min else { return };
        let (down, across) = (-way.rise(), way.across());
        let slack = if across > ONE_PLACE_MM { 2.0 * self.rounding.place_mm } else { 0.0 };
        let sure = down - slack;
        if sure <= 0.0 {
            return;
        }
        let run = across + slack;
        let speed = if across > ONE_PLACE_MM { feed * sure / (sure * sure + run * run).sqrt() } else { feed };
        if speed > self.allowed(limit) {
            tally.error("plunge-too-fast", step.line, Some(way.at(1.0)), || {
                format!("the cutter goes down at {speed:.0} mm/min, {limit:.0} mm/min are allowed")
            });
        }
    }

    /// Whatever goes through wood, at a feed or not.
    pub(super) fn in_wood(&mut self, step: &Step, way: &Way, tally: &mut Tally) {
        if self.beam {
            return;
        }
        let Some(part) = way.sunk() else { return };
        let at = Some(way.at(1.0));
        self.on_sheet(step, way, part, tally);
        self.spindle(step, at, tally);
        let lowest = way.lowest();
        if let Some(limit) = self.limits.lowest_mm
            && lowest < limit - self.rounding.place_mm - ON_FACE_MM
        {
            tally.error("too-deep", step.line, at, || {
                let [z, limit] = [millimetres(lowest), millimetres(limit)];
                format!("the cutter goes down to z {z}, no lower than {limit} is allowed")
            });
        }
        if let Some(passes) = &mut self.passes
            && let Some((place, deep)) = passes.cut(way, part, self.rounding.place_mm)
        {
            let most = self.limits.pass_mm.unwrap_or_default();
            tally.error("pass-too-deep", step.line, Some(place), || {
                let [deep, most] = [millimetres(deep), millimetres(most)];
                format!("one pass takes {deep} mm of wood, {most} mm are allowed")
            });
        }
    }

    fn spindle(&self, step: &Step, at: Option<Point>, tally: &mut Tally) {
        let (line, rpm) = (step.line, step.speed);
        match step.spindle {
            Spindle::Stopped => {
                return tally
                    .error("spindle-off", line, at, || "the cutter is in the wood and does not turn".into());
            }
            Spindle::CounterClockwise => {
                let message = "the spindle turns counter-clockwise: cutters are made to turn clockwise";
                tally.error("spindle-backwards", line, at, || message.into());
            }
            Spindle::Clockwise => {}
        }
        if rpm <= 0.0 {
            return tally.error("spindle-off", line, at, || "the spindle is on and no speed was said".into());
        }
        if let Some([slowest, fastest]) = self.limits.rpm
            && !(slowest - SPEED_RPM..=fastest + SPEED_RPM).contains(&rpm)
        {
            tally.error("spindle-range", line, at, || {
                format!("{rpm:.0} turns a minute are outside the spindle's {slowest:.0} to {fastest:.0}")
            });
        } else if let Some(table) = self.limits.table_rpm
            && (rpm - table).abs() > SPEED_SHARE * table
        {
            tally.at("spindle-speed", self.odd, line, at, || {
                format!("{rpm:.0} turns a minute are not the {table:.0} of the table")
            });
        }
    }

    /// A change of tool: with the spindle at rest, out of the wood, and never to another cutter once it has cut.
    pub(super) fn tool(&mut self, step: &Step, number: u32, tally: &mut Tally) {
        if step.spindle != Spindle::Stopped {
            let message = "the tool is changed while the spindle turns";
            tally.error("tool-change-turning", step.line, None, || message.into());
        }
        if !self.beam && self.height().is_some_and(|z| z < -ON_FACE_MM) {
            let message = "the tool is changed while the cutter is in the wood";
            tally.error("tool-change-in-wood", step.line, None, || message.into());
        }
        if self.cut && self.tool.is_some_and(|before| before != number) {
            let message = "another tool goes in after the first has cut: only one width of cut can be proved";
            tally.error("second-tool", step.line, None, || message.into());
        }
        self.tool = Some(number);
    }
}
