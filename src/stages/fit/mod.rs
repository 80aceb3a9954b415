//! Parts that have to fit: their dimensions held against each other before wood is cut.
//!
//! Takes the parts and what the job says of their fits. Gives one row for each dimension that has to fit: what it should
//! be, what it is, and which part to change. Brings parts to a measured dimension where the job asks for it, and holds
//! back those that are not to be cut yet. Refuses dimensions of parts that there are not, and points that lie at no edge.
//! Parts are as they are drawn: bays for a round cutter come later and change no dimension.

mod adjust;
mod bench;
mod halving;
mod line;
mod measure;
mod one;
mod slots;

pub use slots::check as make_slots;

use super::job::Job;
use super::job::fit::{Fit, Kind};
use super::part::Part;
use crate::problem::{Problem, Problems};
use bench::Bench;

/// What sums of lengths lose in their last digits, mm.
const ROUNDING: f64 = 1e-6;

/// How a dimension came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It fits.
    Fits,
    /// It is too large.
    Large,
    /// It is too small.
    Small,
    /// The part was brought to size.
    Adjusted,
}

impl Verdict {
    /// In words.
    pub fn told(self) -> &'static str {
        match self {
            Self::Fits => "fits",
            Self::Large => "too large",
            Self::Small => "too small",
            Self::Adjusted => "brought to size",
        }
    }

    /// What a dimension that is off by so much is.
    fn of(off_mm: f64, within_mm: f64) -> Self {
        match off_mm {
            off if off.abs() <= within_mm + ROUNDING => Self::Fits,
            off if off > 0.0 => Self::Large,
            _ => Self::Small,
        }
    }

    fn is_good(self) -> bool {
        matches!(self, Self::Fits | Self::Adjusted)
    }
}

/// One dimension, held against what it has to fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What it is called.
    pub name: String,
    /// The part that has to fit, and is the one to change.
    pub part: String,
    /// What it should be, mm.
    pub should_mm: f64,
    /// What it is as drawn, mm.
    pub is_mm: f64,
    /// How it came out.
    pub verdict: Verdict,
    /// Whether what it should be was measured on what is built.
    pub built: bool,
    /// Parts that wait for it.
    pub held: Vec<String>,
}

/// Holds every fit of the job against the parts; brings to size, and takes out of the list, what the job says so of.
pub fn check(parts: &mut Vec<Part>, job: &Job, problems: &mut Problems) -> Vec<Row> {
    let names = parts.iter().map(|part| part.id.clone()).collect();
    let mut bench = Bench { parts, names, job, problems };
    let mut held: Vec<bool> = vec![false; bench.parts.len()];
    let mut all = Vec::new();
    for fit in &job.fits {
        let waits = bench.named(&fit.holds, fit);
        for mut row in bench.rows(fit) {
            if !row.verdict.is_good() || (fit.until_built && !row.built) {
                row.held = waits.iter().map(|&i| bench.parts[i].id.clone()).collect();
                for &i in &waits {
                    held[i] = true;
                }
            }
            if !row.verdict.is_good() {
                bench.problems.push(misfit(fit, &row, job));
            }
            all.push(row);
        }
    }
    tell_held(&all, &held, problems);
    let mut kept = held.iter().map(|held| !held);
    parts.retain(|_| kept.next().unwrap_or(true));
    all
}

fn tell_held(rows: &[Row], held: &[bool], problems: &mut Problems) {
    let count = held.iter().filter(|held| **held).count();
    if count == 0 {
        return;
    }
    let mut names: Vec<&str> = rows.iter().flat_map(|row| row.held.iter().map(String::as_str)).collect();
    names.sort_unstable();
    names.dedup();
    let message = format!("held back, not cut yet: {}", names.join(", "));
    if count == held.len() {
        let hint = "nothing else is left to cut: measure what is built and enter it as 'built'";
        problems.push(Problem::error("all-held-back", message).hint(hint));
    } else {
        let hint =
            "cut and build the rest, measure it, and enter the dimensions as 'built' in the job's fits";
        problems.push(Problem::warning("held-back", message).hint(hint));
    }
}

fn misfit(fit: &Fit, row: &Row, job: &Job) -> Problem {
    let off = row.is_mm - row.should_mm;
    let message = format!(
        "'{}': part '{}' is {:.2} mm and should be {:.2} mm, {:.2} mm {}",
        row.name,
        row.part,
        row.is_mm,
        row.should_mm,
        off.abs(),
        row.verdict.told()
    );
    let hint = match fit.is {
        Kind::Dimension(_) => "change the part, or say 'adjust' where it may be brought to size",
        _ => "change the part",
    };
    job.placed(Problem::warning("does-not-fit", message).of_part(&row.part).hint(hint), fit.line)
}
