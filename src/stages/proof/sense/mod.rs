//! Machine sense: whether a program does what a careful operator would let it do.
//!
//! Takes the steps of a program as they are made, and the [`Limits`] of machine, sheet and tables. Gives problems with line
//! and place: out of reach, off the sheet, travel too low or through wood, too fast, too deep, spindle or beam off where
//! it should be on and on where it should be off. What a limit does not say is not judged.

mod cutter;
mod form;
mod passes;
mod place;
mod tally;

use super::Limits;
use super::ngc::{Motion, Spindle, Step};
use super::way::{ON_FACE_MM, Way};
use crate::geometry::Point;
use crate::problem::{Problem, Severity};
use crate::shop::Post;
pub(super) use form::Form;
use passes::Passes;
pub(super) use tally::Tally;

/// A feed may be over its limit by this share and so much more, mm/min: feeds are written in few digits.
const FEED_SHARE: f64 = 0.001;
const FEED_MM_MIN: f64 = 1.0;

/// Half the last digit of an inch program of four digits after the point, mm: the coarsest that is usual.
const COARSE_MM: f64 = 0.00127;

/// A power over the full one by no more than this share is rounding of its number.
const POWER_SHARE: f64 = 1e-6;

/// What the last digits of a program's numbers hide.
#[derive(Clone, Copy, Debug)]
struct Rounding {
    /// Half the last digit of a coordinate, mm.
    place_mm: f64,
    /// Half the last digit of a feed, mm/min.
    feed_mm_min: f64,
}

impl Rounding {
    fn of(post: Option<&Post>) -> Self {
        let Some(post) = post else { return Self { place_mm: COARSE_MM, feed_mm_min: 0.0 } };
        let half =
            |decimals: u32| post.units.millimetres() / 2.0 / 10_f64.powi(decimals.min(9).cast_signed());
        Self { place_mm: half(post.numbers.decimals), feed_mm_min: half(post.numbers.feed_decimals) }
    }
}

/// Watches a program.
#[derive(Debug)]
pub(super) struct Sense<'a> {
    limits: &'a Limits,
    rounding: Rounding,
    /// Whether a beam cuts, and not a cutter.
    beam: bool,
    /// How bad it is where a program is odd, though perhaps not wrong.
    odd: Severity,
    /// Lowest and highest height so far.
    heights: Option<[f64; 2]>,
    /// Height of the cutter.
    now: Option<f64>,
    passes: Option<Passes>,
    /// Whether anything has been cut.
    cut: bool,
    tool: Option<u32>,
}

impl<'a> Sense<'a> {
    pub(super) fn new(limits: &'a Limits, post: Option<&Post>, beam: bool, strict: bool) -> Self {
        Self {
            limits,
            rounding: Rounding::of(post),
            beam,
            odd: if strict { Severity::Error } else { Severity::Warning },
            heights: None,
            now: None,
            passes: if beam { None } else { Passes::of(limits) },
            cut: false,
            tool: None,
        }
    }

    /// One step, with its way where that is known.
    pub(super) fn step(&mut self, step: &Step, way: Option<&Way>, tally: &mut Tally) {
        match step.motion {
            Motion::Rapid { from, to } => {
                self.reaches(step, to, tally);
                if self.beam { Self::dark(step, to, tally) } else { self.rapid(step, from, to, tally) }
            }
            Motion::Line { feed, to, .. } | Motion::Arc { feed, to, .. } => {
                self.reaches(step, to.map(Some), tally);
                if let Some(way) = way {
                    self.fed(step, way, feed, tally);
                }
            }
            Motion::Dwell { .. } => Self::stands(step, tally),
            Motion::Stop => self.stop(step, tally),
            Motion::Tool { number } => self.tool(step, number, tally),
            Motion::End => self.end(step, tally),
        }
        if let Some(way) = way {
            self.in_wood(step, way, tally);
        }
    }

    /// The file has been read.
    pub(super) fn finish(&self, tally: &mut Tally) {
        if !self.cut {
            tally.add("nothing-cut", Severity::Error, || {
                Problem::error("nothing-cut", "the program cuts nothing").hint(hint("nothing-cut"))
            });
        }
    }

    /// Travel under a beam.
    fn dark(step: &Step, to: [Option<f64>; 3], tally: &mut Tally) {
        if step.beam.abs() > 0.0 {
            tally.error("beam-on-in-travel", step.line, point(to), || "the beam is on during travel".into());
        }
    }

    /// A line or an arc at a feed.
    fn fed(&mut self, step: &Step, way: &Way, feed: f64, tally: &mut Tally) {
        self.within_reach(step, way, tally);
        if self.beam {
            self.burn(step, way, feed, tally);
        } else {
            self.mill(step, way, feed, tally);
        }
    }

    fn burn(&mut self, step: &Step, way: &Way, feed: f64, tally: &mut Tally) {
        let at = Some(way.at(1.0));
        if step.beam < 0.0 || step.beam > 1.0 + POWER_SHARE {
            tally.error("beam-power", step.line, at, || {
                format!("the beam's power is {:.1} percent of all it has", step.beam * 100.0)
            });
        }
        if step.beam > 0.0 {
            self.cut = true;
            self.slow_enough(step, way, feed, tally);
            self.on_sheet(step, way, (0.0, 1.0), tally);
        }
    }

    /// A beam that stands still burns on.
    fn stands(step: &Step, tally: &mut Tally) {
        if step.beam > 0.0 {
            tally.error("beam-on-standing", step.line, None, || {
                "the beam is on while the machine waits".into()
            });
        }
    }

    /// A stop until somebody starts the machine again: a cutter in the wood scorches it, and starts against it if the
    /// spindle stops too.
    fn stop(&self, step: &Step, tally: &mut Tally) {
        Self::stands(step, tally);
        if !self.beam && self.height().is_some_and(|z| z < -ON_FACE_MM) {
            tally.error("stop-in-wood", step.line, None, || {
                "the program stops while the cutter is in the wood".into()
            });
        }
    }

    fn slow_enough(&self, step: &Step, way: &Way, feed: f64, tally: &mut Tally) {
        let Some(limit) = self.limits.feed_mm_min else { return };
        if feed > self.allowed(limit) {
            tally.error("feed-too-fast", step.line, Some(way.at(1.0)), || {
                format!("a feed of {feed:.0} mm/min is over the {limit:.0} mm/min of the tables")
            });
        }
    }

    /// A feed limit with what rounding may add.
    fn allowed(&self, limit: f64) -> f64 {
        limit * (1.0 + FEED_SHARE) + FEED_MM_MIN + self.rounding.feed_mm_min
    }

    fn end(&self, step: &Step, tally: &mut Tally) {
        if step.beam > 0.0 {
            tally.error("beam-left-on", step.line, None, || "the program ends with the beam on".into());
        }
        if self.beam {
            return;
        }
        if step.spindle != Spindle::Stopped {
            tally.error("spindle-left-on", step.line, None, || {
                "the program ends with the spindle turning".into()
            });
        }
        if self.height().is_some_and(|z| z < -ON_FACE_MM) {
            tally.error("ends-in-wood", step.line, None, || {
                "the program ends with the cutter in the wood".into()
            });
        }
    }
}

fn point(at: [Option<f64>; 3]) -> Option<Point> {
    Some(Point::new(at[0]?, at[1]?))
}

/// What to do about a problem.
fn hint(code: &str) -> &'static str {
    match code {
        "beyond-reach" | "off-sheet" => {
            "check origin and unit: x 0, y 0 is the lower left corner of the sheet"
        }
        "rapid-too-low" | "rapid-in-wood" | "rapid-into-wood" | "height-unknown" => {
            "lift the cutter to the clearance height before it travels"
        }
        "plunge-too-fast" | "feed-too-fast" | "spindle-speed" | "spindle-range" => {
            "the tables and the machine's file say how fast; try another value on a coupon first"
        }
        "too-deep" | "pass-too-deep" => {
            "z 0 is the face of the wood; check thickness, overcut and depth of a pass"
        }
        "nothing-cut" => "is it the right file, and the right post for it?",
        _ => "",
    }
}
