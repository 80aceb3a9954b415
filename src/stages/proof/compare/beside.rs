//! Gaps along the outlines of the plan: two ends beside one outline, and nothing cut between them, are a tab.

use std::collections::BTreeMap;

use crate::geometry::{Outline, Point, Rect, Segment};

use super::super::plan::Plan;
use super::field::Boxes;
use super::runs::{Ends, Gap, LONGEST_TAB_MM, Run};

/// An end lies beside an outline where its distance is half the kerf within this, mm.
const BESIDE_MM: f64 = 0.05;

/// An end beside an outline.
#[derive(Clone, Copy)]
struct End {
    end: usize,
    /// How far along the outline, mm.
    along: f64,
}

/// Pairs of free ends with the gaps between them. `open` says which run each two ends belong to.
pub(super) fn gaps(ends: &Ends, open: &[usize], runs: &[Run], plan: &Plan) -> Vec<([usize; 2], Gap)> {
    let mut found = Vec::new();
    for ((piece, number), beside) in by_outline(ends, plan) {
        let Some(outline) = plan.pieces[piece].region.outlines().nth(number) else { continue };
        let side = Side { outline, length: outline.perimeter(), radius: plan.half_mm(number) };
        let cuts: Vec<&Segment> = beside.iter().flat_map(|e| &runs[open[e.end / 2]].segments).collect();
        found.extend(side.gaps(&beside, ends, &cuts));
    }
    found
}

/// The free ends by the piece and the outline that they lie beside.
fn by_outline(ends: &Ends, plan: &Plan) -> BTreeMap<(usize, usize), Vec<End>> {
    let boxes = Boxes::new(plan.pieces.iter().map(|wanted| wanted.region.bounds()));
    let widest = plan.half_mm(0).max(plan.half_mm(1));
    let mut beside: BTreeMap<(usize, usize), Vec<End>> = BTreeMap::new();
    for (end, &at) in ends.places.iter().enumerate().filter(|(end, _)| !ends.taken[*end]) {
        let reach = widest + BESIDE_MM;
        let mut best: Option<(f64, (usize, usize), f64)> = None;
        for piece in boxes.within(Rect::from_points(at, at).inflate(reach, reach)) {
            for (number, outline) in plan.pieces[piece].region.outlines().enumerate() {
                let (along, distance) = nearest(outline, at);
                let off = (distance - plan.half_mm(number)).abs();
                if off <= BESIDE_MM && best.is_none_or(|(least, ..)| off < least) {
                    best = Some((off, (piece, number), along));
                }
            }
        }
        if let Some((_, outline, along)) = best {
            beside.entry(outline).or_default().push(End { end, along });
        }
    }
    beside
}

/// How far along an outline the place nearest to a point is, and how far away, mm.
fn nearest(outline: &Outline, at: Point) -> (f64, f64) {
    let (mut start, mut best) = (0.0, (0.0, f64::INFINITY));
    for segment in outline.segments() {
        let (length, (t, distance)) = (segment.length(), segment.nearest(at));
        if distance < best.1 {
            best = (start + t * length, distance);
        }
        start += length;
    }
    best
}

struct Side<'a> {
    outline: &'a Outline,
    length: f64,
    radius: f64,
}

impl Side<'_> {
    fn gaps(&self, beside: &[End], ends: &Ends, cuts: &[&Segment]) -> Vec<([usize; 2], Gap)> {
        let mut pairs: Vec<(f64, End, End)> = Vec::new();
        for (i, one) in beside.iter().enumerate() {
            for two in &beside[i + 1..] {
                let ahead = (two.along - one.along).rem_euclid(self.length);
                pairs.push(if ahead <= self.length / 2.0 {
                    (ahead, *one, *two)
                } else {
                    (self.length - ahead, *two, *one)
                });
            }
        }
        pairs.retain(|(way, ..)| *way <= LONGEST_TAB_MM);
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1.end, a.2.end).cmp(&(b.1.end, b.2.end))));
        let mut taken: Vec<usize> = Vec::new();
        let mut found = Vec::new();
        for (way, one, two) in pairs {
            if taken.contains(&one.end) || taken.contains(&two.end) {
                continue;
            }
            let middle = self.at(one.along + way / 2.0);
            if cuts.iter().any(|segment| segment.nearest(middle).1 <= self.radius + BESIDE_MM) {
                continue;
            }
            taken.extend([one.end, two.end]);
            let (from, to) = (ends.places[one.end], ends.places[two.end]);
            let sag = (Segment::line(from, to).nearest(middle).1 - self.radius).abs();
            found.push(([one.end, two.end], Gap::chord(from, to, sag)));
        }
        found
    }

    fn at(&self, along: f64) -> Point {
        let mut rest = along.rem_euclid(self.length);
        for segment in self.outline.segments() {
            let length = segment.length();
            if rest <= length && length > 0.0 {
                return segment.at(rest / length);
            }
            rest -= length;
        }
        self.outline.vertices()[0].at
    }
}
