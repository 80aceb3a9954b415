//! What is said where stock does not do.

use grainwise::problem::{Problem, Problems};
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Layout, lay};

use crate::sheet::kit::{ROOM, job, part, rectangle, stock};

fn told(parts: &[Part], sheets: Vec<grainwise::stages::job::Stock>) -> (Layout, Vec<Problem>) {
    let mut problems = Problems::new();
    let layout = lay(parts, &job(sheets), ROOM, &mut problems);
    (layout, problems.into_iter().collect())
}

#[test]
fn a_part_that_fits_no_sheet_is_named_with_its_size_and_the_largest_sheet() {
    let (layout, problems) = told(
        &[part("keel", rectangle(995.0, 50.0))],
        vec![stock(300.0, 75.0, None), stock(1000.0, 100.0, None)],
    );
    assert!(layout.sheets.is_empty());
    let problem = &problems[0];
    assert_eq!((problem.code, problem.part.as_deref()), ("fits-no-sheet", Some("keel")));
    for word in ["995 mm along the grain", "50 mm across", "1000 x 100 mm", "994 x 94 mm"] {
        assert!(problem.message.contains(word), "{}", problem.message);
    }
}

#[test]
fn both_hands_of_a_part_that_fits_nowhere_are_told_of_once() {
    let mut piece = part("keel", rectangle(995.0, 50.0));
    (piece.copies, piece.mirrored) = (2, 1);
    assert_eq!(told(&[piece], vec![stock(300.0, 75.0, None)]).1.len(), 1);
}

#[test]
fn too_little_stock_says_how_many_more_sheets_it_takes() {
    let mut piece = part("side", rectangle(280.0, 60.0));
    piece.copies = 5;
    let (layout, problems) = told(&[piece], vec![stock(300.0, 75.0, Some(2))]);
    assert_eq!(layout.sheets.len(), 2);
    assert_eq!(problems[0].code, "not-enough-stock");
    for word in ["3 of 5 pieces", "side", "3 sheets of 300 x 75 mm are missing", "504 cm2"] {
        assert!(problems[0].message.contains(word), "{}", problems[0].message);
    }
}

#[test]
fn what_has_no_stock_at_all_is_told_once_and_the_rest_is_laid() {
    let mut ply = [part("F1", rectangle(50.0, 50.0)), part("F2", rectangle(50.0, 50.0))];
    for part in &mut ply {
        part.wood = "light-ply".to_owned();
    }
    let parts = [ply[0].clone(), part("A", rectangle(50.0, 50.0)), ply[1].clone()];
    let (layout, problems) = told(&parts, vec![stock(300.0, 75.0, None)]);
    assert_eq!(layout.sheets.len(), 1);
    assert_eq!(problems.len(), 1);
    assert!(problems[0].message.contains("light-ply 2.5 mm"), "{}", problems[0].message);
    assert!(problems[0].message.contains("F1, F2"), "{}", problems[0].message);
}

#[test]
fn no_stock_is_not_told_again_of_a_part_that_was_told_of() {
    let mut problems = Problems::new();
    problems.push(Problem::error("no-stock", "said before").of_part("A"));
    lay(&[part("A", rectangle(5.0, 5.0))], &job(Vec::new()), ROOM, &mut problems);
    assert_eq!(problems.len(), 1);
}

#[test]
fn billions_of_copies_are_refused_at_once() {
    let mut piece = part("A", rectangle(5.0, 5.0));
    piece.copies = u32::MAX;
    let (layout, problems) = told(&[piece], vec![stock(300.0, 75.0, None)]);
    assert!(layout.sheets.is_empty());
    assert_eq!(problems[0].code, "too-many-pieces");
}

#[test]
fn a_sheet_smaller_than_its_margins_holds_nothing() {
    let (_, problems) = told(&[part("A", rectangle(5.0, 5.0))], vec![stock(5.0, 5.0, None)]);
    assert_eq!(problems[0].code, "fits-no-sheet");
}
