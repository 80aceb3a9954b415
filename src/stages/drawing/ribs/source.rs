//! Where sections come from: numbers, files of coordinates, outlines in drawings.

use super::{Bench, coordinates};
use crate::files;
use crate::geometry::curve::Curve;
use crate::geometry::section::{self, Section};
use crate::geometry::{Outline, Point};
use crate::problem::Problems;
use crate::stages::drawing::{Drawing, Role, find_file, join, joining};
use crate::stages::job::DrawingSource;
use crate::stages::job::ribs::Source;

/// So many points are taken on each piece of a drawn outline: arcs fitted to a curve lie within a hundredth of a
/// millimetre of it, and so does what is laid through as many points.
const ON_EACH: u32 = 6;

/// Ends of a drawn tail lie this near to its rearmost point, as a fraction of the chord.
const TAIL: f64 = 1e-3;

impl Bench<'_> {
    /// The section that a source tells. None where it tells none; it is told.
    pub(super) fn section(&mut self, source: &Source) -> Option<Section> {
        match source {
            Source::Naca(number) => {
                let found = section::naca(number);
                if found.is_none() {
                    let message = format!("there is no section 'naca {number}' here");
                    let hint = "four digits, or five whose mean line is 210 to 250 or 221 to 251";
                    self.wrong("unknown-section", &message, hint);
                }
                found
            }
            Source::Coordinates(file) => self.coordinates(file),
            Source::Drawn(file, name) => self.drawn(file, name.as_deref()),
        }
    }

    fn coordinates(&mut self, file: &str) -> Option<Section> {
        let bytes = match files::read(&self.job.folder.join(file), files::DRAWING_LIMIT) {
            Ok(bytes) => bytes,
            Err(error) => {
                let hint = "check the path: names in a job file start from the job file's folder";
                self.wrong("missing-file", &error.to_string(), hint);
                return None;
            }
        };
        let hint = "a line is x and y, from the tail along the upper surface to the nose and back";
        match coordinates::points(&String::from_utf8_lossy(&bytes)) {
            Ok(points) => match Section::through(&points) {
                Ok(section) => Some(section),
                Err(bad) => {
                    self.wrong("bad-section", &format!("{file}: {bad}"), hint);
                    None
                }
            },
            Err(unread) => {
                self.wrong("bad-section", &format!("{file}: {unread}"), hint);
                None
            }
        }
    }

    /// A drawing that the set names.
    fn drawing(&mut self, file: &str) -> Option<Drawing> {
        let found = find_file(self.job, &DrawingSource::of(file.to_owned()), self.problems)?;
        Some(join::join(found, file, joining(self.job), self.problems))
    }

    /// The largest outline of a drawing, or, where nothing in it closes, all its lines.
    pub(super) fn lines(&mut self, file: &str) -> Option<Vec<Curve>> {
        let found = find_file(self.job, &DrawingSource::of(file.to_owned()), self.problems)?;
        let open: Vec<Curve> = found
            .strokes
            .iter()
            .filter(|s| s.role == Role::Cut)
            .flat_map(|s| s.item.curves.clone())
            .collect();
        let mut told = Problems::new();
        let drawing = join::join(found, file, joining(self.job), &mut told);
        match chosen(&drawing, None) {
            Some(outline) => {
                self.problems.extend(told);
                Some(outline.segments().map(Curve::Segment).collect())
            }
            None => Some(open),
        }
    }

    fn drawn(&mut self, file: &str, name: Option<&str>) -> Option<Section> {
        let drawing = self.drawing(file)?;
        let Some(outline) = chosen(&drawing, name) else {
            let message = match name {
                Some(name) => format!("{file} holds no outline with the text '{name}' in it"),
                None => format!("{file} holds no outline"),
            };
            self.wrong("unknown-section", &message, "draw the section as one closed outline");
            return None;
        };
        let points = round_from_tail(outline);
        match Section::through(&points) {
            Ok(section) => Some(section),
            Err(bad) => {
                self.wrong("bad-section", &format!("{file}: {bad}"), "draw it with its nose to the left");
                None
            }
        }
    }
}

/// The outline with a text in it, or the largest.
pub(super) fn chosen<'a>(drawing: &'a Drawing, name: Option<&str>) -> Option<&'a Outline> {
    let cut = drawing.outlines.iter().filter(|drawn| drawn.role == Role::Cut).map(|drawn| &drawn.item);
    let Some(name) = name else {
        return cut.max_by(|a, b| a.area().total_cmp(&b.area()));
    };
    let text = drawing.texts.iter().find(|text| text.item.text.trim() == name)?;
    cut.filter(|outline| outline.contains(text.item.at)).min_by(|a, b| a.area().total_cmp(&b.area()))
}

/// Points around an outline from the upper end of its tail over the nose to the lower, chord 1, nose at the origin.
fn round_from_tail(outline: &Outline) -> Vec<Point> {
    let outline = if outline.is_counter_clockwise() { outline.clone() } else { outline.reversed() };
    let bounds = outline.bounds();
    let chord = bounds.width();
    let mut points: Vec<Point> = Vec::new();
    for segment in outline.segments() {
        let parts = if segment.is_line() { 1 } else { ON_EACH };
        points.extend((0..parts).map(|k| segment.at(f64::from(k) / f64::from(parts))));
    }
    let rear = |p: &Point| p.x > bounds.x1 - TAIL * chord;
    let n = points.len();
    let upper = (0..n)
        .filter(|&i| rear(&points[i]))
        .max_by(|&a, &b| points[a].y.total_cmp(&points[b].y))
        .unwrap_or(0);
    points.rotate_left(upper);
    let lower = points.iter().rposition(rear).filter(|&i| i > n / 2);
    match lower {
        Some(last) => points.truncate(last + 1),
        None => points.push(points[0]),
    }
    let front = points.iter().copied().reduce(|a, b| if b.x < a.x { b } else { a }).unwrap_or_default();
    points.iter().map(|p| ((*p - front) / chord).to_point()).collect()
}
