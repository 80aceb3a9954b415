//! What is left of sheets, and what they come to.

use grainwise::geometry::{Outline, Rect};
use grainwise::stages::job::{Blank, Stock};
use grainwise::stages::sheet::{Layout, accounts};

use crate::sheet::kit::{ROOM, laid, part, rectangle, region, stock};

#[test]
fn what_one_straight_cut_takes_off_is_left() {
    let parts = [part("A", rectangle(100.0, 94.0))];
    let layout = laid(&parts, vec![stock(300.0, 100.0, None)]);
    let left = layout.sheets[0].remnant.as_ref().unwrap();
    let from = region(&layout.sheets[0].placed[0], &parts).bounds().x1 + ROOM.spacing_mm;
    assert_eq!(left.bounds(), Rect::new(from, 0.0, 300.0, 100.0));
    assert!((left.area() - (300.0 - from) * 100.0).abs() < 1e-9);
}

#[test]
fn a_cut_along_the_grain_may_leave_more() {
    let parts = [part("A", rectangle(294.0, 20.0))];
    let layout = laid(&parts, vec![stock(300.0, 100.0, None)]);
    let left = layout.sheets[0].remnant.as_ref().unwrap();
    assert_eq!((left.bounds().width(), left.bounds().y1), (300.0, 100.0));
}

#[test]
fn strips_too_narrow_to_keep_are_waste() {
    let parts = [part("A", rectangle(280.0, 90.0))];
    assert_eq!(laid(&parts, vec![stock(300.0, 100.0, None)]).sheets[0].remnant, None);
}

#[test]
fn what_is_left_of_a_remnant_lies_within_its_outline() {
    let corners = [(0.0, 0.0), (300.0, 0.0), (220.0, 100.0), (0.0, 100.0)];
    let outline = Outline::polygon(&corners).unwrap();
    let (blank, (length, width)) = Blank::default().remnant(&outline, &[]);
    let parts = [part("A", rectangle(80.0, 90.0))];
    let layout = laid(&parts, vec![Stock { blank, ..stock(length, width, None) }]);
    let left = layout.sheets[0].remnant.as_ref().unwrap();
    let from = region(&layout.sheets[0].placed[0], &parts).bounds().x1 + ROOM.spacing_mm;
    // A trapezium: its mean length times its width.
    let area = (260.0 - from) * 100.0;
    assert!((left.area() - area).abs() < 0.01, "{} {area}", left.area());
}

fn kit(copies: u32) -> (Vec<grainwise::stages::part::Part>, Vec<Stock>) {
    let mut parts = vec![part("A", rectangle(140.0, 90.0)), part("B", rectangle(60.0, 30.0))];
    parts[0].copies = copies;
    (parts, vec![Stock { price: Some(2.5), ..stock(300.0, 100.0, None) }])
}

fn of(
    layout: &Layout,
    parts: &[grainwise::stages::part::Part],
    stock: &[Stock],
) -> grainwise::stages::sheet::Account {
    let mut all = accounts(layout, parts, stock);
    assert_eq!(all.len(), 1);
    all.remove(0)
}

#[test]
fn the_account_tells_what_sheets_cost_and_what_stands_against_one_less() {
    let (parts, stock) = kit(4);
    let layout = laid(&parts, stock.clone());
    let account = of(&layout, &parts, &stock);
    assert_eq!((account.sheets, account.cost), (3, Some(7.5)));
    // 4 x 126 cm2 and 18 cm2 are 522 cm2, sheets of 300 cm2.
    assert_eq!(account.least_sheets, 2);
    assert!((account.used_fraction() - 522.0 / 900.0).abs() < 1e-12);
    let less = account.one_less.unwrap();
    assert_eq!(
        (less.parts.as_slice(), less.pieces_mm2, less.too_much_mm2),
        (["B".to_owned()].as_slice(), 1800.0, 0.0)
    );
    assert_eq!(layout.sheets[less.sheet - 1].placed.len(), 1);
}

#[test]
fn the_account_tells_by_how_much_pieces_are_too_large_for_one_sheet_less() {
    let (mut parts, stock) = kit(4);
    parts.pop();
    let layout = laid(&parts, stock.clone());
    let less = of(&layout, &parts, &stock).one_less.unwrap();
    // 504 cm2 on one sheet of 300 cm2, of which 97 % may be filled.
    assert!((less.too_much_mm2 - (50400.0 - 0.97 * 30000.0)).abs() < 1e-6);
}

#[test]
fn a_sheet_without_a_price_leaves_the_cost_unsaid() {
    let (parts, mut stock) = kit(1);
    stock[0].price = None;
    let layout = laid(&parts, stock.clone());
    let account = of(&layout, &parts, &stock);
    assert_eq!((account.cost, account.one_less), (None, None));
}
