//! [`Drawing`]s and [`Job`] to [`Part`]s: which outline is a part, which is a hole, what it is called, where its grain
//! runs, what it is cut from, how many and which hand.
//!
//! Takes the drawings and the job. Gives the parts in reading order. Refuses duplicate names, parts without wood, wood
//! that is not in stock, outlines that cross each other; each problem names the part and the place.

mod clash;
mod drawn;
mod gather;
mod grain;
mod inside;
mod name;
mod recess;
mod rule;
mod shape;
pub mod start;
mod tree;

use rule::Rules;

use crate::geometry::{Chain, Point, Region, offset};
use crate::problem::Problems;
use crate::shop::Wood;
use crate::stages::drawing::{Drawing, Note};
use crate::stages::job::{Cutting, Job, Lying, TabWish};

/// One part, in the coordinates of its drawing, millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its name, unlike any other part's.
    pub id: String,
    /// Which of the drawings it comes from.
    pub drawing: usize,
    /// The layer of its outer outline.
    pub layer: String,
    /// Its material.
    pub region: Region,
    /// Lines to be scored on it.
    pub scores: Vec<Chain>,
    /// Lines to be marked on it.
    pub marks: Vec<Chain>,
    /// What is written beside its name.
    pub note: Option<Note>,
    /// What is milled away from its face.
    pub recesses: Vec<Recess>,
    /// A point in its material.
    pub at: Point,
    /// Direction of its grain in the drawing, degrees from the x axis, 0 up to 180; none where any will do.
    pub grain_deg: Option<f64>,
    /// Wood by name.
    pub wood: String,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Pieces in all.
    pub copies: u32,
    /// Pieces among them of the other hand.
    pub mirrored: u32,
    /// How it may lie on its sheet.
    pub lying: Lying,
    /// How it is held.
    pub tabs: TabWish,
    /// What replaces the shop's values for it.
    pub cutting: Cutting,
    /// Whether its name and grain arrow go on it.
    pub mark: bool,
    /// Mass of one piece, g.
    pub mass_g: f64,
}

/// What is milled away from a part's face down to a depth.
#[derive(Clone, Debug, PartialEq)]
pub struct Recess {
    /// Where, as it is drawn: it may reach over the part's edge, where it is open then. Its holes stay as they are.
    pub region: Region,
    /// How deep, mm.
    pub depth_mm: f64,
}

impl Recess {
    /// How much of a part's face it takes, mm².
    pub fn area_mm2(&self, part: &Region) -> f64 {
        offset::common(&self.region, part).iter().map(Region::area).sum()
    }
}

/// Of a kind of problem, no more than this many are told one by one; the rest is counted.
const TOLD: usize = 50;

/// Finds the parts of the job in its drawings.
pub fn gather(drawings: &[Drawing], job: &Job, woods: &[Wood], problems: &mut Problems) -> Vec<Part> {
    let mut shapes = Vec::new();
    for (number, drawing) in drawings.iter().enumerate() {
        shapes.extend(shape::shapes(drawing, number, job.cutting.leave_out, problems));
    }
    rule::tell_grades(job, woods, problems);
    let mut rules = Rules::new(job, problems);
    gather::parts(shapes, drawings, job, woods, &mut rules, problems)
}
