//! Parts that have to fit: their dimensions held against each other before wood is cut.
//!
//! Takes the parts and what the job says of their fits. Gives one row for each dimension that has to fit: what it should
//! be, what it is, and which part to change. Brings parts to a measured dimension where the job asks for it, and holds
//! back those that are not to be cut yet. Refuses dimensions of parts that there are not, and points that lie at no edge.

mod adjust;
mod measure;

use globset::{GlobBuilder, GlobMatcher};

use super::job::Job;
use super::job::fit::{Adjust, Fit, Term};
use super::part::Part;
use crate::problem::{Problem, Problems};

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
    let mut rows = Vec::new();
    let mut held: Vec<bool> = vec![false; parts.len()];
    for fit in &job.fits {
        let waits = named(&fit.holds, parts, job, fit, problems);
        for index in subjects(fit, parts, job, problems) {
            let Some(mut row) = row(fit, index, parts, job, problems) else { continue };
            if row.verdict != Verdict::Fits
                && let Some(how) = fit.adjust
            {
                adjusted(&mut row, fit, how, &mut parts[index], job, problems);
            }
            let waiting =
                !matches!(row.verdict, Verdict::Fits | Verdict::Adjusted) || (fit.until_built && !row.built);
            if waiting {
                row.held = waits.iter().map(|&i| parts[i].id.clone()).collect();
                for &i in &waits {
                    held[i] = true;
                }
            }
            if !matches!(row.verdict, Verdict::Fits | Verdict::Adjusted) {
                problems.push(misfit(fit, &row, job));
            }
            rows.push(row);
        }
    }
    tell_held(&rows, &held, problems);
    let mut kept = held.iter().map(|held| !held);
    parts.retain(|_| kept.next().unwrap_or(true));
    rows
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

/// The parts whose names match patterns; one that matches nothing is told.
fn named(patterns: &[String], parts: &[Part], job: &Job, fit: &Fit, problems: &mut Problems) -> Vec<usize> {
    let mut found = Vec::new();
    for pattern in patterns {
        let before = found.len();
        let matcher = matcher(pattern);
        let matches = |part: &Part| matcher.as_ref().is_some_and(|m| m.is_match(&part.id));
        found.extend((0..parts.len()).filter(|&i| matches(&parts[i])));
        if found.len() == before {
            let message = format!("'{}': no part is called '{pattern}'", fit.name);
            problems.push(job.placed(Problem::error("fit-part", message), fit.line));
        }
    }
    found.sort_unstable();
    found.dedup();
    found
}

fn matcher(pattern: &str) -> Option<GlobMatcher> {
    GlobBuilder::new(pattern).case_insensitive(true).build().ok().map(|glob| glob.compile_matcher())
}

/// The parts that have to fit.
fn subjects(fit: &Fit, parts: &[Part], job: &Job, problems: &mut Problems) -> Vec<usize> {
    match &fit.is {
        Term::Between(part, ..) | Term::Slot(part, _) => {
            named(std::slice::from_ref(part), parts, job, fit, problems)
        }
        _ => {
            let message = format!("'{}': what has to fit is no dimension of a part", fit.name);
            problems.push(job.placed(Problem::error("fit-part", message), fit.line));
            Vec::new()
        }
    }
}

fn row(fit: &Fit, index: usize, parts: &[Part], job: &Job, problems: &mut Problems) -> Option<Row> {
    let is_mm = size(&fit.is, Some(index), fit, parts, job, problems)?;
    let mut sum = |terms: &[Term]| {
        terms.iter().try_fold(0.0, |sum, term| Some(sum + size(term, None, fit, parts, job, problems)?))
    };
    let should = match fit.built_mm {
        Some(built) => built,
        None => sum(&fit.should)?,
    };
    let should_mm = should - sum(&fit.less)? - fit.play_mm;
    let off = is_mm - should_mm;
    let verdict = if off.abs() <= fit.within_mm + ROUNDING {
        Verdict::Fits
    } else if off > 0.0 {
        Verdict::Large
    } else {
        Verdict::Small
    };
    let part = parts[index].id.clone();
    Some(Row {
        name: fit.name.clone(),
        part,
        should_mm,
        is_mm,
        verdict,
        built: fit.built_mm.is_some(),
        held: Vec::new(),
    })
}

/// A dimension in millimetres; `of` names the part where a pattern stands for several.
fn size(
    term: &Term,
    of: Option<usize>,
    fit: &Fit,
    parts: &[Part],
    job: &Job,
    problems: &mut Problems,
) -> Option<f64> {
    let (name, points) = match term {
        Term::Length(length) => return Some(*length),
        Term::Wood(wood, thickness) => return Some(thickness_of(wood, *thickness, job)),
        Term::Between(name, from, to) => (name, vec![*from, *to]),
        Term::Slot(name, at) => (name, vec![*at]),
    };
    let index = match of {
        Some(index) => index,
        None => *named(std::slice::from_ref(name), parts, job, fit, problems).first()?,
    };
    let part = &parts[index];
    let found = match points[..] {
        [from, to] => measure::between(&part.region, from, to).map(|(a, b)| a.distance(b)),
        _ => measure::slot(&part.region, points[0]),
    };
    if found.is_none() {
        let message = format!("'{}': the points of part '{}' lie at no edge of it", fit.name, part.id);
        let hint = "give points of the part as drawn, within 2 mm of its edges; a slot's within the slot";
        problems.push(
            job.placed(Problem::error("fit-dimension", message).of_part(&part.id).hint(hint), fit.line),
        );
    }
    found
}

/// The thickness of a wood as it was measured; as it is sold where nobody did.
fn thickness_of(wood: &str, thickness: f64, job: &Job) -> f64 {
    let mut these = job.stock.iter().filter(|stock| stock.is_of(wood, thickness));
    these.find_map(|stock| stock.measured_mm).unwrap_or(thickness)
}

/// Brings a part to size; what keeps it from that is told.
fn adjusted(row: &mut Row, fit: &Fit, how: Adjust, part: &mut Part, job: &Job, problems: &mut Problems) {
    let by = row.should_mm - row.is_mm;
    let moved = match (&fit.is, how) {
        (Term::Between(_, from, to), Adjust::Beyond(point)) => measure::between(&part.region, *from, *to)
            .ok_or("its points lie at no edge")
            .and_then(|ends| adjust::moved(part, ends, point, by)),
        (Term::Slot(_, at), Adjust::Walls) => adjust::widened(part, *at, by),
        _ => Err("a point beyond which all moves is for two edges, 'true' for a slot"),
    };
    match moved {
        Ok(moved) => {
            // A slot made to the wood is what the plan means; a part of another size is not, and says so.
            let name = match how {
                Adjust::Beyond(_) => format!("{} {by:+.2}", part.id),
                Adjust::Walls => part.id.clone(),
            };
            let message = format!(
                "'{}': part '{}' is brought from {:.2} to {:.2} mm and marked '{name}'",
                fit.name, part.id, row.is_mm, row.should_mm
            );
            let told = Problem::note("fit-adjusted", message).of_part(&part.id);
            problems.push(job.placed(told, fit.line));
            *part = Part { id: name, ..moved };
            row.verdict = Verdict::Adjusted;
        }
        Err(why) => {
            let message = format!("'{}': part '{}' cannot be brought to size: {why}", fit.name, part.id);
            let hint = "only straight edges that run along the dimension can grow or shrink";
            let told = Problem::error("fit-adjust", message).of_part(&part.id).hint(hint);
            problems.push(job.placed(told, fit.line));
        }
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
    let hint = "change the part, or say 'adjust' where it may be brought to size";
    job.placed(Problem::warning("does-not-fit", message).of_part(&row.part).hint(hint), fit.line)
}
