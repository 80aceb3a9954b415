//! The `stock` of a job file: a list of sheets.
//!
//! | key | value |
//! | --- | --- |
//! | `wood`, `thickness` | what they are: needed |
//! | `sheet` | `LENGTHxWIDTH`, the grain along LENGTH: needed |
//! | `measured` | the thickness as it was measured; what has to fit the wood goes by it |
//! | `weight_g` | what one sheet weighs: mass goes by it |
//! | `count` | how many there are; without it as many as it takes, of a remnant one |
//! | `outline`, `avoid`, `clamp` | a remnant's outline, zones to avoid, room at the edges: see [`super::blank`] |
//! | `price` | what one costs, in any money, the same throughout the job; without it a sheet counts by its area |
//! | `quality` | how good it is, 1 to 9, the more the better; 1 without it |

use super::blank::{self, Source};
use super::size::{is_possible, parse_sheet};
use super::{Blank, Stock};
use crate::units::Unit;
use crate::yaml::{Fields, Node, Reader};

pub(super) const KEYS: [&str; 11] = [
    "wood",
    "thickness",
    "sheet",
    "count",
    "measured",
    "weight_g",
    "outline",
    "avoid",
    "clamp",
    "price",
    "quality",
];

/// Best and plainest quality.
pub(super) const QUALITIES: std::ops::RangeInclusive<u32> = 1..=9;

/// Dearest sheet.
pub(super) const PRICES: std::ops::RangeInclusive<f64> = 0.0..=1e6;

/// Reads the sheets.
pub(super) fn sheets(node: Node, unit: Unit, woods: &[&str], reader: &mut Reader) -> Vec<Stock> {
    let nodes = reader.list(node, "stock").unwrap_or_default();
    nodes.into_iter().filter_map(|node| sheet(node, unit, woods, reader)).collect()
}

fn sheet(node: Node, unit: Unit, woods: &[&str], reader: &mut Reader) -> Option<Stock> {
    let line = node.place;
    let mut fields = reader.map(node, "stock", &KEYS)?;
    let wood = wood(&mut fields, woods, reader);
    let thickness = fields.need("thickness", "stock", reader);
    let thickness = thickness.and_then(|node| reader.length(&node, "thickness", unit, 0.1..=100.0));
    let form = form(&mut fields, unit, reader);
    let count = fields.take("count").and_then(|node| reader.whole(&node, "count", 0..=100_000));
    let measured = fields.take("measured");
    let measured_mm = measured.and_then(|node| reader.length(&node, "measured", unit, 0.1..=100.0));
    let weight_g = fields.take("weight_g").and_then(|node| reader.number(&node, "weight_g", 0.01..=1e5));
    let price = fields.take("price").and_then(|node| reader.number(&node, "price", PRICES));
    let quality = fields.take("quality").and_then(|node| reader.whole(&node, "quality", QUALITIES));
    let (outline_file, blank, size) = form?;
    let count = count.or((outline_file.is_some() || blank.outline.is_some()).then_some(1));
    Some(Stock {
        count,
        measured_mm,
        weight_g,
        price,
        quality: quality.unwrap_or(*QUALITIES.start()),
        outline_file,
        blank,
        line,
        ..Stock::new(wood?, thickness?, size)
    })
}

/// The drawing of its outline, what it is like, its size; nothing in place of a size that the drawing will tell.
type Form = (Option<String>, Blank, (f64, f64));

fn form(fields: &mut Fields, unit: Unit, reader: &mut Reader) -> Option<Form> {
    let blank = blank::read(fields, unit, reader);
    if fields.place_of("outline").is_none() {
        return size(fields, unit, reader).map(|size| (None, blank, size));
    }
    if let Some(place) = fields.place_of("sheet") {
        let hint = "a remnant is as large as its outline: leave 'sheet' out";
        reader.wrong("conflicting-keys", place, "'sheet' stands beside 'outline'", hint);
    }
    let place = fields.place_of("outline").unwrap_or_default();
    match blank::outline(fields, unit, reader)? {
        Source::File(file) => Some((Some(file), blank, (0.0, 0.0))),
        Source::Points(outline) => {
            let (blank, size) = blank.remnant(&outline, &[]);
            if !is_possible(size) {
                reader.wrong(
                    "bad-sheet-size",
                    place,
                    "the outline is too small or too large",
                    "edges are from 5 mm to 10 m",
                );
                return None;
            }
            Some((None, blank, size))
        }
    }
}

fn wood(fields: &mut Fields, known: &[&str], reader: &mut Reader) -> Option<String> {
    let node = fields.need("wood", "stock", reader)?;
    let place = node.place;
    let word = reader.word(node, "wood")?;
    if !known.iter().any(|name| name.eq_ignore_ascii_case(&word)) {
        reader.unknown("unknown-wood", place, "a wood that the shop knows", &word, known);
    }
    Some(word)
}

fn size(fields: &mut Fields, unit: Unit, reader: &mut Reader) -> Option<(f64, f64)> {
    let node = fields.need("sheet", "stock", reader)?;
    let place = node.place;
    let text = reader.word(node, "sheet")?;
    match parse_sheet(&text, unit) {
        Ok(size) => Some(size),
        Err(error) => {
            reader.wrong("bad-sheet-size", place, error.to_string(), "edges are from 5 mm to 10 m");
            None
        }
    }
}
