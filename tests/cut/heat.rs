//! Heat of a beam: what was just cut is still warm.

use grainwise::geometry::Region;
use grainwise::geometry::distance::{SegmentIndex, gap};
use grainwise::shop::LaserWish;
use grainwise::stages::cut::{Cut, Operation, SheetCuts};
use grainwise::stages::job::Cutting;
use grainwise::stages::part::Part;

use super::support::{circle, closed, job_with, part, planned, rectangle, shop, solid};

/// Squares of 10 mm in a grid, 2 mm apart.
fn grid(columns: u32, rows: u32) -> Vec<Part> {
    let one = |i: u32| {
        let (x, y) = (10.0 + 12.0 * f64::from(i % columns), 10.0 + 12.0 * f64::from(i / columns));
        part(&format!("A{i}"), solid(rectangle(x, y, x + 10.0, y + 10.0)))
    };
    (0..columns * rows).map(one).collect()
}

fn cut_with(parts: &[Part], apart_mm: f64, bridge_kerfs: f64) -> SheetCuts {
    let laser =
        LaserWish { apart_mm: Some(apart_mm), bridge_kerfs: Some(bridge_kerfs), ..LaserWish::default() };
    planned(parts, &job_with(Cutting { laser, ..Cutting::default() }), &shop("desktop-laser"))
}

/// How many cuts follow right after one nearer than this.
fn follow(sheet: &SheetCuts, limit: f64) -> usize {
    let index = |cut: &Cut| SegmentIndex::of_outline(closed(cut));
    sheet.cuts.windows(2).filter(|pair| gap(&index(&pair[0]), &index(&pair[1]), limit).is_some()).count()
}

#[test]
fn neighbours_follow_each_other_where_heat_is_no_matter() {
    assert!(follow(&cut_with(&grid(8, 6), 0.0, 0.0), 5.0) > 40);
}

#[test]
fn fewer_neighbours_follow_each_other_where_it_is() {
    let with = |apart| follow(&cut_with(&grid(8, 6), apart, 0.0), 5.0);
    assert!(with(5.0) < with(0.0), "{} of {}", with(5.0), with(0.0));
}

#[test]
fn to_keep_neighbours_apart_costs_travel() {
    // Few enough that the shortest way is found both times.
    let travel = |apart| cut_with(&grid(4, 3), apart, 0.0).travel_length_mm;
    assert!(travel(5.0) > travel(0.0), "{} and {}", travel(5.0), travel(0.0));
}

#[test]
fn a_hole_that_leaves_a_thin_bridge_comes_last_with_its_outline() {
    // The first part's hole is 0.4 mm from its edge; the second one's is far from it.
    let holed = |x: f64, hole: f64| {
        Region::new(rectangle(x, 20.0, x + 40.0, 60.0), vec![circle(x + hole, 40.0, 5.0)])
    };
    let parts = [part("thin", holed(20.0, 5.4)), part("thick", holed(80.0, 20.0))];
    let sheet = cut_with(&parts, 0.0, 4.0);
    let order: Vec<usize> = sheet.cuts.iter().map(|cut| cut.placed).collect();
    assert_eq!(order, [1, 1, 0, 0]);
    assert_eq!(sheet.cuts[2].operation, Operation::CutInside);
}

#[test]
fn a_cutter_keeps_nothing_apart() {
    let parts = grid(6, 4);
    let wish = LaserWish { apart_mm: Some(100.0), bridge_kerfs: Some(50.0), ..LaserWish::default() };
    let with =
        |laser| planned(&parts, &job_with(Cutting { laser, ..Cutting::default() }), &shop("workshop-router"));
    assert_eq!(with(wish).cuts, with(LaserWish::default()).cuts);
}
