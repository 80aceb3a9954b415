//! Lines and words that lie on a sheet or a part, to be drawn whole or piece by piece on one page or several.

use super::leaf::{Ink, Leaf, moved};
use crate::geometry::{Affine, Chain, Point, Rect, Segment, Vec2, lettering, trig};

/// Something to draw.
#[derive(Clone, Debug)]
enum Item {
    /// Segments that follow each other; whether they come back to their beginning.
    Line(Vec<Segment>, bool, Ink),
    /// Words from their left end, with letters of this size, along this direction.
    Words(String, Point, f64, f64),
}

/// Things to draw, with the room that each takes.
#[derive(Clone, Debug, Default)]
pub(super) struct Sketch {
    items: Vec<(Rect, Item)>,
}

impl Sketch {
    /// Adds segments that follow each other.
    pub(super) fn line(&mut self, segments: impl IntoIterator<Item = Segment>, ink: Ink) {
        self.push(segments, false, ink);
    }

    /// Adds segments that come back to their beginning.
    pub(super) fn closed(&mut self, segments: impl IntoIterator<Item = Segment>, ink: Ink) {
        self.push(segments, true, ink);
    }

    fn push(&mut self, segments: impl IntoIterator<Item = Segment>, closed: bool, ink: Ink) {
        let segments: Vec<Segment> = segments.into_iter().collect();
        let room = segments.iter().map(Segment::bounds).reduce(|a, b| a.union(b));
        if let Some(room) = room {
            self.items.push((room.inflate(1.0, 1.0), Item::Line(segments, closed, ink)));
        }
    }

    /// Adds words of this width from their left end.
    pub(super) fn words(&mut self, text: &str, at: Point, size_mm: f64, width_mm: f64) {
        let room = Rect::new(at.x, at.y - 0.3 * size_mm, at.x + width_mm, at.y + size_mm);
        self.items.push((room, Item::Words(text.to_owned(), at, size_mm, 0.0)));
    }

    /// Adds a grain arrow about a place, along a direction in degrees.
    pub(super) fn grain(&mut self, middle: Point, length_mm: f64, deg: f64) {
        let (sin, cos) = trig::sin_cos_deg(deg);
        let turn = Affine::new([cos, sin, -sin, cos, middle.x, middle.y]);
        for chain in lettering::arrow(Point::ZERO, length_mm) {
            self.line(Chain::segments(&chain).map(|s| moved(s, turn)), Ink::STROKES);
        }
    }

    /// Adds another sketch, shifted.
    pub(super) fn add(&mut self, other: &Self, shift: Vec2) {
        let by = Affine::translate(shift);
        for (room, item) in &other.items {
            let item = match item {
                Item::Line(segments, closed, ink) => {
                    Item::Line(segments.iter().map(|s| moved(*s, by)).collect(), *closed, *ink)
                }
                Item::Words(text, at, size, deg) => Item::Words(text.clone(), *at + shift, *size, *deg),
            };
            self.items.push((*room + shift, item));
        }
    }

    /// Draws what lies in the window of the page, moved and scaled by `by`; lines keep their width.
    pub(super) fn draw(&self, leaf: &mut Leaf<'_, '_>, by: Affine, window: Rect) {
        let scale = by.determinant().abs().sqrt();
        for (room, item) in &self.items {
            let there = by.transform_rect_bbox(*room).inflate(0.5, 0.5);
            if there.x0 > window.x1 || there.x1 < window.x0 || there.y0 > window.y1 || there.y1 < window.y0 {
                continue;
            }
            match item {
                Item::Line(segments, true, ink) => leaf.closed(segments.iter().map(|s| moved(*s, by)), *ink),
                Item::Line(segments, false, ink) => leaf.line(segments.iter().map(|s| moved(*s, by)), *ink),
                Item::Words(text, at, size, deg) => {
                    leaf.words_turned(text, by * *at, size * scale, *deg);
                }
            }
        }
    }
}
