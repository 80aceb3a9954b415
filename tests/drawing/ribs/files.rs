//! Files of coordinates, with what is odd about them.

use grainwise::stages::drawing::ribs::coordinates::{Unread, points};

/// A wedge with a round nose, from the tail over the upper surface to the nose and back.
const ROUND: [(f64, f64); 9] = [
    (1.0, 0.001),
    (0.6, 0.06),
    (0.25, 0.09),
    (0.05, 0.05),
    (0.0, 0.0),
    (0.05, -0.03),
    (0.25, -0.05),
    (0.6, -0.03),
    (1.0, -0.001),
];

fn lines(rows: &[(f64, f64)]) -> String {
    rows.iter().map(|(x, y)| format!("{x:.5} {y:.5}\n")).collect()
}

#[track_caller]
fn is_the_wedge(text: &str) {
    let found: Vec<(f64, f64)> = points(text).unwrap().iter().map(|p| (p.x, p.y)).collect();
    let mut kept = found.clone();
    kept.dedup();
    assert_eq!(kept, ROUND);
}

#[test]
fn from_the_tail_round() {
    is_the_wedge(&format!("A WEDGE\n{}", lines(&ROUND)));
}

#[test]
fn titles_remarks_empty_lines_commas_and_more_columns() {
    let odd = lines(&ROUND).replace("0.25000 0.09000\n", "0.25000, 0.09000\n\n   \nmade by hand\n");
    is_the_wedge(&format!("\u{feff}2412 a title of numbers\n\n{odd}\n"));
    is_the_wedge(&lines(&ROUND).replace('\n', " 0.0 7\r\n"));
}

#[test]
fn bounds_of_a_grid_above_and_numbers_in_a_remark() {
    is_the_wedge(&format!("A WEDGE\n -2.0 3.0 -2.6 3.4\n{}", lines(&ROUND)));
    is_the_wedge(&format!("{}modified 0.5 -> 0.6\n400,000 and more\n", lines(&ROUND)));
}

#[test]
fn both_surfaces_from_the_nose_with_and_without_a_count() {
    let upper: Vec<_> = ROUND[..5].iter().rev().copied().collect();
    let both = format!("{}\n{}", lines(&upper), lines(&ROUND[4..]));
    is_the_wedge(&format!("A WEDGE\n 5. 5.\n\n{both}"));
    is_the_wedge(&format!("A WEDGE\n{both}"));
}

#[test]
fn both_surfaces_from_the_tail() {
    let lower: Vec<_> = ROUND[4..].iter().rev().copied().collect();
    is_the_wedge(&format!("{}{}", lines(&ROUND[..5]), lines(&lower)));
}

#[test]
fn round_from_the_nose() {
    // Along the lower surface first: the direction is put right later.
    let from_nose: Vec<_> = ROUND[4..].iter().chain(&ROUND[..5]).copied().collect();
    let found = points(&lines(&from_nose)).unwrap();
    assert!((found[0].x - 1.0).abs() < 1e-9 && found.len() >= 9);
}

#[test]
fn chords_of_a_hundred_are_made_one() {
    let large: Vec<_> = ROUND.iter().map(|(x, y)| (100.0 * x, 100.0 * y)).collect();
    let found = points(&lines(&large)).unwrap();
    assert!(found.iter().zip(ROUND).all(|(p, (x, y))| (p.x - x).hypot(p.y - y) < 1e-12));
}

#[test]
fn what_tells_no_section_is_refused_with_the_reason() {
    assert_eq!(points("nothing but words\n"), Err(Unread::Points(0)));
    assert_eq!(points("1 0\n0 0\n"), Err(Unread::Points(2)));
    assert_eq!(points(&format!("{}nan 0\n", lines(&ROUND))), Err(Unread::NotFinite(10)));
    let leaping: String = (0..40).map(|k| format!("{} {}\n", k % 2, f64::from(k) / 100.0)).collect();
    assert_eq!(points(&leaping), Err(Unread::Leaps(2)));
}
