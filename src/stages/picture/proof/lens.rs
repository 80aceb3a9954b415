//! A worst place under a lens: the part as drawn, the band that goes, and a ring as wide as the figure.

use super::Shown;
use super::worst::{Measure, figure};
use crate::geometry::{Point, Rect, Segment};
use crate::stages::picture::letters::Words;
use crate::stages::picture::page::{Page, stroke};
use crate::stages::picture::pen::{self, PathData, number};
use crate::stages::proof::{FileProof, PieceProof, Plan, Worst};

/// Radius of a lens in letters.
const RADIUS: f64 = 6.0;

/// A lens shows this many times the figure around the place.
const FIGURES: f64 = 6.0;

/// What a lens shows around the place is at least this, mm, and at most this many kerfs, so that a figure of nothing and
/// one of a lost cut both show something.
const LEAST_MM: f64 = 0.05;
const MOST_KERFS: f64 = 20.0;

/// A lens in the making.
struct Lens {
    /// Middle on the page.
    middle: Point,
    /// Radius on the page, mm.
    radius: f64,
    /// Place on the sheet.
    place: Point,
    /// How many times as large it shows things.
    times: f64,
}

/// Draws a lens for each measure of the file that is not nothing, side by side.
pub(super) fn draw(shown: &Shown<'_>, plan: &Plan, page: &mut Page) {
    let worst: Vec<_> = Measure::BOTH
        .into_iter()
        .filter_map(|m| m.worst(shown.file).map(|(piece, w)| (m, piece, w)))
        .collect();
    if worst.is_empty() {
        return;
    }
    let radius = RADIUS * page.letter;
    let column = (page.width() / 2.0).max(4.0 * radius);
    let top = page.y + radius;
    for (i, (measure, piece, worst)) in worst.into_iter().enumerate() {
        let middle = Point::new(page.border() + i as f64 * column + radius, top);
        let around = (FIGURES * worst.mm).min(MOST_KERFS * plan.kerf_mm).max(LEAST_MM);
        let lens = Lens { middle, radius, place: worst.at, times: radius / around };
        let name = format!("lens-{}-{}", shown.first_problem, shown.file.file);
        let element = lens.element(&format!("{name}-{}", measure.word()), shown.file, plan, measure, &worst);
        page.add(&element);
        page.add(&lens.words(piece, measure, &worst, page.letter));
    }
    page.y = top + radius + page.letter;
}

impl Lens {
    fn element(&self, name: &str, file: &FileProof, plan: &Plan, measure: Measure, worst: &Worst) -> String {
        let name = pen::escaped(&name.replace(|c: char| !c.is_ascii_alphanumeric(), "-"));
        let (x, y, r) = (number(self.middle.x), number(self.middle.y), number(self.radius));
        let mut text = format!(
            "<clipPath id=\"{name}\"><circle r=\"{r}\"/></clipPath>\n<g transform=\"translate({x} {y})\">\n\
             <g clip-path=\"url(#{name})\">\n<circle r=\"{r}\" fill=\"{}\"/>\n",
            pen::SOLID_WOOD
        );
        text.push_str(&self.parts(plan));
        let mut band = PathData::default();
        super::board::through(file, Some(plan.thickness_mm), |segment| {
            self.along(&segment, plan.kerf_mm, &mut band);
        });
        text.push_str(&band.element(&stroke(pen::SWEPT, plan.kerf_mm * self.times, pen::SWEPT_LOOK)));
        text.push_str(&self.tabs(file, plan));
        text.push_str("</g>\n");
        let mut ring = PathData::default();
        ring.circle(Point::ZERO, worst.mm * self.times);
        text.push_str(&ring.element(&stroke(measure.colour(), 0.02 * self.radius, "")));
        let mut rim = PathData::default();
        rim.circle(Point::ZERO, self.radius);
        text.push_str(&rim.element(&stroke(pen::INK, 0.025 * self.radius, "")));
        text + "</g>\n"
    }

    /// The parts that reach into it.
    fn parts(&self, plan: &Plan) -> String {
        let here = self.here();
        let mut path = PathData::default();
        for wanted in plan.pieces.iter().filter(|wanted| meet(wanted.region.bounds(), here)) {
            wanted
                .region
                .outlines()
                .for_each(|outline| path.closed(outline.segments().map(|s| self.segment(&s))));
        }
        let line = stroke(pen::INK, 0.012 * self.radius, "");
        path.element(&format!("fill=\"{}\" fill-rule=\"evenodd\" {line}", pen::PART))
    }

    fn tabs(&self, file: &FileProof, plan: &Plan) -> String {
        let mut path = PathData::default();
        file.cutting.tabs.iter().flatten().for_each(|segment| self.along(segment, plan.kerf_mm, &mut path));
        path.element(&stroke(pen::TAB, 0.03 * self.radius, "stroke-dasharray=\"1 0.6\""))
    }

    /// A segment of a path, where its band reaches into the lens.
    fn along(&self, segment: &Segment, kerf_mm: f64, path: &mut PathData) {
        // No place of an arc is farther from its chord's middle than half the chord, or its height where that is more.
        let half = segment.chord() / 2.0;
        let reach = half.hypot() * segment.bulge.abs().max(1.0);
        let around = self.radius / self.times;
        if (segment.from + half).distance(self.place) <= reach + kerf_mm + around {
            path.chain([self.segment(segment)]);
        }
    }

    /// What it shows, on the sheet.
    fn here(&self) -> Rect {
        let around = self.radius / self.times;
        Rect::from_points(self.place, self.place).inflate(around, around)
    }

    /// From the sheet into the lens, where y points down.
    fn segment(&self, segment: &Segment) -> Segment {
        let place = |p: Point| {
            let off = (p - self.place) * self.times;
            Point::new(off.x, -off.y)
        };
        Segment { from: place(segment.from), to: place(segment.to), bulge: -segment.bulge }
    }

    fn words(&self, piece: &PieceProof, measure: Measure, worst: &Worst, letter: f64) -> String {
        let hand = if piece.mirrored { ", other hand" } else { "" };
        let lines = [
            (format!("{} {} mm", measure.word(), figure(worst.mm)), measure.colour()),
            (format!("{}, piece {}{hand}", piece.id, piece.copy), pen::INK),
            (format!("at {:.2}, {:.2} mm", worst.at.x, worst.at.y), pen::PENCIL),
            (
                format!("{} times as large, the ring's radius is the figure", number(self.times.round())),
                pen::PENCIL,
            ),
        ];
        let x = self.middle.x + self.radius + letter;
        let mut y = self.middle.y - 2.0 * letter;
        let mut text = String::new();
        for (line, colour) in lines {
            text.push_str(&Words { text: &line, at: Point::new(x, y), height: 0.9 * letter, colour }.left());
            y += 1.8 * letter;
        }
        text
    }
}

/// Whether two rectangles have anything in common.
fn meet(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}
