//! The last look finds what a faulty search would leave.

use grainwise::geometry::{Placement, Vec2};
use grainwise::problem::Problems;
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Layout, Placed, Room, check};

use crate::sheet::kit::{ROOM, disc, part, rectangle, ring, sheet_with};

/// The codes found for two pieces, each turned and shifted so, on a sheet of 300 by 100 mm.
fn codes(parts: &[Part], places: [(f64, f64, f64); 2], room: Room) -> Vec<&'static str> {
    let placed = (0..2)
        .map(|i| {
            let (turn_deg, x, y) = places[i];
            let placement = Placement { mirrored: false, turn_deg, shift: Vec2::new(x, y) };
            Placed { part: i, copy: 1, placement }
        })
        .collect();
    let sheet = sheet_with(placed);
    let mut problems = Problems::new();
    check(&Layout { sheets: vec![sheet] }, parts, room, &mut problems);
    problems.iter().map(|p| p.code).collect()
}

fn rectangles() -> [Part; 2] {
    [part("A", rectangle(50.0, 20.0)), part("B", rectangle(50.0, 20.0))]
}

#[test]
fn pieces_at_the_spacing_are_well() {
    assert!(codes(&rectangles(), [(0.0, 3.0, 3.0), (0.0, 54.2, 3.0)], ROOM).is_empty());
}

#[test]
fn pieces_nearer_than_the_spacing_are_found() {
    assert_eq!(codes(&rectangles(), [(0.0, 3.0, 3.0), (0.0, 54.199, 3.0)], ROOM), ["overlap"]);
}

#[test]
fn a_piece_within_the_material_of_another_is_found() {
    let parts = [part("A", rectangle(90.0, 90.0)), part("B", rectangle(10.0, 10.0))];
    assert_eq!(codes(&parts, [(0.0, 3.0, 3.0), (0.0, 40.0, 40.0)], ROOM), ["overlap"]);
}

#[test]
fn a_piece_in_a_hole_is_well_until_it_touches() {
    let parts = [part("A", ring(45.0, 40.0)), part("B", disc(30.0))];
    assert!(codes(&parts, [(0.0, 50.0, 50.0), (0.0, 47.0, 57.0)], ROOM).is_empty());
    assert_eq!(codes(&parts, [(0.0, 50.0, 50.0), (0.0, 57.0, 57.0)], ROOM), ["overlap"]);
}

#[test]
fn without_spacing_pieces_may_touch_and_not_overlap() {
    let room = Room { spacing_mm: 0.0, margin_mm: 0.0 };
    assert!(codes(&rectangles(), [(0.0, 0.0, 0.0), (0.0, 50.0, 0.0)], room).is_empty());
    assert_eq!(codes(&rectangles(), [(0.0, 0.0, 0.0), (0.0, 49.9, 0.5)], room), ["overlap"]);
}

#[test]
fn a_piece_in_the_margin_is_found() {
    assert_eq!(codes(&rectangles(), [(0.0, 2.999, 3.0), (0.0, 60.0, 3.0)], ROOM), ["off-sheet"]);
}

#[test]
fn grain_astray_is_found() {
    assert_eq!(codes(&rectangles(), [(0.01, 4.0, 3.0), (0.0, 60.0, 3.0)], ROOM), ["grain-off"]);
}
