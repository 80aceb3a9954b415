//! SVG: shapes, paths, styles, transforms, texts.

use std::f64::consts::{PI, SQRT_2};

use grainwise::geometry::curve::Curve;
use grainwise::stages::drawing::Role;
use grainwise::stages::job::LayerRules;

use super::reading::{Read, near, near_by, read, read_as, segment, spans};

/// A page of 100 x 100 mm, a user unit being a millimetre, with this on it.
pub(super) fn svg(inside: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" xmlns:p=\"urn:p\" \
         width=\"100mm\" height=\"100mm\" viewBox=\"0 0 100 100\">{inside}</svg>"
    )
}

/// One of everything.
pub(super) const SAMPLE: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" height=\"100mm\" \
    viewBox=\"0 0 100 100\"><style>.c{stroke:red;fill:none}</style><defs><g id=\"u\"><path class=\"c\" d=\"M0 0h5\"/></g>\
    <clipPath id=\"k\"><rect width=\"1\" height=\"1\"/></clipPath></defs><g id=\"cut\" transform=\"rotate(30)\">\
    <path class=\"c\" d=\"M1 1L5 5H9V2C1 2 3 4 5 6S1 1 2 2Q3 4 5 6T9 9A5 4 20 1 0 3 3z\"/><rect class=\"c\" x=\"1\" y=\"2\" \
    width=\"30\" height=\"20\" rx=\"3\"/><circle r=\"5\" cx=\"10%\"/><ellipse rx=\"5\" ry=\"3\"/><line x2=\"5\" \
    stroke=\"#000\"/><polyline points=\"0,0 1,1 2,0\"/><polygon points=\"0,0 1,1 2,0\"/><use href=\"#u\" x=\"5\"/>\
    <text x=\"5\" y=\"6\">R1 &amp; R2<tspan x=\"5\" dy=\"6\">b</tspan></text></g></svg>";

/// A stroke that is seen.
const SEEN: &str = "stroke=\"#000\" fill=\"none\"";

fn drawn(inside: &str) -> Read {
    read(svg(inside))
}

fn path(data: &str) -> Read {
    drawn(&format!("<path {SEEN} d=\"{data}\"/>"))
}

#[test]
fn y_points_up_from_the_bottom_left_corner() {
    let read = path("M10 20L30 40");
    near(read.only()[0].from(), (10.0, 80.0));
    near(read.only()[0].to(), (30.0, 60.0));
    read.clean();
}

#[test]
fn lines_of_a_path() {
    let read = path("M1 2l1 1L5 5h2H20v-3V9z");
    let corners: Vec<_> = read.only().iter().map(|curve| (curve.to().x, 100.0 - curve.to().y)).collect();
    let expected = [(2.0, 3.0), (5.0, 5.0), (7.0, 5.0), (20.0, 5.0), (20.0, 2.0), (20.0, 9.0), (1.0, 2.0)];
    assert!(corners.iter().zip(expected).all(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1) < 1e-9), "{corners:?}");
    assert!(read.closed());
}

#[test]
fn more_numbers_after_a_move_are_lines() {
    assert_eq!(path("M0 0 1 1 2 0").only().len(), 2);
    near(path("m1 1 2 0 0 2").only()[1].to(), (3.0, 97.0));
}

#[test]
fn cubic_curves_and_smooth_ones() {
    let read = path("M0 0C0 10 10 10 10 0S20 -10 20 0c0 10 10 10 10 0s10 -10 10 0");
    let curves = read.only();
    near(curves[0].at(0.5), (5.0, 92.5));
    for pair in curves.windows(2) {
        let (out, back) = (pair[0].derivative(1.0), pair[1].derivative(0.0));
        assert!(out.cross(back).abs() < 1e-9 && out.dot(back) > 0.0);
    }
    near(curves[3].to(), (40.0, 100.0));
}

#[test]
fn quadratic_curves_and_smooth_ones() {
    let read = path("M0 0Q5 10 10 0T20 0q5 10 10 0t10 0");
    near(read.only()[0].at(0.5), (5.0, 95.0));
    near(read.only()[1].at(0.5), (15.0, 105.0));
    near(read.only()[3].at(0.5), (35.0, 105.0));
}

#[test]
fn a_smooth_curve_after_a_line_starts_straight() {
    // The control point that is mirrored is then the point itself.
    let read = path("M0 0L10 0S20 10 20 0");
    near(read.only()[1].at(0.5), (15.0, 96.25));
}

#[test]
fn circular_arcs_stay_arcs_whatever_their_flags() {
    for (large, positive, quarters) in [(0, 0, 1.0), (0, 1, 1.0), (1, 0, 3.0), (1, 1, 3.0)] {
        let read = path(&format!("M40 50A10 10 0 {large} {positive} 50 40"));
        let curves = read.only();
        assert!(curves.iter().all(|curve| (segment(curve).radius() - 10.0).abs() < 1e-9));
        let length: f64 = curves.iter().map(Curve::length).sum();
        assert!((length - quarters * 5.0 * PI).abs() < 1e-9);
    }
}

#[test]
fn the_sweep_flag_turns_towards_positive_angles() {
    // From the west to the north of a circle about (50, 50), y down: clockwise on paper.
    let read = path("M40 50A10 10 0 0 1 50 40");
    near(read.only()[0].at(0.5), (50.0 - 5.0 * SQRT_2, 50.0 + 5.0 * SQRT_2));
    let other = path("M40 50A10 10 0 0 0 50 40");
    near(other.only()[0].at(0.5), (40.0 + 5.0 * SQRT_2, 60.0 - 5.0 * SQRT_2));
}

#[test]
fn an_arc_between_equal_points_is_left_out() {
    assert_eq!(path("M0 0A5 5 0 1 1 0 0L9 9").only().len(), 1);
}

#[test]
fn an_arc_without_a_radius_is_a_line() {
    assert!(segment(&path("M0 0A0 5 0 0 1 9 0").only()[0]).is_line());
}

#[test]
fn radii_that_are_too_small_grow() {
    let arc = segment(&path("M0 50A1 1 0 0 1 20 50").only()[0]);
    assert!((arc.radius() - 10.0).abs() < 1e-9);
}

#[test]
fn an_elliptical_arc_is_one() {
    let read = path("M10 50A20 10 0 0 1 30 40");
    assert!(matches!(read.only()[0], Curve::Ellipse(_)));
    near_by(read.only()[0].to(), (30.0, 60.0), 1e-9);
    // The ellipse about (30, 50) with half axes 20 and 10.
    let p = read.only()[0].at(0.3);
    assert!((((p.x - 30.0) / 20.0).powi(2) + ((p.y - 50.0) / 10.0).powi(2) - 1.0).abs() < 1e-9);
}

#[test]
fn flags_may_stand_close_together() {
    near(path("M40 50a10 10 0 0110-10").only()[0].to(), (50.0, 60.0));
}

#[test]
fn each_piece_of_a_path_is_a_stroke() {
    let read = path("M0 0H9V9z M2 2h1v1zl5 5");
    let strokes = &read.found().strokes;
    assert_eq!(strokes.iter().map(|s| s.item.closed).collect::<Vec<_>>(), [true, true, false]);
    near(strokes[2].item.curves[0].from(), (2.0, 98.0));
    assert_eq!(read.used("path"), 1);
}

#[test]
fn a_path_in_error_stands_up_to_the_error_and_is_told() {
    let read = path("M0 0L9 9L5 x 7 7");
    assert_eq!(read.only().len(), 1);
    let problem = read.problem("broken-entity");
    assert!(problem.line.is_some());
}

#[test]
fn a_path_without_data_is_counted() {
    assert_eq!(path("").unused("path (empty)"), 1);
    assert_eq!(path("M5 5").unused("path (empty)"), 1);
}

#[test]
fn rectangle() {
    let read = drawn(&format!("<rect x=\"10\" y=\"20\" width=\"30\" height=\"5\" {SEEN}/>"));
    spans(read.bounds(), (10.0, 75.0), (40.0, 80.0));
    assert_eq!(read.only().len(), 4);
    assert!(read.closed());
}

#[test]
fn a_rounded_rectangle_has_quarter_circles() {
    let read = drawn(&format!("<rect x=\"10\" y=\"20\" width=\"30\" height=\"20\" rx=\"4\" {SEEN}/>"));
    let arcs: Vec<_> = read.only().iter().map(segment).filter(|s| !s.is_line()).collect();
    assert_eq!(arcs.len(), 4);
    assert!(arcs.iter().all(|arc| (arc.radius() - 4.0).abs() < 1e-9));
    let length: f64 = read.only().iter().map(Curve::length).sum();
    assert!((length - (100.0 - 32.0 + 8.0 * PI)).abs() < 1e-9);
}

#[test]
fn radii_of_a_rectangle_are_limited_to_half_its_sides() {
    let read = drawn(&format!("<rect width=\"20\" height=\"10\" rx=\"90\" ry=\"90\" {SEEN}/>"));
    assert!(read.only().iter().all(|curve| matches!(curve, Curve::Ellipse(_))));
    spans(read.bounds(), (0.0, 90.0), (20.0, 100.0));
}

#[test]
fn a_circle_is_two_half_circles() {
    let read = drawn(&format!("<circle cx=\"50\" cy=\"40\" r=\"10\" {SEEN}/>"));
    assert!(read.only().iter().all(|curve| (segment(curve).radius() - 10.0).abs() < 1e-12));
    spans(read.bounds(), (40.0, 50.0), (60.0, 70.0));
}

#[test]
fn a_turned_circle_stays_one_and_a_stretched_one_does_not() {
    let turned = drawn(&format!("<circle cx=\"50\" cy=\"40\" r=\"10\" transform=\"rotate(33.3)\" {SEEN}/>"));
    assert!(turned.only().iter().all(|curve| (segment(curve).radius() - 10.0).abs() < 1e-5));
    let stretched = drawn(&format!("<circle cx=\"50\" cy=\"40\" r=\"10\" transform=\"scale(1 2)\" {SEEN}/>"));
    assert!(stretched.only().iter().all(|curve| matches!(curve, Curve::Ellipse(_))));
}

#[test]
fn an_ellipse_stretched_to_a_circle_is_one() {
    let read =
        drawn(&format!("<ellipse rx=\"10\" ry=\"5\" transform=\"translate(50 50) scale(1 2)\" {SEEN}/>"));
    assert!(read.only().iter().all(|curve| (segment(curve).radius() - 10.0).abs() < 1e-9));
}

#[test]
fn ellipse_line_polyline_and_polygon() {
    let read = drawn(&format!(
        "<ellipse cx=\"50\" cy=\"50\" rx=\"20\" ry=\"10\" {SEEN}/><line x1=\"1\" y1=\"2\" x2=\"3\" y2=\"4\" {SEEN}/>\
         <polyline points=\"0,0 5,5 9,0\" {SEEN}/><polygon points=\"0 0 5 5 9 0\" {SEEN}/>"
    ));
    let strokes = &read.clean().strokes;
    assert_eq!(strokes.iter().map(|s| s.item.closed).collect::<Vec<_>>(), [true, false, false, true]);
    assert_eq!(strokes.iter().map(|s| s.item.curves.len()).collect::<Vec<_>>(), [1, 1, 2, 3]);
    near(strokes[1].item.curves[0].to(), (3.0, 96.0));
}

#[test]
fn shapes_of_no_size_are_counted() {
    let read = drawn(&format!("<rect width=\"0\" height=\"5\" {SEEN}/><circle r=\"-1\" {SEEN}/>"));
    assert_eq!((read.unused("rect (empty)"), read.unused("circle (empty)")), (1, 1));
}

#[test]
fn lengths_may_have_units_and_percentages() {
    let read = drawn(&format!("<line x1=\"50%\" y1=\"1in\" x2=\"72pt\" y2=\"10%\" {SEEN}/>"));
    // A millimetre within the drawing is 96 / 25.4 of its user units.
    near(read.only()[0].from(), (50.0, 4.0));
    near(read.only()[0].to(), (96.0, 90.0));
}

#[test]
fn transforms_nest() {
    let read = drawn(&format!(
        "<g transform=\"translate(10 20)\"><g transform=\"scale(2)\"><path transform=\"rotate(90)\" {SEEN} d=\"M0 0H5\"/></g></g>"
    ));
    near(read.only()[0].from(), (10.0, 80.0));
    near(read.only()[0].to(), (10.0, 70.0));
}

#[test]
fn skews_and_matrices() {
    let read = drawn(&format!("<path transform=\"skewX(45)\" {SEEN} d=\"M0 0V10\"/>"));
    near_by(read.only()[0].to(), (10.0, 90.0), 1e-5);
    let mirrored =
        drawn(&format!("<path transform=\"matrix(-1 0 0 1 50 0)\" {SEEN} d=\"M0 50A10 10 0 0 1 20 50\"/>"));
    assert!(segment(&mirrored.only()[0]).bulge > 0.0);
}

#[test]
fn use_draws_again_in_its_place() {
    let read = drawn(&format!(
        "<defs><path id=\"p\" {SEEN} d=\"M0 0H5\"/></defs><use href=\"#p\" x=\"10\" y=\"20\"/>\
         <use xlink:href=\"#p\" transform=\"rotate(90)\"/>"
    ));
    let strokes = &read.clean().strokes;
    near(strokes[0].item.curves[0].from(), (10.0, 80.0));
    near(strokes[1].item.curves[0].to(), (0.0, 95.0));
    assert_eq!(read.used("path"), 2);
}

#[test]
fn symbols_and_nested_pages_have_their_own_units() {
    let read = drawn(&format!(
        "<symbol id=\"s\" viewBox=\"0 0 10 10\"><path {SEEN} d=\"M0 0H10\"/></symbol>\
         <use href=\"#s\" width=\"50\" height=\"50\"/><svg x=\"10\" y=\"10\" width=\"20\" height=\"20\" viewBox=\"0 0 2 2\">\
         <path {SEEN} d=\"M0 0H2\"/></svg>"
    ));
    near(read.found().strokes[0].item.curves[0].to(), (50.0, 100.0));
    near(read.found().strokes[1].item.curves[0].to(), (30.0, 90.0));
}

#[test]
fn what_is_not_displayed_is_counted_and_not_cut() {
    let read = drawn(&format!(
        "<style>.hidden{{display:none}}</style><path class=\"hidden\" {SEEN} d=\"M0 0H5\"/>\
         <g style=\"display:none\"><path {SEEN} d=\"M0 0H5\"/></g><path visibility=\"hidden\" {SEEN} d=\"M0 0H5\"/>\
         <path fill=\"none\" d=\"M0 0H5\"/><g opacity=\"0\"><path {SEEN} d=\"M0 0H5\"/></g><path {SEEN} d=\"M0 0H7\"/>"
    ));
    near(read.only()[0].to(), (7.0, 100.0));
    assert_eq!(read.unused("path (not displayed)"), 2);
    assert_eq!(read.unused("path (invisible)"), 3);
}

#[test]
fn definitions_clips_masks_patterns_and_markers_are_counted_and_not_cut() {
    let shape = format!("<path {SEEN} d=\"M0 0H5V5z\"/>");
    let read = drawn(&format!(
        "<defs>{shape}<clipPath id=\"c\">{shape}</clipPath><mask id=\"m\">{shape}</mask>\
         <pattern id=\"p\" width=\"9\" height=\"9\">{shape}</pattern><marker id=\"k\">{shape}</marker></defs>\
         <path style=\"marker-mid:url(#k);fill:url(#p)\" mask=\"url(#m)\" {SEEN} d=\"M0 0H7V1\"/>"
    ));
    assert_eq!(read.found().strokes.len(), 1);
    for why in ["defined and not used", "clip path", "mask", "pattern", "marker"] {
        assert_eq!(read.unused(&format!("path ({why})")), 1, "{why}");
    }
}

#[test]
fn clipped_shapes_are_read_whole_and_told() {
    let read = drawn(&format!(
        "<clipPath id=\"c\"><rect width=\"1\" height=\"1\"/></clipPath><path clip-path=\"url(#c)\" {SEEN} d=\"M0 0H7\"/>"
    ));
    near(read.only()[0].to(), (7.0, 100.0));
    assert!(read.problem("clipped").message.contains("1 shapes"));
}

#[test]
fn pictures_and_unknown_elements_are_counted() {
    let read = drawn(&format!(
        "<image href=\"a.png\" width=\"9\" height=\"9\"/><foreignObject/><path {SEEN} d=\"M0 0H5\"/>"
    ));
    assert_eq!((read.unused("image"), read.unused("foreignObject")), (1, 1));
}

#[test]
fn a_dash_does_not_cut_a_line_up() {
    assert_eq!(
        drawn("<path stroke=\"#000\" stroke-dasharray=\"1 1\" stroke-width=\"4\" d=\"M0 0H9\"/>")
            .only()
            .len(),
        1
    );
}

#[test]
fn layers_are_labels_else_ids_of_groups() {
    let line = format!("<path {SEEN} d=\"M0 0H5\"/>");
    let layer = |groups: &str| {
        let close = "</g>".repeat(groups.matches("<g").count());
        drawn(&format!("{groups}{line}{close}")).found().strokes[0].layer.clone()
    };
    assert_eq!(layer(""), "");
    assert_eq!(layer("<g id=\"ribs\">"), "ribs");
    assert_eq!(layer("<g id=\"ribs\"><g>"), "ribs");
    assert_eq!(layer("<g id=\"outer\"><g id=\"inner\">"), "inner");
    assert_eq!(layer("<g id=\"g7\" p:label=\"Ribs\"><g id=\"g12\">"), "Ribs");
}

#[test]
fn roles_go_by_all_groups_around() {
    let line = format!("<path {SEEN} d=\"M0 0H5\"/>");
    let read = drawn(&format!(
        "<g p:label=\"Grain\"><g id=\"g12\">{line}</g></g><g id=\"score\">{line}</g><g>{line}</g>"
    ));
    let roles: Vec<_> = read.found().strokes.iter().map(|s| s.role).collect();
    assert_eq!(roles, [Role::Grain, Role::Score, Role::Cut]);
}

#[test]
fn what_is_used_has_the_role_of_the_place_where_it_is_used() {
    let read = drawn(&format!(
        "<defs><path id=\"p\" {SEEN} d=\"M0 0H5\"/></defs><g id=\"grain\"><use href=\"#p\"/></g><use href=\"#p\"/>"
    ));
    let roles: Vec<_> = read.found().strokes.iter().map(|s| s.role).collect();
    assert_eq!(roles, [Role::Grain, Role::Cut]);
    assert_eq!(read.found().strokes[0].layer, "grain");
}

#[test]
fn colours_are_the_strokes_else_the_fills_whatever_gives_them() {
    let inside = "<style>.a{stroke:rgb(255,0,0)} #b{stroke:red}</style><path class=\"a\" fill=\"blue\" d=\"M0 0H5\"/>\
        <path id=\"b\" d=\"M0 0H5\"/><path style=\"stroke:#f00\" d=\"M0 0H5\"/><g stroke=\"#ff0000\"><path d=\"M0 0H5\"/></g>\
        <path fill=\"#ff0000\" d=\"M0 0H5V5z\"/><path stroke=\"blue\" fill=\"red\" d=\"M0 0H5\"/>";
    let rules = LayerRules { score: vec!["#ff0000".to_owned()], ..LayerRules::default() };
    let read = read_as(svg(inside).as_bytes(), None, &rules);
    let scores: Vec<_> = read.found().strokes.iter().map(|s| s.role == Role::Score).collect();
    assert_eq!(scores, [true, true, true, true, true, false]);
}

#[test]
fn texts_have_their_place_and_height() {
    let read =
        drawn("<g transform=\"translate(10 0)\"><text x=\"20\" y=\"30\" font-size=\"10\">R1</text></g>");
    let text = &read.found().texts[0].item;
    assert_eq!(text.text, "R1");
    near_by(text.at, (35.5, 73.5), 1.0);
    assert!((text.height - 7.0).abs() < 1e-5);
}

#[test]
fn the_size_of_letters_may_come_from_a_class_and_from_around() {
    let read = drawn(
        "<style>.t{font-size:10px}</style><g class=\"t\"><text x=\"1\" y=\"9\" font-size=\"50%\">a</text></g>",
    );
    assert!((read.found().texts[0].item.height - 3.5).abs() < 1e-5);
}

#[test]
fn a_text_may_stand_around_its_point() {
    for (how, x) in [("text-anchor=\"middle\"", 50.0), ("style=\"fill:red; text-anchor: end\"", 39.0)] {
        let read = drawn(&format!("<text x=\"50\" y=\"30\" font-size=\"10\" {how}>Rib1</text>"));
        near_by(read.found().texts[0].item.at, (x, 73.5), 1e-6);
    }
}

#[test]
fn lines_of_a_text_stay_together_and_far_ones_do_not() {
    let read = drawn(
        "<text font-size=\"5\"><tspan x=\"10\" y=\"10\">Rib</tspan><tspan x=\"10\" dy=\"6\">R1 <a>left</a></tspan>\
         <tspan x=\"80\" y=\"80\">F2</tspan></text>",
    );
    let said: Vec<_> = read.found().texts.iter().map(|t| t.item.text.as_str()).collect();
    assert_eq!(said, ["Rib\nR1 left", "F2"]);
    assert_eq!(read.used("text"), 1);
}

#[test]
fn texts_without_words_or_unseen_are_counted() {
    let read = drawn(
        "<text x=\"1\" y=\"1\"> </text><text display=\"none\">R1</text><text fill=\"none\" stroke=\"none\">R2</text>",
    );
    assert_eq!(read.unused("text (empty)"), 1);
    assert_eq!(read.unused("text (not displayed)"), 1);
}

#[test]
fn entities_that_the_document_declares_are_read() {
    let text = svg("<path style=\"&s;\" d=\"M0 0H5\"/>");
    let read = read(format!("<!DOCTYPE svg [<!ENTITY s \"stroke:#000\">]>{text}"));
    assert_eq!(read.used("path"), 1);
}

#[test]
fn prefixes_of_the_name_space_do_not_matter() {
    let text = "<s:svg xmlns:s=\"http://www.w3.org/2000/svg\" width=\"9mm\" height=\"9mm\" viewBox=\"0 0 9 9\">\
        <s:path stroke=\"#000\" d=\"M0 0H5\"/><path d=\"M0 0H9\"/></s:svg>";
    assert_eq!(read(text).clean().strokes.len(), 1);
}

#[test]
fn a_thousand_millimetres_are_right_to_half_a_thousandth() {
    // usvg carries single precision: what goes through it is transforms alone.
    let read = drawn(&format!(
        "<g transform=\"translate(123.4567 -45.6789) rotate(12.5)\"><path {SEEN} d=\"M0 0L1000.1234 0l0.0001 0\"/></g>"
    ));
    let (sin, cos) = 12.5_f64.to_radians().sin_cos();
    let end = (123.4567 + 1000.1235 * cos, 100.0 + 45.6789 - 1000.1235 * sin);
    near_by(read.only()[1].to(), end, 0.0005);
    assert!((read.only()[1].length() - 0.0001).abs() < 1e-9);
}
