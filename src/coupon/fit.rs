//! The fit coupon: slots from tight to loose about the thickness of the wood, each with its width beside it, and a tongue
//! of the same wood to try in them.

use super::Wish;
use super::built::{part, plate, width, words};
use super::reading::shown;
use crate::geometry::{Outline, Rect, Region};
use crate::stages::part::Part;

/// Slots on either side of the one that is as wide as the wood.
const EACH_SIDE: i32 = 5;

/// From one slot to the next, mm: less is not felt by hand (common practice, no source).
const STEP_MM: f64 = 0.05;

/// Width of the tongue, mm.
const TONGUE_MM: f64 = 10.0;

/// Length of the tongue, mm.
const TONGUE_LENGTH_MM: f64 = 40.0;

/// Length of a slot, mm: the tongue goes in beside the round ends that a cutter leaves, up to one of 4 mm.
const SLOT_LENGTH_MM: f64 = 15.0;

/// Wood between two slots, mm, at least.
const BETWEEN_MM: f64 = 6.0;

/// The widths of the slots, from tight to loose, mm.
pub(super) fn widths(wish: &Wish) -> Vec<f64> {
    let middle = wish.measured_mm.unwrap_or(wish.thickness_mm);
    (-EACH_SIDE..=EACH_SIDE).map(|i| middle + f64::from(i) * STEP_MM).filter(|width| *width > 0.2).collect()
}

/// The plate with its slots, and the tongue.
pub(super) fn parts(wish: &Wish) -> Vec<Part> {
    let widths = widths(wish);
    let widest = widths.last().copied().unwrap_or(0.0);
    let label = widths.iter().map(|w| width(&shown(*w))).fold(0.0, f64::max);
    let pitch = (widest + BETWEEN_MM).max(label + 2.5);
    let (bottom, top) = (14.0, 14.0 + SLOT_LENGTH_MM);
    let length = pitch * (widths.len() as f64 + 1.0);
    let middle = |i: usize| pitch * (i as f64 + 1.0);
    let slot = |(i, w): (usize, &f64)| {
        Outline::rectangle(Rect::new(middle(i) - w / 2.0, bottom, middle(i) + w / 2.0, top))
    };
    let slots = widths.iter().enumerate().map(slot).collect();
    let mut comb = part("SLOTS", Region::new(plate(length, top + 6.0), slots), &wish.wood, wish.thickness_mm);
    comb.at = crate::geometry::Point::new(1.0, 1.0);
    let measured = wish.measured_mm.unwrap_or(wish.thickness_mm);
    comb.marks =
        words(&format!("{} {}: {}", wish.wood, wish.thickness_mm, shown(measured)), length / 2.0, 3.0);
    for (i, w) in widths.iter().enumerate() {
        comb.marks.extend(words(&shown(*w), middle(i), 9.0));
    }
    let tongue = Region::new(plate(TONGUE_LENGTH_MM, TONGUE_MM), Vec::new());
    vec![comb, part("TONGUE", tongue, &wish.wood, wish.thickness_mm)]
}
