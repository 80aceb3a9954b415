//! The drawings as they are, with their parts and the places of problems: what there is to see before there are sheets.

use super::Scene;
use super::board;
use super::letters::Words;
use super::page::{Key, Page, stroke};
use super::pen::{self, PathData, number};
use crate::geometry::{Point, Rect};
use crate::stages::drawing::{Drawing, Role};

/// A drawing wider than this is shown smaller, mm: nobody has a sheet of paper like that.
const WIDEST: f64 = 3000.0;

/// Everything drawn in a drawing, and its parts.
fn bounds(scene: &Scene<'_>, index: usize) -> Option<Rect> {
    let drawing = &scene.drawings[index];
    let outlines = drawing.outlines.iter().map(|drawn| drawn.item.bounds());
    let lines = drawing.lines.iter().map(|drawn| drawn.item.bounds());
    let parts = scene.parts.iter().filter(|part| part.drawing == index).map(|part| part.region.bounds());
    let places = scene.problems.iter().filter(|p| p.file.as_deref() == Some(&drawing.file));
    let places = places.filter_map(|p| p.at_mm).map(|[x, y]| Rect::new(x, y, x, y));
    outlines.chain(lines).chain(parts).chain(places).reduce(|a, b| a.union(b))
}

/// How much smaller than true the drawing is shown; 1 for most.
fn scale(bounds: Rect) -> f64 {
    (WIDEST / bounds.width().max(bounds.height())).min(1.0)
}

/// Width of the widest drawing as shown, mm.
pub(super) fn widest(scene: &Scene<'_>) -> f64 {
    if !board::sheets(scene).is_empty() {
        return 0.0;
    }
    let widths = (0..scene.drawings.len()).filter_map(|i| bounds(scene, i));
    widths.map(|bounds| bounds.width() * scale(bounds)).fold(0.0, f64::max)
}

/// Draws every drawing with its parts.
pub(super) fn draw(scene: &Scene<'_>, page: &mut Page) {
    for (index, drawing) in scene.drawings.iter().enumerate() {
        let height = 1.2 * page.letter;
        let parts = scene.parts.iter().filter(|part| part.drawing == index).count();
        page.words(&format!("{}   {parts} parts as drawn", drawing.file), height, pen::INK);
        let Some(bounds) = bounds(scene, index) else { continue };
        let k = scale(bounds);
        if k < 1.0 {
            page.words(&format!("shown at 1 : {}", number(1.0 / k)), 0.8 * height, pen::PENCIL);
        }
        page.y += page.letter;
        let (x, y) = (page.border() - bounds.x0 * k, page.y + bounds.y1 * k);
        let k_text = format!("{k:.6}");
        page.add(&format!(
            "<g transform=\"translate({} {}) scale({k_text} -{k_text})\">\n",
            number(x),
            number(y)
        ));
        one(scene, index, drawing, page);
        page.add("</g>\n");
        page.y += bounds.height() * k + 2.5 * page.letter;
    }
}

fn one(scene: &Scene<'_>, index: usize, drawing: &Drawing, page: &mut Page) {
    let thin = 0.08 * page.letter;
    let mut pencil = PathData::default();
    let mut grain = PathData::default();
    drawing.outlines.iter().for_each(|drawn| pencil.closed(drawn.item.segments()));
    for drawn in &drawing.lines {
        let path = if drawn.role == Role::Grain { &mut grain } else { &mut pencil };
        path.chain(drawn.item.segments());
    }
    page.add(&pencil.element(&stroke(pen::PENCIL, thin, "")));
    for part in scene.parts.iter().filter(|part| part.drawing == index) {
        page.explain(Key::Outline);
        let title = format!("<g><title>{}</title>\n", pen::escaped(&part.id));
        let name = board::name(&part.id, part.at, &part.region, 1.2 * page.letter);
        page.add(&format!("{title}{}{name}</g>\n", board::material(&part.region, 1.6 * thin)));
    }
    if !grain.is_empty() {
        page.explain(Key::Grain);
        page.add(&grain.element(&stroke(pen::GRAIN, 1.2 * thin, "")));
    }
    for (number, problem) in scene.problems.iter().enumerate() {
        let here = match &problem.file {
            Some(file) => *file == drawing.file,
            None => scene.parts.iter().any(|p| p.drawing == index && problem.part.as_ref() == Some(&p.id)),
        };
        if let (true, Some([x, y])) = (here, problem.at_mm) {
            page.explain(Key::Problem);
            page.add(&flag(Point::new(x, y), page.letter, Some(number + 1)));
        }
    }
}

/// A ring with a cross in it, and the problem's number beside it; y up.
pub(super) fn flag(at: Point, radius: f64, number: Option<usize>) -> String {
    let mut ring = PathData::default();
    ring.circle(at, radius);
    let arm = 0.7 * radius;
    for (dx, dy) in [(arm, arm), (arm, -arm)] {
        ring.begin(Point::new(at.x - dx, at.y - dy));
        ring.line(Point::new(at.x + dx, at.y + dy));
    }
    let mut text = ring.element(&stroke(pen::ALARM, 0.25 * radius, ""));
    if let Some(number) = number {
        let at = Point::new(at.x + 2.2 * radius, at.y + 0.4 * radius);
        let words = number.to_string();
        text.push_str(&Words { text: &words, at, height: 1.2 * radius, colour: pen::ALARM }.centred_up());
    }
    text
}
