//! The cut list: what comes off the machine, as a table that people print and tick off.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::{Written, decimal, plain};
use crate::stages::cut::SheetCuts;
use crate::stages::job::Job;
use crate::stages::part::Part;

/// How many of a part lie where.
#[derive(Default)]
struct Laid {
    drawn: u32,
    mirrored: u32,
    sheets: BTreeMap<usize, u32>,
}

/// Writes the list.
pub(super) fn file(sheets: &[SheetCuts], parts: &[Part], job: &Job, cautions: &[&str]) -> Written {
    let laid = count(sheets, parts);
    let mut text = format!("Cut list: {}\n\n", plain::one_line(&job.title));
    text.push_str(&table(&PART_COLUMNS, &part_rows(parts, &laid)));
    text.push_str(&totals(parts, &laid));
    text.push_str(&recesses(parts));
    text.push('\n');
    text.push_str(&table(&SHEET_COLUMNS, &sheets.iter().map(sheet_row).collect::<Vec<_>>()));
    text.push('\n');
    for caution in cautions {
        text.push_str(caution);
        text.push('\n');
    }
    Written { name: "cutlist.txt".to_owned(), sheet: None, bytes: text.into_bytes() }
}

fn count(sheets: &[SheetCuts], parts: &[Part]) -> Vec<Laid> {
    let mut laid: Vec<Laid> = parts.iter().map(|_| Laid::default()).collect();
    for sheet in sheets {
        for placed in &sheet.sheet.placed {
            let Some(of) = laid.get_mut(placed.part) else { continue };
            *(if placed.placement.mirrored { &mut of.mirrored } else { &mut of.drawn }) += 1;
            *of.sheets.entry(sheet.sheet.number).or_default() += 1;
        }
    }
    laid
}

/// A heading and whether its column is of numbers, which stand to the right.
type Column = (&'static str, bool);

const PART_COLUMNS: [Column; 9] = [
    ("part", false),
    ("wood", false),
    ("mm", true),
    ("pieces", true),
    ("as drawn", true),
    ("other hand", true),
    ("sheet", false),
    ("g each", true),
    ("g", true),
];

fn part_rows(parts: &[Part], laid: &[Laid]) -> Vec<Vec<String>> {
    let row = |(part, laid): (&Part, &Laid)| {
        let pieces = laid.drawn + laid.mirrored;
        vec![
            plain::one_line(&part.id),
            plain::one_line(&part.wood),
            decimal::short(part.thickness_mm),
            pieces.to_string(),
            laid.drawn.to_string(),
            laid.mirrored.to_string(),
            on_sheets(&laid.sheets),
            format!("{:.2}", part.mass_g),
            format!("{:.2}", part.mass_g * f64::from(pieces)),
        ]
    };
    parts.iter().zip(laid).map(row).collect()
}

/// Where pieces lie: `1`, or `1 (2), 3` for two on the first sheet and one on the third.
pub fn on_sheets(sheets: &BTreeMap<usize, u32>) -> String {
    let one = |(sheet, n): (&usize, &u32)| if *n > 1 { format!("{sheet} ({n})") } else { sheet.to_string() };
    sheets.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// What is milled into parts: how deep, and how much of the face.
fn recesses(parts: &[Part]) -> String {
    let mut text = String::new();
    for part in parts {
        for recess in &part.recesses {
            let id = plain::one_line(&part.id);
            let (deep, area) = (decimal::short(recess.depth_mm), recess.area_mm2(&part.region));
            let _ = writeln!(text, "{id}: a recess {deep} mm deep, {area:.0} mm² of its face");
        }
    }
    text
}

/// Pieces and mass of each wood and thickness, then of everything.
fn totals(parts: &[Part], laid: &[Laid]) -> String {
    let mut kinds: BTreeMap<(String, String), (u32, f64)> = BTreeMap::new();
    let mut all = (0, 0.0);
    for (part, laid) in parts.iter().zip(laid) {
        let pieces = laid.drawn + laid.mirrored;
        let mass = part.mass_g * f64::from(pieces);
        let thickness = format!("{:0>12}", decimal::length(part.thickness_mm));
        let kind = kinds.entry((plain::one_line(&part.wood), thickness)).or_default();
        *kind = (kind.0 + pieces, kind.1 + mass);
        all = (all.0 + pieces, all.1 + mass);
    }
    let mut text = String::from("\n");
    for ((wood, thickness), (pieces, mass)) in kinds {
        let thickness = decimal::short(thickness.parse().unwrap_or_default());
        let _ = writeln!(text, "{wood} {thickness} mm: {pieces} pieces, {mass:.2} g");
    }
    let _ = writeln!(text, "In all: {} pieces, {:.2} g", all.0, all.1);
    text
}

const SHEET_COLUMNS: [Column; 8] = [
    ("sheet", true),
    ("wood", false),
    ("mm", true),
    ("length", true),
    ("width", true),
    ("pieces", true),
    ("cut m", true),
    ("time", true),
];

fn sheet_row(cuts: &SheetCuts) -> Vec<String> {
    let sheet = &cuts.sheet;
    vec![
        sheet.number.to_string(),
        plain::one_line(&sheet.wood),
        decimal::short(sheet.thickness_mm),
        decimal::short(sheet.length_mm),
        decimal::short(sheet.width_mm),
        sheet.placed.len().to_string(),
        format!("{:.2}", cuts.cut_length_mm / 1000.0),
        minutes(cuts.time_s),
    ]
}

/// Minutes and seconds.
fn minutes(seconds: f64) -> String {
    let whole = seconds.round().max(0.0) as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

/// Columns as wide as what is in them, two spaces apart, under a line.
fn table(columns: &[Column], rows: &[Vec<String>]) -> String {
    let width = |i: usize| {
        let cells = rows.iter().map(|row| row[i].chars().count());
        cells.chain([columns[i].0.len()]).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..columns.len()).map(width).collect();
    let line = |cells: &[String]| {
        let cell = |(i, cell): (usize, &String)| {
            let w = widths[i];
            if columns[i].1 { format!("{cell:>w$}") } else { format!("{cell:<w$}") }
        };
        let line = cells.iter().enumerate().map(cell).collect::<Vec<_>>().join("  ");
        format!("{}\n", line.trim_end())
    };
    let names: Vec<String> = columns.iter().map(|(name, _)| (*name).to_owned()).collect();
    let under: Vec<String> = widths.iter().map(|w| "-".repeat(*w)).collect();
    let body: String = rows.iter().map(|row| line(row)).collect();
    format!("{}{}{body}", line(&names), line(&under))
}
