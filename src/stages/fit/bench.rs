//! Where parts are held against each other: finds them, measures them, and says what is wrong.

use globset::{GlobBuilder, GlobMatcher};

use super::measure;
use super::{Row, Verdict};
use crate::problem::{Problem, Problems};
use crate::stages::job::fit::{Fit, Kind, Term};
use crate::stages::job::{Job, Stock};
use crate::stages::part::Part;

/// The parts, and what there is to say about them.
#[derive(Debug)]
pub(super) struct Bench<'a> {
    pub(super) parts: &'a mut Vec<Part>,
    /// What they were called before any was brought to size: a fit that comes later means them by that.
    pub(super) names: Vec<String>,
    pub(super) job: &'a Job,
    pub(super) problems: &'a mut Problems,
}

impl Bench<'_> {
    /// The rows of one fit.
    pub(super) fn rows(&mut self, fit: &Fit) -> Vec<Row> {
        match &fit.is {
            Kind::Dimension(term) => self.one(fit, term),
            Kind::Line(stations) => self.line(fit, stations).unwrap_or_default(),
            Kind::Halving(halves) => self.halving(fit, halves).unwrap_or_default(),
        }
    }

    /// A row of a fit; the part is the one that has to fit.
    pub(super) fn row(&self, fit: &Fit, name: String, part: usize, (should_mm, is_mm): (f64, f64)) -> Row {
        Row {
            name,
            part: self.parts[part].id.clone(),
            should_mm,
            is_mm,
            verdict: Verdict::of(is_mm - should_mm, fit.within_mm),
            built: fit.built_mm.is_some(),
            held: Vec::new(),
        }
    }

    /// The parts whose names match patterns; one that matches nothing is told.
    pub(super) fn named(&mut self, patterns: &[String], fit: &Fit) -> Vec<usize> {
        let mut found = Vec::new();
        for pattern in patterns {
            let before = found.len();
            let matcher = matcher(pattern);
            let matches = |name: &String| matcher.as_ref().is_some_and(|m| m.is_match(name));
            found.extend((0..self.names.len()).filter(|&i| matches(&self.names[i])));
            if found.len() == before {
                self.wrong(fit, "fit-part", &format!("no part is called '{pattern}'"), "");
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }

    /// The first part that a pattern means.
    pub(super) fn part(&mut self, pattern: &str, fit: &Fit) -> Option<usize> {
        self.named(&[pattern.to_owned()], fit).first().copied()
    }

    /// A dimension in millimetres; `of` says which part where a pattern stands for several.
    pub(super) fn size(&mut self, term: &Term, of: Option<usize>, fit: &Fit) -> Option<f64> {
        let name = match term {
            Term::Length(length) => return Some(*length),
            Term::Wood(wood, thickness) => return Some(self.thickness_of(wood, *thickness)),
            Term::Between(name, ..) | Term::Overall(name, _) | Term::Slot(name, _) => name,
        };
        let index = of.or_else(|| self.part(name, fit))?;
        let region = &self.parts[index].region;
        let found = match *term {
            Term::Between(_, from, to, along) => measure::between(region, from, to, along),
            Term::Slot(_, at) => measure::walls(region, at).map(|walls| walls.width),
            Term::Overall(_, way) => Some(measure::overall(region, way)),
            Term::Length(_) | Term::Wood(..) => None,
        };
        if found.is_none() {
            self.nowhere(fit, index);
        }
        found
    }

    /// The thickness of a wood as it was measured; as it is sold where nobody did.
    pub(super) fn thickness_of(&self, wood: &str, thickness: f64) -> f64 {
        Stock::measured_or(&self.job.stock, wood, thickness)
    }

    /// Notes that there is nothing to measure at a fit's points.
    pub(super) fn nowhere(&mut self, fit: &Fit, part: usize) {
        let message = format!("the points of part '{}' lie at no edge of it", self.parts[part].id);
        let hint = "give points of the part as drawn, within 2 mm of its edges; a slot's within the slot";
        self.wrong_with(fit, part, "fit-dimension", &message, hint);
    }

    /// Notes what is wrong with a fit.
    pub(super) fn wrong(&mut self, fit: &Fit, code: &'static str, message: &str, hint: &str) {
        let mut problem = Problem::error(code, format!("'{}': {message}", fit.name));
        if !hint.is_empty() {
            problem = problem.hint(hint);
        }
        self.problems.push(self.job.placed(problem, fit.line));
    }

    /// Notes what is wrong with a part in a fit.
    pub(super) fn wrong_with(
        &mut self,
        fit: &Fit,
        part: usize,
        code: &'static str,
        message: &str,
        hint: &str,
    ) {
        let problem = Problem::error(code, format!("'{}': {message}", fit.name)).hint(hint);
        self.problems.push(self.job.placed(problem.of_part(&self.parts[part].id), fit.line));
    }
}

fn matcher(pattern: &str) -> Option<GlobMatcher> {
    GlobBuilder::new(pattern).case_insensitive(true).build().ok().map(|glob| glob.compile_matcher())
}
