//! Relief of inside corners, by areas and distances known from geometry.

use std::f64::consts::PI;

use grainwise::geometry::relief::{Form, Relieved, Rule, relieved};
use grainwise::geometry::{Outline, Point, Rect, Region};

fn rule(form: Form) -> Rule {
    Rule { radius_mm: 0.8, form, widest_mm: 12.0, keep_mm: 2.0 }
}

/// A plate of 60 by 30 mm with a notch so wide and 8 mm deep in its upper edge.
fn notched(width: f64) -> Region {
    let (a, b) = (30.0 - width / 2.0, 30.0 + width / 2.0);
    let points =
        [(0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (b, 30.0), (b, 22.0), (a, 22.0), (a, 30.0), (0.0, 30.0)];
    Region::new(Outline::polygon(&points).unwrap(), Vec::new())
}

fn slotted(width: f64, at: f64) -> Region {
    let hole = Outline::rectangle(Rect::new(20.0, at, 40.0, at + width));
    Region::new(Outline::rectangle(Rect::new(0.0, 0.0, 60.0, 30.0)), vec![hole])
}

/// Across a square corner the circle through it cuts the sides at the ends of a diameter: half a disc goes, less the
/// triangle of area R² that is open already. Along an edge half a disc goes.
#[test]
fn the_wood_that_goes_is_what_geometry_says() {
    let radius = 0.8_f64;
    for (form, each) in
        [(Form::Dogbone, (PI / 2.0 - 1.0) * radius * radius), (Form::Edge, PI / 2.0 * radius * radius)]
    {
        for (region, corners) in [(notched(4.0), 2), (slotted(4.0, 10.0), 4)] {
            let Relieved { region: made, corners: count, left_out } = relieved(&region, &rule(form));
            assert_eq!((count, left_out.len()), (corners, 0), "{form:?}");
            let gone = region.area() - made.area();
            assert!((gone - corners as f64 * each).abs() < 1e-9, "{form:?}: {gone}");
        }
    }
}

/// A disc as large as the cutter, moved wherever it stays off the wood, comes to the corner: there is a place for its middle
/// so near to the corner that no wood is left on it.
#[test]
fn a_cutter_reaches_the_corner() {
    for form in [Form::Dogbone, Form::Edge] {
        let made = relieved(&notched(4.0), &rule(form)).region;
        for corner in [Point::new(28.0, 22.0), Point::new(32.0, 22.0)] {
            let mut nearest = f64::INFINITY;
            for (i, j) in (-80..=80).flat_map(|i| (-80..=80).map(move |j| (i, j))) {
                let at = Point::new(corner.x + f64::from(i) * 0.02, corner.y + f64::from(j) * 0.02);
                if !made.contains(at) && made.distance(at) >= 0.75 {
                    nearest = nearest.min(at.distance(corner));
                }
            }
            assert!(nearest <= 0.8 + 0.03, "{form:?}: {nearest}");
        }
    }
}

/// Two dogbones need 2.3 mm between the walls; in less than that the bays lie in the walls.
#[test]
fn in_a_narrow_slot_the_bays_lie_along_its_walls() {
    let made = relieved(&notched(2.0), &rule(Form::Dogbone));
    assert_eq!(made.corners, 2);
    let box_of = |points: [(f64, f64); 2]| points.map(|(x, y)| made.region.contains(Point::new(x, y)));
    assert_eq!(box_of([(28.8, 22.8), (31.2, 22.8)]), [false, false]);
    assert_eq!(box_of([(29.5, 21.8), (30.5, 21.8)]), [true, true]);
}

/// Wider than a mating part is thick: the corners keep their fillets.
#[test]
fn a_wide_opening_is_left_as_it_is() {
    let region = notched(14.0);
    assert_eq!(
        relieved(&region, &rule(Form::Dogbone)),
        Relieved { region, corners: 0, left_out: Vec::new() }
    );
}

/// 1.5 mm from the edge of the plate a bay of 0.3 mm would leave less than 2 mm.
#[test]
fn where_it_would_weaken_no_corner_is_relieved() {
    let made = relieved(&slotted(4.0, 1.5), &rule(Form::Dogbone));
    assert_eq!((made.corners, made.left_out.len()), (2, 2));
    assert!(made.left_out.iter().all(|at| (at.y - 1.5).abs() < 1e-12));
}

#[test]
fn outward_corners_and_round_ones_are_left_as_they_are() {
    let plate = Region::new(Outline::rectangle(Rect::new(0.0, 0.0, 8.0, 8.0)), vec![]);
    assert_eq!(relieved(&plate, &rule(Form::Edge)).corners, 0);
    let round = Region::new(
        Outline::rectangle(Rect::new(0.0, 0.0, 60.0, 30.0)),
        vec![Outline::circle(Point::new(30.0, 15.0), 5.0)],
    );
    assert_eq!(relieved(&round, &rule(Form::Edge)).corners, 0);
}

/// Turned and begun anywhere, the same wood goes.
#[test]
fn it_is_the_same_whatever_vertex_comes_first() {
    let region = notched(4.0);
    let area = relieved(&region, &rule(Form::Dogbone)).region.area();
    for first in 0..8 {
        let turned = Region::new(region.outer().started_at(first), Vec::new());
        assert!((relieved(&turned, &rule(Form::Dogbone)).region.area() - area).abs() < 1e-9);
    }
}
