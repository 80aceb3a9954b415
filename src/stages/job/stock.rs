//! The `stock` of a job file: a list of sheets.
//!
//! | key | value |
//! | --- | --- |
//! | `wood`, `thickness` | what they are: needed |
//! | `sheet` | `LENGTHxWIDTH`, the grain along LENGTH: needed |
//! | `measured` | the thickness as it was measured; what has to fit the wood goes by it |
//! | `weight_g` | what one sheet weighs: mass goes by it |
//! | `count` | how many there are; without it as many as it takes |

use super::Stock;
use super::size::parse_sheet;
use crate::units::Unit;
use crate::yaml::{Fields, Node, Reader};

pub(super) const KEYS: [&str; 6] = ["wood", "thickness", "sheet", "count", "measured", "weight_g"];

/// Reads the sheets.
pub(super) fn sheets(node: Node, unit: Unit, woods: &[&str], reader: &mut Reader) -> Vec<Stock> {
    let nodes = reader.list(node, "stock").unwrap_or_default();
    nodes.into_iter().filter_map(|node| sheet(node, unit, woods, reader)).collect()
}

fn sheet(node: Node, unit: Unit, woods: &[&str], reader: &mut Reader) -> Option<Stock> {
    let mut fields = reader.map(node, "stock", &KEYS)?;
    let wood = wood(&mut fields, woods, reader);
    let thickness = fields.need("thickness", "stock", reader);
    let thickness = thickness.and_then(|node| reader.length(&node, "thickness", unit, 0.1..=100.0));
    let size = size(&mut fields, unit, reader);
    let count = fields.take("count").and_then(|node| reader.whole(&node, "count", 0..=100_000));
    let measured = fields.take("measured");
    let measured_mm = measured.and_then(|node| reader.length(&node, "measured", unit, 0.1..=100.0));
    let weight_g = fields.take("weight_g").and_then(|node| reader.number(&node, "weight_g", 0.01..=1e5));
    let (length_mm, width_mm) = size?;
    Some(Stock { wood: wood?, thickness_mm: thickness?, length_mm, width_mm, count, measured_mm, weight_g })
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
