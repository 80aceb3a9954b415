//! Files to [`Drawing`]: what lies in a DXF or SVG file, joined into outlines of lines and arcs.
//!
//! Takes the drawing files that a [`Job`] names, and the pieces that it writes down without a drawing. Gives, for each, closed outlines, open lines, texts and points, each
//! with its layer and role, in millimetres, and a count of what was used and what was not. Refuses what cannot be read;
//! reports outlines that stay open, branch or cross themselves.

pub mod find;
pub mod join;
pub mod measured;
pub mod ribs;
mod role;
mod remnant;
mod dxf;
mod svg;
mod repair;
mod talk;
mod stroke;
pub mod stretch;

pub use measured::Fair;
pub use remnant::with_remnants;
pub use stretch::Stretched;
pub use stroke::{Found, Stroke};

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::files;
use crate::geometry::{Chain, Outline, Point};
use crate::problem::{Problem, Problems};
use crate::stages::job::{Depth, DrawingSource, Job};
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
    /// Closed outlines to be milled away down to a depth.
    pub recesses: Vec<Drawn<Outline>>,
    /// Lines to be scored or marked, and grain lines: open, or closed ones opened at their first vertex.
    pub lines: Vec<Drawn<Chain>>,
    /// Texts.
    pub texts: Vec<Drawn<Text>>,
    /// What is to be written on parts beside their names, each at a point in the part's material.
    pub notes: Vec<(Point, Note)>,
    /// Points.
    pub points: Vec<Drawn<Point>>,
    /// Entities used, by kind.
    pub used: BTreeMap<String, usize>,
    /// Entities not used, by kind.
    pub unused: BTreeMap<String, usize>,
    /// Fair curves through measured points, for those who want to look at their curvature.
    pub fair: Vec<Fair>,
    /// How it was brought to true scale, where the job asks for it.
    pub stretched: Option<Stretched>,
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
    /// Milled away, so deep.
    Recess(Depth),
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

/// What is written on a part beside its name, followed by an arrow.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// What it says.
    pub text: String,
    /// Where the arrow points, degrees from the x axis.
    pub arrow_deg: f64,
}

/// Reads every drawing of the job, then what it writes down, in the order of the job whatever the number of threads. A file that cannot be read is
/// a problem, and left out.
pub fn read(job: &Job, problems: &mut Problems) -> Vec<Drawing> {
    let found = |source: &DrawingSource| {
        let mut mine = Problems::new();
        let found = find_file(job, source, &mut mine);
        (found, mine)
    };
    let all: Vec<(Option<Found>, Problems)> = job.drawings.par_iter().map(found).collect();
    let (mut all, told): (Vec<Option<Found>>, Vec<Problems>) = all.into_iter().unzip();
    let mut said = Problems::new();
    let stretched = stretch::correct(&mut all, job, &mut said);
    let joined = |((found, source), stretched): ((Option<Found>, &DrawingSource), Option<Stretched>)| {
        let mut mine = Problems::new();
        let drawing = found.map(|found| join::join(found, &source.file, joining(job), &mut mine));
        (drawing.map(|drawing| Drawing { stretched, ..drawing }), mine)
    };
    let all: Vec<(Option<Drawing>, Problems)> =
        all.into_par_iter().zip(&job.drawings).zip(stretched).map(joined).collect();
    let mut drawings = Vec::with_capacity(all.len());
    for ((drawing, mine), found) in all.into_iter().zip(told) {
        problems.extend(found);
        problems.extend(mine);
        drawings.extend(drawing);
    }
    problems.extend(said);
    drawings.extend(measured::read(job, problems));
    drawings.extend(ribs::read(job, problems));
    drawings
}

fn joining(job: &Job) -> join::Joining {
    join::Joining { join_mm: job.join_mm, tolerance_mm: job.tolerance_mm }
}

fn find_file(job: &Job, source: &DrawingSource, problems: &mut Problems) -> Option<Found> {
    match files::read(&job.folder.join(&source.file), files::DRAWING_LIMIT) {
        Ok(bytes) => find::find(source, &bytes, &job.layers, problems),
        Err(error) => {
            problems.push(unread(source, &error));
            None
        }
    }
}

/// Reads one drawing from the bytes of its file, by the job's rules.
pub fn read_bytes(
    job: &Job,
    source: &DrawingSource,
    bytes: &[u8],
    problems: &mut Problems,
) -> Option<Drawing> {
    let found = find::find(source, bytes, &job.layers, problems)?;
    Some(join::join(found, &source.file, joining(job), problems))
}

fn unread(source: &DrawingSource, error: &files::Error) -> Problem {
    let (code, hint) = match error {
        files::Error::Missing(_) => {
            ("missing-file", "check the path: names in a job file start from the job file's folder")
        }
        files::Error::Folder(_) => ("unreadable-file", "name the drawing in the folder, not the folder"),
        files::Error::TooLarge { .. } => {
            ("unreadable-file", "take pictures and hidden layers out of the drawing, or split it")
        }
        _ => ("unreadable-file", "check that the file may be read"),
    };
    Problem::error(code, error.to_string()).in_file(&source.file).hint(hint)
}
