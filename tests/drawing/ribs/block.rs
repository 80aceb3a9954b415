//! Templates and blanks for sanding a block.

use super::{made, ribs};

#[test]
fn pins_of_templates_and_blanks_lie_over_each_other() {
    let text = "- { name: R, section: naca 2412, root: { chord: 180 }, tip: { chord: 120 }, span: 400, count: 6, spars: [{ at: 0.3, width: 5, depth: 3 }], block: { pin: 3, oversize: 2 } }";
    let ribs = ribs(&made(text));
    let names: Vec<&str> = ribs.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["R-ROOT", "R-TIP", "R1", "R2", "R3", "R4", "R5", "R6"]);
    let mut between = Vec::new();
    for (name, piece) in &ribs {
        let [a, b] = piece.holes() else { panic!("{name}: {}", piece.holes().len()) };
        // Circles of 3 mm.
        assert!((a.area() - 2.25 * std::f64::consts::PI).abs() < 1e-9, "{name}");
        between.push(b.bounds().center() - a.bounds().center());
    }
    assert!(between.iter().all(|pins| (*pins - between[0]).hypot() < 1e-9), "{between:?}");
    for k in 1..=6 {
        let (name, blank) = &ribs[k + 1];
        assert!((blank.outer().area() - blank.bounds().area()).abs() < 1e-6, "{name} is no rectangle");
    }
    // Two millimetres larger all round than the rib it becomes.
    let plain = super::ribs(&made(
        "- { name: R, section: naca 2412, root: { chord: 180 }, tip: { chord: 120 }, span: 400, count: 6 }",
    ));
    for (k, (name, rib)) in plain.iter().enumerate() {
        let (rib, blank) = (rib.bounds(), ribs[k + 2].1.bounds());
        assert!((blank.width() - rib.width() - 4.0).abs() < 0.02, "{name}");
        assert!((blank.height() - rib.height() - 4.0).abs() < 0.02, "{name}");
    }
}
