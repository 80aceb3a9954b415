//! The file of what was measured on a wood: read, one row put in, written anew.
//!
//! It lies in `measured/WOOD.yaml` of the person's own shop folder and holds nothing but rows that name their values, so
//! that a program may write it; what a person writes belongs into `tables/`.

use std::fmt::Write as _;

use super::reading::Found;
use crate::problem::{Problem, Problems};
use crate::shop::table::read::{ROW_KEYS, TABLES};
use crate::yaml::{self, Node, What};

/// Rows by table, each a list of keys with values as they are written.
type Rows = Vec<(String, Vec<Row>)>;
type Row = Vec<(String, String)>;

/// Values are written to this, which is finer than anything that is measured.
const DECIMALS: usize = 4;

/// The file's new text: what `text` holds, and what was found in the place of an earlier reading of the same.
/// None where `text` is not such a file; the problem says where.
pub fn with(
    text: &str,
    file: &str,
    wood: &str,
    found: &Found,
    day: &str,
    note: &str,
    problems: &mut Problems,
) -> Option<String> {
    let mut rows = if text.trim().is_empty() { Vec::new() } else { read(text, file, problems)? };
    put(&mut rows, found, day, note);
    Some(written(wood, &rows))
}

fn read(text: &str, file: &str, problems: &mut Problems) -> Option<Rows> {
    let node = yaml::parse(text, file, problems)?;
    let rows = rows_of(&node);
    if let Err(place) = rows {
        let message = "this was changed by hand so that no reading can be put in";
        let hint = "keep only rows that name their values here; a table of your own belongs into tables/";
        let problem = Problem::error("changed-by-hand", message).in_file(file);
        problems.push(problem.at_line(place.0, place.1).hint(hint));
    }
    rows.ok()
}

fn rows_of(node: &Node) -> Result<Rows, yaml::Place> {
    let What::Map(entries) = &node.what else { return Err(node.place) };
    let mut rows = Rows::new();
    for entry in entries.iter().filter(|entry| entry.key != "extends") {
        let What::Map(inner) = &entry.value.what else { return Err(entry.place) };
        let [list] = &inner[..] else { return Err(entry.place) };
        let (What::List(nodes), "rows") = (&list.value.what, list.key.as_str()) else {
            return Err(list.place);
        };
        rows.push((entry.key.clone(), nodes.iter().map(row_of).collect::<Result<_, _>>()?));
    }
    Ok(rows)
}

fn row_of(node: &Node) -> Result<Row, yaml::Place> {
    let What::Map(entries) = &node.what else { return Err(node.place) };
    let pair = |entry: &yaml::Entry| match &entry.value.what {
        What::Number(_, written) => Ok((entry.key.clone(), written.clone())),
        What::Text(text) => Ok((entry.key.clone(), text.clone())),
        _ => Err(entry.value.place),
    };
    entries.iter().map(pair).collect()
}

fn number(value: f64) -> String {
    let text = format!("{value:.DECIMALS$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn value_of(row: &Row, key: &str) -> f64 {
    row.iter().find(|(known, _)| known == key).and_then(|(_, value)| value.parse().ok()).unwrap_or(f64::NAN)
}

/// Puts the row in its place; values of the same kind that were read before go.
fn put(rows: &mut Rows, found: &Found, day: &str, note: &str) {
    let at = rows.iter().position(|(table, _)| table == found.table).unwrap_or_else(|| {
        rows.push((found.table.to_owned(), Vec::new()));
        rows.len() - 1
    });
    let table = &mut rows[at].1;
    let same = |row: &Row| found.key.iter().all(|(key, value)| (value_of(row, key) - value).abs() < 1e-6);
    for row in table.iter_mut().filter(|row| same(row)) {
        row.retain(|(key, _)| !found.values.iter().any(|(known, _)| known == key));
    }
    let is_key = |key: &str| found.key.iter().any(|(known, _)| *known == key);
    table.retain(|row| {
        !same(row) || row.iter().any(|(key, _)| !is_key(key) && !ROW_KEYS.contains(&key.as_str()))
    });
    let numbers =
        found.key.iter().chain(&found.values).map(|(key, value)| ((*key).to_owned(), number(*value)));
    let about = [("measured", day), ("note", note)].map(|(key, value)| (key.to_owned(), value.to_owned()));
    table.push(numbers.chain(about).collect());
    let keys: Vec<&str> = found.key.iter().map(|(key, _)| *key).collect();
    table.sort_by(|a, b| {
        let order = |key: &&str| value_of(a, key).total_cmp(&value_of(b, key));
        keys.iter().map(order).find(|order| order.is_ne()).unwrap_or(std::cmp::Ordering::Equal)
    });
}

fn written(wood: &str, rows: &Rows) -> String {
    let mut text = format!(
        "# What coupons told of {wood}: written by `grainwise coupon --reading` and laid over the wood's tables.\n\
         # A row that is deleted no longer counts. Write values of your own into ../tables/{wood}.yaml: this file is\n\
         # written anew by the next reading.\n\
         extends: {wood}\n"
    );
    for (key, _) in TABLES {
        for (_, rows) in rows.iter().filter(|(table, rows)| table == key && !rows.is_empty()) {
            let _ = write!(text, "\n{key}:\n  rows:\n");
            for row in rows {
                let pairs: Vec<String> =
                    row.iter().map(|(key, value)| format!("{key}: {}", quoted(key, value))).collect();
                let _ = writeln!(text, "    - {{{}}}", pairs.join(", "));
            }
        }
    }
    text
}

/// Notes may hold any letters: they stand in quotes.
fn quoted(key: &str, value: &str) -> String {
    if key != "note" {
        return value.to_owned();
    }
    let plain: String = value.chars().filter(|c| !c.is_control()).collect();
    format!("\"{}\"", plain.replace('\\', "\\\\").replace('"', "\\\""))
}
