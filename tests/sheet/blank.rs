//! Sheets that are no whole rectangle of good wood.

use grainwise::geometry::{Outline, Placement, Point, Rect, Vec2};
use grainwise::problem::Problems;
use grainwise::stages::job::{Blank, Clamp, Effort, Stock};
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Layout, Placed, Sheet, check, lay};

use crate::sheet::kit::{ROOM, assert_right, disc, job, laid, part, rectangle, rib, sheet_with, stock};

fn with(blank: Blank, length: f64, width: f64, count: Option<u32>) -> Stock {
    Stock { blank, ..stock(length, width, count) }
}

/// A knot in the middle, a split at the end.
fn spoiled() -> Blank {
    let split = Outline::polygon(&[(300.0, 20.0), (260.0, 31.0), (300.0, 35.0)]).unwrap();
    let avoid = vec![Outline::circle(Point::new(120.0, 50.0), 14.0), split];
    Blank { avoid, ..Blank::default() }
}

/// What a fuselage side left of a sheet: a slanting end, and a bay cut into its lower edge.
fn remnant() -> (Blank, (f64, f64)) {
    let corners = [
        (10.0, 5.0),
        (100.0, 5.0),
        (120.0, 30.0),
        (180.0, 30.0),
        (200.0, 5.0),
        (310.0, 5.0),
        (270.0, 105.0),
        (10.0, 105.0),
    ];
    Blank::default().remnant(&Outline::polygon(&corners).unwrap(), &[])
}

fn kit() -> Vec<Part> {
    let mut parts = vec![part("R", rib(110.0)), part("F", rectangle(38.0, 24.0)), part("W", disc(9.0))];
    (parts[0].copies, parts[0].mirrored, parts[1].copies, parts[2].copies) = (8, 4, 5, 6);
    parts
}

fn laid_with(effort: Effort, parts: &[Part], stock: Vec<Stock>) -> Layout {
    let mut problems = Problems::new();
    let mut job = job(stock);
    job.effort = effort;
    let layout = lay(parts, &job, ROOM, &mut problems);
    assert!(problems.is_empty(), "{problems:?}");
    layout
}

#[test]
fn no_piece_lies_on_a_knot_or_a_split() {
    for effort in [Effort::Quick, Effort::Normal] {
        let layout = laid_with(effort, &kit(), vec![with(spoiled(), 300.0, 100.0, None)]);
        assert_right(&layout, &kit(), ROOM);
        assert_eq!(layout.sheets[0].blank.avoid.len(), 2);
    }
}

#[test]
fn pieces_lie_within_the_outline_of_a_remnant() {
    let (blank, (length, width)) = remnant();
    assert_eq!((length, width), (300.0, 100.0));
    for effort in [Effort::Quick, Effort::Normal] {
        let layout = laid_with(effort, &kit(), vec![with(blank.clone(), length, width, None)]);
        assert_right(&layout, &kit(), ROOM);
    }
}

#[test]
fn a_rectangle_of_points_is_no_remnant_of_its_own() {
    let outline = Outline::rectangle(Rect::new(7.0, 9.0, 307.0, 109.0));
    let (blank, size) = Blank::default().remnant(&outline, &[Outline::circle(Point::new(17.0, 29.0), 4.0)]);
    assert_eq!((blank.outline, size), (None, (300.0, 100.0)));
    assert_eq!(blank.avoid[0].bounds(), Rect::new(6.0, 16.0, 14.0, 24.0));
}

#[test]
fn clamps_keep_the_edges_free() {
    let clamp = Clamp { left: 20.0, right: 5.0, bottom: 0.0, top: 12.0 };
    let blank = Blank { clamp, ..Blank::default() };
    for effort in [Effort::Quick, Effort::Normal] {
        let layout = laid_with(effort, &kit(), vec![with(blank.clone(), 300.0, 100.0, None)]);
        assert_right(&layout, &kit(), ROOM);
    }
    // As long and wide as what is left between clamps and margins.
    let parts = [part("A", rectangle(300.0 - 6.0 - 25.0, 100.0 - 6.0 - 12.0))];
    assert_right(&laid(&parts, vec![with(blank, 300.0, 100.0, Some(1))]), &parts, ROOM);
}

#[test]
fn a_remnant_is_used_before_a_larger_sheet_is_begun() {
    let (blank, (length, width)) = remnant();
    let stock = vec![stock(1000.0, 100.0, None), with(blank, length, width, Some(1))];
    let parts = [part("R", rib(110.0))];
    let layout = laid(&parts, stock);
    assert!(layout.sheets.len() == 1 && layout.sheets[0].blank.outline.is_some());
    assert_right(&layout, &parts, ROOM);
}

#[test]
fn a_piece_that_no_sheet_holds_beside_its_knots_is_told_of() {
    let blank = Blank { avoid: vec![Outline::circle(Point::new(150.0, 50.0), 20.0)], ..Blank::default() };
    let parts = [part("A", rectangle(180.0, 80.0)), part("B", rectangle(40.0, 20.0))];
    let mut problems = Problems::new();
    let layout = lay(&parts, &job(vec![with(blank, 300.0, 100.0, None)]), ROOM, &mut problems);
    assert_eq!(
        problems.iter().map(|p| (p.code, p.part.as_deref())).collect::<Vec<_>>(),
        [("fits-no-sheet", Some("A"))]
    );
    assert_eq!(layout.sheets[0].placed.len(), 1);
}

/// What the last look finds of one piece that lies so on a sheet that is like this.
fn codes(blank: Blank, x: f64, y: f64) -> Vec<&'static str> {
    let parts = [part("A", rectangle(50.0, 20.0))];
    let placement = Placement { mirrored: false, turn_deg: 0.0, shift: Vec2::new(x, y) };
    let sheet = Sheet { blank, ..sheet_with(vec![Placed { part: 0, copy: 1, placement }]) };
    let mut problems = Problems::new();
    check(&Layout { sheets: vec![sheet] }, &parts, ROOM, &mut problems);
    problems.iter().map(|p| p.code).collect()
}

#[test]
fn the_last_look_finds_pieces_in_zones_and_beyond_outlines_and_under_clamps() {
    assert!(codes(spoiled(), 54.8, 40.0).is_empty());
    assert_eq!(codes(spoiled(), 54.801, 40.0), ["in-zone"]);
    assert_eq!(codes(spoiled(), 100.0, 40.0), ["in-zone"]);
    assert!(codes(remnant().0, 3.0, 30.0).is_empty());
    assert_eq!(codes(remnant().0, 120.0, 20.0), ["off-sheet"]);
    assert_eq!(codes(remnant().0, 120.0, 27.999), ["off-sheet"]);
    assert_eq!(codes(remnant().0, 240.0, 75.0), ["off-sheet"]);
    let clamp = Clamp { left: 20.0, ..Clamp::default() };
    assert_eq!(codes(Blank { clamp, ..Blank::default() }, 22.999, 30.0), ["off-sheet"]);
    assert!(codes(Blank { clamp, ..Blank::default() }, 23.0, 30.0).is_empty());
}
