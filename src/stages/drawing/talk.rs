//! What a reader has to say about one file: problems in the order met, not too many of a kind, and the count of what was
//! used and what was not.

use std::collections::BTreeMap;

use super::Drawn;
use super::{Found, Stroke, Text};
use crate::geometry::Point;
use crate::problem::{Problem, Problems, Severity};
use crate::units::Unit;

/// So many problems of one code are told one by one; the rest are summed up.
const MOST_OF_A_KIND: usize = 12;

/// Collects the problems of one file.
#[derive(Debug)]
pub(super) struct Talk<'a> {
    file: &'a str,
    problems: &'a mut Problems,
    met: BTreeMap<&'static str, (usize, Severity)>,
    /// Places are bytes, not lines.
    pub(super) in_bytes: bool,
}

impl<'a> Talk<'a> {
    /// Nothing said yet about this file.
    pub(super) fn new(file: &'a str, problems: &'a mut Problems) -> Self {
        Self { file, problems, met: BTreeMap::new(), in_bytes: false }
    }

    /// One more problem.
    pub(super) fn push(&mut self, problem: Problem) {
        let met = self.met.entry(problem.code).or_insert((0, problem.severity));
        met.0 += 1;
        met.1 = met.1.min(problem.severity);
        if met.0 <= MOST_OF_A_KIND {
            self.problems.push(problem.in_file(self.file));
        }
    }

    /// Whether the next problem of this code would still be told by itself.
    pub(super) fn tells(&self, code: &'static str) -> bool {
        self.met.get(code).is_none_or(|(count, _)| *count < MOST_OF_A_KIND)
    }

    /// One more problem, at a line (or byte) of the file.
    pub(super) fn push_at(&mut self, place: usize, problem: Problem) {
        let placed = if self.in_bytes {
            let message = format!("{} (at byte {place})", problem.message);
            Problem { message, ..problem }
        } else {
            problem.at_line(place, 1)
        };
        self.push(placed);
    }

    /// Sums up what was too much to tell one by one.
    pub(super) fn finish(self) {
        for (code, (count, severity)) in self.met {
            if count > MOST_OF_A_KIND {
                let message = format!("and {} more like it ({code})", count - MOST_OF_A_KIND);
                let sum = match severity {
                    Severity::Error => Problem::error(code, message),
                    Severity::Warning => Problem::warning(code, message),
                    Severity::Note => Problem::note(code, message),
                };
                self.problems.push(sum.in_file(self.file));
            }
        }
    }
}

/// What was found so far.
#[derive(Debug, Default)]
pub(super) struct Finds {
    pub(super) strokes: Vec<Drawn<Stroke>>,
    pub(super) texts: Vec<Drawn<Text>>,
    pub(super) points: Vec<Drawn<Point>>,
    used: BTreeMap<String, usize>,
    unused: BTreeMap<String, usize>,
}

impl Finds {
    /// One more entity of this kind was used.
    pub(super) fn used(&mut self, kind: &str) {
        count(&mut self.used, kind, 1);
    }

    /// So many entities of this kind were not used.
    pub(super) fn unused(&mut self, kind: &str, number: usize) {
        count(&mut self.unused, kind, number);
    }

    /// One more entity of this kind was not used, for this reason.
    pub(super) fn unused_as(&mut self, kind: &str, why: &str) {
        count(&mut self.unused, &format!("{kind} ({why})"), 1);
    }

    /// All of it, as a file drawn in this unit.
    pub(super) fn into_found(self, units: Unit) -> Found {
        let Self { strokes, texts, points, used, unused } = self;
        Found { units, strokes, texts, points, used, unused }
    }
}

fn count(counts: &mut BTreeMap<String, usize>, kind: &str, number: usize) {
    if let Some(known) = counts.get_mut(kind) {
        *known += number;
    } else {
        counts.insert(kind.to_owned(), number);
    }
}
