//! What a proof says, in one line.

use std::fmt::Write as _;

use super::{Figures, Proof};
use crate::problem::{Problem, Severity};

/// Lengths are told to this much, mm: rounded up, so that what is said holds.
const TOLD_MM: f64 = 0.001;

/// Rounding of sums, in steps of [`TOLD_MM`]: far below what counts.
const SLACK: f64 = 1e-6;

impl Proof {
    /// What came of it: how near the pieces come to the plan, or the first thing that is wrong and how many more are.
    pub fn verdict(&self) -> String {
        let mut wrong = self.files.iter().flat_map(|file| {
            let errors = file.problems.iter().filter(|p| p.severity == Severity::Error);
            errors.map(|problem| (file.file.as_str(), problem))
        });
        match wrong.next() {
            None => good(&self.figures()),
            Some((file, problem)) => bad(file, problem, wrong.count()),
        }
    }
}

fn good(figures: &Figures) -> String {
    let worst = (figures.worst_mm() / TOLD_MM - SLACK).ceil().max(1.0) * TOLD_MM;
    let mut said = match figures.pieces {
        0 => return "no piece was held against a plan".to_owned(),
        1 => format!("1 piece, within {worst:.3} mm of the plan"),
        many => format!("{many} pieces, all within {worst:.3} mm of the plan"),
    };
    match figures.unreachable_corners {
        0 => {}
        1 => said.push_str("; 1 corner stays round, no beam or cutter gets into it"),
        many => {
            let _ = write!(said, "; {many} corners stay round, no beam or cutter gets into them");
        }
    }
    said
}

fn bad(file: &str, problem: &Problem, more: usize) -> String {
    let mut said = format!("not as planned: {file}");
    if let Some(line) = problem.line {
        let _ = write!(said, ", line {line}");
    }
    if let Some([x, y]) = problem.at_mm {
        let _ = write!(said, ", at ({x:.3}, {y:.3}) mm");
    }
    let _ = write!(said, ": {}", problem.message);
    if more > 0 {
        let _ = write!(said, "; and {more} more");
    }
    said
}
