//! Ends of runs that need no other end: a cut that runs on over its own beginning, and leads, by which beam or cutter
//! comes to a path from the waste and leaves it.

use crate::geometry::distance::{SegmentIndex, Visit};
use crate::geometry::{Point, Rect, Segment};
use crate::stages::cut::Settings;

use super::super::plan::Plan;
use super::field::Boxes;
use super::runs::{Run, SAME_END_MM};

/// A lead is no longer than this, mm: a quarter turn of a large radius. What is longer is a cut of its own.
const LONGEST_LEAD_MM: f64 = 35.0;

/// An end that stays this near to where its own path leaves a place goes on from there, mm: it is no other cut.
const OWN_MM: f64 = 0.05;

/// A beam runs on over its own beginning by no more than this, mm, nor than [`OVERRUN_SHARE`] of its way: what goes on longer
/// is another round, which burns the edge.
const OVERRUN_MM: f64 = 3.0;

/// See [`OVERRUN_MM`].
const OVERRUN_SHARE: f64 = 0.3;

/// A lead longer than this, mm, ends in the waste: farther from the edge of every piece than the path around it.
const SHORT_LEAD_MM: f64 = 0.5;

/// By how much, mm.
const AWAY_MM: f64 = 0.02;

/// All runs, to be asked what else runs where.
pub(super) struct Others<'a> {
    runs: &'a [Run],
    all: SegmentIndex,
    /// Run of each segment, and the length of that run before it.
    of: Vec<(usize, f64)>,
}

impl<'a> Others<'a> {
    pub(super) fn of(runs: &'a [Run]) -> Self {
        let mut of = Vec::new();
        for (number, run) in runs.iter().enumerate() {
            let mut before = 0.0;
            for segment in &run.segments {
                of.push((number, before));
                before += segment.length();
            }
        }
        let all = SegmentIndex::new(runs.iter().flat_map(|run| run.segments.iter().copied()));
        Self { runs, all, of }
    }

    /// Whether the end of a run (or its beginning) lies on another cut, or farther round on its own: on a beam's not much
    /// farther.
    pub(super) fn meets(&self, run: usize, at_end: bool, plan: &Plan) -> bool {
        let whole = self.runs[run].length();
        let (at, along) = if at_end { (self.runs[run].end(), whole) } else { (self.runs[run].begin(), 0.0) };
        let most = match plan.settings {
            Settings::Laser(_) => OVERRUN_MM.min(OVERRUN_SHARE * whole),
            Settings::Router(_) => f64::INFINITY,
        };
        let lead = if at_end { self.lead(run, false).unwrap_or(0.0) } else { 0.0 };
        self.touches(at, run, along, |apart| whole - apart - lead <= most)
    }

    /// Whether the end of a run is that of a lead: not far along the run from where other cuts, or its own, pass.
    pub(super) fn leads(&self, run: usize, at_end: bool, plan: &Plan) -> bool {
        let tip = if at_end { self.runs[run].end() } else { self.runs[run].begin() };
        self.lead(run, at_end).is_some_and(|length| length <= SHORT_LEAD_MM || in_waste(tip, plan))
    }

    /// Length of the lead at the end of a run (or its beginning), mm: from where other cuts, or its own, pass.
    fn lead(&self, run: usize, at_end: bool) -> Option<f64> {
        let segments = &self.runs[run].segments;
        let whole = self.runs[run].length();
        let inwards: Box<dyn Iterator<Item = &Segment>> =
            if at_end { Box::new(segments.iter().rev()) } else { Box::new(segments.iter()) };
        let mut done = 0.0;
        for segment in inwards {
            done += segment.length();
            if done > LONGEST_LEAD_MM {
                return None;
            }
            let (at, along) = if at_end { (segment.from, whole - done) } else { (segment.to, done) };
            if self.touches(at, run, along, |_| true) {
                return Some(done);
            }
        }
        None
    }

    /// Whether anything but the run's own stretch about `along` passes a place; the run itself only where `counts` says so
    /// of how far along it that is from there.
    fn touches(&self, at: Point, run: usize, along: f64, counts: impl Fn(f64) -> bool) -> bool {
        let mut found = false;
        self.all.visit(Rect::from_points(at, at).inflate(SAME_END_MM, SAME_END_MM), |which| {
            let segment = self.all.segment(which);
            let (t, distance) = segment.nearest(at);
            let (of, before) = self.of[which];
            let apart = (before + t * segment.length() - along).abs();
            if distance <= SAME_END_MM && (of != run || apart > OWN_MM && counts(apart)) {
                found = true;
            }
            Visit::Go
        });
        found
    }
}

/// Whether a place lies beyond the paths around all pieces.
fn in_waste(at: Point, plan: &Plan) -> bool {
    let reach = plan.kerf_mm / 2.0 + AWAY_MM;
    let boxes = Boxes::new(plan.pieces.iter().map(|wanted| wanted.region.bounds()));
    let near = boxes.within(Rect::from_points(at, at).inflate(reach, reach));
    near.into_iter().all(|i| plan.pieces[i].region.distance(at) > reach)
}
