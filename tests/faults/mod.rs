//! Seeded faults: good files are spoiled in every way that a slip of the program, of a drawing program, of a cable or of a
//! hand could spoil them, at many random places. The proof has to catch every change that matters and to pass every one
//! that does not. Whether a change matters is known by how it is made, never by asking the proof.

mod dice;
mod dxf;
mod form;
mod gcode;
mod harm;
pub(crate) mod kit;
pub(crate) mod paths;
mod pieces;
mod svg;
mod tabs;
mod table;

use grainwise::problem::Severity;
use table::{Kind, Row};

/// So many wrong judgements of a kind are told.
const TOLD: usize = 6;

fn kinds() -> impl Iterator<Item = Kind> {
    let by_form = [gcode::KINDS, dxf::KINDS, svg::KINDS].concat().concat();
    [form::KINDS, pieces::KINDS].concat().into_iter().chain(by_form)
}

#[test]
fn the_good_files_are_right() {
    for good in kit::all() {
        let proof = good.proved(good.text.as_bytes());
        let errors: Vec<_> = proof.problems.iter().filter(|p| p.severity == Severity::Error).collect();
        assert!(errors.is_empty(), "{}: {errors:#?}", good.name);
    }
}

#[test]
fn harmful_changes_are_caught_and_harmless_ones_pass() {
    let rows: Vec<Row> = kinds().map(table::tried).collect();
    for row in &rows {
        println!("{row}");
    }
    let tries = |harmful: bool| -> usize {
        rows.iter().filter(|row| row.kind.harmful == harmful).map(|row| row.tries).sum()
    };
    println!("{} kinds, {} harmful tries, {} harmless", rows.len(), tries(true), tries(false));
    let untried: Vec<&str> = rows.iter().filter(|row| row.tries == 0).map(|row| row.kind.name).collect();
    let wrong: Vec<&String> = rows.iter().flat_map(|row| row.wrong.iter().take(TOLD)).collect();
    assert!(wrong.is_empty(), "taken wrongly, for example:\n{wrong:#?}");
    assert!(untried.is_empty(), "never tried: {untried:?}");
}

#[test]
fn there_are_enough_kinds_and_no_two_share_a_name() {
    let names: std::collections::BTreeSet<&str> = kinds().map(|kind| kind.name).collect();
    assert_eq!(names.len(), kinds().count());
    assert!(names.len() >= 60, "{}", names.len());
}
