//! How much a change matters, by its size alone: where the middle of beam or cutter ran before, and where it runs now.

use grainwise::geometry::distance::SegmentIndex;
use grainwise::geometry::{Point, Segment};
use grainwise::stages::proof::Plan;

/// A change of this size is a fault: three times what a piece may be off, so that no rounding hides it, mm.
pub(super) const FAULT_MM: f64 = 0.06;

/// An edge that is cut keeps no more wood than this, mm: what posts round away, and lines in the place of arcs.
const CLEAN_MM: f64 = 0.01;

/// Places are looked at this far apart, mm: less than the shortest change that is made.
const STEP_MM: f64 = 0.4;

/// The larger of two: how much wood stands on the edge of a piece that was cut clean before; how deep a place that is cut
/// now goes into a piece, beyond where the cut belongs.
pub(super) fn of(before: &[Segment], now: &[Segment], plan: &Plan) -> f64 {
    left(before, now, plan).max(intrudes(before, now, plan))
}

fn left(before: &[Segment], now: &[Segment], plan: &Plan) -> f64 {
    let index = |segments: &[Segment]| SegmentIndex::new(segments.iter().copied());
    let (before, now, radius) = (index(before), index(now), plan.kerf_mm / 2.0);
    let clean = |at: &Point| !before.is_empty() && before.is_nearer(*at, radius + CLEAN_MM);
    let cut = |at: &Point| !now.is_empty() && now.is_nearer(*at, radius + FAULT_MM);
    let edges = plan
        .pieces
        .iter()
        .flat_map(|piece| piece.region.outlines())
        .flat_map(grainwise::geometry::Outline::segments);
    let uncut = edges.flat_map(|edge| places(&edge).collect::<Vec<_>>()).filter(|at| !cut(at) && clean(at));
    let stands = |at: Point| if now.is_empty() { f64::INFINITY } else { now.distance(at) - radius };
    uncut.map(stands).fold(0.0, f64::max)
}

fn intrudes(before: &[Segment], now: &[Segment], plan: &Plan) -> f64 {
    if before.is_empty() {
        return 0.0;
    }
    let index = SegmentIndex::new(before.iter().copied());
    let elsewhere = now.iter().flat_map(places).filter(|at| !index.is_nearer(*at, FAULT_MM));
    elsewhere.map(|at| into(at, plan)).fold(0.0, f64::max)
}

/// How deep a cut at this place goes into a piece, mm; nothing where it goes through no piece.
pub(super) fn into(at: Point, plan: &Plan) -> f64 {
    let regions = plan.pieces.iter().map(|piece| &piece.region);
    let depth = regions.map(|region| {
        let edge = region.distance(at);
        plan.kerf_mm / 2.0 + if region.contains(at) { edge } else { -edge }
    });
    depth.fold(0.0, f64::max)
}

fn places(segment: &Segment) -> impl Iterator<Item = Point> + use<> {
    let count = (segment.length() / STEP_MM).ceil().clamp(1.0, 5000.0);
    let segment = *segment;
    (0..=count as u32).map(move |i| segment.at(f64::from(i) / count))
}

/// How far the middle of a segment's arc lies from its chord, mm; 0 for a line.
pub(super) fn sagitta(segment: &Segment) -> f64 {
    segment.chord().hypot() / 2.0 * segment.bulge.abs()
}
