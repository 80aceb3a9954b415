//! Which places an offset can no longer follow: reported with their width, and nothing else reported.

use grainwise::geometry::offset::{Closed, Narrow, offset};
use grainwise::geometry::{Outline, Placement, Point, Rect, Region, Vec2, Vertex};

use super::nasty;

/// Radius of an eighth-inch cutter.
const CUTTER: f64 = 1.5875;

fn closed(region: &Region, distance: f64) -> Vec<Closed> {
    offset(region, distance).unwrap().closed
}

fn solid(points: &[(f64, f64)]) -> Region {
    Region::new(Outline::polygon(points).unwrap(), Vec::new())
}

fn plate(holes: Vec<Outline>) -> Region {
    Region::new(Outline::rectangle(Rect::new(0.0, 0.0, 60.0, 40.0)), holes)
}

/// A plate with a notch of this width and depth in its upper edge.
fn notched(width: f64, depth: f64) -> Region {
    let (a, b) = (30.0 - width / 2.0, 30.0 + width / 2.0);
    let y = 20.0 - depth;
    solid(&[(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (b, 20.0), (b, y), (a, y), (a, 20.0), (0.0, 20.0)])
}

fn only(found: &[Closed], what: Narrow, width: f64) {
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].what, what);
    assert!((found[0].width - width).abs() < 0.01, "{found:?}");
}

#[test]
fn a_spar_notch_narrower_than_the_cutter_is_reported_with_its_width() {
    let found = closed(&notched(3.0, 5.0), CUTTER);
    only(&found, Narrow::Slot, 3.0);
    assert!((found[0].at.x - 30.0).abs() < 0.01 && (14.9..=20.01).contains(&found[0].at.y), "{found:?}");
}

#[test]
fn a_spar_notch_wider_than_the_cutter_is_not_reported() {
    assert_eq!(closed(&notched(3.0, 5.0), 1.0), []);
}

#[test]
fn a_notch_reported_when_turned_and_mirrored_too() {
    for turn in 0..24 {
        let placement = Placement {
            mirrored: turn % 2 == 0,
            turn_deg: f64::from(turn) * 15.0 + 0.3,
            shift: Vec2::new(70.0, -30.0),
        };
        only(&closed(&notched(3.0, 5.0).placed(&placement), CUTTER), Narrow::Slot, 3.0);
    }
}

#[test]
fn a_shallow_notch_is_reported_as_well() {
    only(&closed(&notched(3.0, 0.8), CUTTER), Narrow::Slot, 3.0);
}

#[test]
fn a_notch_exactly_as_wide_as_the_cutter_is_reported() {
    for width in [2.0 * CUTTER - 0.0005, 2.0 * CUTTER, 2.0 * CUTTER + 0.0005] {
        only(&closed(&notched(width, 5.0), CUTTER), Narrow::Slot, width);
    }
    assert_eq!(closed(&notched(2.0 * CUTTER + 0.002, 5.0), CUTTER), []);
}

#[test]
fn a_round_hole_too_small_is_reported_with_its_diameter() {
    let hole = |r: f64| plate(vec![Outline::circle(Point::new(20.0, 20.0), r)]);
    only(&closed(&hole(1.5), CUTTER), Narrow::Hole, 3.0);
    only(&closed(&hole(CUTTER), CUTTER), Narrow::Hole, 2.0 * CUTTER);
    only(&closed(&hole(CUTTER + 0.0003), CUTTER), Narrow::Hole, 2.0 * CUTTER);
    assert_eq!(closed(&hole(1.6), CUTTER), []);
}

#[test]
fn a_slotted_hole_too_small_is_one_hole() {
    let slot = Outline::rectangle(Rect::new(10.0, 10.0, 30.0, 13.0));
    only(&closed(&plate(vec![slot]), CUTTER), Narrow::Hole, 3.0);
}

#[test]
fn each_hole_too_small_is_reported() {
    let holes = (0..5).map(|k| Outline::circle(Point::new(8.0 + 10.0 * f64::from(k), 20.0), 1.0)).collect();
    let found = closed(&plate(holes), CUTTER);
    assert_eq!(found.len(), 5);
    assert!(found.iter().all(|one| one.what == Narrow::Hole && (one.width - 2.0).abs() < 1e-6), "{found:?}");
}

#[test]
fn a_mouth_narrower_than_what_lies_behind_is_reported_and_what_lies_behind_stays() {
    // A keyhole from the upper edge: 2 mm wide, ending in a round of 3 mm radius.
    let bulge = ((std::f64::consts::TAU - 2.0 * (1.0f64 / 3.0).asin()) / 4.0).tan();
    let mouth = 20.0 + 3.0 * (1.0 - 1.0f64 / 9.0).sqrt();
    let vertices = vec![
        Vertex::new(0.0, 0.0, 0.0),
        Vertex::new(60.0, 0.0, 0.0),
        Vertex::new(60.0, 40.0, 0.0),
        Vertex::new(31.0, 40.0, 0.0),
        Vertex::new(31.0, mouth, -bulge),
        Vertex::new(29.0, mouth, 0.0),
        Vertex::new(29.0, 40.0, 0.0),
        Vertex::new(0.0, 40.0, 0.0),
    ];
    let region = Region::new(Outline::new(vertices).unwrap(), Vec::new());
    let result = offset(&region, CUTTER).unwrap();
    only(&result.closed, Narrow::Slot, 2.0);
    assert_eq!(result.regions[0].holes().len(), 1);
}

#[test]
fn a_neck_is_reported_when_shrinking_and_not_when_growing() {
    let dumbbell = solid(&[
        (0.0, 0.0),
        (20.0, 0.0),
        (20.0, 9.0),
        (30.0, 9.0),
        (30.0, 0.0),
        (50.0, 0.0),
        (50.0, 20.0),
        (30.0, 20.0),
        (30.0, 11.0),
        (20.0, 11.0),
        (20.0, 20.0),
        (0.0, 20.0),
    ]);
    let result = offset(&dumbbell, -1.2).unwrap();
    only(&result.closed, Narrow::Neck, 2.0);
    assert_eq!(result.regions.len(), 2);
    assert_eq!(closed(&dumbbell, 1.2), []);
}

#[test]
fn a_web_between_two_round_holes_is_a_neck_at_its_narrowest() {
    let holes = [20.0, 32.0].map(|x| Outline::circle(Point::new(x, 20.0), 5.5)).to_vec();
    let found = closed(&plate(holes), -0.6);
    only(&found, Narrow::Neck, 1.0);
    assert!(found[0].at.distance(Point::new(26.0, 20.0)) < 1e-6);
}

#[test]
fn two_points_that_nearly_meet_are_reported() {
    // The void of an hourglass: two wedges of material whose points are 1 mm apart.
    let region = solid(&[
        (0.0, 0.0),
        (60.0, 0.0),
        (60.0, 40.0),
        (35.0, 40.0),
        (30.5, 20.0),
        (40.0, 8.0),
        (20.0, 8.0),
        (29.5, 20.0),
        (25.0, 40.0),
        (0.0, 40.0),
    ]);
    only(&closed(&region, 1.0), Narrow::Slot, 1.0);
}

#[test]
fn ordinary_inside_corners_are_not_reported() {
    let corner = solid(&[(0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (10.0, 10.0), (10.0, 40.0), (0.0, 40.0)]);
    assert_eq!(closed(&corner, CUTTER), []);
    let triangles = [60.0f64, 45.0, 30.0].map(|angle| {
        let high = 20.0 * angle.to_radians().tan().min(1.0);
        Outline::polygon(&[(5.0, 5.0), (25.0, 5.0), (25.0, 5.0 + high)]).unwrap()
    });
    for triangle in triangles {
        assert_eq!(closed(&plate(vec![triangle]), CUTTER), []);
    }
}

#[test]
fn fillets_tighter_than_the_cutter_are_not_reported() {
    let quarter = (std::f64::consts::PI / 8.0).tan();
    for radius in [0.5, CUTTER, CUTTER + 0.0003] {
        let r = radius;
        let vertices = vec![
            Vertex::new(10.0 + r, 10.0, 0.0),
            Vertex::new(40.0 - r, 10.0, quarter),
            Vertex::new(40.0, 10.0 + r, 0.0),
            Vertex::new(40.0, 30.0 - r, quarter),
            Vertex::new(40.0 - r, 30.0, 0.0),
            Vertex::new(10.0 + r, 30.0, quarter),
            Vertex::new(10.0, 30.0 - r, 0.0),
            Vertex::new(10.0, 10.0 + r, quarter),
        ];
        assert_eq!(closed(&plate(vec![Outline::new(vertices).unwrap()]), CUTTER), [], "radius {radius}");
    }
}

#[test]
fn a_plate_that_shrinks_to_nothing_is_a_neck_of_its_width() {
    let strip = solid(&[(0.0, 0.0), (30.0, 0.0), (30.0, 2.0), (0.0, 2.0)]);
    let result = offset(&strip, -CUTTER).unwrap();
    assert!(result.regions.is_empty());
    only(&result.closed, Narrow::Neck, 2.0);
}

#[test]
fn a_beam_follows_every_regular_part() {
    for kind in 0..200 {
        let region = nasty::regular(kind, &mut nasty::Dice::new(kind as u64));
        let found = closed(&region, 0.075);
        assert_eq!(found, [], "kind {kind}");
    }
}
