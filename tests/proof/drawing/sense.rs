//! What can be said of a drawing without a plan: where it lies, what is drawn twice, what it comes to.

use grainwise::geometry::Rect;
use grainwise::stages::proof::Limits;

use super::{codes, dxf, errors, freely, read_with, strictly, svg};
use crate::write::sample;

fn square(layer: &str, x: f64, y: f64, side: f64) -> String {
    let (far_x, far_y) = (x + side, y + side);
    format!(
        "0\nLWPOLYLINE\n8\n{layer}\n90\n4\n70\n1\n10\n{x}\n20\n{y}\n10\n{far_x}\n20\n{y}\n10\n{far_x}\n20\n{far_y}\n\
         10\n{x}\n20\n{far_y}\n"
    )
}

#[test]
fn half_the_kerf_must_lie_on_the_sheet_and_the_path_within_reach() {
    let limits = Limits {
        sheet_mm: Some([100.0, 50.0]),
        reach_mm: Some([120.0, 45.0, 0.0]),
        kerf_mm: Some(0.2),
        ..Limits::default()
    };
    let machine = sample::laser();
    let codes_of = |x: f64, y: f64| {
        let text = dxf(&square("cut-outside", x, y, 20.0));
        let strict = read_with(text.as_bytes(), Some(&machine), &limits, true);
        let free = read_with(text.as_bytes(), Some(&machine), &limits, false);
        assert_eq!(codes(&strict), codes(&free));
        assert_eq!((errors(&strict), errors(&free)), (codes(&strict), vec![]));
        codes(&strict)
    };
    assert_eq!(codes_of(0.1, 0.1), [""; 0]);
    assert_eq!(codes_of(79.9, 10.0), [""; 0]);
    assert_eq!(codes_of(79.95, 10.0), ["off-sheet"]);
    assert_eq!(codes_of(0.05, 10.0), ["off-sheet"]);
    assert_eq!(codes_of(10.0, 26.0), ["beyond-reach"]);
    assert_eq!(codes_of(10.0, 29.95), ["off-sheet", "beyond-reach"]);
    assert_eq!(codes_of(-1.0, 10.0), ["off-sheet", "beyond-reach"]);
}

#[test]
fn a_path_drawn_twice_is_told_however_it_is_drawn() {
    let machine = sample::laser();
    let once = square("cut-outside", 10.0, 10.0, 20.0);
    let reversed = "0\nLWPOLYLINE\n8\ncut-inside\n90\n5\n70\n1\n10\n30\n20\n10\n10\n10\n20\n10\n10\n10\n20\n20\n10\n10\n20\n30\n\
                    10\n30\n20\n30\n";
    for again in [once.as_str(), reversed, &square("cut-outside", 10.001, 10.0, 20.0)] {
        let text = dxf(&format!("{once}{again}"));
        assert_eq!(errors(&strictly(&text, &machine)), ["doubled-path"]);
        assert_eq!((errors(&freely(&text)), codes(&freely(&text))), (vec![], vec!["doubled-path"]));
    }
    let circle = "<circle cx=\"50\" cy=\"50\" r=\"8\"/>";
    let halves = "<path d=\"M 50 42 A 8 8 0 0 1 50 58 A 8 8 0 0 1 50 42 Z\"/>";
    let text = svg(&format!("<g id=\"cut-inside\">{circle}{halves}</g>"));
    assert_eq!(errors(&strictly(text, &machine)), ["doubled-path"]);
}

#[test]
fn paths_that_only_look_alike_are_not_doubled() {
    let machine = sample::laser();
    let square_at = |layer, x, side| square(layer, x, 10.0, side);
    for other in [
        square_at("cut-outside", 10.02, 20.0),
        square_at("mark", 10.0, 20.0),
        square_at("cut-outside", 10.0, 20.02),
        "0\nCIRCLE\n8\ncut-outside\n10\n20\n20\n20\n40\n10\n".to_owned(),
    ] {
        let text = dxf(&format!("{}{other}", square_at("cut-outside", 10.0, 20.0)));
        assert_eq!(codes(&strictly(&text, &machine)), [""; 0], "{other}");
    }
}

#[test]
fn many_doubles_are_counted() {
    let text = dxf(&square("cut-outside", 10.0, 10.0, 20.0).repeat(30));
    let program = freely(text);
    assert_eq!(codes(&program).len(), 7);
    assert!(program.problems[6].message.contains("23 more"), "{:?}", program.problems[6]);
}

#[test]
fn totals_are_those_of_the_paths() {
    let text = dxf(&format!(
        "{}{}",
        square("cut-outside", 10.0, 10.0, 20.0),
        "0\nCIRCLE\n8\nmark\n10\n60\n20\n10\n40\n10\n"
    ));
    let totals = freely(text).totals;
    assert!((totals.cut_length_mm - (80.0 + 20.0 * std::f64::consts::PI)).abs() < 1e-9);
    // From the square's first corner to the circle's eastmost point.
    assert!((totals.travel_length_mm - 60.0).abs() < 1e-9);
    let bounds = totals.bounds.unwrap();
    let wanted = Rect::new(10.0, 0.0, 70.0, 30.0);
    assert!(
        (bounds.origin() - wanted.origin()).hypot() < 1e-9 && (bounds.width() - 60.0).abs() < 1e-9,
        "{bounds:?}"
    );
    assert_eq!((totals.time_s, totals.lowest_mm), (0.0, 0.0));
}
