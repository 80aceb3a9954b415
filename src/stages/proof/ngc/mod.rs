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
mod lines;
mod motion;
mod number;
mod state;
mod words;

pub use dialect::{CommentMark, Dialect};
pub use execute::stream;
pub use lines::Ending;
pub use state::{Motion, Spindle, Step};

use crate::problem::Problem;

/// What a program is told to while it is read.
pub trait Listener {
    /// The machine does this.
    fn step(&mut self, step: &Step);

    /// A line breaks a rule, and is not carried out.
    fn fault(&mut self, fault: Fault);

    /// A line has been read and will now be carried out. Not called for lines after the program's end, percent signs, and
    /// lines whose grammar is at fault.
    fn line(&mut self, line: LineRead);
}

/// The form of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LineRead {
    /// Line of the file, from 1.
    pub line: usize,
    /// The number that its N gives it.
    pub number: Option<u32>,
    /// Whether it holds any words beyond its number.
    pub words: bool,
    /// What ended it.
    pub end: Ending,
}

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

/// No more faults than this are kept by [`read`]; a file with so many is none.
const MOST_FAULTS: usize = 200;

/// Reads a program that is in memory, hands over each step as it is made, and gives the faults in the order of the lines.
pub fn read(program: &[u8], dialect: &Dialect, each: &mut dyn FnMut(&Step)) -> Vec<Fault> {
    let mut listener = Keeping { each, faults: Vec::new() };
    // Bytes in memory can always be read.
    let _ = stream(program, dialect, &mut listener);
    listener.faults
}

struct Keeping<'a> {
    each: &'a mut dyn FnMut(&Step),
    faults: Vec<Fault>,
}

impl Listener for Keeping<'_> {
    fn step(&mut self, step: &Step) {
        (self.each)(step);
    }

    fn fault(&mut self, fault: Fault) {
        if self.faults.len() < MOST_FAULTS {
            self.faults.push(fault);
        }
    }

    fn line(&mut self, _: LineRead) {}
}
