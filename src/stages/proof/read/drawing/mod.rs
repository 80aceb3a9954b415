//! DXF and SVG to [`Program`]: every entity or path is a trace, in the order of the file, and its layer or group says what
//! is done along it.
//!
//! A plain DXF is read here, to the letter. All else is the drawing stage's reading, before anything is joined. It
//! forgives much; a machine does not, so all that it forgave is told, and is wrong in a file that has to be strict.

mod check;
mod colours;
mod doubled;
mod forgiven;
mod layers;
mod pairs;
mod plain;
mod trace;

use super::super::{Does, Program, Source, Totals, Trace};
use super::Reading;
use crate::geometry::{Rect, Segment};
use crate::problem::{Problem, Problems, Severity};
use crate::stages::drawing::find::find;
use crate::stages::drawing::{Drawn, Stroke};
use crate::stages::job::{DrawingSource, LayerRules};
use colours::{Colour, Colours};
use layers::Names;
use plain::Plain;

/// Lines and arcs that follow each other.
#[derive(Clone, Debug, PartialEq)]
struct Path {
    /// Its layer or group.
    layer: String,
    /// Never none.
    segments: Vec<Segment>,
    /// Whether it comes back to where it began.
    closed: bool,
    colour: Colour,
}

/// Reads a drawing.
pub(super) fn read(source: Source<'_>, reading: &Reading) -> Program {
    let svg = layers::is_svg(source.bytes);
    let colours = reading.machine.map(|machine| Colours::new(machine, svg));
    let rules = colours.as_ref().map_or_else(LayerRules::all_cut, Colours::rules);
    // A unit that somebody says goes over the file's own, and the letter-true reader takes only that.
    let plainly = if svg || reading.units.is_some() { Plain::Beyond } else { plain::read(source.bytes) };
    let (paths, mut problems) = match plainly {
        Plain::Read(paths) => (paths, Vec::new()),
        Plain::Beyond => forgivingly(source, &rules, reading),
        Plain::Slipped(slip) => {
            let (paths, mut problems) = forgivingly(source, &rules, reading);
            // What the other reader passes over without a word is wrong in a strict file all the same.
            let told = problems.iter().any(|problem| problem.severity == Severity::Error);
            if reading.strict && !told {
                problems.push(
                    Problem::error("not-to-the-letter", slip.what)
                        .at_line(slip.line, 1)
                        .hint("make the file again"),
                );
            }
            (paths, problems)
        }
    };
    let names = Names::new(reading.machine, svg);
    let traces: Vec<Trace> = paths.iter().map(|path| trace::of(path, names.does(&path.layer))).collect();
    problems.extend(names.unknown(&traces, reading.strict));
    problems.extend(colours.into_iter().flat_map(|colours| colours.odd(&paths, &traces, reading.strict)));
    problems.extend(check::bounds(&traces, reading.limits, reading.strict));
    problems.extend(doubled::problems(&traces, reading.strict));
    problems.extend(nought(source.bytes, reading.strict));
    let problems = problems.into_iter().map(|problem| problem.in_file(source.name)).collect();
    Program { totals: totals(&traces), traces, problems }
}

/// First bytes of files in which a byte of nought has its place: binary DXF (the DXF reference), and text in UTF-16 by its
/// byte order mark.
const WITH_NOUGHTS: [&[u8]; 3] = [b"AutoCAD Binary DXF", &[0xff, 0xfe], &[0xfe, 0xff]];

/// A byte of nought in the middle of a text: many a reader takes it for the text's end.
fn nought(bytes: &[u8], strict: bool) -> Option<Problem> {
    if WITH_NOUGHTS.iter().any(|first| bytes.starts_with(first)) {
        return None;
    }
    let at = bytes.iter().position(|byte| *byte == 0)?;
    let line = bytes[..at].split(|byte| *byte == b'\n').count();
    let message = "a byte of nought stands in the text: many programs stop reading there";
    let problem =
        if strict { Problem::error("nul-byte", message) } else { Problem::warning("nul-byte", message) };
    Some(problem.at_line(line, 1).hint("make the file again"))
}

/// Reads with the drawing stage's reader, and tells what it forgave.
fn forgivingly(source: Source<'_>, rules: &LayerRules, reading: &Reading) -> (Vec<Path>, Vec<Problem>) {
    let mut problems = Problems::new();
    let file = DrawingSource { units: reading.units, ..DrawingSource::of(source.name.to_owned()) };
    let found = find(&file, source.bytes, rules, &mut problems);
    let mut problems = forgiven::judged(problems, found.as_ref(), source.name, reading.strict);
    let strokes = found.map(|found| found.strokes).unwrap_or_default();
    let mut paths = Vec::with_capacity(strokes.len());
    for Drawn { item, layer, role } in strokes {
        match trace::segments(&item) {
            Some(segments) => {
                let colour = Colour::Role(role);
                paths.push(Path { layer, segments, closed: item.closed, colour });
            }
            None => problems.push(unfollowed(&item, &layer)),
        }
    }
    (paths, problems)
}

fn unfollowed(stroke: &Stroke, layer: &str) -> Problem {
    Problem::error("absurd-number", "a curve could not be turned into lines and arcs")
        .on_layer(layer)
        .at(stroke.curves[0].from())
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
