//! Reads the tables of a wood's file: `rows` of numbers under `columns` that name them, or rows that name their own.

use std::cmp::Ordering;

use super::over::{self, Own};
use super::row::{Column, Row};
use super::{FitRow, KerfRow, LaserRow, RouterRow, TabRow, Tables};
use crate::shop::craft;
use crate::yaml::{Fields, Node, Place, Reader, What};

/// Every table with its key in a wood's file and its columns.
pub(crate) const TABLES: [(&str, &[Column]); 6] = [
    ("laser", LaserRow::COLUMNS),
    ("router", RouterRow::COLUMNS),
    ("laser_tabs", TabRow::COLUMNS),
    ("router_tabs", TabRow::COLUMNS),
    ("router_kerf", KerfRow::COLUMNS),
    ("fits", FitRow::COLUMNS),
];

/// Keys of a table; `craft` stands only in those of a beam or a cutter.
pub(crate) const TABLE_KEYS: [&str; 3] = ["columns", "rows", "craft"];

/// Keys that a row which names its own values may have beside them.
pub(crate) const ROW_KEYS: [&str; 2] = ["measured", "note"];

/// Takes all tables out of a wood's file; what it has none of stays as it is in `base`, or empty.
pub(crate) fn tables(fields: &mut Fields, base: Option<&Tables>, reader: &mut Reader) -> Tables {
    let mut tables = base.cloned().unwrap_or_default();
    let extends = base.is_some();
    let Tables { laser, router, laser_tabs, router_tabs, router_kerf, fits, given, .. } = &mut tables;
    let laser_craft = table("laser", laser, given, extends, fields, reader);
    let router_craft = table("router", router, given, extends, fields, reader);
    table("laser_tabs", laser_tabs, given, extends, fields, reader);
    table("router_tabs", router_tabs, given, extends, fields, reader);
    table("router_kerf", router_kerf, given, extends, fields, reader);
    table("fits", fits, given, extends, fields, reader);
    if let Some(node) = laser_craft {
        tables.laser_craft = craft::of_laser_table(node, tables.laser_craft, reader);
    }
    if let Some(node) = router_craft {
        tables.router_craft = craft::of_router_table(node, tables.router_craft, reader);
    }
    tables
}

/// One table: laid over the rows that are there where the file extends another. Gives what it says of craft.
fn table<R: Row>(
    key: &'static str,
    rows: &mut Vec<R>,
    given: &mut Vec<super::Given>,
    extends: bool,
    fields: &mut Fields,
    reader: &mut Reader,
) -> Option<Node> {
    let node = fields.take(key)?;
    let known = if R::BY > 1 { &TABLE_KEYS[..] } else { &TABLE_KEYS[..2] };
    let mut table = reader.map(node, key, known)?;
    let craft = table.take("craft");
    // A file that extends another may speak of craft alone.
    if !(extends && craft.is_some() && table.place_of("rows").is_none()) {
        let own = rows_of::<R>(&mut table, key, extends, reader);
        over::lay(key, rows, &own, extends, reader);
        given.extend(own.iter().map(|own| own.given(key, R::COLUMNS, R::BY, reader.file())));
    }
    craft
}

/// The rows of one table. The columns that it is looked up by must rise from row to row.
fn rows_of<R: Row>(fields: &mut Fields, name: &str, extends: bool, reader: &mut Reader) -> Vec<Own> {
    let heads = fields.take("columns").map(|node| heads::<R>(node, name, extends, reader));
    let Some(node) = fields.need("rows", name, reader) else { return Vec::new() };
    let mut found: Vec<Own> = Vec::new();
    for node in reader.list(node, "rows").unwrap_or_default() {
        let place = node.place;
        let named = matches!(node.what, What::Map(_));
        let row = match (&node.what, &heads) {
            (What::Map(_), _) => named_row::<R>(node, name, reader),
            (_, Some(heads)) => listed_row::<R>(node, heads, reader),
            (_, None) => {
                let hint = "or name each value in its row, such as {thickness_mm: 3, kerf_mm: 0.2}";
                reader.wrong("missing-key", place, format!("{name} needs 'columns'"), hint);
                return found;
            }
        };
        let Some(row) = row else { continue };
        // Rows that name their values may say different ones of the same sizes, each with its day.
        let order = found.last().and_then(|last| last.key(R::BY).partial_cmp(&row.key(R::BY)));
        let rises = order == Some(Ordering::Less) || named && order == Some(Ordering::Equal);
        if !found.is_empty() && !rises {
            let names: Vec<&str> = R::COLUMNS[..R::BY].iter().map(|column| column.0).collect();
            let message = format!("this row of '{name}' does not come after the one above it");
            let hint = format!("sort the rows by {}", names.join(", then "));
            reader.wrong("unsorted-table", place, message, hint);
        }
        found.push(row);
    }
    found
}

/// The places of the named columns among the known ones: all of them, or in a file that extends another those it is looked
/// up by and any others, in the known order.
fn heads<R: Row>(node: Node, name: &str, extends: bool, reader: &mut Reader) -> Vec<usize> {
    let place = node.place;
    let words = reader.words(node, "columns");
    let known: Vec<&str> = R::COLUMNS.iter().map(|column| column.0).collect();
    let found: Vec<usize> =
        words.iter().filter_map(|word| known.iter().position(|known| known == word)).collect();
    let in_order = found.len() == words.len() && found.is_sorted_by(|a, b| a < b);
    let whole = found.len() == known.len();
    if !in_order || !(whole || extends && found.starts_with(&[0, 1][..R::BY])) {
        let message = format!("the columns of '{name}' are not the known ones in their order");
        reader.wrong("unknown-columns", place, message, format!("they are: {}", known.join(", ")));
        return (0..known.len()).collect();
    }
    found
}

/// A row of numbers in the order of the columns.
fn listed_row<R: Row>(node: Node, heads: &[usize], reader: &mut Reader) -> Option<Own> {
    let place = node.place;
    let nodes = reader.list(node, "a row")?;
    if nodes.len() != heads.len() {
        let message = format!("this row has {} numbers for {} columns", nodes.len(), heads.len());
        reader.wrong("wrong-type", place, message, String::new());
        return None;
    }
    let mut own = Own::new(place, R::COLUMNS.len());
    for (node, &column) in nodes.iter().zip(heads) {
        own.values[column] = Some(value::<R>(node, column, reader)?);
    }
    Some(own)
}

/// A row that names its values.
fn named_row<R: Row>(node: Node, name: &str, reader: &mut Reader) -> Option<Own> {
    let known: Vec<&str> = R::COLUMNS.iter().map(|column| column.0).chain(ROW_KEYS).collect();
    let mut own = Own::new(node.place, R::COLUMNS.len());
    let mut fields = reader.map(node, &format!("a row of '{name}'"), &known)?;
    for (column, (key, ..)) in R::COLUMNS.iter().enumerate() {
        let node = if column < R::BY { fields.need(key, "a row", reader) } else { fields.take(key) };
        match node {
            Some(node) => own.values[column] = Some(value::<R>(&node, column, reader)?),
            None if column < R::BY => return None,
            None => {}
        }
    }
    own.measured = fields.take("measured").and_then(|node| date(node, reader));
    own.note = fields.take("note").and_then(|node| reader.word(node, "note"));
    Some(own)
}

fn value<R: Row>(node: &Node, column: usize, reader: &mut Reader) -> Option<f64> {
    let (name, least, most) = R::COLUMNS[column];
    let number = reader.number(node, name, least..=most)?;
    if COUNTS.contains(&name) && number.fract() != 0.0 {
        reader.wrong_type(node, name, "a whole number");
        return None;
    }
    Some(number)
}

/// Columns that count something.
pub(crate) const COUNTS: [&str; 3] = ["passes", "least", "most"];

/// A day, as `2026-05-30`.
fn date(node: Node, reader: &mut Reader) -> Option<String> {
    let place = node.place;
    let word = reader.word(node, "measured")?;
    if !is_date(&word) {
        let message = format!("'{word}' is not a day");
        reader.wrong("wrong-type", place, message, "write year, month and day, such as 2026-05-30");
        return None;
    }
    Some(word)
}

/// Whether a text is a day, as `2026-05-30`.
pub fn is_date(text: &str) -> bool {
    let digits = |part: &str, count: usize| part.len() == count && part.bytes().all(|b| b.is_ascii_digit());
    let mut parts = text.split('-');
    let (year, month, day) = (parts.next(), parts.next(), parts.next());
    let within = |part: &str, most: u32| part.parse().is_ok_and(|n: u32| (1..=most).contains(&n));
    parts.next().is_none()
        && year.is_some_and(|y| digits(y, 4))
        && month.is_some_and(|m| digits(m, 2) && within(m, 12))
        && day.is_some_and(|d| digits(d, 2) && within(d, 31))
}

/// Tells, of a file that stands alone, which thicknesses that the wood is sold in its tables do not hold.
pub(crate) fn gaps(tables: &Tables, sold: &[f64], place: Place, reader: &mut Reader) {
    gap("laser", &tables.laser, sold, place, reader);
    gap("router", &tables.router, sold, place, reader);
    gap("laser_tabs", &tables.laser_tabs, sold, place, reader);
    gap("router_tabs", &tables.router_tabs, sold, place, reader);
}

fn gap<R: Row>(name: &str, rows: &[R], sold: &[f64], place: Place, reader: &mut Reader) {
    let mut firsts: Vec<Vec<f64>> = rows.iter().map(|row| row.values()[..R::BY - 1].to_vec()).collect();
    firsts.dedup();
    for first in firsts {
        let held = |thickness: &&f64| {
            let key: Vec<f64> = first.iter().copied().chain([**thickness]).collect();
            R::at(rows, &key).is_none()
        };
        let missing: Vec<String> = sold.iter().filter(held).map(ToString::to_string).collect();
        if !missing.is_empty() {
            let which = first.first().map_or_else(String::new, |at| format!(" at {} {at}", R::COLUMNS[0].0));
            let message =
                format!("the '{name}' table holds no thickness of {} mm{which}", missing.join(", "));
            let hint = "the wood is sold so; add rows, or take the thickness out of 'thicknesses_mm'";
            reader.doubt("gap-in-table", place, message, hint);
        }
    }
}
