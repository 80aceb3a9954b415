//! The page that everything is drawn on: its width, how large its letters are, title, legend, scale and problems.

use std::fmt::Write as _;

use super::hatch::hatched;
use super::letters::Words;
use super::pen::{self, PathData, escaped, number};
use super::proof::Measure;
use crate::geometry::{Outline, Point, Rect, Vec2, lettering};
use crate::problem::{Problem, Severity};

/// Narrowest page, mm: title and legend need as much.
const NARROWEST: f64 = 240.0;

/// Letters per width of the page: a line of text as long as the page is wide.
const LETTERS: f64 = 150.0;

/// How many problems are written out.
const PROBLEMS: usize = 40;

/// A page in the making; y points down, as on screens.
#[derive(Debug)]
pub(super) struct Page {
    /// Width without the borders, mm.
    width: f64,
    /// Height of ordinary letters, mm.
    pub(super) letter: f64,
    /// Where the next thing goes, mm from the top.
    pub(super) y: f64,
    body: String,
    head: String,
    keys: Vec<Key>,
}

/// A kind of line that the legend explains.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Key {
    Outline,
    Band,
    Rough,
    Recess,
    Tab,
    Score,
    Mark,
    Order,
    Travel,
    Grain,
    Remnant,
    Spoiled,
    Swept,
    Upper,
    Worst(Measure),
    Problem,
}

impl Page {
    /// An empty page, wide enough for this much.
    pub(super) fn new(content_mm: f64, title: &str, about: &str) -> Self {
        let width = content_mm.max(NARROWEST);
        let letter = width / LETTERS;
        let head = format!("<title>{}</title>\n<desc>{}</desc>\n", escaped(title), escaped(about));
        Self { width, letter, y: 3.0 * letter, body: String::new(), head, keys: Vec::new() }
    }

    /// Width without the borders, mm.
    pub(super) fn width(&self) -> f64 {
        self.width
    }

    /// Border around everything, mm.
    pub(super) fn border(&self) -> f64 {
        3.0 * self.letter
    }

    /// Adds elements as they are.
    pub(super) fn add(&mut self, elements: &str) {
        self.body.push_str(elements);
    }

    /// Makes the legend explain this kind of line.
    pub(super) fn explain(&mut self, key: Key) {
        if !self.keys.contains(&key) {
            self.keys.push(key);
        }
    }

    /// A line of words at the left border; goes on below it.
    pub(super) fn words(&mut self, text: &str, height: f64, colour: &str) {
        self.y += height;
        let words = Words { text, at: Point::new(self.border(), self.y), height, colour };
        let element = words.left();
        self.add(&element);
        self.y += 0.9 * height;
    }

    /// Words at the left border, on as many lines as they need.
    pub(super) fn paragraph(&mut self, text: &str, height: f64, colour: &str) {
        for line in wrapped(text, height, self.width) {
            self.words(&line, height, colour);
        }
    }

    /// The job's title and the machine.
    pub(super) fn title(&mut self, title: &str, machine: &str) {
        let letter = self.letter;
        self.words(title, 2.0 * letter, pen::INK);
        if !machine.is_empty() {
            self.words(&format!("for {machine}"), letter, pen::PENCIL);
        }
        self.y += letter;
    }

    /// The problems, numbered as on the picture.
    pub(super) fn problems<'p>(&mut self, problems: impl ExactSizeIterator<Item = &'p Problem>) {
        let height = self.letter;
        let count = problems.len();
        for (i, problem) in problems.take(PROBLEMS).enumerate() {
            let colour = if problem.severity == Severity::Error { pen::ALARM } else { pen::PENCIL };
            let text = format!("{}  {}: {}", i + 1, problem.code, problem.message);
            self.paragraph(&text, height, colour);
        }
        if count > PROBLEMS {
            self.words(&format!("and {} more", count - PROBLEMS), height, pen::PENCIL);
        }
    }

    /// The whole file.
    pub(super) fn finish(mut self) -> String {
        self.legend();
        let (width, height) = (self.width + 2.0 * self.border(), self.y + self.border());
        let (w, h) = (number(width), number(height));
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
             fill=\"none\" stroke-linejoin=\"round\">\n{}<rect width=\"{w}\" height=\"{h}\" fill=\"{}\"/>\n{}</svg>\n",
            self.head,
            pen::PAPER,
            self.body
        )
    }

    /// A bar of round length, and what each kind of line means.
    fn legend(&mut self) {
        self.y += self.letter;
        self.scale_bar();
        self.keys.sort_unstable();
        let (border, letter) = (self.border(), self.letter);
        let column = 40.0 * letter;
        let columns = ((self.width / column) as usize).max(1);
        let top = self.y;
        for (i, key) in std::mem::take(&mut self.keys).into_iter().enumerate() {
            let x = border + (i % columns) as f64 * column;
            let y = top + (1 + i / columns) as f64 * 2.2 * letter;
            let swatch = Rect::new(x, y - letter, x + 4.0 * letter, y);
            self.body.push_str(&key.swatch(swatch));
            let at = Point::new(x + 5.0 * letter, y);
            self.body.push_str(&Words { text: key.text(), at, height: letter, colour: pen::INK }.left());
            self.y = y;
        }
    }

    /// A bar of ten blocks.
    fn scale_bar(&mut self) {
        let block = round_below(self.width / 40.0);
        let (x, y, h) = (self.border(), self.y, 0.6 * self.letter);
        let mut dark = PathData::default();
        for i in 0..10 {
            let left = x + f64::from(i) * block;
            let (top, bottom) = if i % 2 == 0 { (y, y + h / 2.0) } else { (y + h / 2.0, y + h) };
            let corners = Rect::new(left, top, left + block, bottom);
            dark.closed(Outline::rectangle(corners).segments());
        }
        self.body.push_str(&dark.element(&format!("id=\"scale\" fill=\"{}\"", pen::INK)));
        let (width, length) = (number(0.08 * self.letter), number(10.0 * block));
        let _ = writeln!(
            self.body,
            "<rect x=\"{}\" y=\"{}\" width=\"{length}\" height=\"{}\" stroke=\"{}\" stroke-width=\"{width}\"/>",
            number(x),
            number(y),
            number(h),
            pen::INK
        );
        let at = Point::new(x + 10.0 * block + self.letter, y + 0.8 * self.letter);
        let text = format!("{length} mm");
        self.body.push_str(&Words { text: &text, at, height: self.letter, colour: pen::INK }.left());
        self.y += 1.2 * self.letter;
    }
}

/// The largest of 1, 2, 5, 10, 20, ... that is at most `value`; 1 below that.
fn round_below(value: f64) -> f64 {
    let mut best = 1.0;
    let mut ten = 1.0;
    while ten <= value && ten < 1e6 {
        best = [1.0, 2.0, 5.0].map(|f| f * ten).into_iter().filter(|&v| v <= value).fold(best, f64::max);
        ten *= 10.0;
    }
    best
}

/// Lines at most `width` mm long, broken at spaces where there are any.
fn wrapped(text: &str, height: f64, width: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let Some(line) = lines.last_mut() else { break };
        let longer = format!("{line} {word}");
        if line.is_empty() {
            line.push_str(word);
        } else if lettering::width(&longer, height) <= width {
            *line = longer;
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}

impl Key {
    fn text(self) -> &'static str {
        match self {
            Self::Outline => "part",
            Self::Band => "wood that is removed",
            Self::Rough => "passes before the last",
            Self::Recess => "recess, and how deep in mm",
            Self::Tab => "tab",
            Self::Score => "score",
            Self::Mark => "mark",
            Self::Order => "order of cuts",
            Self::Travel => "travel between cuts",
            Self::Grain => "grain",
            Self::Remnant => "what is left of the sheet",
            Self::Spoiled => "kept clear",
            Self::Swept => "wood that the file removes",
            Self::Upper => "cut part of the way down",
            Self::Worst(Measure::Gouge) => "gouge: deepest cut into a part, mm",
            Self::Worst(Measure::Excess) => "excess: widest rim left on a part, mm",
            Self::Problem => "problem, by its number",
        }
    }

    /// The kind of line, drawn in this place.
    fn swatch(self, place: Rect) -> String {
        let mut line = PathData::default();
        let middle = place.center().y;
        line.begin(Point::new(place.x0, middle));
        line.line(Point::new(place.x1, middle));
        let h = place.height();
        match self {
            Self::Outline => {
                let (x, y) = (number(place.x0), number(place.y0));
                let (w, h) = (number(place.width()), number(h));
                format!(
                    "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" fill=\"{}\" stroke=\"{}\" \
                     stroke-width=\"{}\"/>\n",
                    pen::PART,
                    pen::INK,
                    number(0.1 * place.height())
                )
            }
            Self::Band => line.element(&stroke(pen::BAND, 0.35 * h, "stroke-opacity=\"0.6\"")),
            Self::Rough => line.element(&stroke(pen::PENCIL, 0.1 * h, &dashes(&[0.9, 0.3], h))),
            Self::Recess => {
                let (x, y) = (number(place.x0), number(place.y0));
                let (w, h) = (number(place.width()), number(h));
                format!("<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" {}/>\n", pen::RECESS_LOOK)
            }
            Self::Tab => line.element(&stroke(pen::TAB, 0.7 * h, "")),
            Self::Score => line.element(&stroke(pen::INK, 0.15 * h, &dashes(&[1.2, 0.3, 0.2, 0.3], h))),
            Self::Mark => line.element(&stroke(pen::PENCIL, 0.12 * h, "")),
            Self::Travel => line.element(&stroke(pen::PENCIL, 0.1 * h, &dashes(&[0.35, 0.35], h))),
            Self::Grain => line.element(&stroke(pen::GRAIN, 0.1 * h, "stroke-opacity=\"0.7\"")),
            Self::Remnant | Self::Spoiled => {
                let colour = if self == Self::Remnant { pen::PENCIL } else { pen::ALARM };
                hatched(&Outline::rectangle(place), 0.5 * h).element(&stroke(colour, 0.08 * h, ""))
            }
            Self::Order => {
                let at = Point::new(place.x0 + h, place.y1);
                Words { text: "1 2 3", at, height: h, colour: pen::TAB }.left()
            }
            Self::Swept => line.element(&stroke(pen::SWEPT, 0.5 * h, pen::SWEPT_LOOK)),
            Self::Upper => line.element(&stroke(pen::SWEPT, 0.5 * h, pen::UPPER_LOOK)),
            Self::Worst(measure) => {
                let tip = place.center()
                    + Vec2::new(0.0, if measure == Measure::Gouge { 0.5 * h } else { -0.5 * h });
                super::proof::pin(tip, h, measure, -1.0)
            }
            Self::Problem => super::plan::flag(place.center(), 0.6 * h, None),
        }
    }
}

/// Attributes of a stroke.
pub(super) fn stroke(colour: &str, width: f64, more: &str) -> String {
    format!("stroke=\"{colour}\" stroke-width=\"{}\" {more}", number(width))
}

/// The attribute for dashes, in shares of `unit`.
pub(super) fn dashes(shares: &[f64], unit: f64) -> String {
    let lengths: Vec<String> = shares.iter().map(|share| number(share * unit)).collect();
    format!("stroke-dasharray=\"{}\"", lengths.join(" "))
}
