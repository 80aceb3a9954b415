//! Leads and beginnings of a cutter's paths.

use grainwise::geometry::Segment;
use grainwise::shop::RouterWish;
use grainwise::stages::cut::{Operation, SheetCuts};
use grainwise::stages::job::Cutting;
use grainwise::stages::part::Part;

use super::support::{
    as_drawn, circle, codes, job, job_with, part, plan, planned, rectangle, segments, shop, solid,
};

fn beside(gap: f64) -> Vec<Part> {
    vec![
        part("A", solid(rectangle(20.0, 20.0, 80.0, 60.0))),
        part("B", solid(rectangle(80.0 + gap, 20.0, 140.0 + gap, 60.0))),
    ]
}

fn leads(sheet: &SheetCuts) -> Vec<Segment> {
    sheet.cuts.iter().flat_map(|cut| [cut.lead.come, cut.lead.leave]).flatten().collect()
}

#[test]
fn a_lead_is_a_quarter_circle_tangent_to_its_path() {
    let sheet = planned(&beside(30.0), &job(), &shop("workshop-router"));
    for cut in &sheet.cuts {
        let (come, leave) = (cut.lead.come.unwrap(), cut.lead.leave.unwrap());
        for arc in [come, leave] {
            assert!(
                (arc.radius() - 1.0).abs() < 1e-9 && (arc.sweep().abs().to_degrees() - 90.0).abs() < 1e-6
            );
        }
        let begin = segments(cut)[0];
        assert!(
            come.to.distance(begin.from) < 1e-9 && come.tangent(1.0).dot(begin.tangent(0.0)) > 1.0 - 1e-9
        );
        let (t, off) =
            segments(cut).iter().map(|s| s.nearest(leave.from)).min_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
        assert!(off < 1e-9 && (0.0..=1.0).contains(&t));
    }
}

/// What a lead sweeps keeps clear of every piece, as near as they lie, and of the sheet's edge.
#[test]
fn a_lead_never_touches_a_piece_nor_leaves_the_sheet() {
    for gap in [1.2, 2.0, 3.0, 6.0] {
        let parts = beside(gap);
        let sheet = planned(&parts, &job(), &shop("workshop-router"));
        for arc in leads(&sheet) {
            for t in (0..=20).map(|i| f64::from(i) / 20.0) {
                let at = arc.at(t);
                let nearest = parts.iter().map(|p| p.region.distance(at)).fold(f64::MAX, f64::min);
                assert!(nearest >= sheet.kerf_mm / 2.0 - 1e-6, "{gap}: {nearest}");
                assert!(parts.iter().all(|p| !p.region.outer().contains(at)));
                assert!((0.0..=390.0).contains(&at.x) && (0.0..=390.0).contains(&at.y));
            }
        }
    }
}

#[test]
fn leads_without_room_are_left_out_and_counted() {
    let ring =
        |r: f64| grainwise::geometry::Region::new(circle(100.0, 100.0, 40.0), vec![circle(100.0, 100.0, r)]);
    let (sheets, problems) =
        plan(&as_drawn(&[part("A", ring(0.9))]), &[part("A", ring(0.9))], &job(), &shop("workshop-router"));
    assert!(codes(&problems).contains(&"lead-left-out"), "{problems:?}");
    let hole = sheets[0].cuts.iter().find(|cut| cut.operation == Operation::CutInside).unwrap();
    assert!(hole.lead.come.is_none() && hole.lead.leave.is_none());
}

#[test]
fn no_lead_where_the_job_wants_none() {
    let router = RouterWish { lead_mm: Some(0.0), ..RouterWish::default() };
    let sheet =
        planned(&beside(30.0), &job_with(Cutting { router, ..Cutting::default() }), &shop("workshop-router"));
    assert!(leads(&sheet).is_empty());
}

#[test]
fn a_cutter_begins_on_a_straight_edge_away_from_corners() {
    let sheet = planned(&beside(30.0), &job(), &shop("workshop-router"));
    for cut in &sheet.cuts {
        let all = segments(cut);
        let (first, last) = (all[0], all[all.len() - 1]);
        assert!(first.is_line() && last.is_line());
        assert!(last.tangent(1.0).dot(first.tangent(0.0)) > 1.0 - 1e-9);
        assert!(first.length() > 3.0 && last.length() > 3.0, "{} {}", first.length(), last.length());
    }
}
