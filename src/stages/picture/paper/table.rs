//! Tables that may go on over several pages.

use super::book::Book;
use super::leaf::{Ink, Leaf};
use super::letters::Letters;
use super::size::Format;
use crate::geometry::{Point, Segment};

/// Size of the letters, from line to line, and between columns, mm.
pub(super) const LETTER_MM: f64 = 3.0;
pub(super) const LINE_MM: f64 = 4.4;
const GAP_MM: f64 = 4.0;

/// Widest column of words where nothing else is said, mm: longer ones go on below.
pub(super) const WIDEST_MM: f64 = 46.0;

/// A heading and whether its column is of numbers, which stand to the right.
pub(super) type Column = (&'static str, bool);

/// Rows below headings.
#[derive(Debug)]
pub(super) struct Table {
    columns: Vec<Column>,
    widths: Vec<f64>,
    /// Lines of each cell of each row.
    rows: Vec<Vec<Vec<String>>>,
}

impl Table {
    /// A table whose columns are as wide as what is in them, up to a limit.
    pub(super) fn new(columns: &[Column], rows: &[Vec<String>], widest_mm: f64, letters: &Letters) -> Self {
        let broken = |text: &String| letters.lines(text, LETTER_MM, widest_mm);
        let rows: Vec<Vec<Vec<String>>> = rows.iter().map(|row| row.iter().map(broken).collect()).collect();
        let width = |i: usize| {
            let cells = rows.iter().filter_map(|row| row.get(i)).flatten();
            let widths = cells.map(|line| letters.width(line, LETTER_MM));
            widths.fold(letters.width(columns[i].0, LETTER_MM), f64::max)
        };
        let widths = (0..columns.len()).map(width).collect();
        Self { columns: columns.to_vec(), widths, rows }
    }

    /// How wide it is, mm.
    pub(super) fn width(&self) -> f64 {
        self.widths.iter().map(|width| width + GAP_MM).sum::<f64>() - GAP_MM
    }

    /// Draws the headings and as many of the rows from `first` as go above `lowest`; gives the next row and how far down
    /// the table came.
    pub(super) fn draw(&self, leaf: &mut Leaf<'_, '_>, first: usize, at: Point, lowest: f64) -> (usize, f64) {
        let headings: Vec<Vec<String>> =
            self.columns.iter().map(|(name, _)| vec![(*name).to_owned()]).collect();
        self.row(leaf, &headings, at);
        let mut y = at.y - LINE_MM;
        let rule = Segment::line(Point::new(at.x, y), Point::new(at.x + self.width(), y));
        leaf.line([rule], Ink::RULE);
        y -= 1.0;
        for (i, row) in self.rows.iter().enumerate().skip(first) {
            if y - row_height(row) < lowest && i > first {
                return (i, y);
            }
            self.row(leaf, row, Point::new(at.x, y));
            y -= row_height(row);
        }
        (self.rows.len(), y)
    }

    fn row(&self, leaf: &mut Leaf<'_, '_>, row: &[Vec<String>], at: Point) {
        let mut x = at.x;
        for ((cell, (_, right)), width) in row.iter().zip(&self.columns).zip(&self.widths) {
            for (i, line) in cell.iter().enumerate() {
                let y = at.y - LINE_MM * (i + 1) as f64 + 1.2;
                if *right {
                    leaf.words_right(line, Point::new(x + width, y), LETTER_MM);
                } else {
                    leaf.words(line, Point::new(x, y), LETTER_MM);
                }
            }
            x += width + GAP_MM;
        }
    }

    /// Draws all of it, on as many pages as it takes, below a heading; gives what is left to `end` for the last of them.
    pub(super) fn print(
        &self,
        heading: &str,
        format: Format,
        book: &mut Book,
        mut begin: impl FnMut(&mut Leaf<'_, '_>, f64) -> f64,
        end: impl FnOnce(&mut Leaf<'_, '_>, f64),
    ) {
        let (mut next, mut first, mut end) = (0, true, Some(end));
        while first || next < self.rows.len() {
            book.leaf(format, |leaf| {
                let mut y = leaf.room()[1] - 6.0;
                leaf.words(heading, Point::new(0.0, y), 6.0);
                y -= 4.0;
                if first {
                    y = begin(leaf, y);
                }
                (next, y) = self.draw(leaf, next, Point::new(0.0, y), 0.0);
                if next >= self.rows.len()
                    && let Some(end) = end.take()
                {
                    end(leaf, y);
                }
            });
            first = false;
        }
    }
}

fn row_height(row: &[Vec<String>]) -> f64 {
    LINE_MM * row.iter().map(Vec::len).max().unwrap_or(1).max(1) as f64
}

/// Writes a text of this width from here down; gives how far down it came.
pub(super) fn paragraph(leaf: &mut Leaf<'_, '_>, text: &str, at: Point, width: f64) -> f64 {
    let mut y = at.y;
    for line in leaf.letters.lines(text, LETTER_MM, width) {
        y -= LINE_MM;
        leaf.words(&line, Point::new(at.x, y + 1.2), LETTER_MM);
    }
    y
}
