//! Curves: points, slopes, maps, and splines against numbers from elsewhere.
#![allow(clippy::unreadable_literal, reason = "the numbers stand as they were printed")]

use grainwise::geometry::curve::{BadSpline, Curve, EllipticArc, Spline};
use grainwise::geometry::{Affine, Point, Segment, Vec2};
use kurbo::CubicBez;

fn points(xy: &[(f64, f64)]) -> Vec<Point> {
    xy.iter().map(|&p| p.into()).collect()
}

/// A quarter of a circle of radius 10 as a rational curve of degree 2 (the usual weights 1, √½, 1).
fn quarter() -> Spline {
    let weights = vec![1.0, 0.5_f64.sqrt(), 1.0];
    Spline::new(2, points(&[(10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]), weights, vec![0., 0., 0., 1., 1., 1.])
        .unwrap()
}

/// Degree 4, unclamped and unevenly spaced knots, uneven weights.
fn wild() -> Spline {
    let xy = [(0.0, 0.0), (3.0, 4.0), (7.0, 1.0), (9.0, 6.0), (13.0, 2.0), (15.0, 8.0), (20.0, 3.0)];
    let knots = vec![0., 1., 1.5, 3., 4., 4.5, 6., 7., 9., 10., 11., 12.];
    Spline::new(4, points(&xy), vec![1., 2., 0.5, 1., 3., 1., 0.7], knots).unwrap()
}

fn every_kind() -> Vec<Curve> {
    let ellipse = EllipticArc {
        centre: Point::new(3.0, -2.0),
        a: Vec2::new(20.0, 5.0),
        b: Vec2::new(-3.0, 9.0),
        start: 0.7,
        sweep: -4.0,
    };
    vec![
        Curve::line(Point::new(1.0, 2.0), Point::new(7.0, -3.0)),
        Curve::Segment(Segment::arc(Point::new(1.0, 2.0), Point::new(7.0, -3.0), 0.6)),
        Curve::Segment(Segment::arc(Point::new(1.0, 2.0), Point::new(7.0, -3.0), -1.8)),
        Curve::Ellipse(ellipse),
        Curve::Cubic(CubicBez::new((0.0, 0.0), (5.0, 9.0), (12.0, -7.0), (15.0, 4.0))),
        Curve::Spline(quarter()),
        Curve::Spline(wild()),
        Curve::Spline(Spline::uniform(3, points(&[(0., 0.), (9., 1.), (8., 7.), (2., 6.)]), true).unwrap()),
    ]
}

fn maps() -> [Affine; 5] {
    [
        Affine::rotate(0.4).then_scale(2.5).then_translate(Vec2::new(3.0, 4.0)),
        Affine::scale_non_uniform(-1.0, 1.0),
        Affine::scale_non_uniform(3.0, 0.5),
        Affine::new([1.0, 0.2, -0.7, 1.3, 5.0, 6.0]),
        Affine::new([1.0, 2.0, 2.0, 4.0, 0.0, 0.0]), // squashes the plane onto a line
    ]
}

fn steps() -> impl Iterator<Item = f64> {
    (0..=40).map(|i| f64::from(i) / 40.0)
}

#[test]
fn derivative_is_the_slope_of_the_points() {
    for curve in every_kind() {
        for t in steps().filter(|t| (0.01..0.99).contains(t)) {
            let h = 1e-6;
            let slope = (curve.at(t + h) - curve.at(t - h)) / (2.0 * h);
            let off = (slope - curve.derivative(t)).hypot();
            assert!(off < 1e-5 * (1.0 + slope.hypot()), "{curve:?} at {t}: {slope:?}, off by {off}");
        }
    }
}

#[test]
fn ends_are_the_first_and_last_points() {
    for curve in every_kind() {
        assert_eq!((curve.from(), curve.to()), (curve.at(0.0), curve.at(1.0)), "{curve:?}");
    }
}

#[test]
fn reversed_runs_the_same_points_backwards() {
    for curve in every_kind() {
        let back = curve.reversed();
        for t in steps() {
            assert!(curve.at(t).distance(back.at(1.0 - t)) < 1e-11, "{curve:?} at {t}");
        }
    }
}

#[test]
fn transformed_moves_every_point() {
    for (curve, map) in every_kind().iter().flat_map(|c| maps().map(|m| (c, m))) {
        let moved = curve.transformed(map);
        for t in steps() {
            assert!(moved.at(t).distance(map * curve.at(t)) < 1e-10, "{curve:?} under {map:?} at {t}");
        }
    }
}

#[test]
fn a_similarity_keeps_an_arc_and_an_uneven_scale_does_not() {
    let arc = Curve::Segment(Segment::arc(Point::new(0.0, 0.0), Point::new(4.0, 0.0), 0.5));
    let kind = |map| match arc.transformed(map) {
        Curve::Segment(s) => s.bulge,
        _ => 99.0,
    };
    assert_eq!(maps().map(kind), [0.5, -0.5, 99.0, 99.0, 99.0]);
}

#[test]
fn a_line_stays_a_line_under_every_map() {
    let line = Curve::line(Point::new(1.0, 2.0), Point::new(7.0, -3.0));
    for map in maps() {
        assert!(matches!(line.transformed(map), Curve::Segment(s) if s.is_line()));
    }
}

#[test]
fn ends_are_moved_where_they_should_be() {
    for curve in every_kind() {
        let (from, to) = (curve.from() + Vec2::new(0.02, -0.03), curve.to() + Vec2::new(-0.01, 0.04));
        let moved = curve.with_ends(from, to);
        assert!(moved.from().distance(from) < 1e-10, "{curve:?}");
        if curve.from().distance(curve.to()) > 1.0 {
            assert!(moved.to().distance(to) < 1e-10, "{curve:?}");
        }
        let worst = steps().map(|t| moved.at(t).distance(curve.at(t))).fold(0.0, f64::max);
        assert!(worst < 0.1, "{curve:?}: {worst}");
    }
}

#[test]
fn length_agrees_with_a_fine_polygon() {
    for curve in every_kind() {
        let n = 20_000;
        let at = |i: i32| curve.at(f64::from(i) / f64::from(n));
        let polygon: f64 = (0..n).map(|i| at(i).distance(at(i + 1))).sum();
        assert!((curve.length() / polygon - 1.0).abs() < 1e-5, "{curve:?}: {} {polygon}", curve.length());
    }
}

/// Circumference of the ellipse with half axes 2 and 1: 4 * 2 * E(3/4) = 9.688448220547675 (E by Abramowitz and Stegun,
/// table 17.1, interpolated; digits from scipy 1.17 `ellipe`).
#[test]
fn length_of_an_ellipse_is_the_elliptic_integral() {
    let ellipse = EllipticArc { b: Vec2::new(0.0, 1.0), ..EllipticArc::circle(Point::ZERO, 2.0) };
    assert!((Curve::Ellipse(ellipse).length() - 9.688_448_220_547_675).abs() < 1e-6);
}

#[test]
fn bounds_hold_the_curve_and_fit_where_they_say_so() {
    for curve in every_kind() {
        let bounds = curve.bounds();
        let fine = (0..=4000).map(|i| curve.at(f64::from(i) / 4000.0));
        let points: Vec<Point> = fine.collect();
        assert!(points.iter().all(|p| bounds.inflate(1e-9, 1e-9).contains(*p)), "{curve:?}");
        if !matches!(curve, Curve::Spline(_)) {
            let first = kurbo::Rect::from_points(points[0], points[0]);
            let seen = points.iter().fold(first, |r, p| r.union_pt(*p)).inflate(1e-3, 1e-3);
            assert!(seen.contains_rect(bounds), "{curve:?}: {bounds:?} in {seen:?}");
        }
    }
}

#[test]
fn an_absurd_coordinate_is_not_finite() {
    let wide = |x: f64| Curve::line(Point::ZERO, Point::new(x, 0.0));
    assert!(wide(9e6).is_finite());
    for x in [f64::NAN, f64::INFINITY, 1.1e7, -1e300] {
        assert!(!wide(x).is_finite(), "{x}");
        let ellipse = EllipticArc { sweep: x, ..EllipticArc::circle(Point::ZERO, 1.0) };
        assert!(!Curve::Ellipse(ellipse).is_finite(), "{x}");
    }
}

#[test]
fn a_full_ellipse_ends_where_it_began() {
    let full = EllipticArc { start: 0.3, ..EllipticArc::circle(Point::new(100.0, 7.0), 5.0) };
    assert_eq!(full.at(0.0), full.at(1.0));
}

#[test]
fn a_round_ellipse_is_circular_arcs() {
    let arc = EllipticArc { start: 0.3, sweep: -6.0, ..EllipticArc::circle(Point::new(1.0, 7.0), 5.0) };
    let mirrored = arc.transformed(Affine::scale_non_uniform(-1.0, 1.0));
    for arc in [arc, mirrored] {
        let pieces = arc.round(1e-9).unwrap();
        assert_eq!(pieces.len(), 2);
        for t in steps() {
            let near = pieces.iter().map(|s| s.nearest(arc.at(t)).1).fold(f64::INFINITY, f64::min);
            assert!(near < 1e-9, "{near}");
        }
    }
    assert!(arc.transformed(Affine::scale_non_uniform(1.0, 1.01)).round(0.01).is_none());
}

#[test]
fn a_rational_quadratic_runs_the_circle() {
    for t in steps() {
        assert!((quarter().at(t).to_vec2().hypot() - 10.0).abs() < 1e-12);
    }
}

#[test]
fn a_clamped_cubic_of_four_points_is_the_bezier() {
    let xy = [(0.0, 0.0), (5.0, 9.0), (12.0, -7.0), (15.0, 4.0)];
    let spline = Spline::uniform(3, points(&xy), false).unwrap();
    let bezier = Curve::Cubic(CubicBez::new(xy[0], xy[1], xy[2], xy[3]));
    for t in steps() {
        assert!(spline.at(t).distance(bezier.at(t)) < 1e-12);
    }
}

/// Numbers from scipy 1.17, `BSpline` on homogeneous coordinates.
#[test]
fn unclamped_rational_spline_agrees_with_scipy() {
    let expected = [
        (0.0, (4.332520325203252, 3.2878048780487803), (9.442129684711478, -1.3626888756692441)),
        (0.25, (7.811060220472752, 3.863339718364545), (15.429763044392798, 4.240752605336981)),
        (0.6, (11.509377673849402, 3.4933214686311205), (6.356889383482681, -3.48223875267845)),
    ];
    for (t, at, slope) in expected {
        assert!(wild().at(t).distance(at.into()) < 1e-12, "{t}");
        assert!((wild().derivative(t) - Vec2::from(slope)).hypot() < 1e-11, "{t}");
    }
}

/// Numbers from scipy 1.17, `CubicSpline` over chord lengths, natural, with given end slopes, and periodic.
#[test]
fn splines_through_points_agree_with_scipy() {
    let given = points(&[(0.0, 0.0), (10.0, 5.0), (18.0, -3.0), (30.0, 2.0), (31.0, 12.0)]);
    let ends = (Some(Vec2::new(6.0, 8.0)), Some(Vec2::new(0.0, 0.5)));
    let cases = [
        (false, (None, None), 0.1, (4.376019639658369, 3.433315991703218)),
        (false, (None, None), 0.83, (30.89953296108271, 4.133375762883557)),
        (false, ends, 0.1, (3.668779008909265, 3.404191959463585)),
        (false, ends, 0.83, (30.8154697305503, 4.171842799030441)),
        (true, (None, None), 0.1, (6.675993842528848, 4.442081274934965)),
        (true, (None, None), 0.37, (24.4296390607945, -2.927568053821002)),
        (true, (None, None), 0.83, (7.6170367100655, 4.47505245864439)),
    ];
    for (closed, tangents, t, expected) in cases {
        let spline = Spline::through(&given, closed, tangents).unwrap();
        assert!(spline.at(t).distance(expected.into()) < 1e-10, "{closed} {t}: {:?}", spline.at(t));
    }
}

#[test]
fn a_spline_through_points_drops_repeats() {
    let repeated = points(&[(0., 0.), (0., 0.), (5., 3.), (9., 0.), (9., 0.), (0., 0.)]);
    let plain = points(&[(0., 0.), (5., 3.), (9., 0.)]);
    let spline = |given: &[Point]| Spline::through(given, true, (None, None)).unwrap();
    assert_eq!(spline(&repeated), spline(&plain));
}

#[test]
fn points_that_are_all_the_same_make_no_spline() {
    let same = vec![Point::new(3.0, 3.0); 5];
    assert!(Spline::through(&same, true, (None, None)).is_err());
    assert!(Spline::through(&[], false, (None, None)).is_err());
    assert!(Spline::through(&[Point::new(f64::NAN, 0.0), Point::ZERO], false, (None, None)).is_err());
}

#[test]
fn a_closed_uniform_spline_is_smooth_where_it_closes() {
    let spline = Spline::uniform(3, points(&[(0., 0.), (9., 1.), (8., 7.), (2., 6.)]), true).unwrap();
    assert!(spline.at(0.0).distance(spline.at(1.0)) < 1e-12);
    assert!((spline.derivative(0.0) - spline.derivative(1.0)).hypot() < 1e-10);
}

#[test]
fn kinks_are_knots_as_multiple_as_the_degree() {
    let xy: Vec<Point> = (0..7_u32).map(|i| Point::new(f64::from(i), f64::from(i * i % 5))).collect();
    let knots = vec![0., 0., 0., 0., 2., 2., 2., 8., 8., 8., 8.];
    let spline = Spline::new(3, xy.clone(), Vec::new(), knots).unwrap();
    assert_eq!(spline.kinks(), [0.25]);
    assert_eq!(spline.at(0.25), xy[3]);
    assert_eq!(Spline::uniform(1, xy, false).unwrap().kinks().len(), 5);
}

#[test]
fn what_is_no_spline_is_refused() {
    let four = points(&[(0., 0.), (1., 0.), (1., 1.), (0., 1.)]);
    let clamped = vec![0., 0., 0., 0., 1., 1., 1., 1.];
    let broken = vec![0., 0., 1., 1., 2., 2.];
    let cases: [(usize, Vec<f64>, Vec<f64>, BadSpline); 10] = [
        (0, vec![], clamped.clone(), BadSpline::Degree(0)),
        (usize::MAX, vec![], clamped.clone(), BadSpline::Degree(usize::MAX)),
        (4, vec![], clamped.clone(), BadSpline::Points { degree: 4, points: 4 }),
        (3, vec![], vec![0., 1.], BadSpline::Knots { needed: 8, knots: 2 }),
        (3, vec![], vec![0., 0., 0., 1., 0., 1., 1., 1.], BadSpline::Order),
        (3, vec![], vec![2.0; 8], BadSpline::Order),
        (3, vec![1.0; 3], clamped.clone(), BadSpline::Weights),
        (3, vec![1.0, 0.0, 1.0, 1.0], clamped.clone(), BadSpline::Weights),
        (3, vec![1.0, f64::NAN, 1.0, 1.0], clamped, BadSpline::NotFinite),
        (1, vec![], broken, BadSpline::Broken),
    ];
    for (degree, weights, knots, expected) in cases {
        assert_eq!(Spline::new(degree, four.clone(), weights, knots), Err(expected));
    }
}
