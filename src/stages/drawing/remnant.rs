//! Outlines of remnants in stock: read from their drawings.

use std::borrow::Cow;

use super::{Drawn, Role, find_file, join, joining};
use crate::geometry::Outline;
use crate::problem::{Problem, Problems};
use crate::stages::job::{DrawingSource, Job, LayerRules, Stock, size};

/// The job with the outlines of its remnants: of each drawing the largest outline to be cut is the remnant, others within
/// it are zones to avoid. What cannot be read is a problem, and that remnant left out.
pub fn with_remnants<'a>(job: &'a Job, problems: &mut Problems) -> Cow<'a, Job> {
    if job.stock.iter().all(|stock| stock.outline_file.is_none()) {
        return Cow::Borrowed(job);
    }
    let stock = job.stock.iter().filter_map(|stock| match &stock.outline_file {
        Some(file) => remnant(stock, file, job, problems),
        None => Some(stock.clone()),
    });
    let stock = stock.collect();
    Cow::Owned(Job { stock, ..job.clone() })
}

/// The job for a drawing in which every line counts: its layers are not those of a plan.
fn plain(job: &Job) -> Job {
    Job { layers: LayerRules::all_cut(), ..job.clone() }
}

fn remnant(stock: &Stock, file: &str, job: &Job, problems: &mut Problems) -> Option<Stock> {
    let found = find_file(&plain(job), &DrawingSource::of(file.to_owned()), problems)?;
    let drawing = join::join(found, file, joining(job), problems);
    let cut = |drawn: &&Drawn<Outline>| drawn.role == Role::Cut;
    let outlines: Vec<&Outline> = drawing.outlines.iter().filter(cut).map(|drawn| &drawn.item).collect();
    let Some(outline) = outlines.iter().copied().max_by(|a, b| a.area().total_cmp(&b.area())) else {
        let message = format!("{file} holds no closed outline of a remnant");
        let hint = "draw what is left of the sheet as one closed outline, its grain along x";
        problems.push(job.placed(Problem::error("no-remnant", message).hint(hint), stock.line));
        return None;
    };
    let inside = |zone: &&Outline| zone.vertices().iter().any(|vertex| outline.contains(vertex.at));
    let others = outlines.into_iter().filter(|other| !std::ptr::eq(*other, outline));
    let within: Vec<Outline> = others.filter(inside).cloned().collect();
    let (blank, (length_mm, width_mm)) = stock.blank.clone().remnant(outline, &within);
    if !size::is_possible((length_mm, width_mm)) {
        let message = format!("the remnant in {file} is {length_mm:.1} x {width_mm:.1} mm");
        let hint = "edges are from 5 mm to 10 m: check the drawing's unit";
        problems.push(job.placed(Problem::error("bad-sheet-size", message).hint(hint), stock.line));
        return None;
    }
    Some(Stock { length_mm, width_mm, blank, ..stock.clone() })
}
