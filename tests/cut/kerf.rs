//! Compensation.

use std::f64::consts::PI;

use grainwise::geometry::Region;
use grainwise::stages::cut::{Cut, Operation, SheetCuts};
use grainwise::stages::job::Cutting;

use super::support::{
    along, as_drawn, at, circle, closed, codes, job, job_with, length, part, plan, planned, polygon,
    rectangle, sheet, shop, solid,
};
use grainwise::geometry::{Placement, Vec2};
use grainwise::stages::sheet::{Layout, Placed};

/// An offset lies up to this much farther out than asked, mm: exact coincidences are then never a matter of rounding.
const NUDGE_MM: f64 = 2e-5;

fn outer(sheet: &SheetCuts) -> &Cut {
    sheet.cuts.iter().find(|c| c.operation == Operation::CutOutside).unwrap()
}

fn kerf(kerf_mm: f64) -> grainwise::stages::job::Job {
    job_with(Cutting { kerf_mm: Some(kerf_mm), tabs: Some(0), ..Cutting::default() })
}

/// Steiner's formula: a convex region of area A and perimeter P grown by r has area A + P r + pi r^2.
#[test]
fn a_rectangle_grows_as_steiner_says() {
    let parts = [part("A", solid(rectangle(20.0, 20.0, 120.0, 60.0)))];
    let sheet = planned(&parts, &kerf(0.2), &shop("desktop-laser"));
    let right = 100.0 * 40.0 + 280.0 * 0.1 + PI * 0.01;
    assert!((closed(outer(&sheet)).area() - right).abs() < 281.0 * NUDGE_MM);
}

/// A beam that takes more on the inside: the hole is cut by its own kerf, the outline by the other.
#[test]
fn a_hole_has_a_kerf_of_its_own_where_the_job_says_so() {
    let region = Region::new(rectangle(20.0, 20.0, 120.0, 60.0), vec![circle(50.0, 40.0, 10.0)]);
    let cutting =
        Cutting { kerf_mm: Some(0.2), kerf_inside_mm: Some(0.3), tabs: Some(0), ..Cutting::default() };
    let sheet = planned(&[part("A", region)], &job_with(cutting), &shop("desktop-laser"));
    let hole = sheet.cuts.iter().find(|c| c.operation == Operation::CutInside).unwrap();
    assert!((closed(hole).area() - PI * 9.85 * 9.85).abs() < 70.0 * NUDGE_MM);
    let right = 100.0 * 40.0 + 280.0 * 0.1 + PI * 0.01;
    assert!((closed(outer(&sheet)).area() - right).abs() < 281.0 * NUDGE_MM);
}

#[test]
fn a_round_hole_shrinks_by_half_the_kerf() {
    let region = Region::new(rectangle(20.0, 20.0, 120.0, 60.0), vec![circle(50.0, 40.0, 10.0)]);
    let sheet = planned(&[part("A", region)], &kerf(0.2), &shop("desktop-laser"));
    let hole = sheet.cuts.iter().find(|c| c.operation == Operation::CutInside).unwrap();
    assert!((closed(hole).area() - PI * 9.9 * 9.9).abs() < 63.0 * NUDGE_MM);
}

#[test]
fn a_router_compensates_by_the_cutters_radius() {
    let parts = [part("A", solid(rectangle(20.0, 20.0, 120.0, 60.0)))];
    let job = job_with(Cutting { cutter_mm: Some(2.0), tabs: Some(0), ..Cutting::default() });
    let sheet = planned(&parts, &job, &shop("workshop-router"));
    assert_eq!(sheet.kerf_mm, 2.0);
    let right = 100.0 * 40.0 + 280.0 * 1.0 + PI;
    assert!((closed(outer(&sheet)).area() - right).abs() < 287.0 * NUDGE_MM);
}

#[test]
fn no_kerf_leaves_the_outline_as_it_is() {
    let parts = [part("A", solid(rectangle(20.0, 20.0, 120.0, 60.0)))];
    let sheet = planned(&parts, &kerf(0.0), &shop("desktop-laser"));
    assert!((closed(outer(&sheet)).area() - 4000.0).abs() < 1e-9);
}

/// The edge that the beam leaves lies on the drawn outline: along the whole path the outline is half a kerf away.
#[test]
fn the_path_keeps_half_a_kerf_from_the_outline_everywhere() {
    let notched = polygon(&[
        (20.0, 20.0),
        (120.0, 20.0),
        (120.0, 60.0),
        (80.0, 60.0),
        (80.0, 50.0),
        (60.0, 50.0),
        (60.0, 60.0),
        (20.0, 60.0),
    ]);
    for (placement, name) in [
        (Placement::HERE, "as drawn"),
        (Placement { mirrored: true, turn_deg: 180.0, shift: Vec2::new(10.0, 90.0) }, "mirrored and turned"),
    ] {
        let region = Region::new(notched.clone(), vec![circle(40.0, 40.0, 8.0)]);
        let parts = [part("A", region.clone())];
        let layout = Layout { sheets: vec![sheet(vec![Placed { part: 0, copy: 1, placement }])] };
        let (sheets, problems) = plan(&layout, &parts, &kerf(0.3), &shop("desktop-laser"));
        assert!(!problems.stop(), "{problems:?}");
        let there = region.placed(&placement);
        for cut in &sheets[0].cuts {
            let steps = (length(cut) / 0.37) as usize;
            for i in 0..steps {
                let (_, point) = along(cut, i as f64 * 0.37);
                let off = (there.distance(point) - 0.15).abs();
                assert!(off < NUDGE_MM, "{name}: off by {off} at {point}");
                assert!(!there.contains(point), "{name}: cuts into the part at {point}");
            }
        }
    }
}

#[test]
fn a_slot_narrower_than_the_cutter_is_a_problem_with_place_and_size() {
    let slotted = polygon(&[
        (20.0, 20.0),
        (120.0, 20.0),
        (120.0, 80.0),
        (71.5, 80.0),
        (71.5, 50.0),
        (68.5, 50.0),
        (68.5, 80.0),
        (20.0, 80.0),
    ]);
    let parts = [part("F1", solid(slotted))];
    let job = job_with(Cutting { cutter_mm: Some(3.175), ..Cutting::default() });
    let (_, problems) = plan(&as_drawn(&parts), &parts, &job, &shop("workshop-router"));
    let told: Vec<_> = problems.iter().filter(|p| p.code == "too-narrow").collect();
    assert_eq!(told.len(), 1, "{problems:?}");
    assert_eq!(told[0].part.as_deref(), Some("F1"));
    assert_eq!(told[0].file.as_deref(), Some("plan.dxf"));
    let [x, y] = told[0].at_mm.unwrap();
    assert!((68.0..=72.0).contains(&x) && (49.0..=81.0).contains(&y), "({x}, {y})");
    assert!(
        told[0].message.contains("3 mm wide") && told[0].message.contains("3.175 mm"),
        "{}",
        told[0].message
    );
}

#[test]
fn a_hole_smaller_than_the_cutter_is_never_lost() {
    let region = Region::new(rectangle(20.0, 20.0, 120.0, 60.0), vec![circle(50.0, 40.0, 1.0)]);
    let parts = [part("A", region)];
    let job = job_with(Cutting { cutter_mm: Some(3.175), ..Cutting::default() });
    let (_, problems) = plan(&as_drawn(&parts), &parts, &job, &shop("workshop-router"));
    assert!(problems.stop());
    assert!(codes(&problems).contains(&"too-narrow"), "{problems:?}");
}

#[test]
fn a_part_placed_twice_is_told_once() {
    let region = Region::new(rectangle(0.0, 0.0, 100.0, 40.0), vec![circle(50.0, 20.0, 1.0)]);
    let parts = [part("A", region)];
    let layout = Layout { sheets: vec![sheet(vec![at(0, 20.0, 20.0), at(0, 20.0, 90.0)])] };
    let job = job_with(Cutting { cutter_mm: Some(3.175), ..Cutting::default() });
    let (_, problems) = plan(&layout, &parts, &job, &shop("workshop-router"));
    assert_eq!(codes(&problems).iter().filter(|c| **c == "too-narrow").count(), 1);
}

#[test]
fn the_same_part_without_overrides_is_cut_by_the_tables_kerf() {
    let sheet =
        planned(&[part("A", solid(rectangle(20.0, 20.0, 120.0, 60.0)))], &job(), &shop("desktop-laser"));
    assert!(sheet.kerf_mm > 0.05 && sheet.kerf_mm < 0.5, "{}", sheet.kerf_mm);
}
