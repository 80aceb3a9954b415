//! The first pages: the cut list, and a square to check the printer with.

use std::collections::BTreeMap;

use super::Print;
use super::book::Book;
use super::leaf::{Ink, Leaf};
use super::size::Format;
use super::table::{Column, LINE_MM, Table, WIDEST_MM, paragraph};
use crate::geometry::{Point, Rect};
use crate::stages::part::Part;
use crate::stages::picture::Preview;
use crate::stages::picture::pen::number;
use crate::stages::write::on_sheets;

const COLUMNS: [Column; 9] = [
    ("part", false),
    ("wood", false),
    ("mm", true),
    ("pieces", true),
    ("as drawn", true),
    ("other hand", true),
    ("on sheet", false),
    ("size, mm", true),
    ("g each", true),
];

/// Adds the cut list: what is wrong with the job first, then the parts, then sums and cautions.
pub(super) fn print(preview: &Preview<'_>, format: Format, book: &mut Book) {
    let parts = preview.scene.parts;
    let rows: Vec<Vec<String>> = parts.iter().enumerate().map(|(i, part)| row(i, part, preview)).collect();
    let table = Table::new(&COLUMNS, &rows, WIDEST_MM, &book.letters);
    let title = book.title().to_owned();
    let begin = |leaf: &mut Leaf<'_, '_>, y: f64| {
        let width = leaf.room()[0];
        let about = format!("{title}; for {}", preview.machine.name);
        let mut y = paragraph(leaf, &about, Point::new(0.0, y), width);
        // So many problems that they fill the page are told by the page to look around in.
        for problem in preview.scene.problems.iter().take(12) {
            if y < 80.0 {
                break;
            }
            let text = format!("Problem: {}: {}", problem.code, problem.message);
            y = paragraph(leaf, &text, Point::new(0.0, y), width);
        }
        y - 3.0
    };
    let end = |leaf: &mut Leaf<'_, '_>, y: f64| {
        let mut y = y - 3.0;
        let width = leaf.room()[0];
        for line in totals(parts).iter().map(String::as_str).chain(preview.cautions.iter().copied()) {
            y = paragraph(leaf, line, Point::new(0.0, y), width);
        }
    };
    table.print("Cut list", format, book, begin, end);
}

fn row(index: usize, part: &Part, preview: &Preview<'_>) -> Vec<String> {
    let mut on: BTreeMap<usize, u32> = BTreeMap::new();
    for sheet in &preview.scene.layout.sheets {
        let pieces = sheet.placed.iter().filter(|placed| placed.part == index).count() as u32;
        if pieces > 0 {
            on.insert(sheet.number, pieces);
        }
    }
    let bounds = part.region.bounds();
    vec![
        part.id.clone(),
        part.wood.clone(),
        number(part.thickness_mm),
        part.copies.to_string(),
        part.copies.saturating_sub(part.mirrored).to_string(),
        part.mirrored.to_string(),
        on_sheets(&on),
        format!("{:.1} x {:.1}", bounds.width(), bounds.height()),
        format!("{:.2}", part.mass_g),
    ]
}

fn totals(parts: &[Part]) -> Vec<String> {
    let mut kinds: Vec<(&str, f64, u32, f64)> = Vec::new();
    for part in parts {
        let mass = part.mass_g * f64::from(part.copies);
        let same =
            |k: &&mut (&str, f64, u32, f64)| k.0 == part.wood && k.1.to_bits() == part.thickness_mm.to_bits();
        match kinds.iter_mut().find(same) {
            Some(kind) => (kind.2, kind.3) = (kind.2 + part.copies, kind.3 + mass),
            None => kinds.push((&part.wood, part.thickness_mm, part.copies, mass)),
        }
    }
    let line = |(wood, mm, pieces, mass): &(&str, f64, u32, f64)| {
        format!("{wood} {} mm: {pieces} pieces, {mass:.1} g", number(*mm))
    };
    let all = kinds.iter().fold((0, 0.0), |sum, kind| (sum.0 + kind.2, sum.1 + kind.3));
    let mut lines: Vec<String> = kinds.iter().map(line).collect();
    lines.push(format!("In all: {} pieces, {:.1} g", all.0, all.1));
    lines
}

/// Side of the square, mm.
const SIDE_MM: f64 = 100.0;

/// Adds the page to check the printer with.
pub(super) fn square(print: &Print, format: Format, book: &mut Book) {
    book.leaf(format, |leaf| {
        let [width, height] = leaf.room();
        leaf.words("Is the paper true?", Point::new(0.0, height - 6.0), 6.0);
        let mut y = height - 12.0;
        let [across, up] = print.printed_mm.map(number);
        let corrected = format!("These pages are corrected for a printer that makes {across} mm across and {up} mm up of 100 mm.");
        let said: [&str; 3] = [
            "Print at full size (100 %), never fitted to the page. Then measure the square below, across and up, with a steel rule.",
            "If it is not 100 mm both ways, give what you measured, across first, as in --printed 99.3x99.6, and print again: \
             every page is corrected. Leave the paper lying in the printer the same way round.",
            "Pages are joined on their dashed seams: trim one of two neighbours along the seam, lay it on the seam of the other.",
        ];
        for text in said.into_iter().chain(print.is_corrected().then_some(corrected.as_str())) {
            y = paragraph(leaf, text, Point::new(0.0, y), width) - 1.5;
        }
        let corner = Point::new((width - SIDE_MM) / 2.0, y - 12.0 - SIDE_MM);
        let square = Rect::new(corner.x, corner.y, corner.x + SIDE_MM, corner.y + SIDE_MM);
        leaf.rectangle(square, Ink::HAIR);
        ticks(square, leaf);
        leaf.words("100 mm across", Point::new(corner.x + 37.0, square.y1 + 6.0), 3.5);
        leaf.words_turned("100 mm up", Point::new(square.x0 - 6.0, corner.y + 40.0), 3.5, 90.0);
        leaf.words("Grainwise", Point::new(0.0, 0.4), LINE_MM * 0.6);
    });
}

/// A tick every 10 mm, inwards.
fn ticks(square: Rect, leaf: &mut Leaf<'_, '_>) {
    for i in 1..10 {
        let at = 10.0 * f64::from(i);
        let long = if i == 5 { 5.0 } else { 3.0 };
        let mut line = |a: Point, b: Point| leaf.line([crate::geometry::Segment::line(a, b)], Ink::HAIR);
        line(Point::new(square.x0 + at, square.y1), Point::new(square.x0 + at, square.y1 - long));
        line(Point::new(square.x0, square.y0 + at), Point::new(square.x0 + long, square.y0 + at));
    }
}
