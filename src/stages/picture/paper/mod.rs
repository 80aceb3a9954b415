//! The job on paper, as PDF: cut list, operator's sheets, sheets of wood and patterns of parts at true size.
//!
//! Takes a [`Preview`] and how to print it; gives the bytes of the file, the same each time. Refuses only what no library
//! packs and more pages than anybody prints. Lines are vectors, the typeface is embedded.

mod book;
mod leaf;
mod letters;
mod list;
mod operator;
mod patterns;
mod pricks;
mod sheets;
mod size;
mod sketch;
mod table;
mod tile;

pub use book::NoPdf;
pub use size::Paper;

use super::html::Preview;
use book::Book;
use size::{Format, LONGEST_MM};
use tile::{FOOT_MM, Tiles};

/// How a job is printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Print {
    /// On what.
    pub paper: Paper,
    /// What the printer makes of a square of 100 mm, across and up the upright page, mm.
    pub printed_mm: [f64; 2],
    /// Farthest distance along outlines between pin pricks on patterns, mm; none for no pricks.
    pub pricks_mm: Option<f64>,
}

impl Print {
    /// Whether the printer is not taken at its word.
    fn is_corrected(&self) -> bool {
        self.printed_mm.iter().any(|side| (side - 100.0).abs() > 1e-9)
    }
}

impl Default for Print {
    fn default() -> Self {
        Self { paper: Paper::A4, printed_mm: [100.0, 100.0], pricks_mm: None }
    }
}

/// The whole job on paper.
///
/// # Errors
/// [`NoPdf`] where there would be too many pages, or the file cannot be packed.
pub fn pdf(preview: &Preview<'_>, print: &Print) -> Result<Vec<u8>, NoPdf> {
    let mut book = Book::new(preview.scene.title)?;
    let upright = Format::upright(print.paper, print.printed_mm);
    list::print(preview, upright, &mut book);
    list::square(print, upright, &mut book);
    operator::print(preview, upright.lying(), &mut book);
    let parts = preview.scene.parts;
    for (sheet, _) in super::board::sheets(&preview.scene) {
        let room = sheets::room(sheet);
        let sketch = sheets::sketch(sheet, parts, &book.letters, true);
        let format = fitting(print.paper, upright, [room.width(), room.height()]);
        Tiles::of(room, format).print(
            &sheets::told(sheet),
            &sketch,
            &sheets::filled(sheet, parts),
            &mut book,
        );
    }
    let format = fitting(print.paper, upright, patterns::largest(parts, &book.letters));
    patterns::print(parts, format, print.pricks_mm, &mut book);
    book.finish()
}

/// The operator's sheets alone, on A4.
///
/// # Errors
/// As [`pdf`].
pub fn operator_pdf(preview: &Preview<'_>) -> Result<Vec<u8>, NoPdf> {
    let mut book = Book::new(preview.scene.title)?;
    operator::print(preview, Format::upright(Paper::A4, [100.0, 100.0]).lying(), &mut book);
    book.finish()
}

/// The page for something of this size: the paper, or one as large as it needs.
fn fitting(paper: Paper, upright: Format, [width, height]: [f64; 2]) -> Format {
    if paper != Paper::Whole {
        return upright;
    }
    // A hair more, lest rounding asks for a second page.
    let room = upright.room();
    let side = |length: f64, least: f64| (length + 0.01).clamp(least, LONGEST_MM);
    upright.for_room([side(width, room[0]), side(height + FOOT_MM, room[1])])
}
