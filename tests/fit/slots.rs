//! Slots made to the wood that goes in: widths by hand, areas by arithmetic.

use std::path::Path;

use grainwise::problem::{Problem, Problems};
use grainwise::shop::Shop;
use grainwise::stages::fit::{Row, Verdict};
use grainwise::stages::job;
use grainwise::stages::part::Part;
use grainwise::stages::to_cuts;
use grainwise::stages::watch::Unwatched;

/// A side of 200 x 60 mm with two slots of 3 x 12 mm and a notch of 3 x 8 mm in its lower edge for ply of 3 mm, a hole of
/// 20 x 10 mm and a round one of 3 mm, which take no wood.
fn side(slots: &str) -> (Part, Vec<Row>, Vec<Problem>) {
    let text = format!(
        "machine: makerspace-laser\n\
         measured:\n- name: SIDE\n  rectangle: [200, 60]\n  grain: 0\n  \
         holes: [{{rectangle: [3, 12], at: [[50, 30], [120, 30]]}}, {{rectangle: [20, 10], at: [80, 30]}}, \
         {{circle: 3, at: [150, 30]}}]\n  notches: [{{at: [170, 0], width: 3, depth: 8}}]\n\
         parts: [{{name: SIDE, wood: balsa-medium, thickness: 3{slots}}}]\n\
         stock:\n- {{wood: light-ply, thickness: 3, sheet: 600x300, measured: 2.9}}\n\
         - {{wood: balsa-medium, thickness: 3, sheet: 600x100}}\n"
    );
    let mut problems = Problems::new();
    let job = job::parse(&text, "job.yaml", Path::new("."), &mut problems).unwrap();
    let shop = Shop::open("makerspace-laser", None, Path::new("."), &mut problems).unwrap();
    let mut kit = to_cuts(&job, &shop, &Unwatched, &mut problems);
    assert!(!problems.stop(), "{problems:?}");
    (kit.parts.remove(0), kit.fits, problems.into_iter().collect())
}

/// What the part has lost of its face beside the same with slots as drawn, mm2.
fn lost(slots: &str) -> f64 {
    side("").0.region.area() - side(slots).0.region.area()
}

/// All three are made 2.9 + 0.1 - ... mm wide: two holes 12 mm long and a notch 8 mm deep are 32 mm of slot.
#[test]
fn slots_and_notches_are_made_to_the_wood_as_measured_and_nothing_else_is() {
    let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-6, "{found} {wanted}");
    near(lost(", slots: {for: 3.1, fit: 0}"), 32.0 * 0.1);
    near(lost(", slots: {for: 3.1}"), 32.0 * 0.2);
    near(lost(", slots: {for: 3.1, fit: press}"), 32.0 * 0.05);
    near(lost(", slots: {for: 3.1, fit: slide}"), 32.0 * 0.3);
    // The stock was measured at 2.9 mm: glue makes that 3.0, as drawn; slide 3.1.
    near(lost(", slots: {for: {wood: light-ply, thickness: 3}, fit: glue}"), 0.0);
    near(lost(", slots: {for: {wood: light-ply, thickness: 3}, fit: slide}"), 32.0 * 0.1);
}

#[test]
fn what_was_moved_is_told() {
    let (_, rows, problems) = side(", slots: {for: 3.1, fit: glue}");
    assert_eq!(rows.len(), 3, "{rows:?}");
    assert!(rows.iter().all(|row| row.verdict == Verdict::Adjusted && (row.should_mm - 3.2).abs() < 1e-9));
    let told = problems.iter().find(|p| p.code == "slots-made").unwrap();
    assert!(told.message.contains("3 slots") && told.message.contains("+0.20"), "{}", told.message);
    let (_, rows, problems) = side(", slots: {for: 6}");
    assert!(rows.is_empty() && problems.iter().any(|p| p.code == "no-slot"), "{problems:?}");
}

#[test]
fn a_fit_that_is_none_is_refused_with_the_nearest() {
    let mut problems = Problems::new();
    let text = "drawings: [a.dxf]\nparts: [{name: A, slots: {for: 3, fit: gluee}}]\n";
    job::parse(text, "job.yaml", Path::new("."), &mut problems);
    assert!(problems.iter().any(|p| p.code == "unknown-word" && p.hint.contains("glue")), "{problems:?}");
}
