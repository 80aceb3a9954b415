//! The outlines of a region's material where the region's own outlines repeat points, cross, touch or overlap.
//!
//! One rule for all of them: the material is what lies within the outer outline and in no hole, and its outline is where
//! material and nothing meet. So holes that overlap are one hole, a hole that reaches the edge is a bay, an edge that
//! outer outline and hole share is gone, and both lobes of an outline that crosses itself are material.

use crate::geometry::crossing::{region_meeting, without_repeats};
use crate::geometry::distance::{SegmentIndex, Visit};
use crate::geometry::piece::Piece;
use crate::geometry::{Outline, Point, Region, Segment, trig, turn_between};

use super::clipper;
use super::rim::part;

/// Points of an outline nearer to each other than this, in millimetres, are one.
const REPEAT: f64 = 1e-5;

/// Outlines nearer to each other than this, in millimetres, touch.
const TOUCH: f64 = 1e-6;

/// How far beside a line it is asked whether there is material, in millimetres: more than touching lines may be apart.
const BESIDE: f64 = 4e-6;

/// Closed loops with the side to be offset on their right: the void where the material `grows`, else the material. They
/// neither repeat points nor meet each other except at single points; or a place that could not be made out.
pub(super) fn outlines(region: &Region, grows: bool) -> Result<Vec<Vec<Segment>>, Point> {
    let outer = tidy(region.outer()).ok_or(region.outer().vertices()[0].at)?;
    let holes: Vec<Outline> = region.holes().iter().filter_map(tidy).collect();
    let tidied = Region::new(outer, holes);
    if region_meeting(&tidied, TOUCH).is_none() && holes_lie_inside(&tidied) {
        let loops: Vec<Vec<Segment>> = tidied.outlines().map(|o| o.segments().collect()).collect();
        return Ok(if grows { loops } else { turned(&loops) });
    }
    let loops = united(&tidied, grows)?;
    let area = loops.iter().flatten().map(Segment::twice_area).sum::<f64>().abs() / 2.0;
    let borne_out =
        (area - clipper::material_area(region)).abs() <= 2.0 * clipper::FLATNESS * tidied.perimeter();
    if borne_out { Ok(loops) } else { Err(tidied.outer().vertices()[0].at) }
}

/// The loops run the other way.
pub(super) fn turned(loops: &[Vec<Segment>]) -> Vec<Vec<Segment>> {
    loops.iter().map(|one| one.iter().rev().map(Segment::reversed).collect()).collect()
}

/// The outline without repeats; nothing where no area is left.
fn tidy(outline: &Outline) -> Option<Outline> {
    without_repeats(outline, REPEAT).ok().filter(|outline| outline.perimeter() > 0.0)
}

/// Whether each hole lies in the outer outline and in no other hole, where none of them meet.
fn holes_lie_inside(region: &Region) -> bool {
    let boxes: Vec<_> = region.holes().iter().map(Outline::bounds).collect();
    region.holes().iter().enumerate().all(|(k, hole)| {
        let at = hole.vertices()[0].at;
        let in_other = |j: usize| j != k && boxes[j].contains(at) && region.holes()[j].contains(at);
        region.outer().contains(at) && !(0..boxes.len()).any(in_other)
    })
}

/// Where there is material.
struct Inside {
    outer: SegmentIndex,
    holes: Vec<SegmentIndex>,
}

impl Inside {
    fn of(region: &Region) -> Self {
        let outer = SegmentIndex::of_outline(region.outer());
        Self { outer, holes: region.holes().iter().map(SegmentIndex::of_outline).collect() }
    }

    fn at(&self, point: Point) -> bool {
        self.outer.winding(point) != 0 && self.holes.iter().all(|hole| hole.winding(point) == 0)
    }
}

fn united(region: &Region, grows: bool) -> Result<Vec<Vec<Segment>>, Point> {
    let halves = region.outlines().flat_map(Outline::segments).flat_map(|segment| {
        let whole = segment.bulge.abs() <= 1.0;
        let middle = segment.at(0.5);
        let first = if whole { segment } else { Segment { to: middle, ..segment.between(0.0, 0.5) } };
        let second = (!whole).then(|| Segment { from: middle, ..segment.between(0.5, 1.0) });
        std::iter::once(first).chain(second)
    });
    let index = SegmentIndex::new(halves);
    let inside = Inside::of(region);
    let mut kept: Vec<Segment> = Vec::new();
    for which in 0..index.len() {
        for segment in split(&index, which) {
            if let Some(segment) = edge_of_material(segment, &inside)
                && !repeated(&kept, segment)
            {
                kept.push(if grows { segment } else { segment.reversed() });
            }
        }
    }
    chained(&kept)
}

/// A piece, cut wherever another one crosses, touches or begins to lie along it.
fn split(index: &SegmentIndex, which: usize) -> Vec<Segment> {
    let piece = index.piece(which);
    let chord = piece.segment.chord();
    let mut places: Vec<(f64, Point)> = Vec::new();
    index.visit(piece.bounds().inflate(TOUCH, TOUCH), |other| {
        if other != which {
            let near = index.piece(other);
            let (gap, touch, _) = piece.gap(near);
            let ends =
                [near.segment.from, near.segment.to].into_iter().filter(|&end| piece.distance(end) <= TOUCH);
            let touch = (gap <= TOUCH).then_some(touch);
            for at in piece.crossings(near).chain(ends.map(|end| piece.nearest(end))).chain(touch) {
                places.push(((at - piece.segment.from).dot(chord) / chord.hypot2(), at));
            }
        }
        Visit::Go
    });
    places.push((1.0, piece.segment.to));
    places.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let mut parts = Vec::new();
    let mut from = piece.segment.from;
    for (_, at) in places {
        let last = at.distance(piece.segment.to) <= 2.0 * TOUCH;
        let at = if last { piece.segment.to } else { at };
        if at.distance(from) > 2.0 * TOUCH {
            parts.push(part(piece, from, at));
            from = at;
        }
    }
    parts
}

/// The segment, run with the material on its left; nothing where both its sides are alike.
fn edge_of_material(segment: Segment, inside: &Inside) -> Option<Segment> {
    let at = Piece::new(segment).middle();
    let chord = segment.chord();
    let left = crate::geometry::Vec2::new(-chord.y, chord.x) * (BESIDE / chord.hypot());
    match (inside.at(at + left), inside.at(at - left)) {
        (true, false) => Some(segment),
        (false, true) => Some(segment.reversed()),
        _ => None,
    }
}

/// Whether the same line is already held.
fn repeated(kept: &[Segment], segment: Segment) -> bool {
    let middle = Piece::new(segment).middle();
    let same = |other: &Segment| {
        let near = |a: Point, b: Point| a.distance(b) <= 4.0 * TOUCH;
        let ends = near(other.from, segment.from) && near(other.to, segment.to);
        let turned = near(other.from, segment.to) && near(other.to, segment.from);
        (ends || turned) && Piece::new(*other).middle().distance(middle) <= 4.0 * TOUCH
    };
    kept.iter().any(same)
}

/// Loops of segments that follow each other; where several leave from one point, the one across the narrowest angle
/// on the right is taken, so that each loop follows one stretch of what is offset.
fn chained(kept: &[Segment]) -> Result<Vec<Vec<Segment>>, Point> {
    let mut left: Vec<bool> = vec![true; kept.len()];
    let mut loops = Vec::new();
    while let Some(first) = left.iter().position(|&left| left) {
        let mut one = Vec::new();
        let mut at = first;
        loop {
            left[at] = false;
            one.push(kept[at]);
            let end = kept[at];
            let candidates = (0..kept.len())
                .filter(|&k| (left[k] || k == first) && kept[k].from.distance(end.to) <= 4.0 * TOUCH);
            let next = candidates
                .min_by(|&a, &b| angle_between(end, kept[a]).total_cmp(&angle_between(end, kept[b])))
                .ok_or(end.to)?;
            if next == first {
                break;
            }
            at = next;
        }
        close(&mut one);
        loops.push(one);
    }
    Ok(loops)
}

/// The angle on the right side, from the way back along one segment to the way on along another.
fn angle_between(arriving: Segment, leaving: Segment) -> f64 {
    let angle = turn_between(-arriving.tangent(1.0), leaving.tangent(0.0));
    // A way straight back is a full turn, not none; rounding must not make one of the other.
    if angle < 1e-9 { angle + 2.0 * trig::acos(-1.0) } else { angle }
}

/// Lets each segment begin exactly where the one before it ends.
fn close(one: &mut [Segment]) {
    for k in 0..one.len() {
        let before = if k == 0 { one.len() - 1 } else { k - 1 };
        one[k].from = one[before].to;
    }
}
