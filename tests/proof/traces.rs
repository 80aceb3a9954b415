//! G-code to traces: where they begin and end, and that their corners lie where the program leads.

use std::f64::consts::{FRAC_PI_2, PI};

use grainwise::geometry::Point;
use grainwise::shop::Post;
use grainwise::stages::proof::read::{self, Reading};
use grainwise::stages::proof::{Corner, Does, Limits, Program, Source, Trace};

use crate::write::sample;

/// A program of this post, or of the standard, whose problems the test looks at itself.
pub(crate) fn program(text: &str, post: Option<&Post>, limits: &Limits) -> Program {
    let source = Source { name: "a.nc", bytes: text.as_bytes() };
    read::read(source, &Reading { machine: None, post, limits, units: None, strict: true })
}

/// The traces of a cutter's lines, which begin at X0 Y0 Z5.
fn milled(lines: &str) -> Vec<Trace> {
    let text = format!("G21 G17 G90 G94\nS10000 M3\nG0 X0 Y0 Z5\nF100\n{lines}\nG0 Z5\nM5\nM2\n");
    program(&text, None, &Limits::default()).traces
}

/// The traces of a beam's lines.
fn burnt(lines: &str) -> Vec<Trace> {
    let text = format!("G21 G17 G90 G94\nM5\nG0 X0 Y0\nF100\n{lines}\nM5\nM2\n");
    program(&text, Some(&sample::post("laser-steady")), &Limits::default()).traces
}

fn corner(x: f64, y: f64, z: f64, bulge: f64) -> Corner {
    Corner { at: Point::new(x, y), z, bulge }
}

fn same(trace: &Trace, corners: &[Corner]) {
    assert_eq!(trace.corners.len(), corners.len(), "{:#?}", trace.corners);
    for (found, meant) in trace.corners.iter().zip(corners) {
        let near = found.at.distance(meant.at) < 1e-9
            && (found.z - meant.z).abs() < 1e-9
            && (found.bulge - meant.bulge).abs() < 1e-9;
        assert!(near, "{found:?} {meant:?}");
    }
}

#[test]
fn a_cutter_s_trace_runs_from_where_it_enters_the_wood_to_where_it_leaves() {
    let traces = milled("G1 Z-1\nX10\nG0 Z5\nX20\nG1 Z-2\nY10");
    assert_eq!(traces.len(), 2);
    let [first, second] = [&traces[0], &traces[1]];
    same(
        first,
        &[
            corner(0.0, 0.0, 0.0, 0.0),
            corner(0.0, 0.0, -1.0, 0.0),
            corner(10.0, 0.0, -1.0, 0.0),
            corner(10.0, 0.0, 0.0, 0.0),
        ],
    );
    assert_eq!(second.lowest(), -2.0);
    assert_eq!(first.does, Does::Mills);
}

#[test]
fn a_lift_that_stays_in_the_wood_does_not_end_a_trace() {
    let traces = milled("G1 Z-3\nX10\nX11 Z-1\nX13\nX14 Z-3\nX20");
    assert_eq!(traces.len(), 1);
    let heights: Vec<f64> = traces[0].corners.iter().map(|c| c.z).collect();
    assert_eq!(heights, [0.0, -3.0, -3.0, -1.0, -1.0, -3.0, -3.0, 0.0]);
}

#[test]
fn a_lift_to_the_wood_s_face_ends_a_trace() {
    assert_eq!(milled("G1 Z-3\nX10\nZ0\nX13\nZ-3\nX20").len(), 2);
}

#[test]
fn a_slope_through_the_face_is_split_there() {
    // From 5 above to 5 below over 20 mm: half of it is in the wood.
    let traces = milled("G1 X20 Z-5\nX30 Z5");
    let corners = [corner(10.0, 0.0, 0.0, 0.0), corner(20.0, 0.0, -5.0, 0.0), corner(25.0, 0.0, 0.0, 0.0)];
    same(&traces[0], &corners);
    assert_eq!(traces.len(), 1);
}

#[test]
fn a_helix_through_the_face_is_split_by_its_angle() {
    // A half turn about (5, 0) from 5 above to 5 below: it meets the face at the top of the circle.
    let traces = milled("G2 X10 Y0 I5 J0 Z-5");
    let b = (FRAC_PI_2 / 4.0).tan();
    let corners = [corner(5.0, 5.0, 0.0, -b), corner(10.0, 0.0, -5.0, 0.0), corner(10.0, 0.0, 0.0, 0.0)];
    same(&traces[0], &corners);
}

#[test]
fn a_rapid_in_the_wood_cuts_it() {
    let traces = milled("G1 Z-1\nG0 X10");
    assert!(traces[0].corners.iter().any(|c| c.at.x > 9.0 && c.z < -0.5));
}

#[test]
fn a_rapid_into_the_wood_from_an_unknown_height_begins_a_trace() {
    let text = "G21 G17 G90 G94 F100\nG0 X0 Y0\nG0 Z-1\nG1 X10\nG0 Z5\nM2\n";
    let traces = program(text, None, &Limits::default()).traces;
    assert_eq!((traces.len(), traces[0].begin(), traces[0].corners[0].z), (1, Point::ORIGIN, -1.0));
}

#[test]
fn a_drilled_hole_is_a_trace_at_one_place() {
    let traces = milled("G0 X7\nG1 Z-3");
    same(&traces[0], &[corner(7.0, 0.0, 0.0, 0.0), corner(7.0, 0.0, -3.0, 0.0), corner(7.0, 0.0, 0.0, 0.0)]);
}

#[test]
fn an_arc_has_the_bulge_of_its_angle_and_side() {
    let quarter = (FRAC_PI_2 / 4.0).tan();
    let left = &milled("G0 X10\nG1 Z-1\nG3 X0 Y10 I-10 J0")[0];
    assert!((left.corners[1].bulge - quarter).abs() < 1e-12);
    let right = &milled("G0 Y10\nG1 Z-1\nG2 X10 Y0 R10")[0];
    assert!((right.corners[1].bulge + quarter).abs() < 1e-12);
}

#[test]
fn an_arc_of_more_than_a_half_turn_becomes_several() {
    let full = &milled("G1 Z-1\nG3 X0 Y0 I10 J0")[0];
    let corners = [
        corner(0.0, 0.0, 0.0, 0.0),
        corner(0.0, 0.0, -1.0, 1.0),
        corner(20.0, 0.0, -1.0, 1.0),
        corner(0.0, 0.0, -1.0, 0.0),
        corner(0.0, 0.0, 0.0, 0.0),
    ];
    same(full, &corners);
    let three_quarters = &milled("G1 Z-1\nG3 X10 Y10 R-10")[0];
    assert!(three_quarters.segments().all(|(s, _)| s.sweep().abs() < PI + 1e-9));
    let length: f64 = three_quarters.segments().map(|(s, _)| s.length()).sum();
    assert!((length - 1.5 * PI * 10.0).abs() < 1e-9);
}

#[test]
fn a_helix_s_heights_are_spread_evenly() {
    let helix = &milled("G1 Z-1\nG3 X0 Y0 I10 J0 Z-3")[0];
    let heights: Vec<f64> = helix.corners.iter().map(|c| c.z).collect();
    assert_eq!(heights, [0.0, -1.0, -2.0, -3.0, 0.0]);
}

#[test]
fn inches_become_millimetres() {
    let text = "G20 G17 G90 G94\nG0 X0 Y0 Z0.5\nG1 Z-0.1 F10\nX1\nG0 Z0.5\nM2\n";
    let traces = program(text, None, &Limits::default()).traces;
    assert!((traces[0].corners[2].at.x - 25.4).abs() < 1e-12 && (traces[0].lowest() + 2.54).abs() < 1e-12);
}

#[test]
fn every_segment_knows_its_line() {
    let traces = milled("G1 Z-1\n\n(to the right)\nX10\nG3 X10 Y0 I5 J0");
    assert_eq!(traces[0].lines, [5, 8, 9, 9, 10, 0]);
}

#[test]
fn a_beam_s_trace_runs_while_it_is_on() {
    let traces = burnt("M3 S500\nG1 X10\nX10 Y10\nM5\nG0 X20\nG1 X30\nM3 S500\nX40");
    assert_eq!(traces.len(), 2);
    same(
        &traces[0],
        &[corner(0.0, 0.0, 0.0, 0.0), corner(10.0, 0.0, 0.0, 0.0), corner(10.0, 10.0, 0.0, 0.0)],
    );
    same(&traces[1], &[corner(30.0, 10.0, 0.0, 0.0), corner(40.0, 10.0, 0.0, 0.0)]);
}

#[test]
fn another_power_or_feed_begins_another_trace() {
    let traces = burnt("M3 S500\nG1 X10\nX20 S250\nX30\nX40 F200\nX50 S0\nX60 S250");
    let does: Vec<Does> = traces.iter().map(|t| t.does.clone()).collect();
    let burns = |power, feed| Does::Burns { power, feed };
    assert_eq!(does, [burns(0.5, 100.0), burns(0.25, 100.0), burns(0.25, 200.0), burns(0.25, 200.0)]);
    assert_eq!(traces[1].corners.len(), 3);
}

#[test]
fn travel_with_the_beam_on_burns() {
    assert_eq!(burnt("M3 S500\nG1 X10\nG0 X20")[1].end(), Point::new(20.0, 0.0));
}

#[test]
fn what_every_post_writes_comes_back_as_its_cuts() {
    for post in sample::posts() {
        let (sheets, _) = sample::kit(if post.drives_beam() { sample::LASER } else { sample::ROUTER });
        let file = &sample::written(&post)[0];
        let source = Source { name: &file.name, bytes: &file.bytes };
        let limits = Limits::default();
        let reading =
            Reading { machine: None, post: Some(&post), limits: &limits, units: None, strict: true };
        let traces = read::read(source, &reading).traces;
        assert_eq!(traces.len(), sheets[0].cuts.len(), "{}", post.name);
        let lengths: f64 = traces.iter().flat_map(Trace::segments).map(|(s, _)| s.length()).sum();
        let meant: f64 = sheets[0]
            .cuts
            .iter()
            .map(|cut| match &cut.path {
                grainwise::stages::cut::Path::Closed(outline) => outline.perimeter(),
                grainwise::stages::cut::Path::Open(chain) => chain.length(),
            })
            .sum();
        assert!((lengths - meant).abs() < 0.1, "{}: {lengths} {meant}", post.name);
    }
}

#[test]
fn totals_are_lengths_in_space_and_times_by_feeds() {
    // Up 30 of which 25 in the wood, 40 across, 6 down of which 1 in the wood, 10 along, 6 up.
    let text = "G21 G90\nG0 X0 Y0 Z-25\nG0 Z5\nG0 X40\nS9 M3\nG4 P2\nG1 Z-1 F60\nX50 F600\nG0 Z5\nM5\nM2\n";
    let limits = Limits { rapid_mm_min: Some(6000.0), ..Limits::default() };
    let totals = program(text, None, &limits).totals;
    let near = |found: f64, meant: f64| assert!((found - meant).abs() < 1e-9, "{found} {meant}");
    near(totals.cut_length_mm, 25.0 + 1.0 + 10.0 + 1.0);
    near(totals.travel_length_mm, 5.0 + 40.0 + 5.0 + 5.0);
    near(totals.time_s, 0.3 + 0.4 + 2.0 + 6.0 + 1.0 + 0.06);
    near(totals.lowest_mm, -25.0);
    assert_eq!(totals.bounds, Some(grainwise::geometry::Rect::new(0.0, 0.0, 50.0, 0.0)));
}

#[test]
fn bounds_hold_the_belly_of_an_arc() {
    let text = "G21 G90\nG0 X0 Y0 Z1\nG2 X10 Y0 I5 J0 F100\nM2\n";
    let bounds = program(text, None, &Limits::default()).totals.bounds.unwrap();
    assert!((bounds.y1 - 5.0).abs() < 1e-9 && bounds.y0.abs() < 1e-9, "{bounds:?}");
}
