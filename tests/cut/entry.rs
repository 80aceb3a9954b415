//! How a cutter comes down into the wood, against the geometry of slopes.

use grainwise::geometry::{Point, Region, Segment};
use grainwise::shop::{RouterCraft, RouterSetting, RouterWish};
use grainwise::stages::cut::{Move, Operation, Settings, SheetCuts};
use grainwise::stages::job::{Cutting, Job};
use grainwise::stages::part::Part;

use super::support::{circle, job_with, part, planned, rectangle, shop, solid};

/// Run over the wood, height at both ends.
type Step = (Operation, f64, [f64; 2]);

fn craft(router: RouterWish) -> Job {
    let tabs = Some(0);
    job_with(Cutting { tabs, cutter_mm: Some(1.5), router, ..Cutting::default() })
}

fn setting(sheet: &SheetCuts) -> RouterSetting {
    let Settings::Router(setting) = sheet.settings else { panic!("a beam") };
    setting
}

/// Moves at a feed, below the wood's face.
fn steps(sheet: &SheetCuts) -> Vec<Step> {
    let (mut at, mut height, mut what) = (Point::ORIGIN, 5.0, Operation::Mark);
    let mut steps = Vec::new();
    for step in &sheet.moves {
        let (to, z, run) = match *step {
            Move::Begin { operation, .. } => {
                what = operation;
                continue;
            }
            Move::Rapid { to, z } => (to, z, None),
            Move::Line { to, z, .. } => (to, z, Some(at.distance(to))),
            Move::Arc { to, z, centre, counter_clockwise, .. } => {
                (to, z, Some(Segment::about(at, to, centre, counter_clockwise).length()))
            }
            _ => continue,
        };
        if let Some(run) = run.filter(|_| z < 0.0 || height < 0.0) {
            steps.push((what, run, [height, z]));
        }
        (at, height) = (to, z);
    }
    steps
}

fn plate() -> Part {
    part("A", solid(rectangle(20.0, 20.0, 140.0, 60.0)))
}

fn pierced() -> Part {
    part(
        "A",
        Region::new(
            rectangle(20.0, 20.0, 140.0, 60.0),
            vec![circle(50.0, 40.0, 2.5), circle(90.0, 40.0, 12.0)],
        ),
    )
}

/// The craft of the table.
fn usual() -> RouterCraft {
    shop("workshop-router").router_craft(super::support::WOOD).unwrap()
}

fn slope(degrees: f64) -> f64 {
    degrees.to_radians().tan()
}

#[test]
fn a_cutter_never_comes_down_steeper_than_the_ramp() {
    let sheet = planned(&[pierced()], &craft(RouterWish::default()), &shop("workshop-router"));
    let usual = usual();
    for (_, run, [from, to]) in steps(&sheet) {
        assert!(from - to <= run * slope(usual.ramp_deg) + 1e-9, "{run} from {from} to {to}");
    }
}

/// Down by d at an angle a takes d / tan a over the wood.
#[test]
fn a_ramp_is_as_long_as_its_angle_says() {
    let wish = RouterWish { ramp_deg: Some(8.0), lead_mm: Some(0.0), ..RouterWish::default() };
    let sheet = planned(&[plate()], &craft(wish), &shop("workshop-router"));
    let run: f64 = steps(&sheet).iter().filter(|s| s.2[1] < s.2[0]).map(|s| s.1).sum();
    let depth = 3.0 + setting(&sheet).overcut_mm;
    assert!((run - depth / slope(8.0)).abs() < 1e-6, "{run}");
}

/// A hole of 5 mm under a cutter of 1.5 mm is gone round on a circle of 3.5 mm: each turn goes down by pi D tan a.
#[test]
fn a_helix_goes_down_by_pi_d_tan_a_each_turn() {
    let sheet = planned(&[pierced()], &craft(RouterWish::default()), &shop("workshop-router"));
    let inside: Vec<Step> = steps(&sheet).into_iter().filter(|s| s.0 == Operation::CutInside).collect();
    let depth = 3.0 + setting(&sheet).overcut_mm;
    let helix: Vec<&Step> = inside.iter().filter(|s| s.2[1] < s.2[0] && s.2[0] < -0.5).collect();
    let turn = std::f64::consts::PI * 3.5;
    let small: Vec<&&Step> = helix.iter().filter(|s| s.1 < turn).collect();
    assert!(!small.is_empty());
    let usual = usual();
    for (_, run, [from, to]) in small {
        let down = (from - to) / run * turn;
        assert!(
            down <= turn * slope(usual.helix_deg) + 1e-9
                || (down / turn - slope(usual.ramp_deg)).abs() < 1e-9
        );
    }
    assert!(inside.iter().any(|s| (s.2[1] + depth).abs() < 1e-9));
}

#[test]
fn a_plunge_where_it_is_asked_for_goes_straight_down() {
    let wish = RouterWish { ramp_deg: Some(90.0), ..RouterWish::default() };
    let sheet = planned(&[plate()], &craft(wish), &shop("workshop-router"));
    let passes = ((3.0 + setting(&sheet).overcut_mm) / setting(&sheet).pass_mm).ceil();
    let down: Vec<Step> = steps(&sheet).into_iter().filter(|s| s.2[1] < s.2[0] - 1e-9).collect();
    assert_eq!(down.len() as f64, passes);
    assert!(down.iter().all(|s| s.1 < 1e-9));
}

/// A hole hardly wider than the cutter has no circle to go round.
#[test]
fn a_hole_hardly_wider_than_the_cutter_is_drilled_pass_by_pass() {
    let drilled = part("A", Region::new(rectangle(20.0, 20.0, 140.0, 60.0), vec![circle(50.0, 40.0, 0.8)]));
    let sheet = planned(&[drilled], &craft(RouterWish::default()), &shop("workshop-router"));
    let mut bottom = 0.0_f64;
    for (what, run, [from, to]) in steps(&sheet) {
        if what == Operation::CutInside && to < from - 1e-9 {
            assert!(run < 1e-9 && bottom - to <= setting(&sheet).pass_mm + 1e-9, "{from} {to}");
            bottom = bottom.min(to);
        }
    }
}

/// Tabs leave less than the run of a ramp free: the cutter goes there and back.
#[test]
fn between_tabs_a_cutter_comes_down_there_and_back() {
    let tabs = Cutting { tabs: Some(12), cutter_mm: Some(1.5), ..Cutting::default() };
    let steep = RouterWish { ramp_deg: Some(1.0), ..RouterWish::default() };
    let job = job_with(Cutting { router: steep, ..tabs });
    let sheet = planned(&[plate()], &job, &shop("workshop-router"));
    let top = sheet.cuts[0].tabs[0].height_mm - 3.0;
    let mut there_and_back = 0;
    for (_, run, [from, to]) in steps(&sheet).into_iter().filter(|s| s.1 > 1e-9) {
        // Behind a tab the cutter comes down on the tab's own slope.
        if from < to || (from - top).abs() < 1e-9 {
            continue;
        }
        assert!(from - to <= run * slope(1.0) + 1e-9, "{run} from {from} to {to}");
        there_and_back += usize::from(from - to > 1e-9);
    }
    assert!(there_and_back > 8, "{there_and_back}");
}
