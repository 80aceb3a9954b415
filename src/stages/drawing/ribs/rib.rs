//! One rib: its surfaces without what covers them, between its edges, with what is cut into it.

use super::Bench;
use super::plan::Frame;
use super::spar::{Cut, Cuts};
use crate::geometry::curve::Curve;
use crate::geometry::section::{Section, Skin};
use crate::geometry::{Affine, Point, Segment, trig};
use crate::stages::job::ribs::{RibSet, Side};

/// Under sheeting a rib ends where it is lower than this, mm: a sliver would break off.
const LEAST_EDGE: f64 = 0.5;

/// So many places are looked at from the middle to an edge.
const LOOKS: u32 = 400;

/// Points nearer than this, mm, are one.
const SAME: f64 = 1e-6;

/// A rib before anything is cut into it.
#[derive(Clone, Debug)]
pub(super) struct Blank {
    upper: Skin,
    lower: Skin,
    front: Option<f64>,
    back: Option<f64>,
    reach: (f64, f64),
    /// Heights grow by this in a rib that leans.
    pub(super) lean: f64,
}

/// A rib as it is cut.
#[derive(Clone, Debug, Default)]
pub(super) struct Rib {
    pub(super) name: String,
    pub(super) station: Option<f64>,
    pub(super) outer: Vec<Curve>,
    pub(super) holes: Vec<Vec<Curve>>,
    pub(super) scores: Vec<Segment>,
}

impl Blank {
    /// The rib's surfaces at its place.
    pub(super) fn new(set: &RibSet, (root, tip): (&Section, &Section), frame: &Frame, first: bool) -> Self {
        let wing = root.blend(tip, frame.blend);
        let map = frame.map();
        let (upper, lower) = (wing.upper.transformed(map), wing.lower.transformed(map));
        let reach = ((map * Point::ZERO).x, (map * Point::new(1.0, 0.0)).x);
        let upper = thinned(set, &upper, frame, Side::Upper);
        let lower = thinned(set, &lower, frame, Side::Lower);
        let front = (set.leading_edge_mm > 0.0).then_some(reach.0 + set.leading_edge_mm);
        let back = (set.trailing_edge_mm > 0.0).then_some(reach.1 - set.trailing_edge_mm);
        // Upright things of a wing are longer in a plane that leans.
        let lean = if first { 1.0 / trig::cos(set.lean_deg.to_radians()) } else { 1.0 };
        let mut blank = Self { upper, lower, front, back, reach, lean };
        if !set.coverings.is_empty() {
            blank.front = blank.edge(front, reach.0);
            blank.back = blank.edge(back, reach.1);
        }
        blank
    }

    /// The height of the upper (1) or lower (-1) surface, before it leans.
    pub(super) fn height(&self, x: f64, side: f64) -> Option<f64> {
        if side > 0.0 { self.upper.height(x) } else { self.lower.height(x) }
    }

    /// Where it begins and ends.
    pub(super) fn ends(&self) -> (f64, f64) {
        (self.front.unwrap_or(self.reach.0), self.back.unwrap_or(self.reach.1))
    }

    /// Whether a cut lies between its edges.
    pub(super) fn holds(&self, cut: &Cut) -> bool {
        let (front, back) = self.ends();
        cut.x0 > front + LEAST_EDGE && cut.x1 < back - LEAST_EDGE
    }

    /// The edge asked for, or where the rib gets too low on the way to it.
    fn edge(&self, asked: Option<f64>, end: f64) -> Option<f64> {
        let (middle, to) = (f64::midpoint(self.reach.0, self.reach.1), asked.unwrap_or(end));
        let mut last = None;
        for k in 0..=LOOKS {
            let x = middle + (to - middle) * f64::from(k) / f64::from(LOOKS);
            match (self.upper.height(x), self.lower.height(x)) {
                (Some(high), Some(low)) if high - low >= LEAST_EDGE => last = Some(x),
                _ => return last.or(asked),
            }
        }
        asked.or(last)
    }

    /// The outline with its cuts, counter-clockwise from the lower front. None where surfaces do not reach.
    pub(super) fn outline(&self, cuts: &Cuts) -> Option<Vec<Curve>> {
        let upright = Affine::scale_non_uniform(1.0, self.lean);
        let lower = self.surface(&self.lower.transformed(upright), &cuts.lower)?;
        let upper = self.surface(&self.upper.transformed(upright), &cuts.upper)?;
        let mut outline = lower;
        let back = upper.iter().rev().map(Curve::reversed);
        let mut upper: Vec<Curve> = back.collect();
        join(&mut outline, &upper);
        outline.append(&mut upper);
        let first = outline.first()?.clone();
        join(&mut outline, &[first]);
        Some(outline)
    }

    fn surface(&self, skin: &Skin, cuts: &[Cut]) -> Option<Vec<Curve>> {
        let mut curves: Vec<Curve> = Vec::new();
        let mut from = self.front;
        for cut in cuts {
            curves.extend(skin.between(from, Some(cut.x0))?);
            let a = curves.last()?.to();
            let b = Point::new(cut.x1, skin.height(cut.x1)?);
            let floor = [Point::new(a.x, cut.floor), Point::new(b.x, cut.floor)];
            curves.extend([
                Curve::line(a, floor[0]),
                Curve::line(floor[0], floor[1]),
                Curve::line(floor[1], b),
            ]);
            from = Some(cut.x1);
        }
        curves.extend(skin.between(from, self.back)?);
        Some(tied(curves))
    }
}

/// Curves whose ends meet to the last bit.
fn tied(mut curves: Vec<Curve>) -> Vec<Curve> {
    for i in 1..curves.len() {
        let to = curves[i - 1].to();
        if let Curve::Segment(segment) = &mut curves[i] {
            segment.from = to;
        } else {
            let from = curves[i].from();
            if let Curve::Segment(before) = &mut curves[i - 1] {
                before.to = from;
            }
        }
    }
    curves
}

/// Closes a gap with a straight.
fn join(curves: &mut Vec<Curve>, next: &[Curve]) {
    if let (Some(last), Some(next)) = (curves.last(), next.first())
        && last.to().distance(next.from()) > SAME
    {
        curves.push(Curve::line(last.to(), next.from()));
    }
}

/// A surface without its sheeting and cap strips.
fn thinned(set: &RibSet, skin: &Skin, frame: &Frame, side: Side) -> Skin {
    let lying: Vec<_> = set.coverings.iter().filter(|c| c.side == side || c.side == Side::Both).collect();
    if lying.is_empty() {
        return skin.clone();
    }
    let mut steps: Vec<f64> =
        lying.iter().flat_map(|c| [c.from, c.to]).filter(|f| *f > 0.0 && *f < 1.0).collect();
    steps.sort_by(f64::total_cmp);
    steps.dedup();
    let steps: Vec<f64> = steps.into_iter().map(|f| frame.x(f)).collect();
    let depth = |x: f64| {
        let f = (x - frame.leading) / frame.chord;
        let over = lying.iter().find(|c| c.from <= f && f <= c.to);
        over.map_or(0.0, |covering| covering.thickness_mm)
    };
    skin.thinned(side == Side::Upper, &steps, depth)
}

impl Bench<'_> {
    /// Every rib of the set.
    pub(super) fn ribs(&mut self, frames: &[Frame], blanks: &[Blank], cuts: &[Cuts]) -> Option<Vec<Rib>> {
        let mut ribs = Vec::with_capacity(frames.len());
        for (number, ((frame, blank), cuts)) in frames.iter().zip(blanks).zip(cuts).enumerate() {
            let name = format!("{}{}", self.set.name, number + 1);
            let Some(outer) = blank.outline(cuts) else {
                let message = format!("rib {} has no surface between its edges", number + 1);
                self.wrong("rib-edge", &message, "take less off at the leading or trailing edge");
                return None;
            };
            let square = cuts.square.iter().map(|[x0, y0, x1, y1]| {
                let at = [(*x0, *y0), (*x1, *y0), (*x1, *y1), (*x0, *y1)].map(Point::from);
                (0..4).map(|i| Curve::line(at[i], at[(i + 1) % 4])).collect()
            });
            let mut rib = Rib {
                name,
                station: Some(frame.station),
                holes: square.collect(),
                scores: broken_off(blank, cuts),
                outer,
            };
            self.lighten(&mut rib, frame, blank);
            ribs.push(rib);
        }
        Some(ribs)
    }
}

/// Where feet are broken off: along the surface they stand out of.
fn broken_off(blank: &Blank, cuts: &Cuts) -> Vec<Segment> {
    let at = |x: f64| blank.height(x, -1.0).map(|y| Point::new(x, y * blank.lean));
    cuts.feet.iter().filter_map(|foot| Some(Segment::line(at(foot.x0)?, at(foot.x1)?))).collect()
}
