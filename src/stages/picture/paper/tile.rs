//! Something larger than the paper, on several pages that overlap and are joined on their seams.

use super::book::Book;
use super::leaf::{Ink, Leaf};
use super::size::Format;
use super::sketch::Sketch;
use crate::geometry::{Affine, Outline, Point, Rect, Segment, Vec2};

/// How much neighbouring pages share, mm: enough for glue, common practice, no source.
pub(super) const OVERLAP_MM: f64 = 10.0;

/// Height at the foot of a page for what it is and the map, mm.
pub(super) const FOOT_MM: f64 = 13.0;

/// Size of the letters there, mm.
const LETTER_MM: f64 = 2.8;

/// How something is spread over pages.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tiles {
    format: Format,
    /// What is shown, in its own coordinates.
    whole: Rect,
    /// Pages across and up.
    count: [usize; 2],
}

impl Tiles {
    /// The pages that take fewest: upright or lying.
    pub(super) fn of(whole: Rect, upright: Format) -> Self {
        let [a, b] = [upright, upright.lying()].map(|format| Self::on(whole, format));
        if b.pages() < a.pages() { b } else { a }
    }

    fn on(whole: Rect, format: Format) -> Self {
        let window = window(format).size();
        let along = |length: f64, window: f64| {
            // Rounding must not ask for one more page.
            ((length - OVERLAP_MM) / (window - OVERLAP_MM) - 1e-9).ceil().max(1.0) as usize
        };
        Self {
            format,
            whole,
            count: [along(whole.width(), window.width), along(whole.height(), window.height)],
        }
    }

    /// How many pages.
    pub(super) fn pages(&self) -> usize {
        self.count[0] * self.count[1]
    }

    fn step(&self) -> Vec2 {
        let window = window(self.format).size();
        Vec2::new(window.width - OVERLAP_MM, window.height - OVERLAP_MM)
    }

    /// What a page shows, in the coordinates of the whole.
    fn shows(&self, [column, row]: [usize; 2]) -> Rect {
        let step = self.step();
        let corner = self.whole.origin() + Vec2::new(column as f64 * step.x, row as f64 * step.y);
        Rect::from_origin_size(corner, window(self.format).size())
    }

    /// The same up to its seams.
    fn trimmed(&self, [column, row]: [usize; 2]) -> Rect {
        let shows = self.shows([column, row]);
        let half = |joined: bool| if joined { OVERLAP_MM / 2.0 } else { 0.0 };
        Rect::new(
            shows.x0 + half(column > 0),
            shows.y0 + half(row > 0),
            shows.x1 - half(column + 1 < self.count[0]),
            shows.y1 - half(row + 1 < self.count[1]),
        )
    }

    /// `A1` is the upper left page; rows have letters, columns numbers.
    fn name(&self, [column, row]: [usize; 2]) -> String {
        let mut letters = String::new();
        let mut rest = self.count[1] - row;
        while rest > 0 {
            letters.insert(0, char::from(b'A' + ((rest - 1) % 26) as u8));
            rest = (rest - 1) / 26;
        }
        format!("{letters}{}", column + 1)
    }

    /// The pages, from the upper left one, row by row.
    fn all(&self) -> impl Iterator<Item = [usize; 2]> + '_ {
        (0..self.count[1]).rev().flat_map(|row| (0..self.count[0]).map(move |column| [column, row]))
    }

    /// Adds all pages on which something is; `filled` says where.
    pub(super) fn print(&self, what: &str, sketch: &Sketch, filled: &[Rect], book: &mut Book) {
        let meets = |a: &Rect, b: Rect| a.x0 <= b.x1 && a.x1 >= b.x0 && a.y0 <= b.y1 && a.y1 >= b.y0;
        let printed = |tile| filled.iter().any(|rect| meets(rect, self.shows(tile)));
        let title = book.title().to_owned();
        for tile in self.all().filter(|tile| printed(*tile)) {
            book.leaf(self.format, |leaf| {
                let window = window(self.format);
                let by = Affine::translate(window.origin() - self.shows(tile).origin());
                // Half of a line that lies on the very edge would be cut off.
                leaf.within(window.inflate(0.3, 0.3), |leaf| sketch.draw(leaf, by, window));
                if self.pages() > 1 {
                    self.seams(tile, by, leaf);
                    self.map(&printed, tile, leaf);
                }
                foot(leaf, &self.told(what, tile, &printed), &title);
            });
        }
    }

    fn told(&self, what: &str, tile: [usize; 2], printed: &dyn Fn([usize; 2]) -> bool) -> String {
        if self.pages() == 1 {
            return what.to_owned();
        }
        let [column, row] = tile;
        let sides = [
            ("left", column.checked_sub(1).map(|c| [c, row])),
            ("right", Some([column + 1, row]).filter(|t| t[0] < self.count[0])),
            ("above", Some([column, row + 1]).filter(|t| t[1] < self.count[1])),
            ("below", row.checked_sub(1).map(|r| [column, r])),
        ];
        let sides = sides.into_iter().filter_map(|(side, tile)| Some((side, tile?)));
        let joins: Vec<String> = sides
            .filter(|(_, tile)| printed(*tile))
            .map(|(side, tile)| format!("{} {side}", self.name(tile)))
            .collect();
        let joins = if joins.is_empty() { String::new() } else { format!("; joins {}", joins.join(", ")) };
        format!("{what}, tile {} of {} x {}{joins}", self.name(tile), self.count[0], self.count[1])
    }

    /// Crop marks outside the corners of the trimmed page, and the seams across it.
    fn seams(&self, [column, row]: [usize; 2], by: Affine, leaf: &mut Leaf<'_, '_>) {
        let (trim, window) = (by.transform_rect_bbox(self.trimmed([column, row])), window(self.format));
        let mut line = |a: Point, b: Point, ink| leaf.line([Segment::line(a, b)], ink);
        for (x, joined) in [(trim.x0, column > 0), (trim.x1, column + 1 < self.count[0])] {
            line(Point::new(x, window.y0 - 1.0), Point::new(x, window.y0 - CROP_MM), Ink::RULE);
            line(Point::new(x, window.y1 + 1.0), Point::new(x, window.y1 + CROP_MM), Ink::RULE);
            if joined {
                line(Point::new(x, window.y0), Point::new(x, window.y1), Ink::SEAM);
            }
        }
        for (y, joined) in [(trim.y0, row > 0), (trim.y1, row + 1 < self.count[1])] {
            line(Point::new(window.x0 - 1.0, y), Point::new(window.x0 - CROP_MM, y), Ink::RULE);
            line(Point::new(window.x1 + 1.0, y), Point::new(window.x1 + CROP_MM, y), Ink::RULE);
            if joined {
                line(Point::new(window.x0, y), Point::new(window.x1, y), Ink::SEAM);
            }
        }
    }

    /// All pages in small, this one tinted, those without anything on them left out.
    fn map(&self, printed: &dyn Fn([usize; 2]) -> bool, this: [usize; 2], leaf: &mut Leaf<'_, '_>) {
        let all = self.all().map(|tile| self.trimmed(tile)).reduce(|a, b| a.union(b)).unwrap_or(self.whole);
        let room = [MAP_MM[0] / all.width(), MAP_MM[1] / all.height()];
        let scale = room[0].min(room[1]);
        let corner = Vec2::new(leaf.room()[0] - scale * all.width(), 0.0);
        let by =
            Affine::translate(corner) * Affine::scale(scale) * Affine::translate(-all.origin().to_vec2());
        for tile in self.all().filter(|tile| printed(*tile)) {
            let cell = by.transform_rect_bbox(self.trimmed(tile));
            if tile == this {
                leaf.tint(&[Outline::rectangle(cell).segments().collect()], [200, 200, 200]);
            }
            leaf.rectangle(cell, Ink::HAIR);
            let size = (0.5 * cell.height()).min(0.4 * cell.width()).min(LETTER_MM);
            let (name, middle) = (self.name(tile), cell.center());
            let half = 0.5 * leaf.letters.width(&name, size);
            leaf.words(&name, Point::new(middle.x - half, middle.y - 0.36 * size), size);
        }
    }
}

/// How far crop marks reach out, mm.
const CROP_MM: f64 = 6.0;

/// Largest map, mm.
const MAP_MM: [f64; 2] = [50.0, FOOT_MM - 3.0];

/// Where on its page a tile is shown.
pub(super) fn window(format: Format) -> Rect {
    let [width, height] = format.room();
    Rect::new(0.0, FOOT_MM, width, height)
}

/// What a page is, and of which job.
pub(super) fn foot(leaf: &mut Leaf<'_, '_>, what: &str, title: &str) {
    let width = leaf.room()[0] - MAP_MM[0] - 2.0;
    let lines = leaf.letters.lines(what, LETTER_MM, width);
    // What has no room on two lines is told on the first pages, or beside the things themselves.
    for (i, line) in lines.iter().take(2).enumerate() {
        let above = lines.len().min(2) - 1 - i;
        leaf.words(line, Point::new(0.0, 3.6 + 3.3 * above as f64), LETTER_MM);
    }
    let small = 0.85 * LETTER_MM;
    if let Some(line) = leaf.letters.lines(title, small, width).first() {
        leaf.words(line, Point::new(0.0, 0.4), small);
    }
}
