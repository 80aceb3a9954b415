//! How a beam comes to a closed path, and how it closes it.

use grainwise::geometry::{Point, Region};
use grainwise::shop::LaserWish;
use grainwise::stages::cut::{Cut, Move, Operation, SheetCuts};
use grainwise::stages::job::Cutting;
use grainwise::stages::part::Part;

use super::support::{along, circle, closed, job_with, part, planned, rectangle, segments, shop, solid};

/// A plate of 60 by 40 mm with a hole, and a small one beside it.
fn plates() -> Vec<Part> {
    let holed = Region::new(rectangle(20.0, 20.0, 80.0, 60.0), vec![circle(50.0, 40.0, 6.0)]);
    vec![part("A", holed), part("B", solid(rectangle(84.0, 20.0, 94.0, 60.0)))]
}

fn cut_with(lead_mm: f64, overcut_mm: f64, passes: u32, tabs: u32) -> SheetCuts {
    let laser = LaserWish { lead_mm: Some(lead_mm), overcut_mm: Some(overcut_mm), ..LaserWish::default() };
    let cutting = Cutting { laser, passes: Some(passes), tabs: Some(tabs), ..Cutting::default() };
    planned(&plates(), &job_with(cutting), &shop("desktop-laser"))
}

/// For each time that the beam comes on: where, and where it goes off.
fn burns(sheet: &SheetCuts) -> Vec<(Point, Point)> {
    let (mut at, mut on, mut burns) = (Point::ORIGIN, None, Vec::new());
    for step in &sheet.moves {
        match step {
            Move::Beam { .. } => on = Some(at),
            Move::BeamOff => burns.extend(on.take().map(|from| (from, at))),
            Move::Rapid { to, .. } | Move::Line { to, .. } | Move::Arc { to, .. } => at = *to,
            _ => {}
        }
    }
    burns
}

fn in_waste(at: Point) -> bool {
    !plates().iter().any(|part| part.region.contains(at))
}

#[test]
fn a_beam_pierces_in_the_waste_and_comes_to_its_path_along_it() {
    let sheet = cut_with(0.8, 0.0, 1, 0);
    assert_eq!(sheet.cuts.len(), 3);
    for cut in &sheet.cuts {
        let come = cut.lead.come.unwrap();
        assert!(in_waste(come.from) && plates().iter().all(|p| p.region.distance(come.from) > 0.5));
        assert!((come.radius() - 0.8).abs() < 1e-9);
        let first = segments(cut)[0];
        assert!(come.to.distance(first.from) < 1e-9);
        assert!(come.tangent(1.0).dot(first.tangent(0.0)) > 1.0 - 1e-9, "no corner where it meets the path");
        assert!(cut.lead.leave.is_none());
    }
    let pierced: Vec<Point> = burns(&sheet).iter().map(|burn| burn.0).collect();
    let tips: Vec<Point> = sheet.cuts.iter().map(|cut| cut.lead.come.unwrap().from).collect();
    assert_eq!(pierced, tips);
}

#[test]
fn an_overcut_closes_the_path_and_goes_no_farther() {
    let sheet = cut_with(0.0, 0.5, 1, 0);
    for (cut, (from, to)) in sheet.cuts.iter().zip(burns(&sheet)) {
        assert!(from.distance(segments(cut)[0].from) < 1e-9);
        assert!(to.distance(along(cut, 0.5).1) < 1e-9, "{to:?}");
    }
}

/// Half a millimetre of a small hole would be much of it: no more than a tenth is cut twice.
#[test]
fn an_overcut_is_small_on_a_small_hole() {
    let ring = Region::new(rectangle(20.0, 20.0, 80.0, 60.0), vec![circle(50.0, 40.0, 0.6)]);
    let laser = LaserWish { overcut_mm: Some(2.0), ..LaserWish::default() };
    let cutting = Cutting { laser, passes: Some(1), tabs: Some(0), ..Cutting::default() };
    let sheet = planned(&[part("A", ring)], &job_with(cutting), &shop("desktop-laser"));
    let hole = sheet.cuts.iter().position(|cut| cut.operation == Operation::CutInside).unwrap();
    let (from, to) = burns(&sheet)[hole];
    let share = closed(&sheet.cuts[hole]).perimeter() / 10.0;
    assert!(from.distance(to) <= share && from.distance(to) > 0.9 * share);
}

#[test]
fn an_overcut_never_runs_into_a_tab() {
    let sheet = cut_with(0.0, 2.0, 1, 4);
    let held: Vec<&Cut> = sheet.cuts.iter().filter(|cut| !cut.tabs.is_empty()).collect();
    assert!(!held.is_empty());
    let ends = burns(&sheet);
    for cut in held {
        let tab = cut.tabs[0];
        let begin = segments(cut)[0].from;
        let last = ends.iter().rfind(|(_, to)| to.distance(begin) <= 2.0 + 1e-9).unwrap();
        assert!(last.1.distance(begin) <= tab.from_mm + 1e-9);
    }
}

#[test]
fn every_round_comes_from_the_waste() {
    let sheet = cut_with(0.8, 0.3, 3, 0);
    let burns = burns(&sheet);
    assert_eq!(burns.len(), 9);
    assert!(burns.iter().all(|(from, _)| in_waste(*from)));
}

#[test]
fn the_tables_ask_for_leads_where_a_program_is_written_and_drawings_have_none() {
    let cut = |machine: &str| {
        let wish = LaserWish { lead_mm: Some(0.8), overcut_mm: Some(0.3), ..LaserWish::default() };
        planned(&plates(), &job_with(Cutting { laser: wish, ..Cutting::default() }), &shop(machine))
    };
    assert!(cut("desktop-laser").cuts.iter().any(|cut| cut.lead.come.is_some()));
    assert!(cut("makerspace-laser").cuts.iter().all(|cut| cut.lead.come.is_none()));
    let table = shop("desktop-laser").laser_craft("balsa-medium").unwrap();
    assert!((table.lead_mm - 0.8).abs() < 1e-9 && (table.overcut_mm - 0.3).abs() < 1e-9);
}
