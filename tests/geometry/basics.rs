//! Segments, outlines, placements and regions against fine polygons and plain formulas, each outline also begun at
//! other vertices, run the other way, turned and mirrored.

use std::f64::consts::{PI, TAU};

use grainwise::geometry::{Chain, Malformed, Outline, Placement, Point, Rect, Region, Segment, Vec2, Vertex};
use proptest::prelude::*;

/// An arc as this many chords.
const CHORDS: u32 = 400;

fn polygon(outline: &Outline) -> Vec<Point> {
    let steps = |s: &Segment| if s.is_line() { 1 } else { CHORDS };
    outline
        .segments()
        .flat_map(|s| (0..steps(&s)).map(move |i| s.at(f64::from(i) / f64::from(steps(&s)))))
        .collect()
}

/// The shoelace formula.
fn polygon_area(points: &[Point]) -> f64 {
    let pair = |i: usize| points[i].to_vec2().cross(points[(i + 1) % points.len()].to_vec2());
    (0..points.len()).map(pair).sum::<f64>() / 2.0
}

/// How often a polygon winds around a point: the sum of the angles under which it sees the sides.
fn polygon_winding(points: &[Point], at: Point) -> i32 {
    let angle = |i: usize| {
        let (a, b) = (points[i] - at, points[(i + 1) % points.len()] - at);
        a.cross(b).atan2(a.dot(b))
    };
    ((0..points.len()).map(angle).sum::<f64>() / TAU).round() as i32
}

fn coordinate() -> impl Strategy<Value = f64> {
    // Whole numbers often, so that points level with vertices and on chords come up.
    prop_oneof![(-6..=6_i32).prop_map(f64::from), -6.0..6.0]
}

fn bulge() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), Just(1.0), Just(-1.0), -4.0..4.0, -0.3..0.3]
}

fn vertex() -> impl Strategy<Value = Vertex> {
    (coordinate(), coordinate(), bulge()).prop_map(|(x, y, bulge)| Vertex::new(x, y, bulge))
}

fn segment() -> impl Strategy<Value = Segment> {
    (vertex(), coordinate(), coordinate())
        .prop_map(|(v, x, y)| Segment::arc(v.at, Point::new(x, y), v.bulge))
        .prop_filter("some length", |s| s.from.distance(s.to) > 1e-3)
}

fn outline() -> impl Strategy<Value = Outline> {
    prop::collection::vec(vertex(), 2..8).prop_filter_map("sides of some length", |vertices| {
        let outline = Outline::new(vertices).ok()?;
        let long = outline.segments().all(|s| s.from.distance(s.to) > 1e-3);
        long.then_some(outline)
    })
}

fn placement() -> impl Strategy<Value = Placement> {
    let turn = prop_oneof![(0..8_i32).prop_map(|q| 45.0 * f64::from(q)), -400.0..400.0];
    (any::<bool>(), turn, -99.0..99.0, -99.0..99.0).prop_map(|(mirrored, turn_deg, x, y)| Placement {
        mirrored,
        turn_deg,
        shift: Vec2::new(x, y),
    })
}

fn close(a: f64, b: f64, within: f64) -> Result<(), TestCaseError> {
    prop_assert!((a - b).abs() <= within, "{a} {b}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn bulge_is_the_tangent_of_a_quarter_of_the_angle(s in segment()) {
        // The DXF reference's definition, against the angle measured at the centre.
        if let Some(centre) = s.centre() {
            let middle = s.at(0.5);
            let half = (s.from - centre).cross(middle - centre).atan2((s.from - centre).dot(middle - centre));
            close((half / 2.0).tan(), s.bulge, 1e-7 * (1.0 + s.bulge * s.bulge))?;
            close(s.from.distance(centre), s.radius(), 1e-9 * s.radius())?;
            close(s.to.distance(centre), s.radius(), 1e-9 * s.radius())?;
        }
    }

    #[test]
    fn length_of_a_segment_is_that_of_its_chords(s in segment()) {
        let at = |i: u32| s.at(f64::from(i) / 2000.0);
        let chords: f64 = (0..2000).map(|i| at(i).distance(at(i + 1))).sum();
        close(s.length(), chords, 1e-5 * chords)?;
    }

    #[test]
    fn tangent_is_the_way_it_goes(s in segment(), t in 0.01..0.99) {
        let way = (s.at(t + 1e-6) - s.at(t - 1e-6)).normalize();
        prop_assert!((way - s.tangent(t)).hypot() < 1e-6);
    }

    #[test]
    fn reversed_segment_runs_the_same_points(s in segment(), t in 0.0..1.0) {
        prop_assert!(s.reversed().at(1.0 - t).distance(s.at(t)) < 1e-9 * (1.0 + s.radius().min(1e3)));
    }

    #[test]
    fn a_piece_between_lies_on_the_whole(s in segment(), a in 0.0..1.0, b in 0.0..1.0, t in 0.0..1.0) {
        let piece = s.between(a, b);
        prop_assert!(piece.at(t).distance(s.at(a + (b - a) * t)) < 1e-8 * (1.0 + s.length()));
    }

    #[test]
    fn about_a_centre_gives_the_arc_back(s in segment()) {
        if let Some(centre) = s.centre().filter(|_| s.bulge.abs() > 1e-3) {
            let again = Segment::about(s.from, s.to, centre, s.bulge > 0.0);
            close(again.bulge, s.bulge, 1e-6 * (1.0 + s.bulge.abs().powi(3)))?;
        }
    }

    #[test]
    fn bounds_of_a_segment_are_those_of_its_points(s in segment()) {
        let first = Rect::from_points(s.from, s.to);
        let seen = (0..=2000).map(|i| s.at(f64::from(i) / 2000.0)).fold(first, |r, p| r.union_pt(p));
        prop_assert!(s.bounds().inflate(1e-9, 1e-9).contains_rect(seen));
        prop_assert!(seen.inflate(1e-3, 1e-3).contains_rect(s.bounds()), "{seen:?} {:?}", s.bounds());
    }

    #[test]
    fn nearest_is_no_farther_than_any_point_and_is_one(s in segment(), x in coordinate(), y in coordinate()) {
        let p = Point::new(x, y);
        let (t, distance) = s.nearest(p);
        close(s.at(t).distance(p), distance, 1e-8 * (1.0 + s.length()))?;
        let any = (0..=2000).map(|i| s.at(f64::from(i) / 2000.0).distance(p)).fold(f64::INFINITY, f64::min);
        prop_assert!(distance <= any + 1e-9, "{distance} {any}");
        prop_assert!(any - distance <= s.length() / 2000.0);
    }

    #[test]
    fn area_is_that_of_the_polygon(o in outline()) {
        let within = o.segments().map(|s| s.radius().min(1e4).powi(2)).sum::<f64>() * 1e-4 + 1e-6;
        close(o.signed_area(), polygon_area(&polygon(&o)), within)?;
    }

    #[test]
    fn area_and_perimeter_do_not_mind_the_start_the_way_or_the_place(o in outline(), p in placement(), k in 0..8_usize) {
        let (area, perimeter) = (o.signed_area(), o.perimeter());
        let within = 1e-9 * (1.0 + o.segments().map(|s| s.radius().min(1e4).powi(2)).sum::<f64>());
        close(o.started_at(k).signed_area(), area, within)?;
        close(o.reversed().signed_area(), -area, within)?;
        // A mirrored outline is run backwards, so that its winding stays.
        close(o.placed(&p).signed_area(), area, 1e3 * within)?;
        for same in [o.started_at(k), o.reversed(), o.placed(&p)] {
            close(same.perimeter(), perimeter, 1e-9 * (1.0 + perimeter))?;
        }
    }

    #[test]
    fn inside_is_where_the_polygon_winds(o in outline(), x in coordinate(), y in coordinate(), k in 0..8_usize) {
        let at = Point::new(x, y);
        // Near the line either answer may come.
        prop_assume!(o.distance(at) > 1e-2);
        let inside = polygon_winding(&polygon(&o), at) != 0;
        prop_assert_eq!(o.contains(at), inside);
        prop_assert_eq!(o.started_at(k).contains(at), inside);
        prop_assert_eq!(o.reversed().contains(at), inside);
    }

    #[test]
    fn inside_stays_inside_when_placed(o in outline(), x in coordinate(), y in coordinate(), p in placement()) {
        let at = Point::new(x, y);
        prop_assume!(o.distance(at) > 1e-2);
        prop_assert_eq!(o.placed(&p).contains(p.point(at)), o.contains(at));
    }

    #[test]
    fn distance_to_an_outline_is_that_to_its_polygon(o in outline(), x in coordinate(), y in coordinate()) {
        let at = Point::new(x, y);
        let points = polygon(&o);
        let side = |i: usize| Segment::line(points[i], points[(i + 1) % points.len()]).nearest(at).1;
        let any = (0..points.len()).map(side).fold(f64::INFINITY, f64::min);
        let sagitta = o.segments().filter(|s| !s.is_line()).map(|s| s.length() / f64::from(CHORDS)).fold(0.0, f64::max);
        close(o.distance(at), any, sagitta + 1e-9)?;
    }

    #[test]
    fn a_placement_is_taken_back(p in placement(), x in coordinate(), y in coordinate()) {
        let at = Point::new(x, y);
        prop_assert!(p.point_back(p.point(at)).distance(at) < 1e-12 * 200.0);
    }

    #[test]
    fn a_placement_mirrors_then_turns_then_shifts(p in placement(), x in coordinate(), y in coordinate()) {
        let mirrored = if p.mirrored { Vec2::new(-x, y) } else { Vec2::new(x, y) };
        let (sin, cos) = p.turn_deg.to_radians().sin_cos();
        let turned = Vec2::new(mirrored.x * cos - mirrored.y * sin, mirrored.x * sin + mirrored.y * cos);
        prop_assert!((p.point(Point::new(x, y)) - (turned + p.shift).to_point()).hypot() < 1e-12 * 200.0);
    }

    #[test]
    fn a_placed_outline_runs_through_the_placed_points(o in outline(), p in placement()) {
        let placed = o.placed(&p);
        for s in o.segments() {
            for t in [0.0, 0.21, 0.5, 0.93] {
                prop_assert!(placed.distance(p.point(s.at(t))) < 1e-8 * (1.0 + s.length()));
            }
        }
    }

    #[test]
    fn grain_goes_with_the_placement(p in placement(), grain in 0.0..180.0_f64) {
        let along = p.direction(Vec2::new(grain.to_radians().cos(), grain.to_radians().sin()));
        let there = p.grain_deg(grain).to_radians();
        prop_assert!((0.0..180.0).contains(&p.grain_deg(grain)));
        prop_assert!(along.cross(Vec2::new(there.cos(), there.sin())).abs() < 1e-9);
    }

    #[test]
    fn an_outline_wound_as_asked_is(o in outline(), way in any::<bool>()) {
        prop_assume!(o.area() > 1e-6);
        prop_assert_eq!(o.wound(way).is_counter_clockwise(), way);
    }
}

#[test]
fn quarter_turns_are_exact() {
    for (quarter, expected) in
        [(0, (3.0, 7.0)), (1, (-7.0, 3.0)), (2, (-3.0, -7.0)), (3, (7.0, -3.0)), (-1, (7.0, -3.0))]
    {
        let p = Placement { turn_deg: 90.0 * f64::from(quarter), ..Placement::HERE };
        assert_eq!(p.point(Point::new(3.0, 7.0)), Point::from(expected), "{quarter}");
    }
}

#[test]
fn a_circle_holds_its_diameter_whichever_way_it_lies() {
    for turn_deg in [0.0, 30.0, 90.0, 123.0, 180.0, 270.0] {
        let place = Placement { turn_deg, ..Placement::HERE };
        let circle = Outline::circle(Point::ZERO, 10.0).placed(&place);
        for x in [-9.0, -3.0, 0.0, 2.0, 9.0] {
            // On the chord that both halves share.
            let at = place.point(Point::new(x, 0.0));
            assert!(circle.contains(at) && circle.reversed().contains(at), "{turn_deg} {x}");
        }
    }
}

#[test]
fn points_level_with_corners_and_on_chords_are_told_right() {
    // A square of 10 with a bay cut into its right side and a boss on its left, both half round, chords upright.
    let square = Outline::new(vec![
        Vertex::new(0.0, 0.0, 0.0),
        Vertex::new(10.0, 0.0, 0.0),
        Vertex::new(10.0, 2.0, -1.0),
        Vertex::new(10.0, 8.0, 0.0),
        Vertex::new(10.0, 10.0, 0.0),
        Vertex::new(0.0, 10.0, 0.0),
        Vertex::new(0.0, 7.0, 1.0),
        Vertex::new(0.0, 3.0, 0.0),
    ])
    .unwrap();
    let inside =
        [(0.0, 5.0), (-1.9, 5.0), (5.0, 2.0), (5.0, 8.0), (6.9, 5.0), (0.0, 4.0), (5.0, 3.0), (9.0, 2.0)];
    let outside = [
        (10.0, 5.0),
        (7.1, 5.0),
        (9.0, 5.0),
        (-1.0, 3.0),
        (-2.1, 5.0),
        (11.0, 2.0),
        (-1.0, 10.0),
        (5.0, 11.0),
    ];
    for turn_deg in [0.0, 90.0, 180.0, 270.0] {
        for mirrored in [false, true] {
            let p = Placement { mirrored, turn_deg, ..Placement::HERE };
            let placed = square.placed(&p);
            assert!(inside.iter().all(|&at| placed.contains(p.point(at.into()))), "{p:?}");
            assert!(outside.iter().all(|&at| !placed.contains(p.point(at.into()))), "{p:?}");
        }
    }
}

#[test]
fn areas_of_plain_shapes() {
    let half_disc = Outline::new(vec![Vertex::new(0.0, 0.0, 1.0), Vertex::new(10.0, 0.0, 0.0)]).unwrap();
    // An arc of three quarters of a circle of radius 5 about (5, 5), closed by its chord.
    let major =
        Outline::new(vec![Vertex::new(10.0, 5.0, (3.0 * PI / 8.0).tan()), Vertex::new(5.0, 0.0, 0.0)])
            .unwrap();
    let cases = [
        (Outline::circle(Point::new(3.0, 4.0), 7.0), 49.0 * PI),
        (Outline::rectangle(Rect::new(1.0, 2.0, 5.0, 12.0)), 40.0),
        (half_disc, 12.5 * PI),
        (major, 0.75 * 25.0 * PI + 12.5),
    ];
    for (outline, area) in cases {
        assert!((outline.signed_area() - area).abs() < 1e-10, "{outline:?}: {}", outline.signed_area());
    }
}

#[test]
fn a_small_outline_far_away_keeps_its_area() {
    let far = Placement { shift: Vec2::new(8e6, -7e6), ..Placement::HERE };
    let area = Outline::circle(Point::ZERO, 1.0).placed(&far).signed_area();
    assert!((area - PI).abs() < 1e-8, "{area}");
}

#[test]
fn a_very_flat_arc_keeps_the_digits_of_its_area() {
    // A cap of small bulge b over the chord c: two thirds of c times the sagitta c b / 2.
    for bulge in [1e-3, 1e-5, 1e-7, 2e-9] {
        let flat = Outline::new(vec![Vertex::new(0.0, 0.0, bulge), Vertex::new(1000.0, 0.0, 0.0)]).unwrap();
        let expected = 2.0 / 3.0 * 1000.0 * 1000.0 * bulge / 2.0;
        assert!(
            (flat.signed_area() / expected - 1.0).abs() < 1e-5,
            "{bulge}: {} {expected}",
            flat.signed_area()
        );
    }
}

#[test]
fn a_region_winds_its_outlines_and_takes_its_holes_away() {
    let outer = Outline::rectangle(Rect::new(0.0, 0.0, 50.0, 30.0)).reversed();
    let hole = Outline::circle(Point::new(20.0, 15.0), 5.0);
    let region = Region::new(outer, vec![hole]);
    let mirrored = region.placed(&Placement { mirrored: true, turn_deg: 33.0, shift: Vec2::new(5.0, 6.0) });
    for r in [&region, &mirrored] {
        assert!(r.outer().is_counter_clockwise());
        assert!(r.holes().iter().all(|h| !h.is_counter_clockwise()));
        assert!((r.area() - (1500.0 - 25.0 * PI)).abs() < 1e-9);
        assert!((r.perimeter() - (160.0 + 10.0 * PI)).abs() < 1e-9);
    }
    assert!(region.contains(Point::new(10.0, 15.0)) && !region.contains(Point::new(20.0, 15.0)));
    assert!((region.distance(Point::new(20.0, 15.0)) - 5.0).abs() < 1e-12);
    assert_eq!(region.bounds(), Rect::new(0.0, 0.0, 50.0, 30.0));
}

#[test]
fn a_chain_runs_backwards_and_keeps_its_length() {
    let vertices = vec![Vertex::new(0.0, 0.0, 0.4), Vertex::new(10.0, 0.0, 0.0), Vertex::new(10.0, 7.0, 0.0)];
    let chain = Chain::new(vertices).unwrap();
    let back = chain.reversed();
    assert_eq!(back.vertices()[0].at, Point::new(10.0, 7.0));
    assert_eq!(back.vertices()[1].bulge, -0.4);
    assert!((back.length() - chain.length()).abs() < 1e-12);
    assert_eq!(back.bounds(), chain.bounds());
}

#[test]
fn what_makes_no_outline_is_refused() {
    assert_eq!(Outline::new(vec![Vertex::new(0.0, 0.0, 1.0)]), Err(Malformed::TooFewPoints));
    assert_eq!(Chain::from_segments(&[]), Err(Malformed::TooFewPoints));
    for bad in [f64::NAN, f64::INFINITY] {
        assert_eq!(Outline::polygon(&[(0.0, 0.0), (bad, 1.0), (1.0, 1.0)]), Err(Malformed::NotFinite));
        let bulged = vec![Vertex::new(0.0, 0.0, bad), Vertex::new(1.0, 0.0, 0.0)];
        assert_eq!(Outline::new(bulged), Err(Malformed::NotFinite));
    }
}
