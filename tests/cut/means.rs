//! What shelf, tables and overrides allow; the room around pieces.

use grainwise::problem::Problems;
use grainwise::stages::cut::{self, Settings};
use grainwise::stages::job::Cutting;
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Layout, Sheet};

use super::support::{
    as_drawn, at, codes, job, job_with, part, plan, planned, rectangle, sheet, shop, solid,
};

fn parts() -> [Part; 1] {
    [part("A", solid(rectangle(20.0, 20.0, 120.0, 60.0)))]
}

fn refused(machine: &str, cutting: Cutting) -> Vec<&'static str> {
    let (_, problems) = plan(&as_drawn(&parts()), &parts(), &job_with(cutting), &shop(machine));
    assert!(problems.stop(), "{problems:?}");
    codes(&problems)
}

#[test]
fn a_cutter_that_is_not_on_the_shelf_is_refused_naming_the_shelf() {
    let job = job_with(Cutting { cutter_mm: Some(6.0), ..Cutting::default() });
    let (_, problems) = plan(&as_drawn(&parts()), &parts(), &job, &shop("workshop-router"));
    let told = problems.iter().find(|p| p.code == "cutter-not-on-shelf").unwrap();
    assert!(told.message.contains("3.175") && told.message.contains("0.8"), "{}", told.message);
}

#[test]
fn a_worn_cutter_keeps_its_place_on_the_shelf() {
    let job = job_with(Cutting { cutter_mm: Some(3.12), ..Cutting::default() });
    assert_eq!(planned(&parts(), &job, &shop("workshop-router")).kerf_mm, 3.12);
}

#[test]
fn wood_thicker_than_the_flutes_is_refused() {
    let mut thick = parts();
    thick[0].thickness_mm = 12.0;
    let layout = Layout { sheets: vec![Sheet { thickness_mm: 12.0, ..sheet(vec![at(0, 0.0, 0.0)]) }] };
    let job = job_with(Cutting { cutter_mm: Some(2.0), ..Cutting::default() });
    let (_, problems) = plan(&layout, &thick, &job, &shop("workshop-router"));
    assert!(problems.stop());
}

#[test]
fn numbers_that_make_no_sense_are_refused() {
    let wrong = [f64::NAN, f64::INFINITY, -1.0];
    for value in wrong {
        let some = Some(value);
        refused("desktop-laser", Cutting { kerf_mm: some, ..Cutting::default() });
        refused("desktop-laser", Cutting { power: some, ..Cutting::default() });
        refused("desktop-laser", Cutting { feed_mm_min: some, ..Cutting::default() });
        refused("desktop-laser", Cutting { tab_width_mm: some, ..Cutting::default() });
        refused("workshop-router", Cutting { cutter_mm: some, ..Cutting::default() });
        refused("workshop-router", Cutting { rpm: some, ..Cutting::default() });
        refused("workshop-router", Cutting { pass_mm: some, ..Cutting::default() });
    }
    refused("desktop-laser", Cutting { passes: Some(0), ..Cutting::default() });
    refused("workshop-router", Cutting { rpm: Some(500_000.0), ..Cutting::default() });
    refused("workshop-router", Cutting { pass_mm: Some(1e-12), ..Cutting::default() });
}

#[test]
fn a_faster_spindle_keeps_the_chip() {
    let shop = shop("workshop-router");
    let setting = |job| match planned(&parts(), &job, &shop).settings {
        Settings::Router(setting) => setting,
        Settings::Laser(_) => panic!("a beam"),
    };
    let table = setting(job());
    let slower = table.rpm * 0.8;
    let changed = setting(job_with(Cutting { rpm: Some(slower), ..Cutting::default() }));
    assert!((changed.feed_mm_min / changed.rpm - table.feed_mm_min / table.rpm).abs() < 1e-9);
}

#[test]
fn a_sheet_beyond_the_machines_reach_is_refused_with_both_sizes() {
    let layout = Layout { sheets: vec![Sheet { length_mm: 5000.0, ..sheet(vec![at(0, 0.0, 0.0)]) }] };
    let mut shop = shop("desktop-laser");
    shop.machine.reach_mm = [400.0, 410.0, 0.0];
    let (_, problems) = plan(&layout, &parts(), &job(), &shop);
    let told = problems.iter().find(|p| p.code == "beyond-reach").unwrap();
    assert!(told.message.contains("5000") && told.message.contains("400 x 410"), "{}", told.message);
}

#[test]
fn room_is_the_machines_spacing_and_the_kerf() {
    let (shop, mut problems) = (shop("workshop-router"), Problems::new());
    let job = job_with(Cutting { cutter_mm: Some(2.0), ..Cutting::default() });
    let room = cut::room(&parts(), &job, &shop, &mut problems);
    assert!(problems.is_empty(), "{problems:?}");
    assert!((room.spacing_mm - (shop.machine.spacing_mm + 2.0)).abs() < 1e-9);
    assert!((room.margin_mm - (shop.machine.margin_mm + 1.0)).abs() < 1e-9);
}

#[test]
fn the_jobs_spacing_and_margin_win() {
    let cutting =
        Cutting { spacing_mm: Some(4.0), margin_mm: Some(1.0), kerf_mm: Some(0.2), ..Cutting::default() };
    let room = cut::room(&parts(), &job_with(cutting), &shop("desktop-laser"), &mut Problems::new());
    assert!((room.spacing_mm - 4.2).abs() < 1e-9 && (room.margin_mm - 1.1).abs() < 1e-9);
}

#[test]
fn an_unknown_wood_is_told_once_by_room_and_plan_together() {
    let mut parts = parts();
    parts[0].wood = "moonwood".to_owned();
    let layout =
        Layout { sheets: vec![Sheet { wood: "moonwood".to_owned(), ..sheet(vec![at(0, 0.0, 0.0)]) }] };
    let (shop, mut problems) = (shop("desktop-laser"), Problems::new());
    cut::room(&parts, &job(), &shop, &mut problems);
    cut::plan(&layout, &parts, &job(), &shop, &grainwise::stages::watch::Unwatched, &mut problems);
    assert_eq!(problems.len(), 1, "{problems:?}");
}
