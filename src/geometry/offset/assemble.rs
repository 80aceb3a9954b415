//! Makes regions of the closed loops of an offset.

use crate::geometry::crossing::without_repeats;
use crate::geometry::{Outline, Point, Region, Segment};

/// Points of a result nearer to each other than this, in millimetres, are one.
const REPEAT: f64 = 1e-6;

/// A loop whose area is at most this times its length, in millimetres, is a line gone over twice: less than a thousandth
/// of a millimetre wide. It is left out; the place that it came from is reported as closed.
const FLAT: f64 = 5e-4;

/// The outlines of an offset: those around material and those around holes.
#[derive(Debug, Default)]
pub(super) struct Outlines {
    pub(super) outers: Vec<Outline>,
    pub(super) holes: Vec<Outline>,
}

impl Outlines {
    /// Sorts loops with material on their left; flat ones are left out.
    pub(super) fn of(loops: impl IntoIterator<Item = Vec<Segment>>) -> Self {
        let mut outlines = Self::default();
        for one in loops {
            let Some(outline) =
                Outline::from_segments(&one).ok().and_then(|o| without_repeats(&o, REPEAT).ok())
            else {
                continue;
            };
            let area = outline.signed_area();
            if area.abs() <= FLAT * outline.perimeter() {
                continue;
            }
            if area > 0.0 { outlines.outers.push(outline) } else { outlines.holes.push(outline) }
        }
        outlines
    }

    pub(super) fn all(&self) -> impl Iterator<Item = &Outline> {
        self.outers.iter().chain(&self.holes)
    }

    pub(super) fn count(&self) -> (usize, usize) {
        (self.outers.len(), self.holes.len())
    }

    pub(super) fn area(&self) -> f64 {
        self.all().map(Outline::signed_area).sum()
    }

    pub(super) fn perimeter(&self) -> f64 {
        self.all().map(Outline::perimeter).sum()
    }

    /// Regions: each hole in the smallest outer outline that it lies in; or a point of a hole that lies in none.
    pub(super) fn regions(self) -> Result<Vec<Region>, Point> {
        let mut holes_of: Vec<Vec<Outline>> = self.outers.iter().map(|_| Vec::new()).collect();
        let boxes: Vec<_> = self.outers.iter().map(|outer| (outer.bounds(), outer.area())).collect();
        for hole in self.holes {
            let at = hole.vertices()[0].at;
            let inside = |k: &usize| self.outers.len() == 1 || self.outers[*k].contains(at);
            let home = (0..boxes.len())
                .filter(|&k| boxes[k].0.contains(at) && inside(&k))
                .min_by(|&a, &b| boxes[a].1.total_cmp(&boxes[b].1));
            holes_of[home.ok_or(at)?].push(hole);
        }
        Ok(self.outers.into_iter().zip(holes_of).map(|(outer, holes)| Region::new(outer, holes)).collect())
    }
}
