//! Paths that are drawn twice: a beam would burn them twice, and wider.

use std::collections::BTreeMap;

use super::{bounds_of, length_of, may_cut};
use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Point, Rect};
use crate::problem::{Problem, Problems};
use crate::stages::proof::Trace;

/// Paths that lie within this of each other all along are the same, mm: more than the rounding of files, far less than a
/// kerf.
const SAME_MM: f64 = 0.005;

/// Side of the cells in which paths of the same bounds are looked for, mm: more than twice what makes two paths the same,
/// so that they lie in one cell or in two that touch.
const CELL_MM: f64 = 0.02;

/// So many are told one by one.
const TOLD: usize = 6;

/// A path among those that were met.
struct Met<'a> {
    bounds: Rect,
    length: f64,
    trace: &'a Trace,
}

/// A problem for each path that may be cut and is there already.
pub(super) fn problems(traces: &[Trace], strict: bool) -> Problems {
    let mut cells: BTreeMap<(i64, i64), Vec<Met>> = BTreeMap::new();
    let mut doubled = Vec::new();
    for trace in traces.iter().filter(|trace| may_cut(trace)) {
        let met = Met { bounds: bounds_of(trace), length: length_of(trace), trace };
        let (i, j) = (cell(met.bounds.x0), cell(met.bounds.y0));
        let around = (i - 1..=i + 1).flat_map(|i| (j - 1..=j + 1).map(move |j| (i, j)));
        if around.filter_map(|cell| cells.get(&cell)).flatten().any(|other| is_same(&met, other)) {
            doubled.push(problem(trace.begin(), strict));
        } else {
            cells.entry((i, j)).or_default().push(met);
        }
    }
    let mut problems = Problems::new();
    problems.extend_counted(doubled, TOLD);
    problems
}

fn cell(x: f64) -> i64 {
    (x / CELL_MM).floor() as i64
}

fn is_same(a: &Met, b: &Met) -> bool {
    let near = |p: f64, q: f64| (p - q).abs() <= SAME_MM;
    let (p, q) = (a.bounds, b.bounds);
    // What lies alike may be longer by a fraction of its own; a path and a half more is not.
    near(p.x0, q.x0)
        && near(p.y0, q.y0)
        && near(p.x1, q.x1)
        && near(p.y1, q.y1)
        && (a.length - b.length).abs() <= 0.01 * a.length + SAME_MM
        && lies_on(a.trace, b.trace)
        && lies_on(b.trace, a.trace)
}

/// Whether one path lies on another, by its corners and the middles between them.
fn lies_on(path: &Trace, other: &Trace) -> bool {
    let index = SegmentIndex::new(other.segments().map(|(segment, _)| segment));
    let mut points = path.segments().flat_map(|(segment, _)| [segment.from, segment.at(0.5), segment.to]);
    points.all(|point| index.is_nearer(point, SAME_MM))
}

fn problem(at: Point, strict: bool) -> Problem {
    let new = if strict { Problem::error } else { Problem::warning };
    new("doubled-path", "a path is drawn twice: a beam would burn it twice")
        .at(at)
        .hint("delete one of the two in the drawing")
}
