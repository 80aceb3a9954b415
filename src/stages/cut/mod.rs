//! [`Layout`] and shop to cuts, then moves: kerf, tabs, marks, order, depth passes.
//!
//! Takes the layout, the parts, the machine and the tables. Gives, for each sheet, its [`Cut`]s in the order in which
//! they are made and the [`Move`]s that make them. Refuses holes, slots and necks too small for kerf or cutter, and wood
//! outside the tables; each problem names part, place and size.

mod kerf;
mod labels;
mod laser;
mod lead;
pub mod marks;
mod means;
mod moves;
mod near;
mod nearby;
mod order;
mod plan;
mod pocket;
mod reach;
mod relief;
mod router;
mod spread;
mod stretch;
mod tabs;
mod time;
mod tour;
mod track;
mod travel;

use crate::geometry::{Chain, Outline, Point, Segment};
use crate::problem::Problems;
use crate::shop::{LaserCraft, RouterCraft, Shop};
use crate::stages::job::Job;
use crate::stages::part::Part;
use crate::stages::sheet::{Layout, Room, Sheet};
use crate::stages::watch::Watch;

pub use labels::note_on;
pub use order::beginnings;
pub use tabs::{ALONG_GRAIN_DEG, CLEAR_MM, LEAST_CLEAR_MM};

/// The room that pieces need around them on this machine: its spacing or the job's, and the widest kerf among the parts'
/// woods; its margin or the job's, and half that kerf. Woods that the tables do not hold become problems.
pub fn room(parts: &[Part], job: &Job, shop: &Shop, problems: &mut Problems) -> Room {
    plan::room(parts, job, shop, problems)
}

/// Gives the inside corners in which a mating part sits their relief, where a cutter cuts the parts and the craft asks for
/// it: from here on that is the parts' shape.
pub fn relieve(parts: &mut [Part], job: &Job, shop: &Shop, problems: &mut Problems) {
    relief::relieve(parts, job, shop, problems);
}

/// The cuts and moves of every sheet, in the layout's order. What cannot be cut as it is drawn becomes a problem; once
/// `watch` asks to stop, only part of the sheets come back.
pub fn plan(
    layout: &Layout,
    parts: &[Part],
    job: &Job,
    shop: &Shop,
    watch: &dyn Watch,
    problems: &mut Problems,
) -> Vec<SheetCuts> {
    plan::plan(layout, parts, job, shop, watch, problems)
}

/// How long a machine takes for these moves, from the sheet's origin: speeds within its acceleration.
#[must_use]
pub fn steps(moves: &[Move], machine: &crate::shop::Machine) -> Steps {
    time::steps(moves, machine)
}

/// One sheet with all that is done on it.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetCuts {
    /// The sheet and the pieces on it.
    pub sheet: Sheet,
    /// Width that beam or cutter removes, mm.
    pub kerf_mm: f64,
    /// How it is cut.
    pub settings: Settings,
    /// How beam or cutter goes about it, where a part does not say otherwise.
    pub craft: Craft,
    /// Cuts in the order in which they are made.
    pub cuts: Vec<Cut>,
    /// The same as steps of the machine: empty where the machine takes drawings only.
    pub moves: Vec<Move>,
    /// Length of all cuts, mm.
    pub cut_length_mm: f64,
    /// Length of all travel between them, mm.
    pub travel_length_mm: f64,
    /// Time on the machine, s.
    pub time_s: f64,
    /// The same by what is done.
    pub steps_s: Steps,
}

/// How beam or cutter goes about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Craft {
    /// A beam.
    Laser(LaserCraft),
    /// A cutter.
    Router(RouterCraft),
}

/// Time on the machine, s, by what is done.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Steps {
    /// Drawing marks.
    pub marks: f64,
    /// Scoring.
    pub scores: f64,
    /// Clearing recesses.
    pub recesses: f64,
    /// Cutting through around holes.
    pub holes: f64,
    /// Cutting through around parts.
    pub outlines: f64,
    /// With the beam off or the cutter lifted.
    pub travel: f64,
}

impl Steps {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.marks + self.scores + self.recesses + self.holes + self.outlines + self.travel
    }

    /// More of one operation, or of travel.
    fn add(&mut self, operation: Option<Operation>, seconds: f64) {
        let sum = match operation {
            Some(Operation::Mark) => &mut self.marks,
            Some(Operation::Score) => &mut self.scores,
            Some(Operation::Recess) => &mut self.recesses,
            Some(Operation::CutInside) => &mut self.holes,
            Some(Operation::CutOutside) => &mut self.outlines,
            None => &mut self.travel,
        };
        *sum += seconds;
    }
}

/// How a sheet is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Settings {
    /// By a beam.
    Laser(crate::shop::LaserSetting),
    /// By a cutter.
    Router(crate::shop::RouterSetting),
}

/// What a cut does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Operation {
    /// Drawn on the part.
    Mark,
    /// Part of the way through.
    Score,
    /// Part of the way through, all over an area.
    Recess,
    /// Through, around a hole.
    CutInside,
    /// Through, around a part.
    CutOutside,
}

/// One compensated path on the sheet, with what is done along it.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// What it does.
    pub operation: Operation,
    /// Which piece of the sheet it belongs to: index into [`Sheet::placed`].
    pub placed: usize,
    /// Where the middle of beam or cutter runs.
    pub path: Path,
    /// Tabs along it, in order; none overlap.
    pub tabs: Vec<Tab>,
    /// How a closed path is come to and left.
    pub lead: Lead,
    /// Where the middle of the cutter runs in all passes but the last, farther out in the waste; none where they all run
    /// along `path`.
    pub rough: Option<Outline>,
    /// How deep a recess is, mm; none where the operation says how deep.
    pub depth_mm: Option<f64>,
}

/// The ways by which beam or cutter comes to a closed path, where the path begins, and leaves it. They lie in the waste.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Lead {
    /// Ends where the path begins.
    pub come: Option<Segment>,
    /// Begins on the path: where it ends, or a little further round.
    pub leave: Option<Segment>,
}

/// A path of the beam or cutter.
#[derive(Clone, Debug, PartialEq)]
pub enum Path {
    /// Comes back to where it began.
    Closed(Outline),
    /// Ends elsewhere.
    Open(Chain),
}

/// A tab on a closed path: the stretch along the path's centre line on which the cut is interrupted (laser) or lifted
/// (router). Kerf is already allowed for: the wood left between `from_mm` and `to_mm` less one kerf is the tab's width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tab {
    /// Where it begins, mm along the path from its first vertex.
    pub from_mm: f64,
    /// Where it ends; more than `from_mm`, at most the path's length.
    pub to_mm: f64,
    /// Height of the wood left, mm; the sheet's thickness on a laser.
    pub height_mm: f64,
}

/// One step of the machine. Positions are on the sheet, z is 0 on the wood's face and negative below it; a laser's z
/// stays 0. The normal form: every post writes these and nothing else.
#[derive(Clone, Debug, PartialEq)]
pub enum Move {
    /// What follows belongs to this cut: operation and part's name, for a comment.
    Begin {
        /// What it does.
        operation: Operation,
        /// Name of the part.
        part: String,
    },
    /// Beam off or cutter at clearance height, as fast as the machine can.
    Rapid {
        /// Where to.
        to: Point,
        /// Height at the end: a rapid in z alone keeps `to`.
        z: f64,
    },
    /// Straight, cutting.
    Line {
        /// Where to.
        to: Point,
        /// Height at the end.
        z: f64,
        /// mm/min.
        feed: f64,
    },
    /// Along a circular arc, cutting; never a full circle.
    Arc {
        /// Where to.
        to: Point,
        /// Height at the end.
        z: f64,
        /// Centre.
        centre: Point,
        /// Which way round.
        counter_clockwise: bool,
        /// mm/min.
        feed: f64,
    },
    /// Beam on at this fraction of its power, 0 to 1.
    Beam {
        /// Fraction of the power.
        power: f64,
    },
    /// Beam off.
    BeamOff,
    /// Wait, seconds.
    Dwell {
        /// How long.
        seconds: f64,
    },
}
