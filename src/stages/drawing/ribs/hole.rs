//! Lightening holes: as large as the wood that is to stay around them allows.

use super::plan::Frame;
use super::rib::{Blank, Rib};
use super::{Bench, alternating};
use crate::geometry::curve::Curve;
use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Point, Segment, fit};

/// How often the interval of radii is halved: to less than a thousandth of a millimetre.
const HALVINGS: u32 = 24;

/// So many places along the middle of a long hole are measured.
const LOOKS: u32 = 24;

impl Bench<'_> {
    /// Adds the holes that have room.
    pub(super) fn lighten(&self, rib: &mut Rib, frame: &Frame, blank: &Blank) {
        for hole in &self.set.holes {
            let around = std::iter::once(&rib.outer).chain(&rib.holes);
            let outlines = around.filter_map(|curves| fit::outline(curves, self.job.tolerance_mm).ok());
            let index = SegmentIndex::new(alternating(&outlines.collect::<Vec<_>>()));
            let middle = |x: f64| {
                let y = f64::midpoint(blank.height(x, 1.0)?, blank.height(x, -1.0)?);
                let at = Point::new(x, y * blank.lean);
                (index.winding(at) != 0).then_some(at)
            };
            let (x0, x1) = (frame.x(hole.span.0), frame.x(hole.span.1));
            let axis = |r: f64| {
                let (a, b) = if x1 > x0 { (x0 + r, x1 - r) } else { (x0, x0) };
                if b < a { None } else { middle(a).zip(middle(b)) }
            };
            let fits = |r: f64| {
                axis(r).is_some_and(|(a, b)| {
                    (0..=LOOKS).all(|k| {
                        let at = a.lerp(b, f64::from(k) / f64::from(LOOKS));
                        index.winding(at) != 0 && index.distance(at) >= r + hole.web_mm
                    })
                })
            };
            let (mut low, mut high) = (hole.least_mm / 2.0, frame.chord);
            if !fits(low) {
                continue;
            }
            for _ in 0..HALVINGS {
                let r = f64::midpoint(low, high);
                if fits(r) { low = r } else { high = r }
            }
            if let Some((a, b)) = axis(low) {
                rib.holes.push(rounded(a, b, low));
            }
        }
    }
}

/// A circle, or a slot from one centre to another.
pub(super) fn rounded(a: Point, b: Point, r: f64) -> Vec<Curve> {
    let along = b - a;
    if along.hypot() <= 1e-6 {
        let (east, west) = (a + (r, 0.0), a - (r, 0.0));
        return [(east, west), (west, east)].map(|(p, q)| Curve::Segment(Segment::arc(p, q, 1.0))).to_vec();
    }
    let up = crate::geometry::Vec2::new(-along.y, along.x) / along.hypot() * r;
    let [p, q, s, t] = [a - up, b - up, b + up, a + up];
    let all = [Segment::line(p, q), Segment::arc(q, s, 1.0), Segment::line(s, t), Segment::arc(t, p, 1.0)];
    all.map(Curve::Segment).to_vec()
}
