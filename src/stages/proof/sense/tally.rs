//! Problems of a program that may have millions of lines: the first few of each kind, the rest counted.

use crate::geometry::Point;
use crate::problem::{Problem, Severity};

/// So many of one kind are told one by one.
const TOLD: usize = 5;

/// Gathers the problems of one file.
#[derive(Debug)]
pub(in crate::stages::proof) struct Tally {
    file: String,
    problems: Vec<Problem>,
    kinds: Vec<(&'static str, Severity, usize)>,
}

impl Tally {
    pub(in crate::stages::proof) fn new(file: &str) -> Self {
        Self { file: file.to_owned(), problems: Vec::new(), kinds: Vec::new() }
    }

    /// One more; it is only made where it is told.
    pub(in crate::stages::proof) fn add(
        &mut self,
        code: &'static str,
        severity: Severity,
        problem: impl FnOnce() -> Problem,
    ) {
        let found = self.kinds.iter().position(|kind| (kind.0, kind.1) == (code, severity));
        let at = found.unwrap_or_else(|| {
            self.kinds.push((code, severity, 0));
            self.kinds.len() - 1
        });
        self.kinds[at].2 += 1;
        if self.kinds[at].2 <= TOLD {
            self.problems.push(Problem { code, severity, ..problem() }.in_file(&self.file));
        }
    }

    /// One more error at a line and, where it is known, a place on the sheet.
    pub(super) fn error(
        &mut self,
        code: &'static str,
        line: usize,
        at: Option<Point>,
        message: impl FnOnce() -> String,
    ) {
        self.at(code, Severity::Error, line, at, message);
    }

    /// One more of this severity.
    pub(super) fn at(
        &mut self,
        code: &'static str,
        severity: Severity,
        line: usize,
        at: Option<Point>,
        message: impl FnOnce() -> String,
    ) {
        self.add(code, severity, || {
            let problem = Problem::error(code, message()).at_line(line, 1).hint(super::hint(code));
            at.map_or(problem.clone(), |at| problem.at(at))
        });
    }

    /// All that is told, in the order in which it was met; after it, for each kind, how many more there are.
    pub(in crate::stages::proof) fn into_problems(self) -> Vec<Problem> {
        let mut problems = self.problems;
        for (code, severity, count) in self.kinds {
            if count > TOLD {
                let more = count - TOLD;
                let rest = Problem::error(code, format!("and {more} more like this")).in_file(&self.file);
                problems.push(Problem { severity, ..rest });
            }
        }
        problems
    }
}
