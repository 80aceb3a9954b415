//! Prints and scans to true scale: each drawing by its own known lengths, and those that continue another laid on it.

use super::{Found, Stroke, Text};
use crate::geometry::stretch::{self, Correction, Decided};
use crate::geometry::{Affine, Point, trig};
use crate::problem::{Problem, Problems};
use crate::stages::job::{DrawingSource, Job, Stretch};

/// The length of a part of which the expected error is told, mm.
pub const TOLD_LENGTH: f64 = 200.0;

/// A part of that length may be off by so much, mm, before the lengths count as too short: what a joint takes up
/// (common practice, no source).
const TOO_SHORT: f64 = 0.25;

/// A length that is left off by so many reading errors was read wrongly.
const MISREAD: f64 = 3.0;

/// A print that is stretched by more than this fraction is rather one in another unit or scale.
const TOO_FAR: f64 = 0.05;

/// What was done to a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretched {
    /// From the drawing as it lies in its file to what is true.
    pub map: Affine,
    /// The correction by known lengths; none where common points alone decided.
    pub correction: Option<Correction>,
    /// The error of one reading, mm.
    pub reading_error_mm: f64,
    /// How far each common point stays off, mm.
    pub apart_mm: Vec<f64>,
    /// The drawing that this one was laid on.
    pub continues: Option<String>,
}

impl Stretched {
    /// The error expected of a part of [`TOLD_LENGTH`] along x and along y, mm; none where nothing tells it.
    pub fn expected_mm(&self) -> Option<(f64, f64)> {
        let correction = self.correction.as_ref()?;
        let of = |degrees| correction.expected_mm(degrees, TOLD_LENGTH, self.reading_error_mm);
        Some((of(0.0), of(90.0)))
    }

    /// What it did, in one line.
    pub fn told(&self) -> String {
        let mut told = Vec::new();
        if let (Some(correction), Some((x, y))) = (&self.correction, self.expected_mm()) {
            let (along, across, skew, turn) = correction.parts();
            told.push(match correction.decided {
                Decided::Scale => format!("all by {along:.5}"),
                _ => format!("x by {along:.5}, y by {across:.5}"),
            });
            if correction.decided == Decided::Skew {
                told.push(format!("skew {skew:.3}°"));
            }
            if turn.abs() > 1e-9 {
                told.push(format!("turn {turn:.3}°"));
            }
            let left: Vec<String> = correction.residuals_mm.iter().map(|r| format!("{r:+.2}")).collect();
            told.push(format!("lengths left off by {} mm", left.join(" ")));
            told.push(format!("a part of {TOLD_LENGTH} mm is good to {x:.2} mm along x, {y:.2} along y"));
        } else {
            let [a, b, c, d, ..] = self.map.as_coeffs();
            told.push(format!("x by {:.5}, y by {:.5}", trig::hypot(a, b), trig::hypot(c, d)));
        }
        if let Some(file) = &self.continues {
            let apart = self.apart_mm.iter().copied().fold(0.0, f64::max);
            told.push(format!("laid on {file}, common points off by up to {apart:.2} mm"));
        }
        told.join("; ")
    }
}

/// Brings what was found to true scale, and lays what continues another drawing on it: the other then holds both. What
/// cannot be brought to scale stays as it is; it is told.
pub(super) fn correct(
    found: &mut [Option<Found>],
    job: &Job,
    problems: &mut Problems,
) -> Vec<Option<Stretched>> {
    let mut done: Vec<Option<Stretched>> = Vec::with_capacity(found.len());
    for (i, source) in job.drawings.iter().enumerate() {
        let Some(wish) = &source.stretch else {
            done.push(None);
            continue;
        };
        let onto =
            wish.continues.as_ref().and_then(|file| job.drawings[..i].iter().position(|d| d.file == *file));
        let base = onto.map(|k| done[k].as_ref().map_or(Affine::IDENTITY, |s: &Stretched| s.map));
        let stretched = stretched(wish, base, source, problems);
        if let (Some(stretched), Some(here)) = (&stretched, found[i].as_mut()) {
            apply(here, stretched.map);
        }
        if let (Some(_), Some(k)) = (&stretched, onto.map(|k| root(&done, job, k))) {
            merge(found, i, k);
        }
        done.push(stretched);
    }
    done
}

/// The drawing on which a drawing lies in the end.
fn root(done: &[Option<Stretched>], job: &Job, from: usize) -> usize {
    let next = done[from].as_ref().and_then(|s| s.continues.as_ref());
    let next = next.and_then(|file| job.drawings[..from].iter().position(|d| d.file == *file));
    next.map_or(from, |next| root(done, job, next))
}

fn stretched(
    wish: &Stretch,
    base: Option<Affine>,
    source: &DrawingSource,
    problems: &mut Problems,
) -> Option<Stretched> {
    let mut tell = |problem: Problem| problems.push(problem.in_file(&source.file));
    let correction = stretch::correction(&wish.lengths);
    let linear = correction.as_ref().map_or(Affine::IDENTITY, |c| c.map);
    let base = base.unwrap_or(Affine::IDENTITY);
    let here: Vec<Point> = wish.points.iter().map(|(here, _)| linear * *here).collect();
    let there: Vec<Point> = wish.points.iter().map(|(_, there)| base * *there).collect();
    let placed = match (wish.points.is_empty(), &correction) {
        (true, Some(_)) => Some(Affine::IDENTITY),
        (true, None) => None,
        (false, Some(_)) => stretch::laid_on(&here, &there),
        (false, None) => stretch::affine(&here, &there),
    };
    let Some(placed) = placed else {
        let hint = "give lengths that differ in direction, or three points that lie in no line";
        tell(
            Problem::error("stretch-unknown", "the true scale does not follow from what is known").hint(hint),
        );
        return None;
    };
    let apart_mm: Vec<f64> = here.iter().zip(&there).map(|(a, b)| (placed * *a).distance(*b)).collect();
    let stretched = Stretched {
        map: placed * linear,
        correction,
        reading_error_mm: wish.reading_error_mm,
        apart_mm,
        continues: wish.continues.clone(),
    };
    doubts(&stretched).into_iter().for_each(tell);
    Some(stretched)
}

/// What a person should know about a correction.
fn doubts(stretched: &Stretched) -> Vec<Problem> {
    let mut doubts = Vec::new();
    let error = stretched.reading_error_mm;
    if let Some(correction) = &stretched.correction {
        let (along, across, ..) = correction.parts();
        if (along - 1.0).abs().max((across - 1.0).abs()) > TOO_FAR {
            let message = format!(
                "the drawing is stretched by {:.1} % along x and {:.1} % along y",
                100.0 * (along - 1.0),
                100.0 * (across - 1.0)
            );
            let hint = "a print stretches by a per cent or so: check the unit, and which length is drawn and which is true";
            doubts.push(Problem::warning("stretch-far", message).hint(hint));
        }
        if correction.decided == Decided::Scale {
            let message = "the known lengths all lie one way: the same scale is used along and across";
            let hint = "a print stretches differently along and across: give a length across as well";
            doubts.push(Problem::warning("stretch-one-way", message).hint(hint));
        }
        let worst = correction.worst_mm(TOLD_LENGTH, error);
        if worst > TOO_SHORT {
            let message = format!(
                "the known lengths are short: read to {error} mm, a part of {TOLD_LENGTH} mm may be off by {worst:.2} mm"
            );
            doubts.push(Problem::warning("stretch-short", message).hint("give longer ones, or more of them"));
        }
        for (i, left) in correction.residuals_mm.iter().enumerate() {
            if left.abs() > MISREAD * error {
                let message =
                    format!("known length {} is left off by {left:.2} mm, more than it is read wrong", i + 1);
                doubts.push(
                    Problem::warning("stretch-misread", message)
                        .hint("measure it again, on the plan and on the drawing"),
                );
            }
        }
    }
    for (i, apart) in stretched.apart_mm.iter().enumerate() {
        if *apart > MISREAD * error {
            let message = format!("common point {} stays {apart:.2} mm apart", i + 1);
            doubts
                .push(Problem::warning("stretch-misread", message).hint("check the point on both drawings"));
        }
    }
    doubts
}

fn apply(found: &mut Found, map: Affine) {
    for stroke in &mut found.strokes {
        let Stroke { curves, .. } = &mut stroke.item;
        for curve in curves {
            *curve = curve.transformed(map);
        }
    }
    for text in &mut found.texts {
        let Text { at, height, .. } = &mut text.item;
        *at = map * *at;
        *height *= map.determinant().abs().sqrt();
    }
    for point in &mut found.points {
        point.item = map * point.item;
    }
}

/// Gives what one drawing holds to another.
fn merge(found: &mut [Option<Found>], from: usize, to: usize) {
    let Some(mut given) = found[from].take() else { return };
    if let Some(onto) = &mut found[to] {
        onto.strokes.append(&mut given.strokes);
        onto.texts.append(&mut given.texts);
        onto.points.append(&mut given.points);
    }
    found[from] = Some(given);
}
