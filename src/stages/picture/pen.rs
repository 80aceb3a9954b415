//! What the picture is drawn with: paper, wood, ink and pencil, and how numbers and paths are written.
//!
//! Hues are told apart by lightness as well, and every kind of line has its own pattern, so that nobody needs to see
//! colours to read it.

use std::fmt::Write as _;

use crate::geometry::{Outline, Point, Segment};

/// The drawing board.
pub(super) const PAPER: &str = "#fbf9f3";
/// Lines and words in ink.
pub(super) const INK: &str = "#22304a";
/// Marks and notes in pencil.
pub(super) const PENCIL: &str = "#5c5f66";
/// Sheets of solid wood.
pub(super) const SOLID_WOOD: &str = "#e3cc9f";
/// Sheets of ply.
pub(super) const PLY: &str = "#d3b280";
/// The grain.
pub(super) const GRAIN: &str = "#9a7440";
/// Parts, laid over the grain.
pub(super) const PART: &str = "#fff8e6";
/// The band that goes.
pub(super) const BAND: &str = "#8c2f14";
/// Tabs.
pub(super) const TAB: &str = "#0b6e8f";
/// The band that a file removes, as it was read back; upper passes are fainter.
pub(super) const SWEPT: &str = "#3a2a78";
/// How the swept band is stroked: as a round beam or cutter leaves it, see-through.
pub(super) const SWEPT_LOOK: &str = "stroke-opacity=\"0.55\" stroke-linecap=\"round\"";
/// How what is cut only part of the way is stroked.
pub(super) const UPPER_LOOK: &str = "stroke-opacity=\"0.22\" stroke-linecap=\"round\"";
/// The deepest cut into a part.
pub(super) const GOUGE: &str = "#a8124e";
/// The widest rim of wood left on a part.
pub(super) const EXCESS: &str = "#00584a";
/// What is milled away of a part's face.
pub(super) const RECESS_LOOK: &str =
    "fill=\"#b98a4a\" fill-opacity=\"0.55\" stroke=\"#22304a\" stroke-width=\"0.12\"";
/// Problems.
pub(super) const ALARM: &str = "#c2270d";

/// A number to a thousandth, as short as it goes.
pub(super) fn number(value: f64) -> String {
    // Faster than digits after the point by the standard library, which pictures spend a good part of their time on.
    let thousandths = (value * 1000.0).round() as i64;
    let (whole, mut rest, mut digits) =
        (thousandths.unsigned_abs() / 1000, thousandths.unsigned_abs() % 1000, 3);
    let sign = if thousandths < 0 { "-" } else { "" };
    if rest == 0 {
        return format!("{sign}{whole}");
    }
    while rest % 10 == 0 {
        (rest, digits) = (rest / 10, digits - 1);
    }
    format!("{sign}{whole}.{rest:0digits$}")
}

/// Text that is safe within an element or a quoted attribute; what XML cannot hold becomes a question mark.
pub(super) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\t' | '\n' | '\r' => safe.push(' '),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => safe.push('?'),
            c => safe.push(c),
        }
    }
    safe
}

/// The data of an SVG path, in the making.
#[derive(Clone, Debug, Default)]
pub(super) struct PathData(String);

impl PathData {
    /// Closed outlines.
    pub(super) fn of<'o>(outlines: impl IntoIterator<Item = &'o Outline>) -> Self {
        let mut path = Self::default();
        outlines.into_iter().for_each(|outline| path.closed(outline.segments()));
        path
    }

    /// Lifts the pen and sets it down here.
    pub(super) fn begin(&mut self, at: Point) {
        let _ = write!(self.0, "M{} {}", number(at.x), number(at.y));
    }

    /// Draws straight to here.
    pub(super) fn line(&mut self, to: Point) {
        let _ = write!(self.0, "L{} {}", number(to.x), number(to.y));
    }

    /// Draws along the segment, from where the pen is.
    pub(super) fn along(&mut self, segment: &Segment) {
        if segment.is_line() {
            self.line(segment.to);
            return;
        }
        let radius = number(segment.radius());
        // A large arc turns by more than half a circle: its bulge is above 1.
        let (large, sweep) = (u8::from(segment.bulge.abs() > 1.0), u8::from(segment.bulge > 0.0));
        let (x, y) = (number(segment.to.x), number(segment.to.y));
        let _ = write!(self.0, "A{radius} {radius} 0 {large} {sweep} {x} {y}");
    }

    /// Draws segments that follow each other.
    pub(super) fn chain(&mut self, segments: impl IntoIterator<Item = Segment>) {
        for (i, segment) in segments.into_iter().enumerate() {
            if i == 0 {
                self.begin(segment.from);
            }
            self.along(&segment);
        }
    }

    /// Draws segments that come back to their beginning, and closes them.
    pub(super) fn closed(&mut self, segments: impl IntoIterator<Item = Segment>) {
        self.chain(segments);
        self.0.push('Z');
    }

    /// A circle.
    pub(super) fn circle(&mut self, centre: Point, radius: f64) {
        self.closed(Outline::circle(centre, radius).segments());
    }

    /// Whether nothing was drawn.
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The path as an element with these attributes; nothing where nothing was drawn.
    pub(super) fn element(&self, attributes: &str) -> String {
        if self.is_empty() { String::new() } else { format!("<path {attributes} d=\"{}\"/>\n", self.0) }
    }
}
