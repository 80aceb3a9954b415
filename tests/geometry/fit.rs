//! Curves to lines and arcs: tolerance both ways, smoothness, corners, counts, traces, and what is odd.

use std::f64::consts::{PI, TAU};

use grainwise::geometry::curve::{Curve, EllipticArc, Spline};
use grainwise::geometry::{Affine, Malformed, Outline, Point, Segment, Vec2, fit, turn_between};
use kurbo::CubicBez;
use proptest::prelude::*;

use super::segments::{curves, fewest, measure};

const TOLERANCE: f64 = 0.01;

fn chain(curves: &[Curve]) -> Vec<Segment> {
    fit::chain(curves, TOLERANCE).unwrap().segments().collect()
}

fn outline(curves: &[Curve]) -> Vec<Segment> {
    fit::outline(curves, TOLERANCE).unwrap().segments().collect()
}

fn fitted(path: &curves::Path) -> Vec<Segment> {
    if path.closed { outline(&path.curves) } else { chain(&path.curves) }
}

fn cubic(p: [(f64, f64); 4]) -> Curve {
    Curve::Cubic(CubicBez::new(p[0], p[1], p[2], p[3]))
}

/// Lines through points.
fn lines(points: &[Point], closed: bool) -> Vec<Curve> {
    let count = points.len();
    let steps = if closed { count } else { count - 1 };
    (0..steps).map(|i| Curve::line(points[i], points[(i + 1) % count])).collect()
}

fn round(count: u32, radius: f64) -> Vec<Point> {
    let angle = |i: u32| TAU * f64::from(i) / f64::from(count);
    (0..count).map(|i| Point::new(radius * angle(i).cos(), radius * angle(i).sin())).collect()
}

/// Turned, mirrored, run backwards, far away.
fn seen_otherwise(path: &curves::Path) -> Vec<curves::Path> {
    let with = |curves: Vec<Curve>| curves::Path { name: path.name, curves, closed: path.closed };
    let map = |m: Affine| with(path.curves.iter().map(|c| c.transformed(m)).collect());
    vec![
        map(Affine::rotate(1.1)),
        map(Affine::scale_non_uniform(-1.0, 1.0)),
        map(Affine::translate((5000.0, -3000.0))),
        with(path.curves.iter().rev().map(Curve::reversed).collect()),
    ]
}

#[test]
fn smooth_curves_stay_within_the_tolerance_both_ways() {
    for path in curves::smooth() {
        let there = measure::curves_to_chain(&path.curves, &fitted(&path));
        let back = measure::chain_to_curves(&path.curves, &fitted(&path));
        assert!(there <= TOLERANCE && back <= TOLERANCE, "{}: {there} {back}", path.name);
    }
}

#[test]
fn the_tolerance_holds_turned_mirrored_moved_and_backwards() {
    for path in curves::smooth().iter().flat_map(seen_otherwise) {
        let off = measure::deviation(&path.curves, &fitted(&path));
        assert!(off <= TOLERANCE, "{}: {off}", path.name);
    }
}

#[test]
fn other_tolerances_hold_too() {
    for path in curves::smooth() {
        for tolerance in [0.002, 0.05, 0.5] {
            let segments: Vec<Segment> = if path.closed {
                fit::outline(&path.curves, tolerance).unwrap().segments().collect()
            } else {
                fit::chain(&path.curves, tolerance).unwrap().segments().collect()
            };
            let off = measure::deviation(&path.curves, &segments);
            // The polygon that the measure compares with is itself right to a few ten-thousandths.
            assert!(off <= tolerance + 2e-4, "{} at {tolerance}: {off}", path.name);
        }
    }
}

/// The bound: fewest arcs of any joined chain whose joints lie anywhere within the tolerance, kinks of any size.
#[test]
fn smooth_curves_take_few_segments() {
    for path in curves::smooth() {
        let (drawn, bent): (Vec<Curve>, Vec<Curve>) =
            path.curves.iter().cloned().partition(|c| matches!(c, Curve::Segment(_)));
        let ring = path.closed && drawn.is_empty();
        let fewest = fewest::joined(&fewest::dense(&bent, TOLERANCE), TOLERANCE, ring, 2) + drawn.len();
        let count = fitted(&path).len();
        assert!(count as f64 <= 1.25 * fewest as f64, "{}: {count}, fewest {fewest}", path.name);
    }
}

#[test]
fn joins_of_smooth_curves_are_kinked_by_two_degrees_at_most() {
    for path in curves::smooth().into_iter().filter(|p| p.curves.len() != 2 && p.curves.len() != 41) {
        let kinks = measure::kinks(&fitted(&path), path.closed);
        let most = kinks.into_iter().fold(0.0, f64::max);
        assert!(most <= 2.0, "{}: {most}", path.name);
    }
}

#[test]
fn a_section_has_kinks_only_at_its_two_tail_corners() {
    for path in curves::smooth().into_iter().filter(|p| p.name.starts_with("NACA")) {
        let kinks = measure::kinks(&fitted(&path), true);
        assert_eq!(kinks.iter().filter(|k| **k > 2.0).count(), 2, "{}: {kinks:?}", path.name);
    }
}

#[test]
fn naca_2412_of_200_mm_takes_at_most_24() {
    let count = outline(&curves::naca_spline(0.02, 0.4, 0.12, 200.0)).len();
    assert!(count <= 24, "{count}");
}

#[test]
fn naca_2412_passes_the_published_ordinates() {
    // Percent of the chord, a published table to four decimals (surface stations, so the upper one only fits where the
    // camber hardly moves it): compared along the fitted outline's own line.
    let table = [(10.0, 5.6291, -3.7608), (30.0, 7.8785, -4.1286), (60.0, 6.3506, -2.7784)];
    let fitted = fit::outline(&curves::naca_spline(0.02, 0.4, 0.12, 200.0), TOLERANCE).unwrap();
    for (x, upper, lower) in table {
        for y in [upper, lower] {
            let off = fitted.distance(Point::new(2.0 * x, 2.0 * y));
            assert!(off < TOLERANCE + 0.0002 + 0.001, "{x} {y}: {off}");
        }
    }
}

#[test]
fn open_chains_keep_their_ends() {
    for path in curves::smooth().into_iter().filter(|p| !p.closed) {
        let segments = chain(&path.curves);
        assert_eq!(segments[0].from, path.curves[0].from(), "{}", path.name);
        assert_eq!(segments[segments.len() - 1].to, path.curves[path.curves.len() - 1].to(), "{}", path.name);
    }
}

#[test]
fn a_curve_in_pieces_is_fitted_as_one() {
    let count = |name: &str| curves::smooth().iter().find(|p| p.name == name).map(|p| fitted(p).len());
    assert_eq!(count("arch in two"), count("arch"));
}

#[test]
fn lines_and_arcs_that_stand_alone_are_kept_to_the_bit() {
    let corners = [(0.1, 0.2), (30.3, 0.7), (31.0, 20.0), (5.0, 21.5)].map(|(x, y)| Point::new(x, y));
    let drawn = [
        Segment::arc(corners[0], corners[1], 0.3),
        Segment::line(corners[1], corners[2]),
        Segment::arc(corners[2], corners[3], -0.7),
        Segment::line(corners[3], corners[0]),
    ];
    assert_eq!(outline(&drawn.map(Curve::Segment)), drawn);
}

#[test]
fn corners_between_curves_stay_where_they_are() {
    let tip = Point::new(50.0, 40.0);
    let path = [
        cubic([(0.0, 0.0), (10.0, 30.0), (30.0, 45.0), (50.0, 40.0)]),
        cubic([(50.0, 40.0), (70.0, 40.0), (90.0, 20.0), (100.0, 0.0)]),
    ];
    let segments = chain(&path);
    assert!(segments.iter().any(|s| s.from == tip));
    assert!(measure::deviation(&path, &segments) <= TOLERANCE);
}

#[test]
fn a_curve_goes_on_smoothly_from_a_kept_line_and_arc() {
    let path = [
        Curve::line(Point::new(-40.0, 0.0), Point::ZERO),
        cubic([(0.0, 0.0), (25.0, 0.0), (40.0, 30.0), (80.0, 30.0)]),
        Curve::Segment(Segment::about(
            Point::new(80.0, 30.0),
            Point::new(100.0, 10.0),
            Point::new(80.0, 10.0),
            false,
        )),
    ];
    let segments = chain(&path);
    assert_eq!(Curve::Segment(segments[0]), path[0]);
    assert_eq!(Curve::Segment(segments[segments.len() - 1]), path[2]);
    let most = measure::kinks(&segments, false).into_iter().fold(0.0, f64::max);
    assert!(most <= 2.0, "{most}");
}

#[test]
fn a_circle_of_four_beziers_is_two_half_circles() {
    // The usual handle length for a quarter, 0.5523 of the radius: 0.027 % of the radius off.
    let k = 0.552_284_749_8;
    for radius in [1.0, 4.0, 30.0] {
        let quarter = [(radius, 0.0), (radius, k * radius), (k * radius, radius), (0.0, radius)];
        let turned = |i: u32| cubic(quarter).transformed(Affine::rotate(PI / 2.0 * f64::from(i)));
        let found = outline(&[turned(0), turned(1), turned(2), turned(3)]);
        assert_eq!(found.len(), 2, "{radius}");
        assert!(
            found.iter().all(|s| (s.bulge - 1.0).abs() < 1e-12 && (s.radius() - radius).abs() < TOLERANCE)
        );
    }
}

#[test]
fn a_full_circle_is_two_half_circles_either_way_round() {
    let circle = EllipticArc::circle(Point::new(7.0, -2.0), 12.5);
    for curve in [Curve::Ellipse(circle), Curve::Ellipse(circle).reversed()] {
        let found = fit::outline(&[curve], TOLERANCE).unwrap();
        assert_eq!(found.vertices().len(), 2);
        assert!((found.area() - PI * 12.5 * 12.5).abs() < 1e-9);
    }
}

#[test]
fn a_huge_radius_is_a_line() {
    let sagitta = 0.004;
    let path = [cubic([(0.0, 0.0), (30.0, sagitta), (70.0, sagitta), (100.0, 0.0)])];
    assert_eq!(chain(&path), [Segment::line(Point::ZERO, Point::new(100.0, 0.0))]);
}

#[test]
fn a_straight_bezier_is_a_line() {
    let path = [cubic([(0.0, 0.0), (1.0, 1.0), (2.0, 2.0), (30.0, 30.0)])];
    assert_eq!(chain(&path), [Segment::line(Point::ZERO, Point::new(30.0, 30.0))]);
}

#[test]
fn a_polygon_keeps_its_sides_whatever_its_size() {
    for (sides, radius) in [(12, 0.05), (12, 0.4), (12, 50.0), (16, 1.0), (60, 40.0), (90, 100.0)] {
        let corners = round(sides, radius);
        let expected: Vec<Segment> =
            (0..corners.len()).map(|i| Segment::line(corners[i], corners[(i + 1) % corners.len()])).collect();
        let mut found = outline(&lines(&corners, true));
        found.sort_by(|a, b| a.from.x.total_cmp(&b.from.x).then(a.from.y.total_cmp(&b.from.y)));
        let mut sorted = expected;
        sorted.sort_by(|a, b| a.from.x.total_cmp(&b.from.x).then(a.from.y.total_cmp(&b.from.y)));
        assert_eq!(found, sorted, "{sides} sides, radius {radius}");
    }
}

#[test]
fn a_finely_flattened_circle_is_two_half_circles() {
    let path = lines(&round(400, 20.0), true);
    let found = outline(&path);
    assert_eq!(found.len(), 2);
    assert!(measure::deviation(&path, &found) <= TOLERANCE);
}

#[test]
fn a_section_of_many_points_becomes_few_arcs() {
    let points = curves::naca_points(0.02, 0.4, 0.12, 200.0, 120);
    let path = lines(&points, true);
    let found = outline(&path);
    assert!(found.len() <= 30, "{}", found.len());
    assert!(measure::deviation(&path, &found) <= TOLERANCE);
}

#[test]
fn a_dense_jittery_trace_becomes_few_arcs() {
    // 5,000 points of an ellipse, 0.05 mm apart, each off by up to 0.004 mm by a fixed rule.
    let mut state = 12345_u64;
    let mut jitter = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((state >> 33) as f64 / f64::from(1_u32 << 31) - 0.5) * 0.008
    };
    let point = |i: u32, (dx, dy): (f64, f64)| {
        let u = TAU * f64::from(i) / 5000.0;
        Point::new(50.0 * u.cos() + dx, 28.0 * u.sin() + dy)
    };
    let points: Vec<Point> = (0..5000).map(|i| point(i, (jitter(), jitter()))).collect();
    let path = lines(&points, true);
    let found = outline(&path);
    assert!(found.len() <= 60, "{}", found.len());
    assert!(measure::deviation(&path, &found) <= TOLERANCE);
}

#[test]
fn a_traced_shape_keeps_its_corners() {
    // A half disc: a flat side, two square corners, a flattened half circle.
    let mut points: Vec<Point> = round(720, 25.0).into_iter().take(361).collect();
    points.push(Point::new(-25.0, -10.0));
    points.push(Point::new(25.0, -10.0));
    let found = outline(&lines(&points, true));
    for corner in [points[0], points[360], points[361], points[362]] {
        assert!(found.iter().any(|s| s.from == corner), "{corner:?}");
    }
    assert!(found.len() <= 6, "{}", found.len());
}

#[test]
fn lines_that_run_straight_on_become_one() {
    let xy = [(0.0, 0.0), (10.0, 0.0), (20.0, 0.0), (50.0, 0.0), (50.0, 20.0), (50.0, 30.0), (0.0, 30.0)];
    let points: Vec<Point> = xy.iter().map(|&p| p.into()).collect();
    let expected = Outline::polygon(&[(0.0, 0.0), (50.0, 0.0), (50.0, 30.0), (0.0, 30.0)]).unwrap();
    for start in 0..points.len() {
        let mut turned = points.clone();
        turned.rotate_left(start);
        let found = fit::outline(&lines(&turned, true), TOLERANCE).unwrap();
        assert_eq!(found.vertices().len(), 4, "from {start}");
        assert!((found.area() - expected.area()).abs() < 1e-9);
    }
}

#[test]
fn a_line_that_comes_back_on_itself_is_not_run_straight_on() {
    let points = [Point::ZERO, Point::new(10.0, 0.0), Point::new(4.0, 0.0)];
    assert_eq!(chain(&lines(&points, false)).len(), 2);
}

#[test]
fn a_cusp_is_a_corner() {
    // p1 and p2 crossed over so that the curve stands still at its middle.
    let path = [cubic([(0.0, 0.0), (100.0, 100.0), (0.0, 100.0), (100.0, 0.0)])];
    let found = chain(&path);
    assert!(measure::deviation(&path, &found) <= TOLERANCE);
    assert!(measure::kinks(&found, false).iter().any(|k| *k > 90.0));
}

#[test]
fn odd_beziers_are_fitted_within_the_tolerance() {
    let odd = [
        [(0.0, 0.0), (0.0, 0.0), (40.0, 30.0), (60.0, 0.0)], // no handle at the start
        [(0.0, 0.0), (20.0, 30.0), (60.0, 0.0), (60.0, 0.0)], // none at the end
        [(0.0, 0.0), (0.0, 0.0), (60.0, 10.0), (60.0, 10.0)], // none at all: a line
        [(0.0, 0.0), (120.0, 80.0), (-60.0, 80.0), (60.0, 0.0)], // a loop
        [(0.0, 0.0), (90.0, 50.0), (-50.0, 50.0), (0.0, 0.0)], // closes on itself
        [(0.0, 0.0), (80.0, 0.0), (-40.0, 0.0), (30.0, 0.0)], // there and back on a line
        [(0.0, 0.0), (0.001, 0.004), (0.004, 0.004), (0.006, 0.0)], // below the tolerance
        [(0.0, 0.0), (33.0, 1e-9), (66.0, -1e-9), (100.0, 0.0)],
    ];
    for p in odd {
        let path = [cubic(p)];
        let off = measure::deviation(&path, &chain(&path));
        assert!(off <= TOLERANCE, "{p:?}: {off}");
    }
}

#[test]
fn a_flat_ellipse_runs_there_and_back() {
    let flat = EllipticArc { b: Vec2::ZERO, ..EllipticArc::circle(Point::ZERO, 10.0) };
    let path = [Curve::Ellipse(flat)];
    assert!(measure::deviation(&path, &outline(&path)) <= TOLERANCE);
}

#[test]
fn curves_that_are_but_a_point_are_left_out() {
    let dot = cubic([(10.0, 0.0); 4]);
    let path = [
        Curve::line(Point::ZERO, Point::new(10.0, 0.0)),
        dot.clone(),
        Curve::line(Point::new(10.0, 0.0), Point::new(10.0, 5.0)),
    ];
    assert_eq!(chain(&path).len(), 2);
    assert_eq!(fit::chain(&[dot], TOLERANCE), Err(Malformed::TooFewPoints));
    assert_eq!(fit::outline(&[], TOLERANCE), Err(Malformed::TooFewPoints));
}

#[test]
fn what_is_not_finite_is_refused() {
    let path = [cubic([(0.0, 0.0), (f64::NAN, 1.0), (2.0, 1.0), (3.0, 0.0)])];
    assert_eq!(fit::chain(&path, TOLERANCE), Err(Malformed::NotFinite));
}

#[test]
fn a_tolerance_that_makes_no_sense_does_not_hang() {
    let path = [cubic([(0.0, 0.0), (0.3, 0.5), (0.7, 0.5), (1.0, 0.0)])];
    for tolerance in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e9] {
        assert!(fit::chain(&path, tolerance).is_ok(), "{tolerance}");
    }
}

#[test]
fn a_tiny_closed_curve_is_still_an_outline() {
    let tiny = EllipticArc { b: Vec2::new(0.0, 0.001), ..EllipticArc::circle(Point::ZERO, 0.003) };
    assert!(fit::outline(&[Curve::Ellipse(tiny)], TOLERANCE).unwrap().vertices().len() >= 2);
}

#[test]
fn a_spline_keeps_its_own_kink() {
    let xy = [(0., 0.), (10., 20.), (30., 30.), (40., 30.), (50., 32.), (70., 20.), (80., 0.)];
    let knots = vec![0., 0., 0., 0., 1., 1., 1., 2., 2., 2., 2.];
    let points: Vec<Point> = xy.iter().map(|&p| p.into()).collect();
    let path = [Curve::Spline(Spline::new(3, points.clone(), Vec::new(), knots).unwrap())];
    let found = chain(&path);
    assert!(found.iter().any(|s| s.from.distance(points[3]) < 1e-12));
    let kinks = measure::kinks(&found, false);
    assert_eq!(kinks.iter().filter(|k| **k > 2.0).count(), 1, "{kinks:?}");
}

#[test]
fn two_strands_closer_than_the_tolerance_do_not_cross() {
    // A cusped tail: two curves that leave one point in nearly the same direction.
    let path = [
        cubic([(0.0, 0.0), (40.0, 0.02), (70.0, 12.0), (100.0, 12.0)]),
        Curve::line(Point::new(100.0, 12.0), Point::new(100.0, 11.0)),
        cubic([(100.0, 11.0), (70.0, 11.0), (40.0, 0.0), (0.0, 0.0)]),
    ];
    let found = outline(&path);
    let meets = |a: &Segment, b: &Segment| {
        (1..400).any(|i| {
            let p = a.at(f64::from(i) / 400.0);
            b.nearest(p).1 < 1e-7
        })
    };
    for i in 0..found.len() {
        for j in i + 2..found.len() {
            assert!(!meets(&found[i], &found[j]), "{i} {j}");
        }
    }
    assert!(measure::deviation(&path, &found) <= TOLERANCE);
}

#[test]
fn the_same_curves_give_the_same_bits() {
    for path in curves::smooth() {
        assert_eq!(fitted(&path), fitted(&path), "{}", path.name);
    }
}

fn point(size: f64) -> impl Strategy<Value = Point> {
    (-size..size, -size..size).prop_map(|(x, y)| Point::new(x, y))
}

/// Closed curves around the origin, smooth all round, of all sizes down to a few tolerances.
fn blob() -> impl Strategy<Value = Curve> {
    (0.1..400.0_f64, prop::collection::vec(0.4..1.0_f64, 4..12), any::<bool>()).prop_map(
        |(size, reaches, through)| {
            let count = reaches.len() as f64;
            let at = |(i, r): (usize, &f64)| {
                let u = TAU * i as f64 / count;
                Point::new(size * r * u.cos(), size * r * u.sin())
            };
            let points: Vec<Point> = reaches.iter().enumerate().map(at).collect();
            let spline = if through {
                Spline::through(&points, true, (None, None))
            } else {
                Spline::uniform(3, points, true)
            };
            Curve::Spline(spline.unwrap())
        },
    )
}

fn bezier() -> impl Strategy<Value = Curve> {
    (0.05..300.0_f64)
        .prop_flat_map(|s| (point(s), point(s), point(s), point(s)))
        .prop_map(|(a, b, c, d)| Curve::Cubic(CubicBez::new(a, b, c, d)))
}

/// The smallest radius of curvature, roughly.
fn tightest(curve: &Curve) -> f64 {
    let at = |i: i32| f64::from(i) / 5000.0;
    let radius = |i: i32| {
        let turn = turn_between(curve.derivative(at(i)), curve.derivative(at(i + 1))).abs();
        curve.at(at(i)).distance(curve.at(at(i + 1))) / turn.max(1e-12)
    };
    (0..5000).map(radius).fold(f64::INFINITY, f64::min)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bezier_is_fitted_within_the_tolerance(curve in bezier(), tolerance in prop_oneof![Just(0.01), 0.002..0.1]) {
        let segments: Vec<Segment> =
            fit::chain(std::slice::from_ref(&curve), tolerance).unwrap().segments().collect();
        let off = measure::deviation(std::slice::from_ref(&curve), &segments);
        prop_assert!(off <= tolerance + 1e-5, "{off} of {tolerance}");
        if tightest(&curve) > 2.0 * tolerance {
            prop_assert!(measure::kinks(&segments, false).into_iter().all(|k| k <= 2.0));
        }
    }

    #[test]
    fn any_closed_spline_is_fitted_smoothly_within_the_tolerance(curve in blob()) {
        let segments = outline(std::slice::from_ref(&curve));
        let off = measure::deviation(std::slice::from_ref(&curve), &segments);
        prop_assert!(off <= TOLERANCE + 1e-4 * TOLERANCE.max(curve.bounds().width() / 100.0), "{off}");
        if tightest(&curve) > 2.0 * TOLERANCE {
            prop_assert!(measure::kinks(&segments, true).into_iter().all(|k| k <= 2.0));
        }
    }

    #[test]
    fn any_closed_spline_keeps_its_area(curve in blob()) {
        let fitted = fit::outline(std::slice::from_ref(&curve), TOLERANCE).unwrap();
        let fine: Vec<Point> = (0..20_000).map(|i| curve.at(f64::from(i) / 20_000.0)).collect();
        let pair = |i: usize| fine[i].to_vec2().cross(fine[(i + 1) % fine.len()].to_vec2());
        let area = (0..fine.len()).map(pair).sum::<f64>() / 2.0;
        prop_assert!((fitted.signed_area() - area).abs() <= TOLERANCE * fitted.perimeter());
    }
}

#[test]
fn an_outline_of_200_000_vertices_is_done_in_seconds() {
    let begun = std::time::Instant::now();
    let shape = round(200_000, 300.0).into_iter().map(|p| Point::new(p.x, 0.4 * p.y)).collect::<Vec<_>>();
    let found = outline(&lines(&shape, true));
    assert!(found.len() < 60, "{}", found.len());
    // A second or so alone; generous for a busy machine.
    assert!(begun.elapsed().as_secs() < 60);
}
