//! Each part at true size, to be stuck on the wood and sawn along, with its name, how many, which hand, its wood and grain.

use super::book::Book;
use super::leaf::Ink;
use super::letters::Letters;
use super::pricks;
use super::sheets;
use super::size::Format;
use super::sketch::Sketch;
use super::tile::{Tiles, foot, window};
use crate::geometry::{Affine, Chain, Placement, Point, Rect, Vec2};
use crate::stages::cut::{
    marks::{self, Where},
    note_on,
};
use crate::stages::part::Part;
use crate::stages::picture::pen::number;

/// Size of the letters, and from line to line, mm.
const LETTER_MM: f64 = 3.0;
const LINE_MM: f64 = 4.0;

/// Least width of the words above a pattern, mm.
const CAPTION_MM: f64 = 42.0;

/// Distance between patterns, mm: to cut between them with scissors.
const GAP_MM: f64 = 5.0;

/// A pattern with its words; its lower left corner is the origin.
#[derive(Debug)]
struct Pattern<'a> {
    part: &'a Part,
    sketch: Sketch,
    size: [f64; 2],
}

/// Adds all patterns: as many on a page as go, large ones over several pages.
pub(super) fn print(parts: &[Part], upright: Format, pricks_mm: Option<f64>, book: &mut Book) {
    let room = window(upright).size();
    let (mut small, mut large) = (Vec::new(), Vec::new());
    for part in parts {
        for mirrored in hands(part) {
            let pattern = |turn| pattern(part, mirrored, turn, pricks_mm, &book.letters);
            let fits = |p: &Pattern<'_>| p.size[0] <= room.width && p.size[1] <= room.height;
            let drawn = pattern(0.0);
            if fits(&drawn) {
                small.push(drawn);
                continue;
            }
            let turned = pattern(90.0);
            if fits(&turned) { small.push(turned) } else { large.push(drawn) }
        }
    }
    shelves(small, upright, book);
    for pattern in large {
        let whole = Rect::new(0.0, 0.0, pattern.size[0], pattern.size[1]);
        let what = format!("Pattern of {}", pattern.part.id);
        Tiles::of(whole, upright).print(&what, &pattern.sketch, &[whole], book);
    }
}

/// Largest size of a pattern of these parts, mm.
pub(super) fn largest(parts: &[Part], letters: &Letters) -> [f64; 2] {
    let sizes = parts.iter().map(|part| pattern(part, false, 0.0, None, letters).size);
    sizes.fold([0.0, 0.0], |a, b| [a[0].max(b[0]), a[1].max(b[1])])
}

/// The hands that a part is wanted in: as drawn, mirrored.
fn hands(part: &Part) -> impl Iterator<Item = bool> {
    let wanted = [(false, part.copies > part.mirrored), (true, part.mirrored > 0)];
    wanted.into_iter().filter(|(_, wanted)| *wanted).map(|(mirrored, _)| mirrored)
}

fn pattern<'a>(
    part: &'a Part,
    mirrored: bool,
    turn_deg: f64,
    pricks_mm: Option<f64>,
    letters: &Letters,
) -> Pattern<'a> {
    let mut placement = Placement { mirrored, turn_deg, shift: Vec2::ZERO };
    let bounds = part.region.placed(&placement).bounds();
    placement.shift = -bounds.origin().to_vec2();
    let mut sketch = Sketch::default();
    sheets::piece(part, &placement, &mut sketch);
    let region = part.region.placed(&placement);
    let grain = part.grain_deg.map(|deg| placement.grain_deg(deg));
    let note = note_on(part, &placement);
    let marking = marks::place(&part.id, note.as_ref(), &region, grain, &|_| false);
    for stroke in marking.strokes.iter().chain(&marking.note) {
        sketch.line(Chain::segments(stroke), Ink::STROKES);
    }
    if let Some(apart) = pricks_mm {
        pricks::draw(&region, apart, &mut sketch);
    }
    let width = bounds.width().max(CAPTION_MM);
    let beside = grain.filter(|_| marking.arrow != Some(Where::Inside));
    let top = caption(part, mirrored, [bounds.height(), width], beside, letters, &mut sketch);
    Pattern { part, sketch, size: [width, top] }
}

/// The words above a pattern, and the grain arrow where the part has no room for it; gives how high all of it is.
fn caption(
    part: &Part,
    mirrored: bool,
    [height, width]: [f64; 2],
    grain: Option<f64>,
    letters: &Letters,
    sketch: &mut Sketch,
) -> f64 {
    let count = if mirrored { part.mirrored } else { part.copies - part.mirrored };
    let pieces = if count == 1 { "1 piece".to_owned() } else { format!("{count} pieces") };
    let hand = match (part.mirrored > 0, mirrored) {
        (false, _) => "",
        (true, false) => " as drawn",
        (true, true) => " of the other hand",
    };
    let any = if part.grain_deg.is_none() { ", grain any way" } else { "" };
    let text = format!("{}: {pieces}{hand}, {} {} mm{any}", part.id, part.wood, number(part.thickness_mm));
    let aside = if grain.is_some() { ARROW_MM + 3.0 } else { 0.0 };
    let lines = letters.lines(&text, LETTER_MM, width - aside);
    let mut y = height + 2.0 + LINE_MM * lines.len() as f64;
    if let Some(deg) = grain {
        y = y.max(height + 2.0 + ARROW_MM);
        sketch.grain(Point::new(ARROW_MM / 2.0, height + 1.5 + ARROW_MM / 2.0), ARROW_MM, deg);
    }
    let top = y;
    for line in &lines {
        y -= LINE_MM;
        sketch.words(line, Point::new(aside, y + 1.0), LETTER_MM, letters.width(line, LETTER_MM));
    }
    top
}

/// Length of a grain arrow beside a part, mm.
const ARROW_MM: f64 = 9.0;

/// Puts patterns side by side on shelves, the tallest first, and shelves on pages.
fn shelves(mut patterns: Vec<Pattern<'_>>, upright: Format, book: &mut Book) {
    patterns.sort_by(|a, b| b.size[1].total_cmp(&a.size[1]));
    let room = window(upright);
    let (mut page, mut corner, mut shelf) = (Sketch::default(), Point::new(0.0, room.y1), 0.0);
    let mut names: Vec<&str> = Vec::new();
    for pattern in &patterns {
        if corner.x + pattern.size[0] > room.x1 {
            corner = Point::new(0.0, corner.y - shelf - GAP_MM);
        }
        if corner.y - pattern.size[1] < room.y0 {
            flush(&std::mem::take(&mut page), &std::mem::take(&mut names), upright, book);
            corner = Point::new(0.0, room.y1);
        }
        if corner.x <= 0.0 {
            shelf = pattern.size[1];
        }
        page.add(&pattern.sketch, Vec2::new(corner.x, corner.y - pattern.size[1]));
        if names.last() != Some(&pattern.part.id.as_str()) {
            names.push(&pattern.part.id);
        }
        corner.x += pattern.size[0] + GAP_MM;
    }
    flush(&page, &names, upright, book);
}

fn flush(page: &Sketch, names: &[&str], format: Format, book: &mut Book) {
    if names.is_empty() {
        return;
    }
    let title = book.title().to_owned();
    let what = format!("Patterns at true size: {}", names.join(", "));
    book.leaf(format, |leaf| {
        let window = window(leaf.format);
        page.draw(leaf, Affine::IDENTITY, window);
        foot(leaf, &what, &title);
    });
}
