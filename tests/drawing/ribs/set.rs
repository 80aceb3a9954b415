//! Sets of ribs.

use std::fs;

use super::{at_x, made, made_in, read_in, refused, ribs, square_corners};
use grainwise::geometry::Point;
use grainwise::stages::drawing::Role;

/// Eleven tapered ribs as most tests want them.
const TAPERED: &str =
    "- { name: R, section: naca 2412, root: { chord: 180 }, tip: { chord: 112 }, span: 500, count: 11";

#[test]
fn ribs_are_named_and_as_long_as_their_chords() {
    let ribs = ribs(&made(&format!("{TAPERED} }}")));
    let names: Vec<&str> = ribs.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["R1", "R2", "R3", "R4", "R5", "R6", "R7", "R8", "R9", "R10", "R11"]);
    for (k, (_, rib)) in (0_u8..).zip(&ribs) {
        let chord = 180.0 - 6.8 * f64::from(k);
        // The nose of a cambered section lies a little ahead of its chord; its tail is cut square to the mean line.
        assert!((rib.bounds().width() - chord).abs() < 2e-3 * chord, "{k}: {}", rib.bounds().width());
        // Area of the thickness form: NACA Report 460's polynomial integrated, 0.6851 t c².
        assert!((rib.area() / (0.6851 * 0.12 * chord * chord) - 1.0).abs() < 3e-3, "{k}");
    }
}

/// Two outlines drawn with 19 and 240 points.
fn drawn_ends(folder: &std::path::Path) {
    for (name, count, thick) in [("root", 9_u16, 0.13), ("tip", 120, 0.08)] {
        let half = |x: f64| {
            5.0 * thick * (0.2969 * x.sqrt() - x * (0.1260 + x * (0.3516 - x * (0.2843 - x * 0.1015))))
        };
        let x = |k: u16| (1.0 - (std::f64::consts::PI * f64::from(k) / f64::from(count)).cos()) / 2.0;
        let mut points: Vec<(f64, f64)> = (0..=count).rev().map(|k| (x(k), half(x(k)))).collect();
        points.extend((1..=count).map(|k| (x(k), -0.6 * half(x(k)))));
        let points: String =
            points.iter().map(|(x, y)| format!("{},{} ", 100.0 * x, 50.0 - 100.0 * y)).collect();
        let svg = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><polygon points="{points}" fill="none" stroke="black"/></svg>"#
        );
        fs::write(folder.join(format!("{name}.svg")), svg).unwrap();
    }
}

#[test]
fn eleven_ribs_between_outlines_of_different_numbers_of_points_have_square_notches_of_their_size() {
    let folder = tempfile::tempdir().unwrap();
    drawn_ends(folder.path());
    let drawing = made_in(
        folder.path(),
        "- name: R\n  root: { section: root.svg, chord: 200 }\n  tip: { section: tip.svg, chord: 130 }\n  span: 600\n  count: 11\n  straight: 0.3\n  spars: [{ at: 0.3, width: 5, depth: 3, fit: 0.1 }]",
    );
    let ribs = ribs(&drawing);
    assert_eq!(ribs.len(), 11);
    let mut floors: Vec<[f64; 2]> = Vec::new();
    for (name, rib) in &ribs {
        let corners = square_corners(rib.outer());
        assert_eq!(corners.len(), 4, "{name}: {corners:?}");
        let mut across: Vec<f64> = corners.iter().map(|p| p.x).collect();
        across.sort_by(f64::total_cmp);
        assert!((across[0] - across[1]).abs() < 1e-6 && (across[2] - across[3]).abs() < 1e-6, "{name}");
        assert!((across[3] - across[0] - 5.1).abs() < 1e-6, "{name}: {}", across[3] - across[0]);
        // Straight at 0.3 of the chord: 60 mm behind the nose of the root, in all ribs.
        assert!((f64::midpoint(across[0], across[3]) - 60.0).abs() < 1e-6, "{name}");
        let mut up: Vec<f64> = corners.iter().map(|p| p.y).collect();
        up.sort_by(f64::total_cmp);
        assert!((up[0] - up[1]).abs() < 1e-6 && (up[2] - up[3]).abs() < 1e-6, "{name}");
        // The notch is as deep as asked at its shallower side.
        let (_, left) = at_x(rib, across[0] - 0.02);
        let (_, right) = at_x(rib, across[3] + 0.02);
        assert!((left.min(right) - up[2] - 3.1).abs() < 0.03, "{name}: {}", left.min(right) - up[2]);
        floors.push([up[0], up[2]]);
    }
    // One straight line through all floors: second differences of the height between floors are nothing.
    let between: Vec<f64> = floors.iter().map(|[low, high]| high - low).collect();
    for three in between.windows(3) {
        assert!((three[0] - 2.0 * three[1] + three[2]).abs() < 1e-6, "{between:?}");
    }
}

#[test]
fn a_swept_spar_gets_a_wider_notch() {
    let text = "- { name: R, section: naca 0012, root: { chord: 200 }, tip: { chord: 200 }, span: 300, count: 3, sweep: 150, thickness: 2, spars: [{ at: 0.3, side: upper, width: 5, depth: 3 }] }";
    let ribs = ribs(&made(text));
    // A strip 5 mm wide that runs back by one for every two: 5 / cos + 2 tan.
    let want = 5.0 * 1.25_f64.sqrt() + 2.0 * 0.5;
    for (k, (name, rib)) in (0_u8..).zip(&ribs) {
        let corners = square_corners(rib.outer());
        assert_eq!(corners.len(), 2, "{name}");
        assert!(((corners[0].x - corners[1].x).abs() - want).abs() < 1e-6, "{name}");
        let middle = f64::midpoint(corners[0].x, corners[1].x);
        assert!((middle - 60.0 - 75.0 * f64::from(k)).abs() < 1e-6, "{name}: {middle}");
    }
}

#[test]
fn a_notch_stays_upright_where_the_section_is_twisted() {
    let text = "- { name: R, section: naca 0012, root: { chord: 150 }, tip: { chord: 150, twist: -4 }, span: 400, count: 5, spars: [{ at: 0.25, side: through, width: 6, depth: 6 }] }";
    let ribs = ribs(&made(text));
    for (name, rib) in &ribs {
        let hole = rib.holes()[0].bounds();
        assert!((hole.width() - 6.0).abs() < 1e-6 && (hole.height() - 6.0).abs() < 1e-6, "{name}");
        assert!((rib.holes()[0].area() - 36.0).abs() < 1e-6, "{name}: it is turned");
    }
    // Washout of 4 degrees about a quarter of the chord brings the nose down by 37.5 sin 4°; the foremost point of its round
    // lies up to a fifth of a millimetre above.
    let nose = |k: usize| {
        let rib = &ribs[k].1;
        let x = rib.bounds().x0 + 1e-3;
        let (low, high) = at_x(rib, x);
        f64::midpoint(low, high) - rib.holes()[0].bounds().center().y
    };
    assert!((nose(4) - nose(0) + 37.5 * 4.0_f64.to_radians().sin()).abs() < 0.2, "{}", nose(4) - nose(0));
}

#[test]
fn sheeting_is_taken_off_square_to_the_surface() {
    let bare = ribs(&made(
        "- { name: R, section: naca 0015, chord: 200, count: 1, leading_edge: 10, trailing_edge: 30 }",
    ));
    let text = "- { name: R, section: naca 0015, chord: 200, count: 1, leading_edge: 10, trailing_edge: 30, sheeting: [{ thickness: 1.5, to: 0.4 }, { thickness: 1 }] }";
    let thin = ribs(&made(text));
    let (bare, thin) = (&bare[0].1, &thin[0].1);
    // The two lie in drawings of their own: their middles are brought over each other.
    let shift = bare.bounds().center().y - thin.bounds().center().y;
    let mut seen = [0, 0];
    for segment in thin.outer().segments() {
        let at = segment.at(0.5);
        let x = at.x;
        let want = if x < 79.0 { 1.5 } else { 1.0 };
        if (79.0..81.0).contains(&x) || !(12.0..168.0).contains(&x) {
            continue;
        }
        let away = bare.outer().distance(Point::new(x, at.y + shift));
        assert!((away - want).abs() < 0.03, "{x}: {away}");
        seen[usize::from(want < 1.2)] += 1;
    }
    assert!(seen[0] > 2 && seen[1] > 2, "{seen:?}");
    assert!((thin.bounds().x0 - 10.0).abs() < 1e-6 && (thin.bounds().x1 - 170.0).abs() < 1e-6);
}

#[test]
fn sheeting_thicker_than_the_nose_ends_where_the_wood_does() {
    let text = "- { name: R, section: naca 0009, chord: 150, count: 1, sheeting: [{ thickness: 2 }] }";
    let rib = &ribs(&made(text))[0].1;
    assert!(rib.bounds().x0 > 1.0 && rib.bounds().x1 < 140.0, "{:?}", rib.bounds());
}

#[test]
fn holes_keep_their_web_and_vanish_where_they_cannot() {
    let text = format!(
        "{TAPERED}, leading_edge: 6, trailing_edge: 22, spars: [{{ at: 0.3, width: 5, depth: 3 }}], holes: [{{ at: 0.17, web: 4, least: 6 }}, {{ from: 0.44, to: 0.7, web: 4 }}] }}"
    );
    let ribs = ribs(&made(&text));
    let counts: Vec<usize> = ribs.iter().map(|(_, rib)| rib.holes().len()).collect();
    assert_eq!(counts[0], 2, "{counts:?}");
    assert!(counts[10] < 2 && counts.windows(2).all(|pair| pair[0] >= pair[1]), "{counts:?}");
    for (name, rib) in &ribs {
        for hole in rib.holes() {
            let nearest = hole.segments().flat_map(|s| (0..20).map(move |k| s.at(f64::from(k) / 20.0)));
            let web = nearest.map(|at| rib.outer().distance(at)).fold(f64::INFINITY, f64::min);
            // As large as the web allows, to the width of a thousandth.
            assert!((web - 4.0).abs() < 0.02, "{name}: {web}");
            assert!(hole.bounds().height() >= 5.0 - 1e-6, "{name}");
        }
    }
}

#[test]
fn feet_stand_on_one_board_and_are_scored() {
    let text = format!(
        "{TAPERED}, feet: [{{ at: 0.15, width: 8, down: 15 }}, {{ at: 0.75, width: 8, down: 15 }}] }}"
    );
    let drawing = made(&text);
    let scores = drawing.lines.iter().filter(|line| line.role == Role::Score).count();
    assert_eq!(scores, 22);
    for (name, rib) in ribs(&drawing) {
        let low = rib.bounds().y0;
        let on_board =
            rib.outer().segments().filter(|s| (s.from.y - low).abs() < 1e-6 && (s.to.y - low).abs() < 1e-6);
        let lengths: Vec<f64> = on_board.map(|s| s.length()).collect();
        assert_eq!(lengths.len(), 2, "{name}");
        assert!(lengths.iter().all(|length| (length - 8.0).abs() < 1e-6), "{name}: {lengths:?}");
    }
}

#[test]
fn a_root_rib_that_leans_is_higher() {
    let plain = ribs(&made("- { name: R, section: naca 0012, chord: 150, count: 1 }"));
    let leaning = ribs(&made("- { name: R, section: naca 0012, chord: 150, count: 1, lean: 6 }"));
    let ratio = leaning[0].1.bounds().height() / plain[0].1.bounds().height();
    assert!((ratio - 1.0 / 6.0_f64.to_radians().cos()).abs() < 1e-3, "{ratio}");
    let wide = leaning[0].1.bounds().width() / plain[0].1.bounds().width();
    assert!((wide - 1.0).abs() < 1e-4, "{wide}");
}

#[test]
fn ribs_lie_along_drawn_edges() {
    let folder = tempfile::tempdir().unwrap();
    // A quarter of an ellipse: at three fifths of the span the chord is four fifths of the root's.
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="200mm" viewBox="0 0 500 200"><path d="M0 50 H400 A400 150 0 0 1 0 200 Z" fill="none" stroke="black"/></svg>"#;
    fs::write(folder.path().join("plan.svg"), svg).unwrap();
    let text = "- { name: E, section: naca 0012, planform: plan.svg, stations: [0, 240, 320] }";
    let ribs = ribs(&made_in(folder.path(), text));
    for ((name, rib), want) in ribs.iter().zip([150.0, 120.0, 90.0]) {
        assert!((rib.bounds().width() - want).abs() < 0.1, "{name}: {}", rib.bounds().width());
        assert!(rib.bounds().x0.abs() < 0.1, "{name}: the leading edge is straight");
    }
    let (_, problems) = read_in(folder.path(), &text.replace("320", "450"));
    assert_eq!(problems[0].code, "rib-planform");
}

/// The same wing, of which only the edges are drawn, as two lines, with a rib's line to be left alone on another layer.
#[test]
fn leading_and_trailing_edge_may_be_two_lines() {
    let folder = tempfile::tempdir().unwrap();
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="200mm" viewBox="0 0 500 200"><path d="M0 50 H400" fill="none" stroke="black"/><path d="M400 50 A400 150 0 0 1 0 200" fill="none" stroke="black"/><g id="notes"><path d="M10 0 V220" fill="none" stroke="black"/></g></svg>"#;
    fs::write(folder.path().join("plan.svg"), svg.replace("M400 50 A", "M399 60.6 A")).unwrap();
    let text = "- { name: E, section: naca 0012, planform: plan.svg, stations: [0, 240, 320] }";
    let (read, problems) = read_in(folder.path(), text);
    assert_eq!(problems, Vec::new());
    for ((name, rib), want) in ribs(&read[0]).iter().zip([150.0, 120.0, 90.0]) {
        assert!((rib.bounds().width() - want).abs() < 0.3, "{name}: {}", rib.bounds().width());
    }
    let marks = svg.replacen("<path", "<g id=\"marks\"><path", 1).replacen(
        "<g id=\"notes\">",
        "</g><g id=\"notes\">",
        1,
    );
    fs::write(folder.path().join("plan.svg"), marks).unwrap();
    assert_eq!(read_in(folder.path(), text).1[0].code, "rib-planform");
}

#[test]
fn stations_and_the_upper_side_are_marked() {
    let drawing = made(&format!("{TAPERED} }}"));
    assert_eq!(drawing.notes.len(), 11);
    assert!(drawing.notes.iter().all(|(_, note)| note.arrow_deg == 90.0));
    let stations: Vec<&str> = drawing.notes.iter().map(|(_, note)| note.text.as_str()).collect();
    assert_eq!(stations[..3], ["0", "50", "100"]);
    assert_eq!(drawing.lines.iter().filter(|line| line.role == Role::Grain).count(), 11);
}

#[test]
fn a_straight_spar_under_a_curved_surface_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="200mm" viewBox="0 0 500 200"><path d="M0 50 H400 A400 150 0 0 1 0 200 Z" fill="none" stroke="black"/></svg>"#;
    fs::write(folder.path().join("plan.svg"), svg).unwrap();
    let text = "- { name: E, section: naca 0012, planform: plan.svg, stations: [0, 240, 320], spars: [{ at: 0.3, side: upper, width: 3, depth: 2 }] }";
    let (_, problems) = read_in(folder.path(), text);
    let codes: Vec<_> = problems.iter().map(|problem| problem.code).collect();
    assert_eq!(codes, ["rib-spar-off"]);
}

#[test]
fn what_cannot_be_made_is_refused() {
    let set =
        |rest: &str| format!("- {{ name: R, section: naca 2412, chord: 100, span: 100, count: 2, {rest} }}");
    let cases = [
        ("spars: [{ at: 0.99, width: 5, depth: 3 }]", "rib-spar"),
        ("spars: [{ at: 0.3, width: 5, depth: 12, side: upper }]", "rib-spar"),
        ("spars: [{ at: 0.3, width: 5, depth: 3 }, { at: 0.32, width: 5, depth: 3 }]", "rib-spar"),
        ("spars: [{ at: 0.3, width: 5, depth: 13, side: through }]", "rib-spar"),
        ("feet: [{ at: 0.3, width: 5, down: 1 }]", "rib-spar"),
        ("leading_edge: 60, trailing_edge: 60", "rib-edge"),
        ("block: { pins: [0.2, 0.99] }", "rib-block"),
        ("straight: 2", "out-of-range"),
    ];
    for (rest, code) in cases {
        assert_eq!(refused(&set(rest)), code, "{rest}");
    }
    assert_eq!(refused("- { name: R, section: naca 24, chord: 100, count: 1 }"), "unknown-section");
    assert_eq!(refused("- { name: R, section: none.dat, chord: 100, count: 1 }"), "missing-file");
    assert_eq!(refused("- { name: R, section: naca 2412, chord: 100 }"), "missing-key");
    assert_eq!(refused("- { name: R, section: naca 2412, chord: 100, stations: [0, 0] }"), "out-of-range");
}
