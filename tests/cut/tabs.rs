//! Tabs: how many, where, how long.

use grainwise::geometry::{Outline, Placement, Point, Region, Vec2};
use grainwise::stages::cut::{CLEAR_MM, Cut, Operation, SheetCuts};
use grainwise::stages::job::{Cutting, Job, TabWish};
use grainwise::stages::sheet::{Layout, Placed};
use proptest::prelude::*;

use super::support::{
    along, as_drawn, circle, codes, in_tab, job, job_with, length, part, plan, planned, polygon, rectangle,
    segments, sheet, shop, solid,
};

fn outer(sheet: &SheetCuts) -> &Cut {
    sheet.cuts.iter().find(|c| c.operation == Operation::CutOutside).unwrap()
}

fn with_tabs(count: u32) -> Job {
    job_with(Cutting { tabs: Some(count), ..Cutting::default() })
}

fn on_laser(outline: Outline, job: &Job) -> SheetCuts {
    planned(&[part("A", solid(outline))], job, &shop("desktop-laser"))
}

/// Middle of each tab on the sheet.
fn middles(cut: &Cut) -> Vec<Point> {
    cut.tabs.iter().map(|t| along(cut, f64::midpoint(t.from_mm, t.to_mm)).1).collect()
}

#[test]
fn tabs_are_as_wide_as_the_table_says_plus_the_kerf() {
    let shop = shop("desktop-laser");
    let sheet = on_laser(rectangle(20.0, 20.0, 220.0, 120.0), &job());
    let rule = shop.tabs(super::support::WOOD, 3.0).unwrap();
    for tab in &outer(&sheet).tabs {
        assert!((tab.to_mm - tab.from_mm - sheet.kerf_mm - rule.width_mm).abs() < 1e-9);
        assert_eq!(tab.height_mm, 3.0);
    }
}

#[test]
fn tabs_are_as_many_as_the_table_says() {
    let rule = shop("desktop-laser").tabs(super::support::WOOD, 3.0).unwrap();
    for (long, wide) in [(30.0, 20.0), (200.0, 100.0), (350.0, 300.0)] {
        let sheet = on_laser(rectangle(20.0, 20.0, 20.0 + long, 20.0 + wide), &job());
        let wanted = (2.0 * (long + wide) / rule.every_mm).ceil().clamp(rule.least.into(), rule.most.into());
        assert_eq!(outer(&sheet).tabs.len() as f64, wanted, "{long} x {wide}");
    }
}

#[test]
fn the_job_sets_the_number() {
    for count in [0, 1, 2, 3, 5, 8] {
        let sheet = on_laser(rectangle(20.0, 20.0, 220.0, 120.0), &with_tabs(count));
        assert_eq!(outer(&sheet).tabs.len(), count as usize);
    }
}

#[test]
fn the_job_wins_over_the_part() {
    let mut one = part("A", solid(rectangle(20.0, 20.0, 220.0, 120.0)));
    one.tabs = TabWish::At(vec![Point::new(100.0, 20.0)]);
    assert_eq!(outer(&planned(&[one], &with_tabs(4), &shop("desktop-laser"))).tabs.len(), 4);
}

#[test]
fn more_tabs_than_fit_are_left_out_with_a_warning() {
    let parts = [part("A", solid(rectangle(20.0, 20.0, 40.0, 40.0)))];
    let (sheets, problems) = plan(&as_drawn(&parts), &parts, &with_tabs(u32::MAX), &shop("desktop-laser"));
    assert_eq!(codes(&problems), ["tabs-left-out"]);
    assert!(!outer(&sheets[0]).tabs.is_empty());
}

#[test]
fn tabs_given_by_points_sit_there() {
    let mut one = part("A", solid(rectangle(20.0, 20.0, 220.0, 120.0)));
    one.tabs = TabWish::At(vec![Point::new(100.0, 20.0), Point::new(220.0, 70.0)]);
    let mirrored = Placement { mirrored: true, turn_deg: 180.0, shift: Vec2::new(20.0, 140.0) };
    for placement in [Placement::HERE, mirrored] {
        let layout = Layout { sheets: vec![sheet(vec![Placed { part: 0, copy: 1, placement }])] };
        let (sheets, problems) = plan(&layout, std::slice::from_ref(&one), &job(), &shop("desktop-laser"));
        assert!(problems.is_empty(), "{problems:?}");
        let found = middles(outer(&sheets[0]));
        for wanted in [Point::new(100.0, 20.0), Point::new(220.0, 70.0)] {
            let there = placement.point(wanted);
            assert!(found.iter().any(|p| p.distance(there) < 0.2), "{there} not in {found:?}");
        }
    }
}

#[test]
fn a_point_near_a_hole_puts_the_tab_on_the_hole() {
    let region = Region::new(rectangle(20.0, 20.0, 220.0, 120.0), vec![rectangle(80.0, 50.0, 120.0, 90.0)]);
    let mut one = part("A", region);
    one.tabs = TabWish::At(vec![Point::new(100.0, 51.0)]);
    let sheet = planned(&[one], &job(), &shop("desktop-laser"));
    let hole = sheet.cuts.iter().find(|c| c.operation == Operation::CutInside).unwrap();
    assert_eq!((hole.tabs.len(), outer(&sheet).tabs.len()), (1, 0));
}

#[test]
fn two_points_at_one_place_make_one_tab_and_a_warning() {
    let mut one = part("A", solid(rectangle(20.0, 20.0, 220.0, 120.0)));
    one.tabs = TabWish::At(vec![Point::new(100.0, 20.0), Point::new(100.5, 20.0)]);
    let parts = [one];
    let (sheets, problems) = plan(&as_drawn(&parts), &parts, &job(), &shop("desktop-laser"));
    assert_eq!(codes(&problems), ["tabs-left-out"]);
    assert_eq!(outer(&sheets[0]).tabs.len(), 1);
}

/// Distance of every tab's ends from the nearest corner of a polygon.
fn clear_of_corners(cut: &Cut, corners: &[(f64, f64)]) -> f64 {
    let ends = cut.tabs.iter().flat_map(|t| [t.from_mm, t.to_mm]);
    let points = ends.map(|s| along(cut, s).1);
    let to_corner =
        |p: Point| corners.iter().map(|&(x, y)| p.distance(Point::new(x, y))).fold(f64::MAX, f64::min);
    points.map(to_corner).fold(f64::MAX, f64::min)
}

#[test]
fn tabs_keep_clear_of_corners() {
    let corners = [(20.0, 20.0), (220.0, 20.0), (220.0, 120.0), (20.0, 120.0)];
    for count in 1..10 {
        let sheet = on_laser(polygon(&corners), &with_tabs(count));
        assert!(clear_of_corners(outer(&sheet), &corners) >= CLEAR_MM, "{count} tabs");
    }
}

#[test]
fn tabs_go_on_straights_where_there_are_some() {
    // A stadium: two straights of 100 mm along x, two half circles.
    let outline = Outline::new(vec![
        grainwise::geometry::Vertex::new(100.0, 20.0, 0.0),
        grainwise::geometry::Vertex::new(200.0, 20.0, 1.0),
        grainwise::geometry::Vertex::new(200.0, 80.0, 0.0),
        grainwise::geometry::Vertex::new(100.0, 80.0, 1.0),
    ])
    .unwrap();
    for count in 1..7 {
        let sheet = on_laser(outline.clone(), &with_tabs(count));
        let cut = outer(&sheet);
        assert_eq!(cut.tabs.len(), count as usize);
        for tab in &cut.tabs {
            for s in [tab.from_mm, f64::midpoint(tab.from_mm, tab.to_mm), tab.to_mm] {
                assert!(along(cut, s).0.is_line(), "{count} tabs, on a curve");
            }
        }
    }
}

#[test]
fn edges_along_the_grain_come_first() {
    let mut one = part("A", solid(rectangle(20.0, 20.0, 120.0, 120.0)));
    for (grain, turn) in [(0.0, 0.0), (90.0, 90.0)] {
        one.grain_deg = Some(grain);
        let placement = Placement {
            turn_deg: turn,
            shift: Vec2::new(if turn > 0.0 { 150.0 } else { 0.0 }, 0.0),
            ..Placement::HERE
        };
        let layout = Layout { sheets: vec![sheet(vec![Placed { part: 0, copy: 1, placement }])] };
        let (sheets, _) = plan(&layout, std::slice::from_ref(&one), &with_tabs(4), &shop("desktop-laser"));
        let cut = outer(&sheets[0]);
        for tab in &cut.tabs {
            let way = along(cut, tab.from_mm + 0.1).0.tangent(0.5);
            assert!(way.y.abs() < 1e-6, "a tab across the grain at {way:?}");
        }
    }
}

#[test]
fn tabs_stay_out_of_notches() {
    // A notch of 16 x 8 mm: its bottom is long enough for a tab.
    let outline = polygon(&[
        (20.0, 20.0),
        (120.0, 20.0),
        (120.0, 40.0),
        (78.0, 40.0),
        (78.0, 32.0),
        (62.0, 32.0),
        (62.0, 40.0),
        (20.0, 40.0),
    ]);
    for count in 1..8 {
        let sheet = on_laser(outline.clone(), &with_tabs(count));
        for p in middles(outer(&sheet)) {
            assert!(!((61.0..79.0).contains(&p.x) && p.y > 31.0), "{count} tabs: one in the notch at {p}");
        }
    }
}

#[test]
fn tabs_are_spread_all_around() {
    let sheet = on_laser(rectangle(20.0, 20.0, 220.0, 120.0), &with_tabs(6));
    let cut = outer(&sheet);
    let middle = |i: usize| f64::midpoint(cut.tabs[i].from_mm, cut.tabs[i].to_mm);
    for i in 0..6 {
        let next = if i == 5 { middle(0) + length(cut) } else { middle(i + 1) };
        assert!(next - middle(i) < length(cut) / 3.0, "a gap of {}", next - middle(i));
    }
}

#[test]
fn a_disc_is_held_though_it_has_no_straight() {
    for count in 1..6 {
        let sheet = on_laser(circle(80.0, 80.0, 40.0), &with_tabs(count));
        let cut = outer(&sheet);
        assert_eq!(cut.tabs.len(), count as usize);
        assert_eq!(segments(cut).len(), 2, "still two half circles");
    }
}

/// A D with curves of two radii and no straight at all: the tabs go on the gentle ones.
#[test]
fn without_straights_the_gentlest_curve_is_taken() {
    let lens = Outline::new(vec![
        grainwise::geometry::Vertex::new(40.0, 60.0, 0.1),
        grainwise::geometry::Vertex::new(200.0, 60.0, 1.0),
        grainwise::geometry::Vertex::new(200.0, 100.0, 0.1),
        grainwise::geometry::Vertex::new(40.0, 100.0, 1.0),
    ])
    .unwrap();
    let sheet = on_laser(lens, &with_tabs(4));
    let cut = outer(&sheet);
    for tab in &cut.tabs {
        assert!(along(cut, f64::midpoint(tab.from_mm, tab.to_mm)).0.radius() > 100.0);
    }
}

#[test]
fn the_waste_of_large_holes_is_held_on_a_router_only() {
    let holes = vec![rectangle(40.0, 40.0, 100.0, 90.0), rectangle(150.0, 40.0, 162.0, 52.0)];
    let parts = [part("A", Region::new(rectangle(20.0, 20.0, 220.0, 120.0), holes))];
    let in_holes = |machine: &str| -> Vec<usize> {
        let sheet = planned(&parts, &job(), &shop(machine));
        let mut counts: Vec<usize> =
            sheet.cuts.iter().filter(|c| c.operation == Operation::CutInside).map(|c| c.tabs.len()).collect();
        counts.sort_unstable();
        counts
    };
    assert_eq!(in_holes("desktop-laser"), [0, 0]);
    assert_eq!(in_holes("workshop-router"), [0, 2]);
}

#[test]
fn a_router_without_tabs_warns() {
    let parts = [part("A", solid(rectangle(20.0, 20.0, 220.0, 120.0)))];
    let (_, problems) = plan(&as_drawn(&parts), &parts, &with_tabs(0), &shop("workshop-router"));
    assert_eq!(codes(&problems), ["not-held"]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Tabs lie in order within the path, none overlap, and the path does not begin in one.
    #[test]
    fn tabs_never_overlap(
        radii in prop::collection::vec(25.0..60.0f64, 5..24),
        count in 1u32..12,
        router in any::<bool>(),
        mirrored in any::<bool>(),
    ) {
        let corners: Vec<(f64, f64)> = radii.iter().enumerate().map(|(i, r)| {
            let turn = i as f64 * std::f64::consts::TAU / radii.len() as f64;
            (100.0 + r * turn.cos(), 100.0 + r * turn.sin())
        }).collect();
        let parts = [part("A", solid(polygon(&corners)))];
        let placement = Placement {
            mirrored,
            turn_deg: 0.0,
            shift: Vec2::new(if mirrored { 200.0 } else { 0.0 }, 0.0),
        };
        let layout = Layout { sheets: vec![sheet(vec![Placed { part: 0, copy: 1, placement }])] };
        let machine = shop(if router { "workshop-router" } else { "desktop-laser" });
        let (sheets, problems) = plan(&layout, &parts, &with_tabs(count), &machine);
        prop_assume!(!problems.stop());
        let cut = outer(&sheets[0]);
        prop_assert!(!cut.tabs.is_empty());
        let mut here = 0.0;
        for tab in &cut.tabs {
            prop_assert!(tab.from_mm >= here - 1e-9 && tab.to_mm > tab.from_mm, "{:?}", cut.tabs);
            here = tab.to_mm;
        }
        prop_assert!(here <= length(cut) + 1e-9);
        prop_assert!(!in_tab(cut, 1e-6) && !in_tab(cut, length(cut) - 1e-6));
    }
}
