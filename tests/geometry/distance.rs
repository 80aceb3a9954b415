//! Distances, windings and crossings of outlines, against plain sampling and against hand-worked values.

use std::f64::consts::PI;

use grainwise::geometry::crossing::{meeting, region_meeting, self_meeting, without_repeats};
use grainwise::geometry::distance::{SegmentIndex, gap, material_gap};
use grainwise::geometry::{Outline, Point, Rect, Region, Segment, Vertex};
use proptest::prelude::*;

fn segment() -> impl Strategy<Value = Segment> {
    let c = -10.0..10.0;
    (c.clone(), c.clone(), c.clone(), c, prop_oneof![Just(0.0), -3.0..3.0, -1e-4..1e-4]).prop_map(
        |(x0, y0, x1, y1, bulge): (f64, f64, f64, f64, f64)| {
            Segment::arc(Point::new(x0, y0), Point::new(x1, y1), bulge)
        },
    )
}

fn samples(segment: Segment, count: usize) -> Vec<Point> {
    (0..=count).map(|i| segment.at(i as f64 / count as f64)).collect()
}

/// The distance between two segments by sampling one and asking the other's own nearest point.
fn sampled_gap(a: Segment, b: Segment) -> f64 {
    samples(a, 4000).into_iter().map(|p| b.nearest(p).1).fold(f64::INFINITY, f64::min)
}

fn index(outline: &Outline) -> SegmentIndex {
    SegmentIndex::of_outline(outline)
}

fn square(x: f64, y: f64, side: f64) -> Outline {
    Outline::rectangle(Rect::new(x, y, x + side, y + side))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn the_gap_of_two_segments_is_what_sampling_finds(a in segment(), b in segment()) {
        let exact = gap(&SegmentIndex::new([a]), &SegmentIndex::new([b]), f64::INFINITY).unwrap();
        let sampled = sampled_gap(a, b);
        let step = a.length() / 4000.0;
        // The sampling takes a radius from a distance of the same size: of a radius of a thousand kilometres its digits
        // leave no more than that.
        let size = |s: Segment| if s.is_line() { 0.0 } else { s.radius() };
        let blur = 1e-8 + 1e-15 * size(a).max(size(b));
        prop_assert!(exact.distance <= sampled + blur, "{} above {}", exact.distance, sampled);
        prop_assert!(exact.distance >= sampled - step - blur, "{} below {}", exact.distance, sampled);
        prop_assert!(exact.from.distance(exact.to) <= exact.distance + 10.0 * blur);
        prop_assert!(a.nearest(exact.from).1 < 10.0 * blur && b.nearest(exact.to).1 < 10.0 * blur);
    }

    #[test]
    fn the_nearest_of_many_is_the_nearest_one_by_one(
        many in prop::collection::vec(segment(), 1..60), x in -15.0..15.0, y in -15.0..15.0
    ) {
        let point = Point::new(x, y);
        let plain = many.iter().map(|s| s.nearest(point).1).fold(f64::INFINITY, f64::min);
        let index = SegmentIndex::new(many.clone());
        let found = index.nearest(point).unwrap();
        prop_assert!((found.distance - plain).abs() < 1e-7);
        prop_assert!((found.at.distance(point) - plain).abs() < 1e-7);
        prop_assert!(index.is_nearer(point, plain + 1e-6) && !index.is_nearer(point, plain - 1e-6));
    }

    #[test]
    fn a_limit_only_cuts_off_what_is_wider(
        a in prop::collection::vec(segment(), 1..20), b in prop::collection::vec(segment(), 1..20), limit in 0.0..5.0
    ) {
        let (a, b) = (SegmentIndex::new(a), SegmentIndex::new(b));
        let free = gap(&a, &b, f64::INFINITY).unwrap().distance;
        match gap(&a, &b, limit) {
            Some(found) => prop_assert!((found.distance - free).abs() < 1e-7 && free < limit),
            None => prop_assert!(free >= limit),
        }
    }

    #[test]
    fn winding_agrees_with_the_outline_itself(x in -8.0..8.0, y in -8.0..8.0, bulge in -0.9..0.9) {
        let corners = [(-5.0, -4.0), (6.0, -5.0), (5.0, 5.0), (-6.0, 4.0)];
        let vertices = corners.iter().map(|&(x, y)| Vertex::new(x, y, bulge)).collect();
        let outline = Outline::new(vertices).unwrap();
        prop_assert_eq!(index(&outline).winding(Point::new(x, y)) != 0, outline.contains(Point::new(x, y)));
    }
}

#[test]
fn a_very_flat_arc_keeps_its_digits() {
    // A metre long, a thousandth of a millimetre high: the centre is a hundred kilometres away.
    let flat = Segment::arc(Point::ORIGIN, Point::new(1000.0, 0.0), -2e-6);
    let found = SegmentIndex::new([flat]).nearest(Point::new(500.0, 2.0)).unwrap();
    assert!((found.distance - 1.999).abs() < 1e-9, "{found:?}");
}

#[test]
fn circles_are_as_far_apart_as_their_radii_say() {
    let a = index(&Outline::circle(Point::new(0.0, 0.0), 3.0));
    let b = index(&Outline::circle(Point::new(6.0, 8.0), 5.0));
    let found = gap(&a, &b, f64::INFINITY).unwrap();
    assert!((found.distance - 2.0).abs() < 1e-12);
    assert!(found.from.distance(Point::new(1.8, 2.4)) < 1e-9);
    assert!(gap(&a, &b, 2.0).is_none());
}

#[test]
fn material_inside_material_has_no_gap_but_a_part_in_a_hole_has() {
    let plate = Region::new(square(0.0, 0.0, 20.0), vec![square(5.0, 5.0, 10.0)]);
    let plate = SegmentIndex::of_region(&plate);
    let in_hole = index(&square(7.0, 7.0, 5.0));
    let in_rim = index(&square(1.0, 1.0, 2.0));
    assert_eq!(material_gap(&plate, &in_hole, f64::INFINITY).unwrap().distance, 2.0);
    assert_eq!(material_gap(&plate, &in_rim, f64::INFINITY).unwrap().distance, 0.0);
    assert_eq!(material_gap(&in_rim, &plate, 0.5).unwrap().distance, 0.0);
}

#[test]
fn an_empty_set_has_no_nearest_point_and_no_gap() {
    let empty = SegmentIndex::new([]);
    assert!(empty.nearest(Point::ORIGIN).is_none());
    assert!(gap(&empty, &index(&square(0.0, 0.0, 1.0)), f64::INFINITY).is_none());
    assert_eq!(empty.winding(Point::ORIGIN), 0);
}

#[test]
fn squares_that_share_an_edge_meet_and_squares_apart_do_not() {
    let a = index(&square(0.0, 0.0, 10.0));
    assert!(meeting(&a, &index(&square(10.0, 0.0, 10.0)), 1e-6).is_some());
    assert!(meeting(&a, &index(&square(10.01, 0.0, 10.0)), 1e-6).is_none());
}

#[test]
fn a_tangent_circle_meets_the_edge_at_the_point_of_tangency() {
    let plate = index(&Outline::rectangle(Rect::new(0.0, 0.0, 50.0, 30.0)));
    let hole = index(&Outline::circle(Point::new(5.0, 15.0), 5.0));
    assert!(meeting(&plate, &hole, 1e-6).unwrap().distance(Point::new(0.0, 15.0)) < 1e-3);
}

#[test]
fn a_bow_tie_crosses_itself_in_its_middle() {
    let tie = Outline::polygon(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]).unwrap();
    assert!(self_meeting(&tie, 1e-6).unwrap().distance(Point::new(5.0, 5.0)) < 1e-9);
}

#[test]
fn a_line_that_turns_back_on_itself_is_a_meeting() {
    let spur = Outline::polygon(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (10.0, 4.0), (0.0, 4.0)]).unwrap();
    assert!(self_meeting(&spur, 1e-6).is_some());
}

#[test]
fn sharp_spikes_and_circles_do_not_cross_themselves() {
    let angle = PI / 36.0;
    let spike =
        Outline::polygon(&[(0.0, 0.0), (20.0, 0.0), (20.0 * angle.cos(), 20.0 * angle.sin())]).unwrap();
    assert_eq!(self_meeting(&spike, 1e-6), None);
    assert_eq!(self_meeting(&Outline::circle(Point::ORIGIN, 4.0), 1e-6), None);
}

#[test]
fn an_arc_that_comes_back_through_its_neighbour_is_found() {
    // The arc leaves (10, 0), swings left below and passes up through the base line at x = 5.
    let vertices = vec![Vertex::new(0.0, 0.0, 0.0), Vertex::new(10.0, 0.0, -1.0), Vertex::new(5.0, 0.5, 0.0)];
    let outline = Outline::new(vertices).unwrap();
    assert!(self_meeting(&outline, 1e-6).is_some());
}

#[test]
fn overlapping_holes_of_a_region_are_found() {
    let holes = [15.0, 21.0].map(|x| Outline::circle(Point::new(x, 15.0), 5.0)).to_vec();
    let region = Region::new(Outline::rectangle(Rect::new(0.0, 0.0, 50.0, 30.0)), holes);
    let at = region_meeting(&region, 1e-6).unwrap();
    assert!((at.x - 18.0).abs() < 1e-9 && ((at.y - 15.0).abs() - 4.0).abs() < 1e-9, "{at:?}");
}

#[test]
fn repeats_go_and_the_shape_stays() {
    let points = [(0.0, 0.0), (1e-6, 0.0), (2e-6, 1e-6), (10.0, 0.0), (10.0, 10.0), (0.0, 1e-6)];
    let tidy = without_repeats(&Outline::polygon(&points).unwrap(), 1e-5).unwrap();
    assert_eq!(tidy.vertices().len(), 3);
    assert!((tidy.area() - 50.0).abs() < 1e-4);
}

#[test]
fn many_steps_each_below_the_tolerance_are_not_swallowed() {
    let arc = (0..2000).map(|i| f64::from(i) * 5e-6).map(|x| (x, 0.0));
    let points: Vec<(f64, f64)> = arc.chain([(10.0, 0.0), (10.0, 10.0)]).collect();
    let tidy = without_repeats(&Outline::polygon(&points).unwrap(), 1e-5).unwrap();
    assert!(tidy.vertices().len() > 500);
}

#[test]
fn a_circle_of_two_equal_points_is_no_outline() {
    let vertices = vec![Vertex::new(3.0, 3.0, 1.0), Vertex::new(3.0, 3.0, 1.0)];
    assert!(without_repeats(&Outline::new(vertices).unwrap(), 1e-5).is_err());
}
