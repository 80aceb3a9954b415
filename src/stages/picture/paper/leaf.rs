//! One page in the making: lines, arcs and words in true millimetres, from the lower left corner of what can be drawn on, y
//! up, brought to the units of PDF.

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point as PdfPoint, Transform};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::TextDirection;

use super::letters::Letters;
use super::size::{BORDER_MM, Format};
use crate::geometry::{Affine, Outline, Point, Rect, Segment, trig};

/// Units of PDF to a millimetre (ISO 32000-1, 8.3.2.3: 72 to the inch).
pub(super) const UNITS: f64 = 72.0 / 25.4;

/// A line: how wide, how dark, how dashed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ink {
    width_mm: f64,
    colour: [u8; 3],
    /// Dash and gap, mm; none for a full line.
    dash_mm: Option<[f64; 2]>,
}

impl Ink {
    const fn full(width_mm: f64, colour: [u8; 3]) -> Self {
        Self { width_mm, colour, dash_mm: None }
    }

    /// Outlines that are sawn along: a hairline.
    pub(super) const HAIR: Self = Self::full(0.1, BLACK);
    /// Lines drawn on a part.
    pub(super) const MARK: Self = Self::full(0.1, GREY);
    /// Letters and arrows in single strokes.
    pub(super) const STROKES: Self = Self::full(0.25, GREY);
    /// Lines to be scored.
    pub(super) const SCORE: Self = Self { width_mm: 0.1, colour: BLACK, dash_mm: Some([3.0, 1.0]) };
    /// Where one page meets the next.
    pub(super) const SEAM: Self = Self { width_mm: 0.1, colour: GREY, dash_mm: Some([1.0, 2.0]) };
    /// Edges of sheets, rules of tables, crop marks.
    pub(super) const RULE: Self = Self::full(0.2, BLACK);
}

const BLACK: [u8; 3] = [0, 0, 0];
const GREY: [u8; 3] = [96, 96, 96];

/// A page in the making.
pub(super) struct Leaf<'a, 's> {
    pub(super) surface: Surface<'s>,
    pub(super) letters: &'a Letters,
    pub(super) format: Format,
}

impl std::fmt::Debug for Leaf<'_, '_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Leaf").field("format", &self.format).finish_non_exhaustive()
    }
}

impl Leaf<'_, '_> {
    /// Width and height of what can be drawn on, mm.
    pub(super) fn room(&self) -> [f64; 2] {
        self.format.room()
    }

    /// A place in units of PDF, y down.
    fn unit(&self, at: Point) -> (f32, f32) {
        let [fx, fy] = self.format.factor;
        let x = (BORDER_MM + at.x * fx) * UNITS;
        let y = (self.format.paper_mm[1] - BORDER_MM - at.y * fy) * UNITS;
        (x as f32, y as f32)
    }

    /// Draws segments that follow each other.
    pub(super) fn line(&mut self, segments: impl IntoIterator<Item = Segment>, ink: Ink) {
        let path = self.path(segments, false);
        self.stroked(path, ink);
    }

    /// Draws segments that come back to their beginning.
    pub(super) fn closed(&mut self, segments: impl IntoIterator<Item = Segment>, ink: Ink) {
        let path = self.path(segments, true);
        self.stroked(path, ink);
    }

    /// Draws a rectangle.
    pub(super) fn rectangle(&mut self, rect: Rect, ink: Ink) {
        self.closed(Outline::rectangle(rect).segments(), ink);
    }

    /// Tints what lies within outlines and not within their holes.
    pub(super) fn tint(&mut self, outlines: &[Vec<Segment>], colour: [u8; 3]) {
        let mut builder = PathBuilder::new();
        for outline in outlines {
            self.add(&mut builder, outline.iter().copied());
            builder.close();
        }
        if let Some(path) = builder.finish() {
            self.surface.set_stroke(None);
            self.surface.set_fill(Some(Fill {
                paint: rgb::Color::new(colour[0], colour[1], colour[2]).into(),
                opacity: NormalizedF32::ONE,
                rule: FillRule::EvenOdd,
            }));
            self.surface.draw_path(&path);
        }
    }

    fn path(&self, segments: impl IntoIterator<Item = Segment>, closed: bool) -> Option<Path> {
        let mut builder = PathBuilder::new();
        self.add(&mut builder, segments);
        if closed {
            builder.close();
        }
        builder.finish()
    }

    fn add(&self, builder: &mut PathBuilder, segments: impl IntoIterator<Item = Segment>) {
        for (i, segment) in segments.into_iter().enumerate() {
            if i == 0 {
                let (x, y) = self.unit(segment.from);
                builder.move_to(x, y);
            }
            if segment.is_line() {
                let (x, y) = self.unit(segment.to);
                builder.line_to(x, y);
            } else {
                for [a, b, to] in cubics(&segment) {
                    let [(ax, ay), (bx, by), (x, y)] = [a, b, to].map(|p| self.unit(p));
                    builder.cubic_to(ax, ay, bx, by, x, y);
                }
            }
        }
    }

    fn stroked(&mut self, path: Option<Path>, ink: Ink) {
        let Some(path) = path else { return };
        let units = |mm: f64| (mm * UNITS) as f32;
        self.surface.set_fill(None);
        self.surface.set_stroke(Some(Stroke {
            paint: rgb::Color::new(ink.colour[0], ink.colour[1], ink.colour[2]).into(),
            width: units(ink.width_mm),
            line_cap: LineCap::Butt,
            line_join: LineJoin::Round,
            dash: ink.dash_mm.map(|dash| StrokeDash { array: dash.map(units).to_vec(), offset: 0.0 }),
            ..Stroke::default()
        }));
        self.surface.draw_path(&path);
    }

    /// Writes words from their left end.
    pub(super) fn words(&mut self, text: &str, at: Point, size_mm: f64) {
        self.words_turned(text, at, size_mm, 0.0);
    }

    /// Writes words from their right end.
    pub(super) fn words_right(&mut self, text: &str, at: Point, size_mm: f64) {
        let width = self.letters.width(&self.letters.writable(text), size_mm);
        self.words(text, Point::new(at.x - width, at.y), size_mm);
    }

    /// Writes words along a direction, degrees counter-clockwise.
    pub(super) fn words_turned(&mut self, text: &str, at: Point, size_mm: f64, deg: f64) {
        let (x, y) = self.unit(at);
        let (sin, cos) = trig::sin_cos_deg(deg);
        let turned = Transform::from_row(cos as f32, -sin as f32, sin as f32, cos as f32, x, y);
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(Fill::default()));
        self.surface.push_transform(&turned);
        let text = self.letters.writable(text);
        let size = (size_mm * UNITS) as f32;
        let (font, way) = (self.letters.font.clone(), TextDirection::LeftToRight);
        self.surface.draw_text(PdfPoint::from_xy(0.0, 0.0), font, size, &text, false, way);
        self.surface.pop();
    }

    /// Draws within a rectangle only.
    pub(super) fn within(&mut self, window: Rect, draw: impl FnOnce(&mut Self)) {
        let Some(path) = self.path(Outline::rectangle(window).segments(), true) else { return };
        self.surface.push_clip_path(&path, &FillRule::NonZero);
        draw(self);
        self.surface.pop();
    }
}

/// A segment moved by a map that keeps shapes and does not mirror.
pub(super) fn moved(segment: Segment, by: Affine) -> Segment {
    Segment { from: by * segment.from, to: by * segment.to, bulge: segment.bulge }
}

/// An arc as cubic curves, an eighth of a circle each at the most: within 4e-6 of the radius (the usual handles of 4/3 tan
/// of a quarter of the angle).
fn cubics(arc: &Segment) -> impl Iterator<Item = [Point; 3]> + '_ {
    let pieces = (arc.sweep().abs() / std::f64::consts::FRAC_PI_4 - 1e-9).ceil().max(1.0);
    (0..pieces as u32).map(move |i| {
        let piece = arc.between(f64::from(i) / pieces, f64::from(i + 1) / pieces);
        let handle = 4.0 / 3.0 * trig::tan(piece.sweep().abs() / 4.0) * piece.radius();
        [piece.from + piece.tangent(0.0) * handle, piece.to - piece.tangent(1.0) * handle, piece.to]
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop here")]
mod tests {
    use super::*;

    /// Points of the curves lie on the circle.
    #[test]
    fn arcs_stay_round() {
        let arc = Segment::arc(Point::new(3.0, 1.0), Point::new(-2.0, 40.0), -2.7);
        let (centre, radius) = (arc.centre().unwrap(), arc.radius());
        let mut from = arc.from;
        for [a, b, to] in cubics(&arc) {
            for i in 0..=10 {
                let t = f64::from(i) / 10.0;
                let curve = kurbo::CubicBez::new(from, a, b, to);
                let at = kurbo::ParamCurve::eval(&curve, t);
                assert!((at.distance(centre) - radius).abs() < 1e-5 * radius);
            }
            from = to;
        }
        assert_eq!(from, arc.to);
    }
}
