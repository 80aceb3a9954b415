//! All that a program cuts on a sheet, ready to be asked what lies where.

use std::collections::HashMap;

use static_aabb2d_index::{StaticAABB2DIndex, StaticAABB2DIndexBuilder};

use crate::geometry::distance::{SegmentIndex, Visit};
use crate::geometry::{Point, Rect, Segment};

use super::super::Kind;
use super::super::program::Trace;
use super::super::sweep::{self, Polygon, Run as Swept};
use super::runs::Through;

/// The cuts of one sheet.
pub(super) struct Field {
    /// All that is cut in the wood, whatever its depth, but for scores and marks; no segment twice.
    pub(super) all: SegmentIndex,
    /// How low each of them is cut, at its two ends, mm.
    lowest: Vec<[f64; 2]>,
    /// All that is through.
    pub(super) bottom: SegmentIndex,
    beginnings: Boxes,
    begin: Vec<Point>,
    /// The pieces that would come free if no tab held them.
    pub(super) islands: Vec<Polygon>,
    by_place: Boxes,
}

impl Field {
    /// `half_mm` is half the width, mm, that is removed along each of the runs that are through.
    pub(super) fn new(traces: &[Trace], kinds: &[Kind], through: &Through, half_mm: &[f64]) -> Self {
        let cutting =
            || traces.iter().zip(kinds).filter(|(_, kind)| matches!(kind, Kind::Through | Kind::Upper));
        let (all, lowest) = once_each(cutting().flat_map(|(trace, _)| trace.segments()));
        let begin: Vec<Point> = cutting().map(|(trace, _)| trace.begin()).collect();
        let widest = half_mm.iter().copied().fold(0.0, f64::max);
        let bridges = through.gaps.iter().map(|gap| (gap.over.as_slice(), widest));
        let runs: Vec<(&Swept, f64)> = through
            .runs
            .iter()
            .zip(half_mm)
            .map(|(run, half)| (run.segments.as_slice(), *half))
            .chain(bridges)
            .collect();
        let islands = sweep::islands(&runs);
        Self {
            all: SegmentIndex::new(all),
            lowest,
            bottom: SegmentIndex::new(through.runs.iter().flat_map(|run| run.segments.iter().copied())),
            beginnings: Boxes::new(begin.iter().map(|p| Rect::from_points(*p, *p))),
            begin,
            by_place: Boxes::new(islands.iter().map(|island| sweep::bounds(island).unwrap_or(Rect::ZERO))),
            islands,
        }
    }

    /// Calls with the places within an area where something begins to be cut.
    pub(super) fn beginnings(&self, area: Rect, each: &mut impl FnMut(Point)) {
        self.beginnings.within(area).into_iter().for_each(|i| each(self.begin[i]));
    }

    /// The lowest that anything is cut whose path runs within `near` of a place, mm; 0 where nothing is.
    pub(super) fn lowest(&self, at: Point, near: f64) -> f64 {
        let mut lowest = 0.0_f64;
        self.all.visit(Rect::from_points(at, at).inflate(near, near), |which| {
            let (t, distance) = self.all.segment(which).nearest(at);
            if distance <= near {
                let [from, to] = self.lowest[which];
                lowest = lowest.min(from + (to - from) * t);
            }
            Visit::Go
        });
        lowest
    }

    /// The island around a place.
    pub(super) fn island(&self, at: Point) -> Option<usize> {
        self.by_place
            .within(Rect::from_points(at, at))
            .into_iter()
            .find(|&i| sweep::contains(&self.islands[i], at))
    }
}

/// Segments without repeats (a program goes round several times), with how low each is cut at its ends.
fn once_each(segments: impl Iterator<Item = (Segment, [f64; 2])>) -> (Vec<Segment>, Vec<[f64; 2]>) {
    let mut seen: HashMap<[u64; 5], usize> = HashMap::new();
    let (mut all, mut lowest): (Vec<Segment>, Vec<[f64; 2]>) = (Vec::new(), Vec::new());
    for (segment, z) in segments {
        let key =
            [segment.from.x, segment.from.y, segment.to.x, segment.to.y, segment.bulge].map(f64::to_bits);
        let place = *seen.entry(key).or_insert(all.len());
        if let Some(held) = lowest.get_mut(place) {
            *held = [held[0].min(z[0]), held[1].min(z[1])];
        } else {
            all.push(segment);
            lowest.push(z);
        }
    }
    (all, lowest)
}

/// Boxes to be found by where they are.
pub(super) struct Boxes(Option<StaticAABB2DIndex<f64>>);

impl Boxes {
    pub(super) fn new(boxes: impl ExactSizeIterator<Item = Rect>) -> Self {
        let mut builder = StaticAABB2DIndexBuilder::new(boxes.len());
        for b in boxes {
            builder.add(b.x0, b.y0, b.x1, b.y1);
        }
        Self(builder.build().ok())
    }

    /// Those that meet an area, in order.
    pub(super) fn within(&self, area: Rect) -> Vec<usize> {
        let mut found =
            self.0.as_ref().map_or_else(Vec::new, |index| index.query(area.x0, area.y0, area.x1, area.y1));
        found.sort_unstable();
        found
    }
}
