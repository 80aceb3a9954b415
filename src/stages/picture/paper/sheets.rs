//! Sheets of wood at true size, with the true outlines of their pieces, as they lie.

use super::leaf::Ink;
use super::letters::Letters;
use super::sketch::Sketch;
use crate::geometry::{Chain, Outline, Placement, Point, Rect, Region};
use crate::stages::part::Part;
use crate::stages::picture::pen::number;
use crate::stages::sheet::Sheet;

/// Room above a sheet for what it is, mm.
const CAPTION_MM: f64 = 7.0;

/// Size of the letters there, and of names at the most, mm.
const LETTER_MM: f64 = 3.5;

/// Smallest letters of a name, mm: those of a tiny part may stand over its edge.
const SMALLEST_MM: f64 = 1.5;

/// Room that a sheet takes, in its own coordinates.
pub(super) fn room(sheet: &Sheet) -> Rect {
    Rect::new(0.0, 0.0, sheet.length_mm, sheet.width_mm + CAPTION_MM)
}

/// Where pieces lie.
pub(super) fn filled(sheet: &Sheet, parts: &[Part]) -> Vec<Rect> {
    let placed = sheet.placed.iter().filter_map(|placed| Some((parts.get(placed.part)?, placed)));
    placed.map(|(part, placed)| part.region.placed(&placed.placement).bounds()).collect()
}

/// What it is, in a few words.
pub(super) fn told(sheet: &Sheet) -> String {
    let [thickness, length, width] = [sheet.thickness_mm, sheet.length_mm, sheet.width_mm].map(number);
    format!("Sheet {}: {} {thickness} mm, {length} x {width} mm", sheet.number, sheet.wood)
}

/// A sheet and its pieces; `caption` puts above it what it is.
pub(super) fn sketch(sheet: &Sheet, parts: &[Part], letters: &Letters, caption: bool) -> Sketch {
    let mut sketch = Sketch::default();
    let edge = Rect::new(0.0, 0.0, sheet.length_mm, sheet.width_mm);
    sketch.closed(Outline::rectangle(edge).segments(), Ink::RULE);
    let own = sheet.blank.outline.iter().chain(&sheet.blank.avoid).chain(&sheet.remnant);
    own.for_each(|outline| sketch.closed(outline.segments(), Ink::RULE));
    if caption {
        let (told, y) = (told(sheet), sheet.width_mm + 2.0);
        let width = letters.width(&letters.writable(&told), LETTER_MM);
        sketch.words(&told, Point::new(0.0, y), LETTER_MM, width);
        sketch.grain(Point::new(width + 16.0, y + 0.36 * LETTER_MM), 20.0, 0.0);
        sketch.words("grain", Point::new(width + 28.0, y), LETTER_MM, letters.width("grain", LETTER_MM));
    }
    for placed in &sheet.placed {
        let Some(part) = parts.get(placed.part) else { continue };
        piece(part, &placed.placement, &mut sketch);
        let region = part.region.placed(&placed.placement);
        name(&part.id, placed.placement.point(part.at), &region, letters, &mut sketch);
    }
    sketch
}

/// The outlines of a part and what is drawn on it, where it lies.
pub(super) fn piece(part: &Part, placement: &Placement, sketch: &mut Sketch) {
    for outline in part.region.placed(placement).outlines() {
        sketch.closed(outline.segments(), Ink::HAIR);
    }
    for (lines, ink) in [(&part.scores, Ink::SCORE), (&part.marks, Ink::MARK)] {
        for line in lines {
            sketch.line(Chain::segments(&line.placed(placement)), ink);
        }
    }
}

/// A name about a point of the material, as large as fits there.
fn name(id: &str, at: Point, region: &Region, letters: &Letters, sketch: &mut Sketch) {
    let id = letters.writable(id);
    let wide = letters.width(&id, 1.0).max(0.1);
    let size = (0.8 * region.bounds().width() / wide).min(1.2 * region.distance(at));
    let size = size.clamp(SMALLEST_MM, LETTER_MM);
    let corner = Point::new(at.x - 0.5 * wide * size, at.y - 0.36 * size);
    sketch.words(&id, corner, size, wide * size);
}
