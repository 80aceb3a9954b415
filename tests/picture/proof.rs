//! Pictures of proofs: what would be cut over what was drawn.

use std::sync::Arc;

use grainwise::geometry::{Outline, Placement, Point, Vec2};
use grainwise::problem::Problem;
use grainwise::shop::LaserSetting;
use grainwise::stages::cut::{Operation, Settings};
use grainwise::stages::picture::{Proved, proof_svg};
use grainwise::stages::proof::{
    Corner, Cutting, Does, FileProof, Kind, PieceProof, Plan, Proof, Trace, Wanted, Worst,
};
use resvg::usvg;

use super::sheets::{SETTING, bounds_of, part};

const SWEPT: [u8; 3] = [0x3a, 0x2a, 0x78];

fn square(from: f64, to: f64) -> Outline {
    Outline::polygon(&[(from, from), (to, from), (to, to), (from, to)]).unwrap()
}

fn plan(setting: LaserSetting) -> Arc<Plan> {
    let placement = Placement { shift: Vec2::new(10.0, 5.0), ..Placement::HERE };
    let plate = part("R1 & \"co\"", square(0.0, 40.0), Vec::new());
    Arc::new(Plan {
        sheet: 3,
        wood: "balsa-medium".to_owned(),
        size_mm: [300.0, 100.0],
        thickness_mm: 2.5,
        kerf_mm: 0.2,
        settings: Settings::Laser(setting),
        pieces: vec![Wanted::of(&plate, 0, 1, placement)],
    })
}

/// Cut around the piece of the plan, by half the kerf.
fn trace() -> Trace {
    let corners = [(9.9, 4.9), (50.1, 4.9), (50.1, 45.1), (9.9, 45.1), (9.9, 4.9)];
    let corner = |(x, y)| Corner { at: Point::new(x, y), z: 0.0, bulge: 0.0 };
    Trace {
        corners: corners.map(corner).to_vec(),
        lines: vec![0; corners.len()],
        does: Does::Says(Operation::CutOutside),
    }
}

pub(super) fn file(gouge: f64, excess: f64) -> FileProof {
    let piece = PieceProof {
        id: "R1 & \"co\"".to_owned(),
        copy: 1,
        mirrored: false,
        gouge: Worst { mm: gouge, at: Point::new(10.0, 20.0) },
        excess: Worst { mm: excess, at: Point::new(30.0, 5.0) },
        unreachable_corners: 0,
        tabs: Vec::new(),
    };
    FileProof {
        file: "sheet-3.dxf".to_owned(),
        sheet: Some(3),
        pieces: vec![piece],
        plan: Some(plan(SETTING)),
        cutting: Cutting { traces: vec![trace()], kinds: vec![Kind::Through], tabs: Vec::new() },
        ..FileProof::default()
    }
}

fn drawn(files: Vec<FileProof>) -> String {
    let proof = Proof { files };
    let text = proof_svg(&Proved { title: "Kite", machine: "", proof: &proof, kerf_mm: None });
    assert!(usvg::Tree::from_str(&text, &usvg::Options::default()).is_ok());
    text
}

#[test]
fn the_swept_band_lies_where_the_file_cuts_and_is_as_wide_as_the_kerf() {
    let text = drawn(vec![file(0.0, 0.0)]);
    let band = bounds_of(&text, SWEPT, 0.2);
    let px = 96.0 / 25.4;
    assert!((band.width() / px - 40.2).abs() < 0.002, "{}", band.width() / px);
    assert!((band.height() / px - 40.2).abs() < 0.002, "{}", band.height() / px);
}

#[test]
fn the_worst_places_have_a_pin_and_a_lens_with_their_figure() {
    let text = drawn(vec![file(0.0123, 0.3)]);
    for words in ["0.012", "0.300", "gouge 0.012 mm", "excess 0.300 mm", "at 10.00, 20.00 mm"] {
        assert!(text.contains(&format!("aria-label=\"{words}\"")), "{words}");
    }
    assert_eq!(text.matches("<clipPath").count(), 2);
}

#[test]
fn what_is_off_by_nothing_has_no_pin() {
    let text = drawn(vec![file(0.0001, -0.1)]);
    assert!(!text.contains("<clipPath") && !text.contains("gouge"));
}

#[test]
fn a_verdict_stands_at_the_top() {
    assert!(drawn(vec![file(0.0123, 0.01)]).contains("aria-label=\"1 piece, within 0.013 mm of the plan\""));
}

#[test]
fn of_the_files_of_a_sheet_the_farthest_off_is_shown() {
    let mut svg = file(0.01, 0.015);
    svg.file = "sheet-3.svg".to_owned();
    let text = drawn(vec![file(0.01, 0.002), svg]);
    assert!(text.contains("sheet-3.svg   sheet 3") && !text.contains("sheet-3.dxf   sheet 3"));
}

#[test]
fn problems_at_one_place_share_a_flag_and_are_told_below() {
    let mut wrong = file(0.5, 0.0);
    let at = Point::new(10.0, 20.0);
    wrong.problems = vec![
        Problem::error("gouge", "too deep").at(at),
        Problem::error("tab-size", "too wide").at(at),
        Problem::warning("odd", "far off").at(Point::new(200.0, 50.0)),
    ];
    let text = drawn(vec![wrong]);
    for words in ["1, 2", "3", "1  gouge: too deep", "problem, by its number"] {
        assert!(text.contains(&format!("aria-label=\"{words}\"")), "{words}");
    }
    assert!(text.contains("not as planned: sheet-3.dxf"));
}

#[test]
fn a_cutter_lifted_over_a_tab_does_not_remove_the_wood_below() {
    let mut milled = file(0.0, 0.0);
    let heights = [-2.7, -2.7, -1.5, -1.5, -2.7];
    let trace = &mut milled.cutting.traces[0];
    trace.does = Does::Mills;
    trace.corners.iter_mut().zip(heights).for_each(|(corner, z)| corner.z = z);
    let text = drawn(vec![milled]);
    assert!(text.contains("M9.9 4.9L50.1 4.9\"") && text.contains("M50.1 4.9L50.1 45.1L9.9 45.1L9.9 4.9\""));
    assert!(text.contains("cut part of the way down"));
}

#[test]
fn a_file_without_a_plan_is_drawn_within_all_that_it_touches() {
    let alone = FileProof { plan: None, sheet: None, pieces: Vec::new(), ..file(0.0, 0.0) };
    let text = drawn(vec![alone]);
    assert!(text.contains("M9.9 4.9L50.1 4.9") && !text.contains("aria-label=\"grain\""));
}

#[test]
fn nothing_at_all_is_still_a_picture() {
    assert!(drawn(Vec::new()).contains("no piece was held against a plan"));
}
