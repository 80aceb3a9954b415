//! Closed rows of curves to outlines of lines and arcs, checked, each once.

use rayon::prelude::*;

use super::grid::Grid;
use super::net::Edge;
use super::{Joining, Removed, SAME, Stroke, TOLD, place};
use crate::geometry::crossing::self_meeting;
use crate::geometry::curve::Curve;
use crate::geometry::distance::{SegmentIndex, Visit};
use crate::geometry::{Outline, Point, Rect, fit};
use crate::problem::{Problem, Problems};
use crate::stages::drawing::{Drawn, Role};

/// Vertices nearer to each other than this, in millimetres, are one: the offset wants none nearer.
pub(super) const REPEAT: f64 = 1e-5;

/// An outline whose lines come nearer to each other than this, in millimetres, crosses or touches itself.
const TOUCHES: f64 = 1e-6;

/// A closed row of curves.
#[derive(Debug)]
pub(super) struct Ring {
    /// Each begins where the one before ends.
    pub(super) curves: Vec<Curve>,
    /// The first stroke that it comes from.
    pub(super) stroke: usize,
}

/// The loop of a stroke that is closed by itself, without repeated points, and how many of those there were.
pub(super) fn closed_stroke(stroke: &Stroke, number: usize) -> (Option<Ring>, usize) {
    let mut curves: Vec<Curve> = Vec::with_capacity(stroke.curves.len() + 1);
    let mut dropped = 0;
    let mut start = None;
    for curve in &stroke.curves {
        let mut curve = curve.clone();
        if let (Some(at), Curve::Segment(segment)) = (start.take(), &mut curve) {
            segment.from = at;
        }
        if curve.length() <= REPEAT {
            dropped += 1;
            start = Some(curve.from());
        } else {
            curves.push(curve);
        }
    }
    close_up(&mut curves);
    let ring = (!curves.is_empty()).then_some(Ring { curves, stroke: number });
    (ring, dropped)
}

/// Makes the last curve come back to the first.
fn close_up(curves: &mut Vec<Curve>) {
    let (Some(first), Some(last)) = (curves.first().map(Curve::from), curves.last_mut()) else { return };
    let gap = last.to().distance(first);
    match last {
        Curve::Segment(segment) if gap <= SAME => segment.to = first,
        _ if gap > REPEAT => {
            let from = last.to();
            curves.push(Curve::line(from, first));
        }
        _ => {}
    }
}

/// The outlines of the rings; those that are nothing, cross themselves or repeat another are told.
pub(super) fn finished(
    rings: &[Ring],
    layers: &[&str],
    joining: Joining,
    removed: &mut Removed,
    problems: &mut Problems,
) -> Vec<Drawn<Outline>> {
    let checked: Vec<Result<Outline, Bad>> = rings.par_iter().map(|ring| checked(ring, joining)).collect();
    let (mut outlines, mut bad) = (Vec::with_capacity(rings.len()), Vec::new());
    let mut seen = Seen::new(joining.join_mm);
    for (ring, result) in rings.iter().zip(checked) {
        let layer = layers[ring.stroke];
        match result {
            Ok(outline) if seen.repeats(&outline) => {
                removed.loops += 1;
                removed.at = removed.at.or(Some(outline.vertices()[0].at));
            }
            Ok(item) => outlines.push(Drawn { item, layer: layer.to_owned(), role: Role::Cut }),
            Err(what) => bad.push(what.problem().on_layer(layer)),
        }
    }
    problems.extend_counted(bad, TOLD);
    outlines
}

/// Why a ring is no outline.
#[derive(Debug)]
enum Bad {
    Sliver { at: Point, width: f64, length: f64 },
    Crossing { at: Point },
}

impl Bad {
    fn problem(&self) -> Problem {
        match *self {
            Self::Sliver { at, width, length } => {
                let message = format!(
                    "a closed outline near {} encloses next to nothing: {length:.2} mm long, {width:.3} mm wide",
                    place(at)
                );
                let hint = "remove it, or put it on a score or mark layer if it is a line";
                Problem::error("sliver-outline", message).at(at).hint(hint)
            }
            Self::Crossing { at } => {
                let message = format!("an outline crosses or touches itself at {}", place(at));
                let hint = "correct the drawing there: an outline must not cross itself";
                Problem::error("crossing-outline", message).at(at).hint(hint)
            }
        }
    }
}

fn checked(ring: &Ring, joining: Joining) -> Result<Outline, Bad> {
    let at = ring.curves[0].from();
    let sliver = |width, length| Bad::Sliver { at, width, length };
    let length: f64 = ring.curves.iter().map(Curve::length).sum();
    let outline = fit::outline(&ring.curves, joining.tolerance_mm).map_err(|_| sliver(0.0, length / 2.0))?;
    if let Some(at) = self_meeting(&outline, TOUCHES) {
        let flat = runs_back(&outline, joining.join_mm);
        return Err(if flat { sliver(0.0, length / 2.0) } else { Bad::Crossing { at } });
    }
    let width = 2.0 * outline.area() / outline.perimeter();
    if width > joining.join_mm { Ok(outline) } else { Err(sliver(width, length / 2.0)) }
}

/// Whether every part of the outline has another part of it beside it: there and back again.
fn runs_back(outline: &Outline, reach: f64) -> bool {
    let index = SegmentIndex::of_outline(outline);
    (0..index.len()).all(|which| {
        let at = index.segment(which).at(0.5);
        let mut beside = false;
        index.visit(Rect::from_center_size(at, (2.0 * reach, 2.0 * reach)), |other| {
            beside = other != which && index.segment(other).nearest(at).1 <= reach;
            if beside { Visit::Stop } else { Visit::Go }
        });
        beside
    })
}

/// The outlines met so far, to find one that repeats another.
struct Seen {
    join: f64,
    grid: Grid,
    outlines: Vec<(Rect, SegmentIndex)>,
}

impl Seen {
    fn new(join: f64) -> Self {
        Self { join, grid: Grid::new(join), outlines: Vec::new() }
    }

    /// Whether the outline lies everywhere on one met before, and that one on it. Remembers it if not.
    fn repeats(&mut self, outline: &Outline) -> bool {
        let bounds = outline.bounds();
        let near = |a: f64, b: f64| (a - b).abs() <= self.join;
        let found = self.grid.near(bounds.center(), self.join).any(|other| {
            let (theirs, index) = &self.outlines[other];
            near(theirs.x0, bounds.x0)
                && near(theirs.x1, bounds.x1)
                && near(theirs.y0, bounds.y0)
                && near(theirs.y1, bounds.y1)
                && self.same(outline, index)
        });
        if !found {
            self.grid.add(bounds.center(), self.outlines.len());
            self.outlines.push((bounds, SegmentIndex::of_outline(outline)));
        }
        found
    }

    fn same(&self, outline: &Outline, index: &SegmentIndex) -> bool {
        let mine = SegmentIndex::of_outline(outline);
        let on = |a: &SegmentIndex, b: &SegmentIndex| {
            (0..a.len()).all(|i| {
                let segment = a.segment(i);
                [0.0, 0.25, 0.5, 0.75].into_iter().all(|t| b.is_nearer(segment.at(t), self.join))
            })
        };
        on(&mine, index) && on(index, &mine)
    }
}

/// The lines of all rings, to find what lies on them.
pub(super) struct Lines {
    index: SegmentIndex,
    strokes: Vec<usize>,
}

impl Lines {
    /// The lines of some rings; free curves within the tolerance.
    pub(super) fn new(rings: &[Ring], joining: Joining) -> Self {
        let outlines: Vec<(Option<Outline>, usize)> = rings
            .par_iter()
            .map(|ring| (fit::outline(&ring.curves, joining.tolerance_mm).ok(), ring.stroke))
            .collect();
        let (mut segments, mut strokes) = (Vec::new(), Vec::new());
        for (outline, stroke) in &outlines {
            let Some(outline) = outline else { continue };
            segments.extend(outline.segments());
            strokes.resize(segments.len(), *stroke);
        }
        Self { index: SegmentIndex::new(segments), strokes }
    }

    /// Whether an edge lies on these lines all along.
    pub(super) fn cover(&self, edge: &Edge, join: f64) -> bool {
        // Looked at every quarter of a millimetre or in eight places, whichever is more, but not without end.
        let parts = (edge.length * 4.0).clamp(8.0, 4000.0) as u32;
        let slack = join.min(edge.length / 8.0);
        (0..=parts)
            .all(|i| self.index.is_nearer(edge.curve.at(f64::from(i) / f64::from(parts)), slack + SAME))
    }

    /// The strokes whose lines pass within `reach` of a point.
    pub(super) fn strokes_at(&self, at: Point, reach: f64) -> Vec<usize> {
        let mut strokes = Vec::new();
        self.index.visit(Rect::from_center_size(at, (2.0 * reach, 2.0 * reach)), |which| {
            if self.index.segment(which).nearest(at).1 <= reach {
                strokes.push(self.strokes[which]);
            }
            Visit::Go
        });
        strokes
    }
}
