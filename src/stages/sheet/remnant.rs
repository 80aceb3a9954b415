//! What is left of a sheet in one piece.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;

use super::{Room, Sheet};
use crate::geometry::{Outline, Rect};
use crate::stages::part::Part;

/// Pieces of a sheet that are narrower than this, mm, or smaller than that, mm², are waste (common practice, no source).
const NARROWEST_MM: f64 = 25.0;
const SMALLEST_MM2: f64 = 2500.0;

/// How far the straight sides of a remnant may stray from an arc of the sheet's outline, mm: less than a knife does.
const STRAY_MM: f64 = 0.05;

/// The remnant of a sheet: of all that one straight cut, along the grain or across it, takes off without touching a piece
/// or coming nearer to one than the spacing, the largest piece. None where that is not worth keeping.
pub(super) fn remnant(sheet: &Sheet, parts: &[Part], room: Room) -> Option<Outline> {
    let bounds = |placed: &super::Placed| parts[placed.part].region.placed(&placed.placement).bounds();
    let taken = sheet.placed.iter().map(bounds).reduce(|a, b| a.union(b))?;
    let taken = taken.inflate(room.spacing_mm, room.spacing_mm);
    let (length, width) = (sheet.length_mm, sheet.width_mm);
    let halves = [
        Rect::new(taken.x1, 0.0, length, width),
        Rect::new(0.0, 0.0, taken.x0, width),
        Rect::new(0.0, taken.y1, length, width),
        Rect::new(0.0, 0.0, length, taken.y0),
    ];
    let worth = |outline: &Outline| {
        let bounds = outline.bounds();
        bounds.width().min(bounds.height()) >= NARROWEST_MM && outline.area() >= SMALLEST_MM2
    };
    let there = halves.into_iter().filter(|half| half.x1 > half.x0 && half.y1 > half.y0);
    let pieces = there.flat_map(|half| within(sheet.blank.outline.as_ref(), half));
    let worth_keeping = pieces.filter(worth);
    worth_keeping.reduce(|a, b| if b.area() > a.area() { b } else { a })
}

/// The pieces of a sheet of this outline that lie in a rectangle.
fn within(outline: Option<&Outline>, half: Rect) -> Vec<Outline> {
    let Some(outline) = outline else { return vec![Outline::rectangle(half)] };
    let sheet: Vec<[f64; 2]> =
        outline.segments().flat_map(|s| s.chord_points(STRAY_MM)).map(|p| [p.x, p.y]).collect();
    let clip = [[half.x0, half.y0], [half.x1, half.y0], [half.x1, half.y1], [half.x0, half.y1]];
    let shapes = sheet.overlay(&clip.to_vec(), OverlayRule::Intersect, FillRule::EvenOdd);
    let outer = shapes.into_iter().filter_map(|shape| shape.into_iter().next());
    outer
        .filter_map(|points| Outline::polygon(&points.iter().map(|&[x, y]| (x, y)).collect::<Vec<_>>()).ok())
        .collect()
}
