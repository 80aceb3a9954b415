//! Words on the picture, drawn in single strokes so that no font is needed anywhere.

use super::pen::{PathData, number};
use crate::geometry::{Chain, Point, Segment, lettering};

/// Width of a stroke in heights of capitals (ISO 3098 type B: a tenth).
const STROKE: f64 = 0.1;

/// Words at a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Words<'a> {
    /// What they say.
    pub(super) text: &'a str,
    /// Left end of their base line, or its middle.
    pub(super) at: Point,
    /// Height of capitals, mm.
    pub(super) height: f64,
    /// Colour.
    pub(super) colour: &'a str,
}

impl Words<'_> {
    /// The words from their left end, where y points down.
    pub(super) fn left(&self) -> String {
        let mut path = PathData::default();
        self.draw(0.0, -1.0, &mut path);
        self.element(&path)
    }

    /// The words about their middle, where y points up.
    pub(super) fn centred_up(&self) -> String {
        let mut path = PathData::default();
        self.draw_centred_up(&mut path);
        self.element(&path)
    }

    /// The same with paper around the strokes, to be read on whatever lies below.
    pub(super) fn haloed_up(&self) -> String {
        let mut path = PathData::default();
        self.draw_centred_up(&mut path);
        path.element(&stroke(super::pen::PAPER, 3.5 * self.height)) + &self.element(&path)
    }

    /// Their strokes about their middle, where y points up.
    pub(super) fn draw_centred_up(&self, path: &mut PathData) {
        self.draw(-lettering::width(self.text, self.height) / 2.0, 1.0, path);
    }

    fn draw(&self, aside: f64, up: f64, path: &mut PathData) {
        for stroke in lettering::text(self.text, self.height) {
            let place = |p: Point| Point::new(self.at.x + aside + p.x, self.at.y + up * p.y);
            let moved = |s: Segment| Segment { from: place(s.from), to: place(s.to), bulge: up * s.bulge };
            path.chain(Chain::segments(&stroke).map(moved));
        }
    }

    fn element(&self, path: &PathData) -> String {
        path.element(&format!(
            "{} aria-label=\"{}\"",
            stroke(self.colour, self.height),
            super::pen::escaped(self.text)
        ))
    }
}

/// Attributes of the strokes of letters of this height.
pub(super) fn stroke(colour: &str, height: f64) -> String {
    format!("stroke=\"{colour}\" stroke-width=\"{}\" stroke-linecap=\"round\"", number(STROKE * height))
}
