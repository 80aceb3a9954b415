//! One test for each kind of entity that is read.

use std::f64::consts::PI;

use grainwise::geometry::curve::Curve;

use super::reading::{entities, file, near, near_by, read, segment, spans};

#[test]
fn line() {
    let read = entities("0 LINE|8 cut|10 1|20 2|11 30|21 4.5");
    let found = read.clean();
    let line = segment(&found.strokes[0].item.curves[0]);
    near(line.from, (1.0, 2.0));
    near(line.to, (30.0, 4.5));
    assert_eq!(found.strokes[0].layer, "cut");
    assert_eq!(read.used("LINE"), 1);
}

#[test]
fn a_line_above_the_plane_is_seen_from_above() {
    let read = entities("0 LINE|10 1|20 2|30 50|11 3|21 4|31 -7");
    near(read.only()[0].to(), (3.0, 4.0));
}

#[test]
fn circle_is_two_half_circles() {
    let read = entities("0 CIRCLE|10 10|20 20|40 5");
    let halves: Vec<_> = read.only().iter().map(segment).collect();
    assert_eq!(halves.len(), 2);
    assert!(read.closed());
    assert!(halves.iter().all(|half| half.bulge == 1.0 && half.radius() == 5.0));
    assert_eq!(halves[1].to, halves[0].from);
}

#[test]
fn arc_runs_counter_clockwise_through_0_degrees() {
    let read = entities("0 ARC|10 0|20 0|40 10|50 350|51 10");
    let arc = segment(&read.only()[0]);
    near(arc.at(0.5), (10.0, 0.0));
    assert!((arc.sweep().to_degrees() - 20.0).abs() < 1e-9);
    assert!(!read.closed());
}

#[test]
fn an_arc_beyond_half_a_circle_is_cut_in_two() {
    let read = entities("0 ARC|10 0|20 0|40 10|50 0|51 359");
    let length: f64 = read.only().iter().map(Curve::length).sum();
    assert!((length - 10.0 * 359.0_f64.to_radians()).abs() < 1e-9);
    assert!(read.only().iter().all(|curve| segment(curve).bulge < 1.0));
}

#[test]
fn an_arc_from_0_to_360_degrees_is_closed() {
    let read = entities("0 ARC|10 0|20 0|40 10|50 0|51 360");
    assert!(read.closed());
    assert_eq!(read.only()[1].to(), read.only()[0].from());
}

#[test]
fn ellipse_by_its_longer_half_axis() {
    let read = entities("0 ELLIPSE|10 5|20 5|11 0|21 20|40 0.5|41 0|42 6.283185307179586");
    spans(read.bounds(), (-5.0, -15.0), (15.0, 25.0));
    assert!(read.closed());
}

#[test]
fn part_of_an_ellipse_by_parameters() {
    let read = entities("0 ELLIPSE|10 0|20 0|11 20|21 0|40 0.5|41 0|42 1.5707963267948966");
    near(read.only()[0].from(), (20.0, 0.0));
    near(read.only()[0].to(), (0.0, 10.0));
    assert!(!read.closed());
}

#[test]
fn a_round_ellipse_is_a_circle() {
    let read = entities("0 ELLIPSE|10 0|20 0|11 20|21 0|40 1|41 0|42 6.283185307179586");
    assert!(read.only().iter().all(|curve| (segment(curve).radius() - 20.0).abs() < 1e-9));
}

#[test]
fn an_ellipse_facing_down_runs_the_other_way() {
    let read =
        entities("0 ELLIPSE|10 0|20 0|11 20|21 0|40 0.5|41 0|42 1.5707963267948966|210 0|220 0|230 -1");
    near(read.only()[0].to(), (0.0, -10.0));
}

#[test]
fn light_polyline_with_bulges() {
    let read = entities("0 LWPOLYLINE|90 3|70 1|10 0|20 0|42 1|10 10|20 0|10 10|20 20");
    let curves = read.only();
    assert_eq!(curves.len(), 3);
    // Bulge 1 is a half circle, counter-clockwise: below the chord from west to east.
    near(curves[0].at(0.5), (5.0, -5.0));
    near(curves[2].to(), (0.0, 0.0));
    assert!(read.closed());
}

#[test]
fn an_open_light_polyline_stays_open() {
    let read = entities("0 LWPOLYLINE|90 3|70 0|10 0|20 0|10 10|20 0|10 10|20 20");
    assert_eq!(read.only().len(), 2);
    assert!(!read.closed());
}

#[test]
fn a_light_polyline_may_have_a_width() {
    let read = entities("0 LWPOLYLINE|90 2|70 0|43 3|10 0|20 0|40 1|41 2|10 10|20 0");
    near(read.only()[0].to(), (10.0, 0.0));
    read.clean();
}

#[test]
fn a_closed_polyline_of_two_vertices_is_a_circle() {
    let read = entities("0 LWPOLYLINE|90 2|70 1|10 0|20 0|42 1|10 10|20 0|42 1");
    let length: f64 = read.only().iter().map(Curve::length).sum();
    assert!((length - 10.0 * PI).abs() < 1e-9);
}

#[test]
fn old_polyline_with_bulges() {
    let read = entities(
        "0 POLYLINE|66 1|70 1|10 0|20 0|30 0|0 VERTEX|10 0|20 0|42 -1|0 VERTEX|10 10|20 0|0 VERTEX|10 10|20 9|0 SEQEND",
    );
    assert_eq!(read.only().len(), 3);
    near(read.only()[0].at(0.5), (5.0, 5.0));
    assert_eq!(read.used("POLYLINE"), 1);
    assert!(read.closed());
    read.clean();
}

#[test]
fn a_splined_polyline_is_its_fitted_vertices_without_the_frame() {
    let read = entities(
        "0 POLYLINE|66 1|70 4|0 VERTEX|10 0|20 90|70 16|0 VERTEX|10 0|20 0|70 8|0 VERTEX|10 5|20 1|70 8|\
         0 VERTEX|10 50|20 90|70 16|0 VERTEX|10 9|20 0|70 8|0 SEQEND",
    );
    assert_eq!(read.only().len(), 2);
    spans(read.bounds(), (0.0, 0.0), (9.0, 1.0));
}

#[test]
fn a_curve_fitted_polyline_keeps_the_vertices_that_the_fit_added() {
    let read = entities(
        "0 POLYLINE|66 1|70 2|0 VERTEX|10 0|20 0|42 0.2|70 2|0 VERTEX|10 5|20 1|42 0.1|70 1|0 VERTEX|10 9|20 0|70 2|0 SEQEND",
    );
    assert_eq!(read.only().len(), 2);
    assert_eq!(segment(&read.only()[1]).bulge, 0.1);
}

#[test]
fn a_polyline_in_space_is_seen_from_above() {
    let read = entities(
        "0 POLYLINE|66 1|70 8|0 VERTEX|10 0|20 0|30 5|70 32|0 VERTEX|10 7|20 1|30 -5|70 32|0 SEQEND",
    );
    near(read.only()[0].to(), (7.0, 1.0));
}

#[test]
fn a_mesh_is_counted_and_not_used() {
    let read = entities(
        "0 POLYLINE|66 1|70 64|0 VERTEX|10 0|20 0|70 192|0 VERTEX|10 1|20 0|70 192|0 VERTEX|70 128|71 1|72 2|0 SEQEND|\
         0 LINE|10 0|20 0|11 1|21 1",
    );
    assert_eq!(read.unused("POLYLINE (mesh)"), 1);
    assert_eq!(read.used("LINE"), 1);
    read.clean();
}

#[test]
fn a_spline_of_degree_3_starts_and_ends_at_its_control_points() {
    let read = entities(
        "0 SPLINE|70 8|71 3|72 8|73 4|74 0|40 0|40 0|40 0|40 0|40 1|40 1|40 1|40 1|\
         10 0|20 0|30 0|10 0|20 10|30 0|10 10|20 10|30 0|10 10|20 0|30 0",
    );
    // The middle of a cubic Bézier curve: an eighth, three eighths, three eighths, an eighth of its points.
    near(read.only()[0].at(0.5), (5.0, 7.5));
    assert!(!read.closed());
    read.clean();
}

#[test]
fn a_spline_without_z_is_read_all_the_same() {
    let read = entities("0 SPLINE|70 8|71 1|72 4|73 2|40 0|40 0|40 1|40 1|10 0|20 0|10 8|20 6");
    near(read.only()[0].to(), (8.0, 6.0));
}

#[test]
fn a_rational_spline_of_degree_2_is_a_quarter_circle() {
    let w = (PI / 4.0).cos();
    let read = entities(&format!(
        "0 SPLINE|70 12|71 2|72 6|73 3|40 0|40 0|40 0|40 1|40 1|40 1|41 1|41 {w}|41 1|\
         10 10|20 0|30 0|10 10|20 10|30 0|10 0|20 10|30 0"
    ));
    for i in 0..=10 {
        let p = read.only()[0].at(f64::from(i) / 10.0);
        assert!((p.to_vec2().hypot() - 10.0).abs() < 1e-9, "{p:?}");
    }
}

#[test]
fn a_periodic_spline_closes() {
    let ring = [(10, 0), (10, 10), (0, 10), (0, 0), (10, 0), (10, 10), (0, 10)];
    let points = ring.map(|(x, y)| format!("|10 {x}|20 {y}|30 0")).concat();
    let knots = (0..=10).map(|k| format!("|40 {k}")).collect::<Vec<_>>().concat();
    let read = entities(&format!("0 SPLINE|70 11|71 3|72 11|73 7{knots}{points}"));
    near(read.only()[0].from(), (read.only()[0].to().x, read.only()[0].to().y));
    assert!(read.closed());
    read.clean();
}

#[test]
fn a_spline_that_says_closed_and_is_not_stays_open() {
    let read = entities("0 SPLINE|70 9|71 1|72 4|73 2|40 0|40 0|40 1|40 1|10 0|20 0|10 8|20 6");
    assert!(!read.closed());
}

#[test]
fn a_spline_passes_through_its_fit_points() {
    let read = entities("0 SPLINE|70 0|71 3|74 3|11 0|21 0|31 0|11 10|21 5|31 0|11 20|21 0|31 0");
    let curve = &read.only()[0];
    near(curve.from(), (0.0, 0.0));
    near(curve.to(), (20.0, 0.0));
    let nearest = (0..=1000).map(|i| curve.at(f64::from(i) / 1000.0).distance((10.0, 5.0).into()));
    assert!(nearest.fold(f64::INFINITY, f64::min) < 0.01);
}

#[test]
fn tangents_at_fit_points_are_kept() {
    let read =
        entities("0 SPLINE|70 0|71 3|74 2|12 0|22 1|32 0|13 0|23 -1|33 0|11 0|21 0|31 0|11 10|21 0|31 0");
    let start = read.only()[0].derivative(0.0);
    assert!(start.x.abs() < 1e-9 && start.y > 0.0, "{start:?}");
}

#[test]
fn a_closed_spline_through_fit_points_comes_back() {
    let read = entities("0 SPLINE|70 1|71 3|74 4|11 0|21 0|11 10|21 0|11 10|21 10|11 0|21 10");
    assert!(read.closed());
    near(read.only()[0].to(), (0.0, 0.0));
}

#[test]
fn point() {
    let read = entities("0 POINT|8 holes|10 3|20 4|0 LINE|10 0|20 0|11 1|21 1");
    near(read.found().points[0].item, (3.0, 4.0));
    assert_eq!(read.used("POINT"), 1);
}

#[test]
fn an_extrusion_facing_down_mirrors_x() {
    let read = entities("0 ARC|10 10|20 0|40 5|50 0|51 90|210 0|220 0|230 -1");
    let arc = segment(&read.only()[0]);
    near(arc.from, (-15.0, 0.0));
    near(arc.to, (-10.0, 5.0));
    assert!(arc.bulge < 0.0);
}

#[test]
fn a_bulge_facing_down_turns_the_other_way() {
    let read = entities("0 LWPOLYLINE|90 2|70 0|210 0|220 0|230 -1|10 0|20 0|42 1|10 10|20 0");
    near(read.only()[0].at(0.5), (-5.0, -5.0));
}

#[test]
fn an_extrusion_along_x_stands_on_edge_and_is_told() {
    // Arbitrary axis algorithm for (1, 0, 0): x runs along y, y along z.
    let read = entities("0 CIRCLE|10 10|20 0|40 5|210 1|220 0|230 0");
    spans(read.bounds(), (0.0, 5.0), (0.0, 15.0));
    assert_eq!(read.problem("leaning").severity, grainwise::problem::Severity::Warning);
}

#[test]
fn a_leaning_circle_is_an_ellipse_from_above() {
    let read = entities("0 CIRCLE|10 0|20 0|40 10|210 0|220 0.6|230 0.8");
    let bounds = read.bounds();
    assert!((bounds.width() - 20.0).abs() < 1e-9 && (bounds.height() - 16.0).abs() < 1e-9, "{bounds:?}");
}

#[test]
fn what_is_not_read_is_counted_by_name() {
    let read =
        entities("0 HATCH|10 0|20 0|0 DIMENSION|10 1|0 3DFACE|10 0|0 HATCH|0 LINE|10 0|20 0|11 1|21 1");
    assert_eq!(read.unused("HATCH"), 2);
    assert_eq!(read.unused("DIMENSION"), 1);
    assert_eq!(read.unused("3DFACE"), 1);
    assert_eq!(read.used("LINE"), 1);
}

#[test]
fn paper_space_is_left_out_and_counted() {
    let read =
        entities("0 LINE|67 1|10 0|20 0|11 1|21 1|0 VIEWPORT|67 1|10 0|20 0|0 LINE|10 0|20 0|11 2|21 2");
    assert_eq!(read.found().strokes.len(), 1);
    assert_eq!(read.unused("LINE (paper space)"), 1);
    assert_eq!(read.unused("VIEWPORT (paper space)"), 1);
}

#[test]
fn invisible_entities_are_left_out_and_counted() {
    let read = entities("0 LINE|60 1|10 0|20 0|11 1|21 1|0 LINE|10 0|20 0|11 2|21 2");
    assert_eq!(read.unused("LINE (invisible)"), 1);
    assert_eq!(read.used("LINE"), 1);
}

#[test]
fn layers_off_and_frozen_are_left_out_counted_and_named() {
    let layers = "0 LAYER|2 off|70 0|62 -7|0 LAYER|2 cold|70 1|62 7|0 LAYER|2 on|70 0|62 7";
    let line = |layer: &str| format!("0 LINE|8 {layer}|10 0|20 0|11 1|21 1");
    let all = [line("OFF"), line("cold"), line("on"), line("unlisted")].join("|");
    let read = read(file(layers, "", &all));
    assert_eq!(read.unused("LINE (layer off)"), 1);
    assert_eq!(read.unused("LINE (layer frozen)"), 1);
    assert_eq!(read.used("LINE"), 2);
    assert!(read.problem("layers-hidden").message.contains("cold"));
}

#[test]
fn numbers_keep_all_their_digits() {
    let read = entities("0 LINE|10 0.1234567890123456|20 -1e-7|11 1234567.890123456|21 5");
    let line = segment(&read.only()[0]);
    assert_eq!(line.from.x, 0.123_456_789_012_345_6);
    assert_eq!(line.from.y, -1e-7);
    assert_eq!(line.to.x, 1_234_567.890_123_456);
}

#[test]
fn the_elevation_of_a_polyline_does_not_move_it() {
    let read = entities("0 LWPOLYLINE|90 2|70 0|38 25|10 1|20 2|10 3|20 4");
    near_by(read.only()[0].from(), (1.0, 2.0), 1e-12);
    read.clean();
}
