//! How a cutter goes about its work, as the tables or the job say.

use grainwise::geometry::{Point, Segment};
use grainwise::shop::{RouterWish, TabShape};
use grainwise::stages::cut::{Cut, Move, Operation};
use grainwise::stages::job::Cutting;
use grainwise::stages::part::Part;

use super::support::{along, closed, job, job_with, part, planned, rectangle, shop, solid};

fn plain() -> Part {
    part("A", solid(rectangle(20.0, 20.0, 140.0, 60.0)))
}

fn wish(router: RouterWish) -> Cutting {
    Cutting { router, ..Cutting::default() }
}

fn outer(cuts: &[Cut]) -> &Cut {
    cuts.iter().find(|cut| cut.operation == Operation::CutOutside).unwrap()
}

/// A cutter that turns clockwise climbs where the piece is on its right: around it clockwise.
#[test]
fn a_cutter_climbs_or_cuts_conventionally_as_the_nearest_wish_says() {
    let conventional = wish(RouterWish { climb: Some(false), ..RouterWish::default() });
    let mut own = plain();
    own.cutting = wish(RouterWish { climb: Some(true), ..RouterWish::default() });
    for (part, job, counter_clockwise) in [
        (plain(), job(), false),
        (plain(), job_with(conventional.clone()), true),
        (own, job_with(conventional), false),
    ] {
        let sheet = planned(&[part], &job, &shop("workshop-router"));
        assert_eq!(closed(outer(&sheet.cuts)).is_counter_clockwise(), counter_clockwise);
    }
}

/// Heights at which the last pass runs over the middle of the first tab and at a quarter of its stretch.
fn over_a_tab(shape: TabShape) -> [f64; 2] {
    let router = RouterWish { tab_shape: Some(shape), tab_height: Some(0.5), ..RouterWish::default() };
    let sheet = planned(&[plain()], &job_with(wish(router)), &shop("workshop-router"));
    let cut = outer(&sheet.cuts);
    let tab = cut.tabs[0];
    assert!((tab.height_mm - 1.5).abs() < 1e-9);
    let places = [0.5, 0.125].map(|share| along(cut, tab.from_mm + share * (tab.to_mm - tab.from_mm)).1);
    places.map(|place| {
        let mut lowest = 0.0_f64;
        let mut from: Option<(Point, f64)> = None;
        for step in &sheet.moves {
            let (Move::Rapid { to, z } | Move::Line { to, z, .. } | Move::Arc { to, z, .. }) = step else {
                continue;
            };
            if let Some((at, height)) = from.filter(|(at, _)| at.distance(*to) > 1e-9) {
                let (t, off) = Segment::line(at, *to).nearest(place);
                if off < 1e-6 {
                    lowest = lowest.min(height + (z - height) * t);
                }
            }
            from = Some((*to, *z));
        }
        lowest
    })
}

/// Full height is 1.5 mm below the face; at an eighth of the stretch a half wave has risen by sin(22.5 degrees).
#[test]
fn tabs_have_the_shape_that_is_asked_for() {
    let [middle, side] = over_a_tab(TabShape::Square);
    assert!((middle + 1.5).abs() < 1e-9 && (side + 1.5).abs() < 1e-9, "{middle} {side}");
    let [middle, side] = over_a_tab(TabShape::Ramped);
    assert!((middle + 1.5).abs() < 1e-9 && side < -1.5 - 1e-3, "{middle} {side}");
    let [middle, side] = over_a_tab(TabShape::Round);
    let wave = -3.0 + 1.5 * 22.5_f64.to_radians().sin();
    assert!((middle + 1.5).abs() < 1e-9 && (side - wave).abs() < 0.02, "{middle} {side} {wave}");
}
