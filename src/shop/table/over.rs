//! Lays the rows of a person's own file over those that are there, and keeps what came from where.

use serde::Serialize;

use super::row::{Column, Row};
use crate::yaml::{Place, Reader};

/// Two sizes of wood, beam or cutter closer than this (millimetres or watts) are the same, as in [`super::lookup`].
const SAME: f64 = 1e-6;

/// A value so many times above or below the one that it replaces is told: a slip of the unit makes 25.4 (inches for
/// millimetres) or 60 (a second for a minute), and no machine or wood of a workshop differs so much from the next.
const UNLIKELY: f64 = 8.0;

/// What a person's own file says in one row.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Given {
    /// Which table.
    pub table: &'static str,
    /// What the row is looked up by: beam or cutter and thickness, or one of these.
    pub key: Vec<f64>,
    /// The columns that it gives beyond those.
    pub columns: Vec<&'static str>,
    /// The file, as the person named it.
    pub file: String,
    /// Its line in it.
    pub line: usize,
    /// The day on which it was measured, where the file says so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured: Option<String>,
    /// What else the file says of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// A row as a file gives it: a value for some or all columns.
#[derive(Clone, Debug)]
pub(super) struct Own {
    pub(super) place: Place,
    pub(super) values: Vec<Option<f64>>,
    pub(super) measured: Option<String>,
    pub(super) note: Option<String>,
}

impl Own {
    pub(super) fn new(place: Place, columns: usize) -> Self {
        Self { place, values: vec![None; columns], measured: None, note: None }
    }

    /// What it is looked up by: the first `by` values, which every row has.
    pub(super) fn key(&self, by: usize) -> Vec<f64> {
        self.values[..by].iter().map(|value| value.unwrap_or(f64::NAN)).collect()
    }

    pub(super) fn given(&self, table: &'static str, columns: &[Column], by: usize, file: &str) -> Given {
        let named = columns.iter().zip(&self.values).skip(by).filter(|(_, value)| value.is_some());
        Given {
            table,
            key: self.key(by),
            columns: named.map(|(column, _)| column.0).collect(),
            file: file.to_owned(),
            line: self.place.0,
            measured: self.measured.clone(),
            note: self.note.clone(),
        }
    }
}

pub(super) fn same(a: &[f64], b: &[f64]) -> bool {
    a.iter().zip(b).all(|(a, b)| (a - b).abs() <= SAME)
}

/// Puts the rows of a file in: each replaces the row of the same key, or stands beside the others. Values that a row does
/// not give are those of the table so far, between its rows where need be; it is a problem where that has none.
pub(super) fn lay<R: Row>(name: &str, rows: &mut Vec<R>, own: &[Own], extends: bool, reader: &mut Reader) {
    if !extends {
        *rows = own.iter().filter_map(|own| filled(name, own, None, reader)).collect();
        return;
    }
    let base = rows.clone();
    for own in own {
        let key = own.key(R::BY);
        let there = rows.iter().find(|row| same(&row.values()[..R::BY], &key)).copied();
        let under = there.or_else(|| R::at(&base, &key));
        let Some(row) = filled(name, own, under.as_ref(), reader) else { continue };
        unlikely(name, own, under.as_ref(), reader);
        beside_new_neighbours(rows, &base, &key);
        put(rows, row);
    }
}

/// The whole row.
fn filled<R: Row>(name: &str, own: &Own, under: Option<&R>, reader: &mut Reader) -> Option<R> {
    let under = under.map(R::values);
    let value = |i: usize| own.values[i].or_else(|| under.as_ref().map(|values| values[i]));
    let missing: Vec<&str> =
        (0..R::COLUMNS.len()).filter(|&i| value(i).is_none()).map(|i| R::COLUMNS[i].0).collect();
    if missing.is_empty() {
        let values: Vec<f64> = (0..R::COLUMNS.len()).filter_map(value).collect();
        return Some(R::of(&values));
    }
    let message = format!("this row of '{name}' needs {}", missing.join(", "));
    let hint =
        "there is no row to take them from: the table has none for these sizes, or the file extends no other";
    reader.wrong("missing-value", own.place, message, hint);
    None
}

/// Tells values that are far from those they replace.
fn unlikely<R: Row>(name: &str, own: &Own, under: Option<&R>, reader: &mut Reader) {
    let Some(under) = under.map(R::values) else { return };
    let both = R::COLUMNS.iter().zip(own.values.iter().zip(under)).skip(R::BY);
    for ((column, ..), (value, before)) in both {
        let Some(value) = *value else { continue };
        if value > 0.0 && before > 0.0 && !(before / UNLIKELY..=before * UNLIKELY).contains(&value) {
            let message = format!("'{column}' of '{name}' is {value}; here it replaces {before:.4}");
            let hint = format!("is it in the unit that the column ends in? '{column}' names it");
            reader.doubt("unlikely-value", own.place, message, hint);
        }
    }
}

/// A beam or cutter that the table had no rows of gets one for each thickness, between those of its neighbours: else
/// nothing could be looked up for it but the one thickness that was measured.
fn beside_new_neighbours<R: Row>(rows: &mut Vec<R>, base: &[R], key: &[f64]) {
    if R::BY < 2 || base.iter().any(|row| same(&row.values()[..1], &key[..1])) {
        return;
    }
    let mut known = rows.iter().map(R::values).filter(|values| same(&values[..1], &key[..1]));
    if known.next().is_some() {
        return;
    }
    let mut thicknesses: Vec<f64> = base.iter().map(|row| row.values()[1]).collect();
    thicknesses.sort_by(f64::total_cmp);
    thicknesses.dedup();
    for thickness in thicknesses {
        if let Some(row) = R::at(base, &[key[0], thickness]) {
            put(rows, row);
        }
    }
}

/// In its place among the rows, instead of the one of the same key.
fn put<R: Row>(rows: &mut Vec<R>, row: R) {
    let values = row.values();
    let key = &values[..R::BY];
    if let Some(old) = rows.iter_mut().find(|old| same(&old.values()[..R::BY], key)) {
        *old = row;
        return;
    }
    let at = rows
        .partition_point(|other| other.values()[..R::BY].partial_cmp(key) == Some(std::cmp::Ordering::Less));
    rows.insert(at, row);
}
