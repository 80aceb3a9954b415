//! Two parts that cross, each let into the other by a slot: they are flush when each slot is as wide as the other's wood
//! is thick, and as deep as the other is broad behind its own slot.

use super::bench::Bench;
use super::{Row, measure};
use crate::geometry::Point;
use crate::stages::job::fit::Fit;

impl Bench<'_> {
    /// Width and depth of both slots.
    pub(super) fn halving(&mut self, fit: &Fit, halves: &[(String, Point); 2]) -> Option<Vec<Row>> {
        let mut found = Vec::with_capacity(2);
        for (name, at) in halves {
            let part = self.part(name, fit)?;
            let Some(recess) = measure::recess(&self.parts[part].region, *at) else {
                let message =
                    format!("part '{}' has no slot there that ends in the wood", self.parts[part].id);
                let hint =
                    "give a point within the slot, in the drawing's coordinates; it is open at one end";
                self.wrong_with(fit, part, "fit-dimension", &message, hint);
                return None;
            };
            found.push((part, recess));
        }
        let mut rows = Vec::with_capacity(4);
        for (one, other) in [(0, 1), (1, 0)] {
            let ((part, recess), (other, beside)) = (found[one], found[other]);
            let wood = self.thickness_of(&self.parts[other].wood, self.parts[other].thickness_mm);
            let of = |what: &str| format!("{}, {what} of {}", fit.name, self.parts[part].id);
            rows.push(self.row(fit, of("width"), part, (wood - fit.play_mm, recess.width)));
            rows.push(self.row(fit, of("depth"), part, (beside.behind, recess.depth)));
        }
        Some(rows)
    }
}
