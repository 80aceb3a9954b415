//! Ribs from sections: what is cut into them holds its size and runs straight.

mod block;
mod files;
mod set;

use std::path::Path;

use grainwise::geometry::{Outline, Point, Region};
use grainwise::problem::{Problem, Problems};
use grainwise::stages::drawing::{self, Drawing, Role};
use grainwise::stages::job;

/// The drawings of a job that holds this set, and what is wrong with it.
fn read_in(folder: &Path, set: &str) -> (Vec<Drawing>, Vec<Problem>) {
    let mut problems = Problems::new();
    let job = job::parse(&format!("ribs:\n{set}"), "job.yaml", folder, &mut problems).unwrap();
    let drawings = drawing::read(&job, &mut problems);
    (drawings, problems.into_iter().collect())
}

/// The only drawing, with nothing wrong about it.
#[track_caller]
fn made_in(folder: &Path, set: &str) -> Drawing {
    let (mut drawings, problems) = read_in(folder, set);
    assert_eq!(problems, Vec::new());
    drawings.remove(0)
}

#[track_caller]
fn made(set: &str) -> Drawing {
    made_in(Path::new("."), set)
}

/// The code of the only problem.
#[track_caller]
fn refused(set: &str) -> &'static str {
    let (_, problems) = read_in(Path::new("."), set);
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(problems[0].line.is_some() && !problems[0].hint.is_empty(), "{:?}", problems[0]);
    problems[0].code
}

/// Names and regions, in the order of the texts.
fn ribs(drawing: &Drawing) -> Vec<(String, Region)> {
    let cut: Vec<&Outline> =
        drawing.outlines.iter().filter(|drawn| drawn.role == Role::Cut).map(|drawn| &drawn.item).collect();
    let around = |at: Point| {
        let mut all: Vec<&Outline> = cut.iter().copied().filter(|outline| outline.contains(at)).collect();
        all.sort_by(|a, b| b.area().total_cmp(&a.area()));
        all[0].clone()
    };
    let named = |text: &grainwise::stages::drawing::Text| {
        let outer = around(text.at);
        let holes = cut.iter().filter(|o| **o != &outer && outer.contains(o.vertices()[0].at));
        (text.text.clone(), Region::new(outer.clone(), holes.map(|o| (*o).clone()).collect()))
    };
    drawing.texts.iter().map(|text| named(&text.item)).collect()
}

/// Corners of an outline at which it turns square, within a hundredth of a degree, lines on both sides.
fn square_corners(outline: &Outline) -> Vec<Point> {
    let segments: Vec<_> = outline.segments().collect();
    let n = segments.len();
    let square = |i: &usize| {
        let (a, b) = (segments[*i], segments[(*i + 1) % n]);
        a.is_line() && b.is_line() && a.tangent(1.0).dot(b.tangent(0.0)).abs() < 2e-4
    };
    (0..n).filter(square).map(|i| segments[i].to).collect()
}

/// Lowest and highest point of material at `x`.
fn at_x(region: &Region, x: f64) -> (f64, f64) {
    let bounds = region.bounds();
    let steps = 10_000;
    let y = |k: i32| bounds.y0 + bounds.height() * f64::from(k) / f64::from(steps);
    let inside = |k: &i32| region.outer().contains(Point::new(x, y(*k)));
    let (low, high) = ((0..=steps).find(inside), (0..=steps).rev().find(inside));
    (y(low.unwrap()), y(high.unwrap()))
}
