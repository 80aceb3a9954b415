//! The kerf coupon: strips that are all alike, cut free and measured together.
//!
//! A strip is drawn `STRIP_MM` wide, and its path runs half the assumed kerf outside on either side. What comes off is wider
//! or narrower by what the kerf was assumed wrongly, and a stack of strips is so by as many times as much: a caliper that
//! reads 0.05 mm on ten strips reads the kerf to 0.005 mm.

use super::built::{part, plate, words};
use super::{Wish, reading};
use crate::geometry::{Point, Region};
use crate::problem::Problems;
use crate::shop::{Shop, Tool};
use crate::stages::job::TabWish;
use crate::stages::part::Part;

/// Strips in a stack.
pub(super) const STRIPS: u32 = 10;

/// Width of a strip as drawn, mm.
pub(super) const STRIP_MM: f64 = 10.0;

/// Length of a strip, mm: enough for a caliper's jaws beside the tabs at the ends.
const LENGTH_MM: f64 = 50.0;

/// The strips, each marked with what it was cut for.
pub(super) fn parts(wish: &Wish, shop: &Shop, problems: &mut Problems) -> Vec<Part> {
    let Some(assumed) = assumed(wish, shop, problems) else { return Vec::new() };
    let mut strip =
        part("STRIP", Region::new(plate(LENGTH_MM, STRIP_MM), Vec::new()), &wish.wood, wish.thickness_mm);
    strip.copies = STRIPS;
    strip.marks =
        words(&format!("{} K{}", STRIP_MM, reading::shown(assumed)), LENGTH_MM / 2.0, STRIP_MM / 2.0 - 1.25);
    // At the ends, where their stubs are not measured.
    let ends = vec![Point::new(0.0, STRIP_MM / 2.0), Point::new(LENGTH_MM, STRIP_MM / 2.0)];
    strip.tabs = if shop.machine.is_laser() { TabWish::Count(0) } else { TabWish::At(ends) };
    vec![strip]
}

/// The kerf that paths are moved by, mm.
pub(super) fn assumed(wish: &Wish, shop: &Shop, problems: &mut Problems) -> Option<f64> {
    match &shop.machine.tool {
        Tool::Laser { .. } => {
            if let Some(kerf) = wish.cutting.kerf_mm {
                return Some(kerf);
            }
            let told = |problem| {
                problems.push(problem);
                None
            };
            shop.laser(&wish.wood, wish.thickness_mm).map_or_else(told, |setting| Some(setting.kerf_mm))
        }
        Tool::Router { cutters, .. } => {
            let cutter = wish.cutting.cutter_mm.or(cutters.first().map(|cutter| cutter.diameter_mm))?;
            Some(shop.measured_kerf(&wish.wood, cutter).unwrap_or(cutter))
        }
    }
}
