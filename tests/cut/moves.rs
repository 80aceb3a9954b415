//! What the machine does, step by step.

use grainwise::geometry::{Placement, Point, Region, Segment, Vec2};
use grainwise::shop::{RouterSetting, Shop};
use grainwise::stages::cut::{Cut, Move, Operation, Settings, SheetCuts};
use grainwise::stages::job::Cutting;
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Layout, Placed};

use super::support::{
    circle, closed, job, job_with, length, line, part, plan, planned, polygon, rectangle, sheet, shop, solid,
};

const CLEARANCE: f64 = 5.0;

fn router() -> Shop {
    shop("workshop-router")
}

fn setting(sheet: &SheetCuts) -> RouterSetting {
    match sheet.settings {
        Settings::Router(setting) => setting,
        Settings::Laser(_) => panic!("a beam"),
    }
}

/// Two parts with holes, a notch, a score and a mark.
fn kit() -> Vec<Part> {
    let notched = polygon(&[
        (20.0, 20.0),
        (140.0, 20.0),
        (140.0, 60.0),
        (90.0, 60.0),
        (90.0, 50.0),
        (70.0, 50.0),
        (70.0, 60.0),
        (20.0, 60.0),
    ]);
    let mut one =
        part("A", Region::new(notched, vec![circle(40.0, 40.0, 8.0), rectangle(100.0, 30.0, 112.0, 42.0)]));
    one.scores = vec![line(&[(60.0, 25.0), (60.0, 45.0), (62.0, 45.0)])];
    one.marks = vec![line(&[(80.0, 25.0), (80.0, 45.0)])];
    vec![one, part("B", solid(circle(80.0, 120.0, 35.0)))]
}

/// Every move with where it begins: position and height.
fn steps(moves: &[Move]) -> Vec<(Point, f64, &Move)> {
    let (mut at, mut z) = (Point::ORIGIN, CLEARANCE);
    moves
        .iter()
        .map(|step| {
            let begins = (at, z, step);
            if let Move::Rapid { to, z: height }
            | Move::Line { to, z: height, .. }
            | Move::Arc { to, z: height, .. } = step
            {
                (at, z) = (*to, *height);
            }
            begins
        })
        .collect()
}

#[test]
fn a_cutter_never_hurries_below_clearance() {
    let sheet = planned(&kit(), &job(), &router());
    let all = steps(&sheet.moves);
    assert!(all.len() > 50);
    for (at, z, step) in all {
        if let Move::Rapid { to, z: height } = step {
            // Straight up from the wood, or across at clearance.
            assert_eq!(*height, CLEARANCE);
            assert!(z == CLEARANCE || to.distance(at) < 1e-9, "from {z} to {height} across");
        }
    }
}

#[test]
fn a_cutter_never_goes_deeper_than_thickness_and_overcut() {
    let sheet = planned(&kit(), &job(), &router());
    let deepest = sheet
        .moves
        .iter()
        .filter_map(|m| match m {
            Move::Line { z, .. } | Move::Arc { z, .. } => Some(*z),
            _ => None,
        })
        .fold(0.0, f64::min);
    assert!((deepest + 3.0 + setting(&sheet).overcut_mm).abs() < 1e-9, "{deepest}");
}

#[test]
fn no_pass_is_deeper_than_the_setting() {
    let job = job_with(Cutting { pass_mm: Some(0.7), ..Cutting::default() });
    let sheet = planned(&kit(), &job, &router());
    let mut deepest = 0.0;
    for (_, _, step) in steps(&sheet.moves) {
        match step {
            Move::Begin { .. } => deepest = 0.0,
            Move::Line { z, .. } | Move::Arc { z, .. } => {
                assert!(deepest - z <= 0.7 + 1e-9, "from {deepest} to {z}");
                deepest = f64::min(deepest, *z);
            }
            _ => {}
        }
    }
}

#[test]
fn marks_and_scores_have_depths_of_their_own() {
    let sheet = planned(&kit(), &job(), &router());
    let setting = setting(&sheet);
    let (mut what, mut deepest) = (Operation::Mark, std::collections::BTreeMap::new());
    for step in &sheet.moves {
        match step {
            Move::Begin { operation, .. } => what = *operation,
            Move::Line { z, .. } | Move::Arc { z, .. } => {
                let so_far = deepest.entry(what).or_insert(0.0);
                *so_far = f64::min(*so_far, *z);
            }
            _ => {}
        }
    }
    assert!((deepest[&Operation::Mark] + setting.mark_depth_mm).abs() < 1e-9);
    assert!((deepest[&Operation::Score] + 3.0 * setting.score_depth).abs() < 1e-9);
}

/// Heights of the last pass, looked up along the path: at the tab's top over its middle, at full depth outside.
#[test]
fn the_cutter_is_lifted_over_each_tab_and_nowhere_else() {
    let parts = [part("A", solid(rectangle(20.0, 20.0, 140.0, 60.0)))];
    let sheet = planned(&parts, &job(), &router());
    let (cut, full) = (&sheet.cuts[0], -(3.0 + setting(&sheet).overcut_mm));
    assert!(!cut.tabs.is_empty());
    let last = last_pass(&sheet.moves, full);
    let (mut run, mut z) = (0.0, full);
    for (from, step) in last {
        let (Move::Line { to, z: height, .. } | Move::Arc { to, z: height, .. }) = step else { continue };
        let half = match step {
            Move::Arc { centre, counter_clockwise, .. } => {
                Segment::about(from, *to, *centre, *counter_clockwise).at(0.5)
            }
            _ => from.lerp(*to, 0.5),
        };
        let (middle, off) = place(cut, half);
        if off > 1e-6 {
            // It leaves the path by its lead.
            break;
        }
        run += chord_or_arc(from, step);
        let tab = cut.tabs.iter().find(|t| t.from_mm - 1e-6 < middle && middle < t.to_mm + 1e-6);
        match tab {
            None => assert!((z - full).abs() < 1e-9 && (height - full).abs() < 1e-9, "lifted at {middle}"),
            Some(tab) => {
                let top = -(3.0 - tab.height_mm);
                assert!(z <= top + 1e-9 && *height <= top + 1e-9);
                if (f64::midpoint(tab.from_mm, tab.to_mm) - middle).abs() < 0.1 {
                    assert!((z - top).abs() < 1e-9 && (height - top).abs() < 1e-9, "{z} {height} {top}");
                }
            }
        }
        z = *height;
    }
    assert!((run - length(cut)).abs() < 1e-6, "{run}");
}

/// How far along a cut's path the place nearest to a point is, and how far away.
fn place(cut: &Cut, at: Point) -> (f64, f64) {
    let (mut start, mut best) = (0.0, (0.0, f64::MAX));
    for segment in super::support::segments(cut) {
        let (t, off) = segment.nearest(at);
        if off < best.1 {
            best = (start + t * segment.length(), off);
        }
        start += segment.length();
    }
    best
}

fn chord_or_arc(from: Point, step: &Move) -> f64 {
    match step {
        Move::Line { to, .. } => from.distance(*to),
        Move::Arc { to, centre, counter_clockwise, .. } => {
            Segment::about(from, *to, *centre, *counter_clockwise).length()
        }
        _ => 0.0,
    }
}

/// The moves after full depth is reached, with where each begins.
fn last_pass(moves: &[Move], full: f64) -> Vec<(Point, &Move)> {
    let all = steps(moves);
    let down = |m: &Move| matches!(m, Move::Line { z, .. } | Move::Arc { z, .. } if (z - full).abs() < 1e-9);
    let reached = all.iter().position(|(_, _, m)| down(m)).unwrap();
    let rest = all[reached + 1..].iter();
    rest.take_while(|(_, _, m)| matches!(m, Move::Line { .. } | Move::Arc { .. }))
        .map(|(at, _, m)| (*at, *m))
        .collect()
}

/// At least half of the tab's width has its full height: the wood left is what no cutter position reaches.
#[test]
fn half_of_a_tab_has_full_height() {
    let parts = [part("A", solid(rectangle(20.0, 20.0, 140.0, 60.0)))];
    let sheet = planned(&parts, &job(), &router());
    let shop = router();
    let width = shop.tabs(super::support::WOOD, 3.0).unwrap().width_mm;
    let top = -(3.0 - sheet.cuts[0].tabs[0].height_mm);
    let full = -(3.0 + setting(&sheet).overcut_mm);
    let mut level = 0.0;
    for (from, step) in last_pass(&sheet.moves, full) {
        if let Move::Line { to, z, .. } = step
            && (z - top).abs() < 1e-9
            && from.distance(*to) > level
        {
            level = from.distance(*to);
        }
    }
    assert!(level - sheet.kerf_mm >= width / 2.0 - 1e-9, "{level}");
}

#[test]
fn arcs_are_never_longer_than_half_a_circle() {
    for machine in ["workshop-router", "desktop-laser"] {
        let sheet = planned(&kit(), &job(), &shop(machine));
        let mut arcs = 0;
        for (at, _, step) in steps(&sheet.moves) {
            if let Move::Arc { to, centre, counter_clockwise, .. } = step {
                arcs += 1;
                let arc = Segment::about(at, *to, *centre, *counter_clockwise);
                assert!(arc.sweep().abs() < 3.0, "{}", arc.sweep());
                assert!((centre.distance(at) - centre.distance(*to)).abs() < 1e-6);
            }
        }
        assert!(arcs > 6);
    }
}

#[test]
fn the_beam_is_off_while_it_hurries_and_on_while_it_cuts() {
    let sheet = planned(&kit(), &job(), &shop("desktop-laser"));
    let mut on = false;
    for step in &sheet.moves {
        match step {
            Move::Beam { power } => {
                assert!(*power > 0.0 && *power <= 1.0);
                on = true;
            }
            Move::BeamOff => on = false,
            Move::Rapid { z, .. } => assert!(!on && *z == 0.0),
            Move::Line { .. } | Move::Arc { .. } => assert!(on),
            _ => {}
        }
    }
    assert!(!on);
}

#[test]
fn a_beam_burns_the_path_but_for_its_tabs_in_every_pass() {
    let parts = [part("A", solid(rectangle(20.0, 20.0, 140.0, 60.0)))];
    let job = job_with(Cutting { passes: Some(3), ..Cutting::default() });
    let sheet = planned(&parts, &job, &shop("desktop-laser"));
    let cut = &sheet.cuts[0];
    let gaps: f64 = cut.tabs.iter().map(|t| t.to_mm - t.from_mm).sum();
    let burnt: f64 = steps(&sheet.moves).iter().map(|(at, _, m)| chord_or_arc(*at, m)).sum();
    assert!(gaps > 0.0);
    assert!((burnt - 3.0 * (length(cut) - gaps)).abs() < 1e-6);
}

#[test]
fn drawings_need_no_moves() {
    let sheet = planned(&kit(), &job(), &shop("makerspace-laser"));
    assert!(sheet.moves.is_empty());
    assert!(sheet.time_s > 0.0);
}

/// A cutter that turns clockwise cuts climbing where the part is on its right.
#[test]
fn a_cutter_keeps_the_part_on_its_right() {
    let one = kit().remove(0);
    let mirrored = Placement { mirrored: true, turn_deg: 0.0, shift: Vec2::new(200.0, 100.0) };
    for placement in [Placement::HERE, mirrored] {
        let layout = Layout { sheets: vec![sheet(vec![Placed { part: 0, copy: 1, placement }])] };
        let (sheets, problems) = plan(&layout, std::slice::from_ref(&one), &job(), &router());
        assert!(!problems.stop(), "{problems:?}");
        let through = |c: &&Cut| matches!(c.operation, Operation::CutInside | Operation::CutOutside);
        for cut in sheets[0].cuts.iter().filter(through) {
            let inside = cut.operation == Operation::CutInside;
            assert_eq!(closed(cut).is_counter_clockwise(), inside);
        }
    }
}

/// The moves of the last pass run along the cuts' own paths.
#[test]
fn moves_follow_the_paths() {
    let sheet = planned(&kit(), &job(), &shop("desktop-laser"));
    let mut cuts = sheet.cuts.iter();
    let mut cut = None;
    for (at, _, step) in steps(&sheet.moves) {
        match step {
            Move::Begin { operation, .. } => {
                cut = cuts.next();
                assert_eq!(cut.unwrap().operation, *operation);
            }
            Move::Line { to, .. } | Move::Arc { to, .. } => {
                let path = cut.unwrap();
                let off = |p: Point| {
                    super::support::segments(path).iter().map(|s| s.nearest(p).1).fold(f64::MAX, f64::min)
                };
                assert!(off(at) < 1e-6 && off(*to) < 1e-6);
            }
            _ => {}
        }
    }
    assert!(cuts.next().is_none());
}
