//! Pieces written down in the job: their sizes are those of school geometry.

use std::f64::consts::PI;
use std::path::Path;

use grainwise::geometry::Region;
use grainwise::problem::{Problem, Problems};
use grainwise::stages::drawing::{self, Drawing, Role};
use grainwise::stages::job;
use grainwise::stages::picture;

/// The drawings of a job that holds these pieces, and what is wrong with it.
fn read_in(folder: &Path, pieces: &str) -> (Vec<Drawing>, Vec<Problem>) {
    let mut problems = Problems::new();
    let text = format!("measured:\n{pieces}");
    let job = job::parse(&text, "job.yaml", folder, &mut problems).unwrap();
    let drawings = drawing::read(&job, &mut problems);
    (drawings, problems.into_iter().collect())
}

fn read(pieces: &str) -> (Vec<Drawing>, Vec<Problem>) {
    read_in(Path::new("."), pieces)
}

/// The only piece, with nothing wrong about it.
#[track_caller]
fn piece(text: &str) -> Region {
    let (mut drawings, problems) = read(text);
    assert_eq!(problems, Vec::new());
    region(&drawings.remove(0))
}

fn region(drawing: &Drawing) -> Region {
    let mut outlines: Vec<_> = drawing.outlines.iter().map(|drawn| drawn.item.clone()).collect();
    outlines.sort_by(|a, b| b.area().total_cmp(&a.area()));
    Region::new(outlines.remove(0), outlines)
}

/// The code of the only problem, and where it stands.
#[track_caller]
fn refused(text: &str) -> (&'static str, Option<usize>) {
    let (_, problems) = read(text);
    assert_eq!(problems.len(), 1, "{problems:?}");
    (problems[0].code, problems[0].line)
}

#[track_caller]
fn close(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b}");
}

#[test]
fn a_rectangle_with_round_corners_and_holes() {
    let plate = piece(
        "- name: SP\n  rectangle: [60, 24]\n  round: 4\n  holes:\n  - {circle: 3, at: [[6, 12], [54, 12]]}\n  \
         - {rectangle: [24, 12], at: [30, 12], angle: 90}\n  - {slot: [10, 2], at: [12, 12]}\n",
    );
    let slot = 8.0 * 2.0 + PI;
    close(plate.area(), 60.0 * 24.0 - (4.0 - PI) * 16.0 - 2.0 * PI * 2.25 - 288.0 - slot, 1e-6);
    assert_eq!(plate.holes().len(), 4);
    let upright = plate.holes().iter().find(|hole| (hole.area() - 288.0).abs() < 1e-6).unwrap();
    close(upright.bounds().height(), 24.0 - 0.0, 1e-9);
    close(upright.bounds().width(), 12.0, 1e-9);
}

#[test]
fn a_triangle_from_lengths_and_angles() {
    let gusset =
        piece("- name: G\n  edges:\n  - {length: 30, angle: 0}\n  - {length: 40, turn: 90}\n  - [0, 0]\n");
    close(gusset.area(), 600.0, 1e-9);
    close(gusset.perimeter(), 120.0, 1e-9);
}

#[test]
fn corners_cut_off_and_left_sharp() {
    let text = "- name: A\n  cut: 5\n  edges: [[40, 0], {to: [40, 30], round: 0}, [0, 30], [0, 0]]\n";
    close(piece(text).area(), 1200.0 - 3.0 * 12.5, 1e-9);
}

#[test]
fn an_edge_rises_as_an_arc() {
    let half_round = piece("- name: A\n  edges: [[20, 0], {to: [0, 0], rise: 10}]\n");
    close(half_round.area(), PI * 50.0, 1e-9);
}

#[test]
fn a_half_is_mirrored_with_its_holes_and_notches() {
    let former = piece(
        "- name: F\n  half: true\n  edges: [{by: [20, 0]}, {by: [0, 30]}, [0, 30]]\n  holes:\n  \
         - {circle: 4, at: [10, 10]}\n  - {circle: 6, at: [0, 20]}\n  notches:\n  - {at: [20, 15], width: 5, depth: 3}\n",
    );
    close(former.bounds().width(), 40.0, 1e-9);
    close(former.area(), 1200.0 - 2.0 * PI * 4.0 - PI * 9.0 - 2.0 * 15.0, 1e-6);
    assert_eq!(former.holes().len(), 3);
}

#[test]
fn a_half_about_a_leaning_centre_line() {
    let kite = piece("- name: K\n  half: true\n  from: [10, 10]\n  edges: [[40, 10], [40, 40]]\n");
    close(kite.area(), 900.0, 1e-9);
    assert!(kite.outer().contains((12.0, 38.0).into()));
}

#[test]
fn a_notch_in_a_curved_edge_goes_straight_in() {
    let disc = piece("- name: D\n  circle: 50\n  notches: [{at: [0, 25], width: 6, depth: 10}]\n");
    // The notch's rectangle below the circle, whose cap over the mouth is what lacks of it.
    let (r, half) = (25.0_f64, 3.0_f64);
    let cap = r * r * (half / r).asin() - half * (r * r - half * half).sqrt();
    let removed = 6.0 * (10.0 - (r - (r * r - half * half).sqrt())) + cap;
    close(disc.area(), PI * 625.0 - removed, 1e-6);
    close(disc.outer().distance((0.0, 15.0).into()), 0.0, 1e-9);
}

#[test]
fn a_notch_leans_where_it_is_told_to() {
    let strip = piece(
        "- name: S\n  rectangle: [40, 20]\n  notches: [{at: [20, 20], width: 4, depth: 6, angle: -60}]\n",
    );
    // A parallel strip of 4 mm leaning by 30 degrees: its middle line is 6 mm long from the edge down.
    close(strip.area(), 800.0 - 24.0, 1e-6);
}

#[test]
fn straight_edges_join_a_curve_through_measured_points() {
    let (drawings, problems) = read(
        "- name: T\n  edges:\n  - [100, 0]\n  - {curve: [[90, 12.5], [70, 26], [40, 33], [0, 30]], start: 110}\n  \
         - [0, 0]\n  grain: 0\n  scores: [[[10, 5], [80, 5]]]\n",
    );
    assert_eq!(problems, Vec::new());
    let tip = region(&drawings[0]);
    for at in [(90.0, 12.5), (70.0, 26.0), (40.0, 33.0), (0.0, 30.0), (100.0, 0.0)] {
        close(tip.outer().distance(at.into()), 0.0, 0.011);
    }
    assert_eq!(drawings[0].texts[0].item.text, "T");
    assert!(tip.contains(drawings[0].texts[0].item.at));
    let roles: Vec<Role> = drawings[0].lines.iter().map(|line| line.role).collect();
    assert_eq!(roles, [Role::Score, Role::Grain]);
    assert_eq!(drawings[0].file, "measured T");
}

#[test]
fn points_of_a_file_with_corners_and_straights() {
    let folder = std::env::temp_dir().join(format!("grainwise-points-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let mut text = "x;y;what\n# half a disc on a straight\n50;0;corner straight\n-50;0;corner\n".to_owned();
    for k in 1..16 {
        let a = PI * (1.0 - f64::from(k) / 16.0);
        text += &format!("{:.4};{:.4}\n", 50.0 * a.cos(), 50.0 * a.sin()).replace('.', ",");
    }
    std::fs::write(folder.join("pricks.csv"), text).unwrap();
    let (drawings, problems) = read_in(&folder, "- {name: H, points: pricks.csv}\n");
    assert_eq!(problems, Vec::new());
    close(region(&drawings[0]).area(), PI * 1250.0, 1.0);
    std::fs::write(folder.join("pricks.csv"), "1,2\n3,4\n5;x\n").unwrap();
    let (_, problems) = read_in(&folder, "- {name: H, points: pricks.csv}\n");
    assert_eq!((problems[0].code, problems[0].line), ("point-file", Some(3)));
    let (_, problems) = read_in(&folder, "- {name: H, points: none.csv}\n");
    assert_eq!(problems[0].code, "missing-file");
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn a_straight_run_leads_smoothly_into_the_curve() {
    let text = "- name: L\n  points: [[0, 0, straight], [40, 0], [58, 4], [72, 16], [78, 34, corner, straight], [0, 34, corner, straight]]\n";
    let (drawings, problems) = read(text);
    assert_eq!(problems, Vec::new());
    let outline = region(&drawings[0]).outer().clone();
    let near = |s: &grainwise::geometry::Segment| s.from.distance((40.0, 0.0).into()) < 0.5;
    let turn = outline.segments().find(near).map(|s| s.tangent(0.0));
    assert!(turn.is_some_and(|t| t.y.abs() < 0.05 && t.x > 0.0), "{turn:?}");
}

#[test]
fn what_cannot_be_made_is_told_with_its_line() {
    assert_eq!(refused("- {name: A, rectangle: [10, 10], circle: 3}\n"), ("measured-form", Some(2)));
    assert_eq!(refused("- {name: A, rectangle: [10, 10], round: 6}\n"), ("measured-corner", Some(2)));
    assert_eq!(
        refused("- name: A\n  rectangle: [10, 10]\n  notches:\n  - {at: [5, 5], width: 2, depth: 2}\n"),
        ("measured-notch", Some(5))
    );
    assert_eq!(
        refused("- name: A\n  rectangle: [10, 10]\n  notches:\n  - {at: [5, 0], width: 90, depth: 2}\n"),
        ("measured-notch", Some(5))
    );
    assert_eq!(refused("- {name: A, edges: [[10, 0]]}\n"), ("measured-edge", Some(2)));
    assert_eq!(refused("- {name: A, points: [[0, 0], [10, 0]]}\n"), ("measured-point", Some(2)));
    assert_eq!(refused("- {name: A, rectangle: [10, 10], half: true}\n"), ("measured-half", Some(2)));
    assert_eq!(refused("- {name: A, rectangle: [.nan, 10]}\n").0, "out-of-range");
    assert_eq!(refused("- {name: A, circle: 5}\n- {name: A, circle: 6}\n"), ("duplicate-name", Some(3)));
    assert_eq!(refused("- {name: A, circle: 5, holes: [{circle: 1}]}\n").0, "missing-key");
}

#[test]
fn a_chain_of_lengths_that_misses_its_beginning_is_doubted() {
    let (drawings, problems) = read("- name: A\n  edges: [[100, 0], [100, 50], [0, 50], [0, 1]]\n");
    assert_eq!(problems.iter().map(|p| p.code).collect::<Vec<_>>(), ["measured-gap"]);
    assert_eq!(drawings.len(), 1);
}

#[test]
fn fair_curves_are_shown_with_their_curvature() {
    let arc: Vec<String> = (0..=12)
        .map(|k| f64::from(k) * PI / 24.0)
        .map(|a| format!("[{:.4}, {:.4}]", 80.0 * a.cos(), 80.0 * a.sin()))
        .collect();
    let text = format!(
        "measured:\n- {{name: Q, from: [80, 0], edges: [{{curve: [{}]}}, [0, 0]]}}\n",
        arc[1..].join(", ")
    );
    let mut problems = Problems::new();
    let job = job::parse(&text, "job.yaml", Path::new("."), &mut problems).unwrap();
    let fair: Vec<_> =
        drawing::read(&job, &mut problems).into_iter().flat_map(|drawing| drawing.fair).collect();
    assert_eq!((fair.len(), fair[0].pricked.len(), fair[0].moved_mm), (1, 13, 0.0));
    let off = fair[0].comb.teeth.iter().map(|tooth| (tooth.curvature * 80.0 - 1.0).abs()).fold(0.0, f64::max);
    assert!(off < 0.02, "{off}");
    let svg = picture::curves_svg("A quarter", &fair);
    assert_eq!(svg.matches("<circle").count(), 13);
    assert_eq!(picture::curves_svg("Nothing", &[]), "");
}
