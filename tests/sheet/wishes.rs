//! What a person asks of single parts and of sheets: quality and price, together, pinned, spares.

use grainwise::geometry::{Outline, Point};
use grainwise::problem::Problems;
use grainwise::stages::job::{Blank, Effort, Lying, Pin, Stock};
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Layout, lay, spares};

use crate::sheet::kit::{ROOM, assert_right, job, laid, part, rectangle, region, rib, stock};

const EFFORTS: [Effort; 2] = [Effort::Quick, Effort::Normal];

fn lay_all(effort: Effort, parts: &[Part], stock: &[Stock]) -> (Layout, Problems) {
    let mut problems = Problems::new();
    let mut job = job(stock.to_vec());
    job.effort = effort;
    (lay(parts, &job, ROOM, &mut problems), problems)
}

fn well(effort: Effort, parts: &[Part], stock: &[Stock]) -> Layout {
    let (layout, problems) = lay_all(effort, parts, stock);
    assert!(problems.is_empty(), "{problems:?}");
    layout
}

fn several(id: &str, length: f64, width: f64, copies: u32) -> Part {
    Part { copies, ..part(id, rectangle(length, width)) }
}

/// The sheets on which a part lies.
fn sheets_of(layout: &Layout, part: usize) -> Vec<usize> {
    let on = |sheet: &&grainwise::stages::sheet::Sheet| sheet.placed.iter().any(|p| p.part == part);
    layout.sheets.iter().filter(on).map(|sheet| sheet.number).collect()
}

#[test]
fn the_cheapest_sheets_that_hold_everything_are_taken() {
    let dear = Stock { price: Some(9.0), ..stock(300.0, 100.0, None) };
    let cheap = Stock { price: Some(4.0), ..stock(310.0, 110.0, None) };
    let parts = [several("A", 140.0, 90.0, 4)];
    for effort in EFFORTS {
        for stock in [[dear.clone(), cheap.clone()], [cheap.clone(), dear.clone()]] {
            let layout = well(effort, &parts, &stock);
            assert_right(&layout, &parts, ROOM);
            assert_eq!(layout.sheets.iter().map(|s| s.price).collect::<Vec<_>>(), [Some(4.0), Some(4.0)]);
        }
    }
}

#[test]
fn one_large_sheet_is_taken_where_small_ones_cost_more() {
    let small = Stock { price: Some(5.0), ..stock(300.0, 100.0, None) };
    let large = Stock { price: Some(8.0), ..stock(600.0, 100.0, None) };
    let parts = [several("A", 140.0, 90.0, 4)];
    let layout = well(Effort::Quick, &parts, &[small, large]);
    assert_eq!(layout.sheets.iter().map(|s| s.length_mm).collect::<Vec<_>>(), [600.0]);
}

#[test]
fn what_costs_nothing_is_used_before_what_is_bought() {
    let own = Stock { price: Some(0.0), ..stock(300.0, 100.0, Some(1)) };
    let bought = Stock { price: Some(1.0), ..stock(300.0, 100.0, None) };
    let layout = well(Effort::Quick, &[several("A", 140.0, 90.0, 2)], &[bought, own]);
    assert_eq!(layout.sheets.iter().map(|s| s.price).collect::<Vec<_>>(), [Some(0.0)]);
}

#[test]
fn parts_that_ask_for_good_wood_lie_on_it_and_others_on_the_cheap() {
    let good = Stock { price: Some(9.0), quality: 4, ..stock(300.0, 100.0, None) };
    let plain = Stock { price: Some(2.0), ..stock(300.0, 100.0, None) };
    let mut parts = [several("SPAR", 280.0, 20.0, 1), several("RIB", 140.0, 40.0, 12)];
    parts[0].lying = Lying { quality: 3, ..Lying::default() };
    for effort in EFFORTS {
        let layout = well(effort, &parts, &[plain.clone(), good.clone()]);
        assert_right(&layout, &parts, ROOM);
        let spar = sheets_of(&layout, 0)[0];
        assert_eq!(layout.sheets[spar - 1].price, Some(9.0));
        assert_eq!(layout.sheets.iter().filter(|sheet| sheet.price == Some(9.0)).count(), 1);
    }
    let (_, problems) = lay_all(Effort::Quick, &parts, &[plain]);
    assert_eq!(problems.iter().map(|p| p.code).collect::<Vec<_>>(), ["no-such-quality"]);
}

/// Each side would fill up a sheet beside an X; both together need one of their own.
fn pair() -> Vec<Part> {
    let mut parts = vec![
        several("L", 150.0, 30.0, 1),
        several("R", 150.0, 30.0, 1),
        several("X", 250.0, 60.0, 2),
        Part { copies: 6, ..part("W", rib(80.0)) },
    ];
    for part in &mut parts[..2] {
        part.lying = Lying { together: Some("sides".to_owned()), ..Lying::default() };
    }
    parts
}

#[test]
fn parts_that_belong_together_lie_on_one_sheet() {
    let stock = [stock(300.0, 100.0, None)];
    for effort in EFFORTS {
        let layout = well(effort, &pair(), &stock);
        assert_right(&layout, &pair(), ROOM);
        assert_eq!((sheets_of(&layout, 0).len(), sheets_of(&layout, 0)), (1, sheets_of(&layout, 1)));
    }
    let mut apart = pair();
    apart[0].lying = Lying::default();
    apart[1].lying = Lying::default();
    let layout = well(Effort::Quick, &apart, &stock);
    assert_ne!(sheets_of(&layout, 0), sheets_of(&layout, 1));
}

#[test]
fn parts_too_large_to_lie_together_are_told_of() {
    let mut parts = pair();
    parts[0].copies = 3;
    let (layout, problems) = lay_all(Effort::Quick, &parts, &[stock(300.0, 100.0, None)]);
    assert_eq!(problems.iter().map(|p| p.code).collect::<Vec<_>>(), ["together-too-large"]);
    assert_right(&layout, &parts, ROOM);
}

fn pinned(sheet: u32, x: f64, y: f64, turn_deg: Option<f64>) -> Lying {
    let pin = Pin { sheet, at: Point::new(x, y), turn_deg, line: (0, 0) };
    Lying { pins: vec![pin], ..Lying::default() }
}

#[test]
fn a_pinned_piece_lies_where_it_was_pinned() {
    for effort in EFFORTS {
        let mut parts = pair();
        parts[3].lying = pinned(1, 101.5, 50.25, Some(180.0));
        parts[2].lying = pinned(2, 20.0, 10.0, None);
        let layout = well(effort, &parts, &[stock(300.0, 100.0, None)]);
        assert_right(&layout, &parts, ROOM);
        for (part, sheet, x, y) in [(3, 0, 101.5, 50.25), (2, 1, 20.0, 10.0)] {
            let placed = layout.sheets[sheet].placed.iter().find(|p| p.part == part && p.copy == 1).unwrap();
            let bounds = region(placed, &parts).bounds();
            assert!((bounds.x0 - x).abs() < 1e-9 && (bounds.y0 - y).abs() < 1e-9, "{bounds:?}");
        }
        let rib = layout.sheets[0].placed.iter().find(|p| p.part == 3 && p.copy == 1).unwrap();
        assert_eq!(rib.placement.turn_deg, 180.0);
    }
}

#[test]
fn a_pin_that_cannot_hold_is_told_of() {
    let codes = |lying: Lying| {
        let mut parts = [part("A", rectangle(50.0, 20.0)), part("B", rectangle(50.0, 20.0))];
        (parts[0].lying, parts[1].lying) = (pinned(1, 100.0, 30.0, None), lying);
        let (_, problems) = lay_all(Effort::Quick, &parts, &[stock(300.0, 100.0, None)]);
        assert!(problems.iter().all(|p| !p.hint.contains("fault in Grainwise")), "{problems:?}");
        problems.iter().map(|p| p.code).collect::<Vec<_>>()
    };
    assert!(codes(pinned(1, 160.0, 30.0, None)).is_empty());
    assert_eq!(codes(pinned(1, 260.0, 30.0, None)), ["pin-off-sheet"]);
    assert_eq!(codes(pinned(1, 110.0, 30.0, None)), ["overlap"]);
    assert_eq!(codes(pinned(1, 160.0, 30.0, Some(90.0))), ["grain-off"]);
    assert_eq!(codes(pinned(3, 160.0, 30.0, None)), ["not-laid"]);
}

#[test]
fn spares_fill_what_is_left_and_open_no_sheet() {
    let mut parts = [several("A", 140.0, 90.0, 1), several("B", 60.0, 40.0, 1)];
    parts[1].lying = Lying { spares: 3, ..Lying::default() };
    let layout = laid(&parts, vec![stock(300.0, 100.0, None)]);
    assert_eq!(layout.sheets.len(), 1);
    assert_eq!(spares(&layout, &parts), [(1, 3)]);
    parts[1].copies += 3;
    assert_right(&layout, &parts, ROOM);
    parts[1].copies = 1;
    // Beside A there is room for four in all, of which a knot takes one.
    parts[1].lying.spares = 9;
    let blank = Blank { avoid: vec![Outline::circle(Point::new(250.0, 80.0), 5.0)], ..Blank::default() };
    let layout = laid(&parts, vec![Stock { blank, ..stock(300.0, 100.0, None) }]);
    assert_eq!(spares(&layout, &parts), [(1, 2)]);
    parts[1].copies += 2;
    assert_right(&layout, &parts, ROOM);
}
