//! DXF and SVG to [`Program`]: every entity or path is a trace, in the order of the file, and its layer or group says what
//! is done along it.
//!
//! The reading itself is the drawing stage's, before anything is joined. It forgives much; a machine does not, so all
//! that it forgave is told, and is wrong in a file that has to be strict.

mod check;
mod doubled;
mod forgiven;
mod layers;
mod trace;

use super::super::{Does, Program, Source, Totals, Trace};
use super::Reading;
use crate::geometry::Rect;
use crate::problem::{Problem, Problems};
use crate::stages::drawing::find::find;
use crate::stages::drawing::{Drawn, Stroke};
use crate::stages::job::{DrawingSource, LayerRules};
use layers::Names;

/// Reads a drawing.
pub(super) fn read(source: Source<'_>, reading: &Reading) -> Program {
    let mut problems = Problems::new();
    let file = DrawingSource::of(source.name.to_owned());
    let found = find(&file, source.bytes, &everything(), &mut problems);
    let mut problems = forgiven::judged(problems, found.as_ref(), source.name, reading.strict);
    let strokes = found.map(|found| found.strokes).unwrap_or_default();
    let names = Names::new(reading.machine, layers::is_svg(source.bytes));
    let traces = traces(&strokes, &names, &mut problems);
    problems.extend(names.unknown(&traces, reading.strict));
    problems.extend(check::bounds(&traces, reading.limits, reading.strict));
    problems.extend(doubled::problems(&traces, reading.strict));
    let problems = problems.into_iter().map(|problem| problem.in_file(source.name)).collect();
    Program { totals: totals(&traces), traces, problems }
}

/// Rules that leave nothing out.
fn everything() -> LayerRules {
    let none = Vec::new;
    LayerRules { cut: vec!["*".to_owned()], score: none(), mark: none(), grain: none(), ignore: none() }
}

fn traces(strokes: &[Drawn<Stroke>], names: &Names, problems: &mut Vec<Problem>) -> Vec<Trace> {
    let mut traces = Vec::with_capacity(strokes.len());
    for Drawn { item, layer, .. } in strokes {
        match trace::of(item, names.does(layer)) {
            Some(trace) => traces.push(trace),
            None => problems.push(
                Problem::error("absurd-number", "a curve could not be turned into lines and arcs")
                    .on_layer(layer.as_str())
                    .at(item.curves[0].from()),
            ),
        }
    }
    traces
}

fn totals(traces: &[Trace]) -> Totals {
    let travel = traces.windows(2).map(|pair| pair[0].end().distance(pair[1].begin())).sum();
    Totals {
        bounds: traces.iter().map(bounds_of).reduce(|a, b| a.union(b)),
        cut_length_mm: traces.iter().map(length_of).sum(),
        travel_length_mm: travel,
        ..Totals::default()
    }
}

fn bounds_of(trace: &Trace) -> Rect {
    let boxes = trace.segments().map(|(segment, _)| segment.bounds());
    boxes.reduce(|a, b| a.union(b)).unwrap_or(Rect::from_points(trace.begin(), trace.end()))
}

fn length_of(trace: &Trace) -> f64 {
    trace.segments().map(|(segment, _)| segment.length()).sum()
}

/// Whether a trace may be cut through: a layer that nothing is known of may be.
fn may_cut(trace: &Trace) -> bool {
    use crate::stages::cut::Operation::{CutInside, CutOutside};
    matches!(trace.does, Does::Says(CutInside | CutOutside) | Does::Unsaid(_))
}
