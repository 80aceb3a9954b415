//! Reads G-code as a machine does: a text to the path of beam or cutter, step by step.
//!
//! Written from the standard (Kramer, Proctor, Messina, "The NIST RS274NGC Interpreter, Version 3", NISTIR 6556, 2000)
//! without a look at what writes the files. Where a controller departs from the standard, its post's YAML says so
//! ([`Dialect`]). What the standard allows but a cut file for a sheet has no use for (other planes, cutter
//! compensation, canned cycles, parameters, rotary axes, other origins) is a fault: what is not followed is not proved.

mod arc;
mod dialect;
mod execute;
mod line;
mod state;
mod words;

pub use dialect::{CommentMark, Dialect};
pub use execute::read;
pub use state::{Motion, Spindle, Step};

use crate::problem::Problem;

/// Something that the machine would refuse, or that this reader cannot follow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// A short name that stays the same.
    pub code: &'static str,
    /// Line of the file, from 1.
    pub line: usize,
    /// What is wrong.
    pub message: String,
}

impl Fault {
    pub(super) fn new(code: &'static str, message: impl Into<String>) -> Self {
        Self { code, line: 0, message: message.into() }
    }

    /// The fault as a problem of this file.
    pub fn problem(&self, file: &str) -> Problem {
        Problem::error(self.code, self.message.clone()).in_file(file).at_line(self.line, 1)
    }
}
