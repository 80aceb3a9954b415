//! Reads the tables of a wood's file: `columns` that name the numbers, and `rows` of them, sorted.

use super::{LaserRow, LaserSetting, RouterRow, TabRow, TabRule, Tables};
use crate::shop::craft;
use crate::yaml::{Fields, Node, Place, Reader};

/// A column: its name, and the span outside which a value is surely a slip.
type Column = (&'static str, f64, f64);

const LASER: [Column; 10] = [
    ("beam_w", 0.5, 2000.0),
    ("thickness_mm", 0.1, 50.0),
    ("feed_mm_min", 10.0, 100_000.0),
    ("power", 0.005, 1.0),
    ("passes", 1.0, 50.0),
    ("kerf_mm", 0.02, 1.0),
    ("score_feed_mm_min", 10.0, 100_000.0),
    ("score_power", 0.005, 1.0),
    ("mark_feed_mm_min", 10.0, 100_000.0),
    ("mark_power", 0.005, 1.0),
];

const ROUTER: [Column; 9] = [
    ("cutter_mm", 0.2, 25.0),
    ("thickness_mm", 0.1, 50.0),
    ("rpm", 1000.0, 100_000.0),
    ("chip_load_mm", 0.001, 1.0),
    ("plunge", 0.05, 1.0),
    ("pass_mm", 0.05, 25.0),
    ("overcut_mm", 0.0, 1.0),
    ("mark_depth_mm", 0.02, 1.0),
    ("score_depth", 0.05, 0.9),
];

const TABS: [Column; 6] = [
    ("thickness_mm", 0.1, 50.0),
    ("every_mm", 10.0, 2000.0),
    ("least", 0.0, 50.0),
    ("most", 0.0, 100.0),
    ("width_mm", 0.1, 20.0),
    ("height", 0.05, 1.0),
];

/// Takes all tables out of a wood's file; what it has none of stays empty.
pub(crate) fn tables(fields: &mut Fields, reader: &mut Reader) -> Tables {
    let mut table = |key: &str, columns: &[Column], by: usize| {
        let known: &[&str] = if by > 1 { &["columns", "rows", "craft"] } else { &["columns", "rows"] };
        let Some(mut table) = fields.take(key).and_then(|node| reader.map(node, key, known)) else {
            return (Vec::new(), None);
        };
        (rows(&mut table, key, columns, by, reader), table.take("craft"))
    };
    let (laser, laser_craft) = table("laser", &LASER, 2);
    let (router, router_craft) = table("router", &ROUTER, 2);
    let (laser_tabs, _) = table("laser_tabs", &TABS, 1);
    let (router_tabs, _) = table("router_tabs", &TABS, 1);
    Tables {
        laser: laser.iter().map(|row| laser_row(row)).collect(),
        router: router.iter().map(|row| router_row(row)).collect(),
        laser_craft: laser_craft.map(|node| craft::of_laser_table(node, reader)).unwrap_or_default(),
        router_craft: router_craft.map(|node| craft::of_router_table(node, reader)).unwrap_or_default(),
        laser_tabs: laser_tabs.iter().map(|row| tab_row(row)).collect(),
        router_tabs: router_tabs.iter().map(|row| tab_row(row)).collect(),
    }
}

/// The rows of one table. The first `by` columns are what it is looked up by: they must rise from row to row.
fn rows(
    fields: &mut Fields,
    name: &str,
    columns: &[Column],
    by: usize,
    reader: &mut Reader,
) -> Vec<Vec<f64>> {
    heads(fields, name, columns, reader);
    let Some(node) = fields.need("rows", name, reader) else { return Vec::new() };
    let mut found: Vec<Vec<f64>> = Vec::new();
    for node in reader.list(node, "rows").unwrap_or_default() {
        let place = node.place;
        let Some(row) = row(node, columns, reader) else { continue };
        if found
            .last()
            .is_some_and(|last| last[..by].partial_cmp(&row[..by]) != Some(std::cmp::Ordering::Less))
        {
            let names: Vec<&str> = columns[..by].iter().map(|column| column.0).collect();
            let message = format!("this row of '{name}' does not come after the one above it");
            reader.wrong(
                "unsorted-table",
                place,
                message,
                format!("sort the rows by {}", names.join(", then ")),
            );
        }
        found.push(row);
    }
    found
}

/// Checks that the columns are the known ones, in the known order.
fn heads(fields: &mut Fields, name: &str, columns: &[Column], reader: &mut Reader) {
    let Some(node) = fields.need("columns", name, reader) else { return };
    let place = node.place;
    let found = reader.words(node, "columns");
    let known: Vec<&str> = columns.iter().map(|column| column.0).collect();
    if found != known {
        let message = format!("the columns of '{name}' are not the known ones in their order");
        reader.wrong("unknown-columns", place, message, format!("they are: {}", known.join(", ")));
    }
}

fn row(node: Node, columns: &[Column], reader: &mut Reader) -> Option<Vec<f64>> {
    let place: Place = node.place;
    let values = reader.list(node, "a row")?;
    if values.len() != columns.len() {
        let message = format!("this row has {} numbers for {} columns", values.len(), columns.len());
        reader.wrong("wrong-type", place, message, String::new());
        return None;
    }
    let numbers: Vec<f64> = values
        .iter()
        .zip(columns)
        .filter_map(|(node, &(name, least, most))| reader.number(node, name, least..=most))
        .collect();
    (numbers.len() == columns.len()).then_some(numbers)
}

fn laser_row(row: &[f64]) -> LaserRow {
    let setting = LaserSetting {
        feed_mm_min: row[2],
        power: row[3],
        passes: row[4].round() as u32,
        kerf_mm: row[5],
        score_feed_mm_min: row[6],
        score_power: row[7],
        mark_feed_mm_min: row[8],
        mark_power: row[9],
    };
    LaserRow { beam_w: row[0], thickness_mm: row[1], setting }
}

fn router_row(row: &[f64]) -> RouterRow {
    RouterRow {
        cutter_mm: row[0],
        thickness_mm: row[1],
        rpm: row[2],
        chip_load_mm: row[3],
        plunge: row[4],
        pass_mm: row[5].min(row[0]),
        overcut_mm: row[6],
        mark_depth_mm: row[7],
        score_depth: row[8],
    }
}

fn tab_row(row: &[f64]) -> TabRow {
    let rule = TabRule {
        every_mm: row[1],
        least: row[2].round() as u32,
        most: row[3].round() as u32,
        width_mm: row[4],
        height: row[5],
    };
    TabRow { thickness_mm: row[0], rule }
}
