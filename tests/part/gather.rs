//! Outlines, texts and lines gathered into parts.

use std::collections::BTreeMap;
use std::path::PathBuf;

use grainwise::geometry::{Chain, Outline, Point, Rect, Segment};
use grainwise::problem::{Problem, Problems, Severity};
use grainwise::shop::Wood;
use grainwise::stages::drawing::{Drawing, Drawn, Role, Text};
use grainwise::stages::job::{Cutting, GrainWish, Job, LayerRules, PartRule, Stock, TabWish};
use grainwise::stages::part::{Part, gather};
use grainwise::units::Unit;
use proptest::prelude::*;

fn drawing() -> Drawing {
    Drawing {
        file: "plan.dxf".to_owned(),
        units: Unit::Millimetre,
        outlines: Vec::new(),
        recesses: Vec::new(),
        lines: Vec::new(),
        texts: Vec::new(),
        points: Vec::new(),
        used: BTreeMap::new(),
        unused: BTreeMap::new(),
        notes: Vec::new(),
        fair: Vec::new(),
        stretched: None,
    }
}

fn on<T>(item: T, role: Role) -> Drawn<T> {
    Drawn { item, layer: "parts".to_owned(), role }
}

fn rect(x: f64, y: f64, w: f64, h: f64) -> Outline {
    Outline::rectangle(Rect::new(x, y, x + w, y + h))
}

fn with(outlines: Vec<Outline>) -> Drawing {
    Drawing { outlines: outlines.into_iter().map(|o| on(o, Role::Cut)).collect(), ..drawing() }
}

fn text(text: &str, x: f64, y: f64, height: f64) -> Drawn<Text> {
    on(Text { text: text.to_owned(), at: Point::new(x, y), height }, Role::Mark)
}

fn line(role: Role, a: (f64, f64), b: (f64, f64)) -> Drawn<Chain> {
    let segment = Segment::line(Point::new(a.0, a.1), Point::new(b.0, b.1));
    on(Chain::from_segments(&[segment]).unwrap(), role)
}

fn rule(name: &str) -> PartRule {
    PartRule { name: name.to_owned(), line: (7, 5), ..PartRule::default() }
}

/// A job without rules that cuts everything from 2 mm balsa.
fn job() -> Job {
    let wood = Some("balsa-medium".to_owned());
    Job {
        title: String::new(),
        file: Some("job.yaml".to_owned()),
        folder: PathBuf::from("."),
        drawings: Vec::new(),
        layers: LayerRules::default(),
        parts: None,
        default_part: PartRule { wood, thickness_mm: Some(2.0), ..PartRule::default() },
        stock: Vec::new(),
        machine: "makerspace-laser".to_owned(),
        post: None,
        cutting: Cutting::default(),
        join_mm: 0.05,
        tolerance_mm: 0.01,
        seed: 0,
        ..Job::default()
    }
}

fn stock(wood: &str, thickness_mm: f64) -> Stock {
    Stock::new(wood.to_owned(), thickness_mm, (1000.0, 100.0))
}

fn woods() -> Vec<Wood> {
    let wood = |name: &str, density_kg_m3: f64| Wood {
        name: name.to_owned(),
        density_kg_m3,
        thicknesses_mm: vec![2.0],
        source: String::new(),
    };
    vec![wood("balsa-medium", 160.0), wood("light-ply", 420.0)]
}

fn gathered(drawing: Drawing, job: &Job) -> (Vec<Part>, Vec<Problem>) {
    let mut problems = Problems::new();
    let parts = gather(&[drawing], job, &woods(), &mut problems);
    let loud = problems.into_iter().filter(|p| p.code != "grain-assumed").collect();
    (parts, loud)
}

fn ids(parts: &[Part]) -> Vec<&str> {
    parts.iter().map(|p| p.id.as_str()).collect()
}

fn codes(problems: &[Problem]) -> Vec<&str> {
    problems.iter().map(|p| p.code).collect()
}

#[test]
fn an_outline_within_another_is_a_hole_and_one_within_that_a_part() {
    let outlines =
        vec![rect(15.0, 15.0, 10.0, 10.0), rect(0.0, 0.0, 40.0, 40.0), rect(10.0, 10.0, 20.0, 20.0)];
    let (parts, problems) = gathered(with(outlines), &job());
    assert!(problems.is_empty(), "{problems:#?}");
    let areas: Vec<(f64, usize)> = parts.iter().map(|p| (p.region.area(), p.region.holes().len())).collect();
    assert_eq!(areas, [(1200.0, 1), (100.0, 0)]);
}

#[test]
fn the_point_told_lies_in_the_material() {
    let ring =
        vec![Outline::circle(Point::new(50.0, 50.0), 20.0), Outline::circle(Point::new(50.0, 50.0), 18.0)];
    let (parts, _) = gathered(with(ring), &job());
    assert!(parts[0].region.contains(parts[0].at));
    assert!(parts[0].region.distance(parts[0].at) > 0.9, "{:?}", parts[0].at);
}

#[test]
fn unnamed_parts_are_numbered_in_reading_order() {
    // Two rows; in the upper one the boxes are not in line.
    let outlines = vec![
        rect(0.0, 0.0, 10.0, 10.0),
        rect(20.0, 33.0, 10.0, 10.0),
        rect(0.0, 30.0, 10.0, 10.0),
        rect(20.0, 0.0, 10.0, 5.0),
    ];
    let (parts, _) = gathered(with(outlines), &job());
    assert_eq!(ids(&parts), ["1", "2", "3", "4"]);
    let corners: Vec<(f64, f64)> =
        parts.iter().map(|p| (p.region.bounds().x0, p.region.bounds().y0)).collect();
    assert_eq!(corners, [(0.0, 30.0), (20.0, 33.0), (0.0, 0.0), (20.0, 0.0)]);
}

#[test]
fn a_number_that_is_a_name_already_is_passed_over() {
    let mut drawing = with(vec![rect(0.0, 0.0, 10.0, 10.0), rect(20.0, 0.0, 10.0, 10.0)]);
    drawing.texts.push(text("1", 25.0, 5.0, 3.0));
    assert_eq!(ids(&gathered(drawing, &job()).0), ["2", "1"]);
}

#[test]
fn the_largest_text_in_the_material_names_the_part() {
    let mut drawing = with(vec![rect(0.0, 0.0, 40.0, 20.0), rect(25.0, 5.0, 10.0, 10.0)]);
    drawing.texts = vec![
        text("balsa 2 mm", 5.0, 5.0, 2.0),
        text("R1\nroot", 10.0, 10.0, 4.0),
        text("in the hole", 30.0, 10.0, 9.0),
        text("outside", 60.0, 10.0, 9.0),
    ];
    let (parts, problems) = gathered(drawing, &job());
    assert_eq!(ids(&parts), ["R1"]);
    let unused: Vec<&str> = problems.iter().map(|p| p.message.as_str()).collect();
    assert_eq!(
        unused,
        [
            "the text 'balsa 2 mm' names no part",
            "the text 'in the hole' names no part",
            "the text 'outside' names no part"
        ]
    );
}

fn twins() -> Drawing {
    let mut drawing = with(vec![rect(0.0, 0.0, 10.0, 10.0), rect(20.0, 0.0, 10.0, 10.0)]);
    drawing.texts = vec![text("R1", 5.0, 5.0, 3.0), text("R1", 25.0, 5.0, 3.0)];
    drawing
}

#[test]
fn a_name_twice_is_numbered_where_everything_is_taken() {
    let (parts, problems) = gathered(twins(), &job());
    assert_eq!(ids(&parts), ["R1", "R1-2"]);
    assert_eq!((codes(&problems), problems[0].severity), (vec!["duplicate-name"], Severity::Warning));
}

#[test]
fn a_name_twice_is_an_error_where_the_job_lists_parts() {
    let job = Job { parts: Some(vec![rule("R*")]), ..job() };
    let (_, problems) = gathered(twins(), &job);
    assert_eq!((codes(&problems), problems[0].severity), (vec!["duplicate-name"], Severity::Error));
    assert!(problems[0].message.matches("plan.dxf").count() == 2, "{}", problems[0].message);
}

#[test]
fn the_first_rule_that_matches_counts_whatever_the_case() {
    let mut drawing =
        with(vec![rect(0.0, 0.0, 10.0, 10.0), rect(20.0, 0.0, 10.0, 10.0), rect(40.0, 0.0, 10.0, 10.0)]);
    drawing.texts = vec![text("R1", 5.0, 5.0, 3.0), text("R2", 25.0, 5.0, 3.0), text("F1", 45.0, 5.0, 3.0)];
    let rules = vec![
        PartRule { copies: Some(3), mirrored: Some(2), ..rule("r1") },
        PartRule { wood: Some("light-ply".to_owned()), thickness_mm: Some(3.0), ..rule("R?") },
    ];
    let (parts, problems) = gathered(drawing, &Job { parts: Some(rules), ..job() });
    let told: Vec<_> = parts.iter().map(|p| (p.id.as_str(), p.wood.as_str(), p.copies, p.mirrored)).collect();
    assert_eq!(told, [("R1", "balsa-medium", 5, 2), ("R2", "light-ply", 1, 0)]);
    assert_eq!(codes(&problems), ["part-not-asked-for"]);
    assert_eq!(problems[0].part.as_deref(), Some("F1"));
}

#[test]
fn a_rule_that_matches_nothing_is_told_with_its_line_and_the_nearest_name() {
    let mut drawing = with(vec![rect(0.0, 0.0, 10.0, 10.0)]);
    drawing.texts.push(text("Rib 1", 5.0, 5.0, 3.0));
    let (_, problems) = gathered(drawing, &Job { parts: Some(vec![rule("Rib1"), rule("*")]), ..job() });
    assert_eq!(codes(&problems), ["unused-rule"]);
    assert_eq!((problems[0].line, problems[0].file.as_deref()), (Some(7), Some("job.yaml")));
    assert!(problems[0].hint.contains("Rib 1"), "{}", problems[0].hint);
}

#[test]
fn a_skipped_outline_is_left_out() {
    let rules = vec![PartRule { skip: true, ..rule("1") }, rule("*")];
    let drawing = with(vec![rect(0.0, 0.0, 10.0, 10.0), rect(20.0, 0.0, 10.0, 10.0)]);
    assert_eq!(ids(&gathered(drawing, &Job { parts: Some(rules), ..job() }).0), ["2"]);
}

#[test]
fn a_pattern_that_is_none_is_told() {
    let (_, problems) =
        gathered(with(vec![rect(0.0, 0.0, 9.0, 9.0)]), &Job { parts: Some(vec![rule("{a")]), ..job() });
    assert!(codes(&problems).contains(&"bad-pattern"), "{problems:#?}");
}

#[test]
fn a_part_without_wood_is_named_and_still_told() {
    let job = Job { default_part: PartRule::default(), ..job() };
    let (parts, problems) = gathered(with(vec![rect(0.0, 0.0, 10.0, 10.0)]), &job);
    assert_eq!(ids(&parts), ["1"]);
    assert_eq!(codes(&problems), ["no-wood"]);
    assert!(problems[0].message.contains("'1'") && problems[0].hint.contains("--wood"));
}

#[test]
fn a_wood_that_the_shop_does_not_know_is_told_with_the_nearest() {
    let mut job = job();
    job.default_part.wood = Some("balsa-medum".to_owned());
    let (_, problems) = gathered(with(vec![rect(0.0, 0.0, 10.0, 10.0)]), &job);
    assert_eq!(codes(&problems), ["unknown-wood"]);
    assert!(problems[0].hint.contains("balsa-medium"));
}

#[test]
fn a_thickness_that_is_not_in_stock_is_told_with_what_is() {
    let job = Job { stock: vec![stock("balsa-medium", 3.0)], ..job() };
    let (_, problems) = gathered(with(vec![rect(0.0, 0.0, 10.0, 10.0)]), &job);
    assert_eq!(codes(&problems), ["no-stock"]);
    assert!(problems[0].message.contains("balsa-medium 3 mm"), "{}", problems[0].message);
    let job = Job { stock: vec![stock("balsa-medium", 2.0)], ..job };
    assert!(gathered(with(vec![rect(0.0, 0.0, 10.0, 10.0)]), &job).1.is_empty());
}

/// The balsa sheet of the trade: 1/32 x 3 x 36 inch at 6 lb/ft³ weighs 0.1875 oz (the arithmetic checks: 1/512 ft³).
#[test]
fn mass_is_area_times_thickness_times_density() {
    let pound = 453.592_37;
    let foot: f64 = 0.3048;
    let density = 6.0 * pound / 1000.0 / foot.powi(3);
    let balsa = Wood {
        name: "b".to_owned(),
        density_kg_m3: density,
        thicknesses_mm: Vec::new(),
        source: String::new(),
    };
    let mut job = job();
    job.default_part =
        PartRule { wood: Some("b".to_owned()), thickness_mm: Some(25.4 / 32.0), ..PartRule::default() };
    let sheet = with(vec![rect(0.0, 0.0, 36.0 * 25.4, 3.0 * 25.4)]);
    let parts = gather(&[sheet], &job, &[balsa], &mut Problems::new());
    assert!((parts[0].mass_g - 0.1875 * pound / 16.0).abs() < 1e-6, "{}", parts[0].mass_g);
}

#[test]
fn the_grain_line_in_the_outline_counts_and_arrow_heads_do_not() {
    let mut drawing = with(vec![rect(0.0, 0.0, 10.0, 40.0), rect(20.0, 0.0, 10.0, 40.0)]);
    drawing.lines = vec![
        line(Role::Grain, (22.0, 20.0), (28.0, 20.0)),
        line(Role::Grain, (28.0, 20.0), (27.0, 21.0)),
        line(Role::Grain, (28.0, 20.0), (27.0, 19.0)),
    ];
    let (parts, problems) = gathered(drawing, &job());
    assert!(problems.is_empty(), "{problems:#?}");
    assert_eq!(parts.iter().map(|p| p.grain_deg).collect::<Vec<_>>(), [Some(90.0), Some(0.0)]);
}

#[test]
fn grain_lines_that_disagree_are_an_error() {
    let mut drawing = with(vec![rect(0.0, 0.0, 40.0, 40.0)]);
    drawing.lines =
        vec![line(Role::Grain, (5.0, 5.0), (30.0, 5.0)), line(Role::Grain, (5.0, 10.0), (30.0, 13.0))];
    let (_, problems) = gathered(drawing, &job());
    assert_eq!((codes(&problems), problems[0].severity), (vec!["grain-disagrees"], Severity::Error));
}

#[test]
fn a_grain_line_in_no_part_is_told() {
    let mut drawing = with(vec![rect(0.0, 0.0, 40.0, 40.0)]);
    drawing.lines = vec![line(Role::Grain, (50.0, 5.0), (70.0, 5.0))];
    assert_eq!(codes(&gathered(drawing, &job()).1), ["unused-grain"]);
}

#[test]
fn the_job_may_say_how_the_grain_runs() {
    let grain = |wish| {
        let mut job = job();
        job.default_part.grain = wish;
        let mut drawing = with(vec![rect(0.0, 0.0, 40.0, 10.0)]);
        drawing.lines = vec![line(Role::Grain, (5.0, 5.0), (30.0, 5.0))];
        gathered(drawing, &job).0[0].grain_deg
    };
    assert_eq!(grain(GrainWish::Degrees(-45.0)), Some(135.0));
    assert_eq!(grain(GrainWish::Free), None);
    assert_eq!(grain(GrainWish::Drawn), Some(0.0));
}

#[test]
fn without_a_grain_line_the_grain_runs_along_the_longest_straight() {
    let wedge = Outline::polygon(&[(0.0, 0.0), (30.0, 30.0), (25.0, 38.0), (0.0, 10.0)]).unwrap();
    let (parts, _) = gathered(with(vec![wedge]), &job());
    assert_eq!(parts[0].grain_deg, Some(45.0));
}

#[test]
fn an_outline_without_straights_has_its_grain_along_itself() {
    // A lens of two arcs from (0, 0) to (30, 40).
    let segments = [
        Segment::arc(Point::new(0.0, 0.0), Point::new(30.0, 40.0), 0.3),
        Segment::arc(Point::new(30.0, 40.0), Point::new(0.0, 0.0), 0.3),
    ];
    let (parts, _) = gathered(with(vec![Outline::from_segments(&segments).unwrap()]), &job());
    let degrees = parts[0].grain_deg.unwrap();
    assert!((degrees - 53.130_102).abs() < 1e-6, "{degrees}");
    let (parts, _) = gathered(with(vec![Outline::circle(Point::new(0.0, 0.0), 10.0)]), &job());
    assert_eq!(parts[0].grain_deg, Some(0.0));
}

#[test]
fn lines_to_mark_go_to_their_part_and_end_at_its_edge() {
    let mut drawing = with(vec![rect(0.0, 0.0, 40.0, 20.0), rect(10.0, 5.0, 10.0, 10.0)]);
    drawing.lines =
        vec![line(Role::Mark, (5.0, 10.0), (50.0, 10.0)), line(Role::Score, (2.0, 2.0), (38.0, 2.0))];
    let (parts, problems) = gathered(drawing, &job());
    let mut lengths: Vec<f64> = parts[0].marks.iter().map(Chain::length).collect();
    lengths.sort_by(f64::total_cmp);
    assert_eq!(lengths, [5.0, 20.0]);
    assert_eq!(parts[0].scores.len(), 1);
    assert_eq!(codes(&problems), ["outside-parts"]);
    assert!(problems[0].message.starts_with("20.00 mm of a line of 45.00 mm"), "{}", problems[0].message);
}

#[test]
fn a_mark_in_no_part_is_told() {
    let mut drawing = with(vec![rect(0.0, 0.0, 40.0, 20.0)]);
    drawing.lines = vec![line(Role::Mark, (50.0, 5.0), (60.0, 5.0))];
    let (parts, problems) = gathered(drawing, &job());
    assert!(parts[0].marks.is_empty());
    assert_eq!(codes(&problems), ["outside-parts"]);
}

#[test]
fn parts_that_cross_are_told_with_the_place() {
    let (_, problems) =
        gathered(with(vec![rect(0.0, 0.0, 20.0, 20.0), rect(15.0, 15.0, 20.0, 20.0)]), &job());
    assert_eq!(codes(&problems), ["crossing-parts"]);
    let [x, y] = problems[0].at_mm.unwrap();
    assert!((14.0..=36.0).contains(&x) && (14.0..=36.0).contains(&y));
}

#[test]
fn parts_that_touch_are_fine() {
    let bow = Segment::arc(Point::new(40.0, 0.0), Point::new(40.0, 20.0), 0.3);
    let outlines = vec![
        rect(0.0, 0.0, 20.0, 20.0),
        rect(20.0, 0.0, 20.0, 20.0),
        rect(20.0, 20.0, 5.0, 5.0),
        Outline::from_segments(&[bow, Segment::line(bow.to, bow.from)]).unwrap(),
    ];
    let (parts, problems) = gathered(with(outlines), &job());
    assert!(problems.is_empty() && parts.len() == 4, "{problems:#?}");
}

#[test]
fn a_hole_that_touches_the_edge_is_refused() {
    let (_, problems) = gathered(with(vec![rect(0.0, 0.0, 20.0, 20.0), rect(0.0, 5.0, 10.0, 10.0)]), &job());
    assert_eq!((codes(&problems), problems[0].severity), (vec!["touching-outlines"], Severity::Error));
}

#[test]
fn a_hole_that_crosses_the_edge_is_refused() {
    let (_, problems) = gathered(with(vec![rect(0.0, 0.0, 20.0, 20.0), rect(-1.0, 5.0, 10.0, 10.0)]), &job());
    assert_eq!(codes(&problems), ["crossing-parts"]);
}

#[test]
fn tabs_and_marking_come_from_the_rule_else_from_the_job() {
    let mut job =
        Job { parts: Some(vec![PartRule { tabs: TabWish::Count(5), ..rule("1") }, rule("2")]), ..job() };
    job.default_part.mark = Some(false);
    job.default_part.tabs = TabWish::Count(2);
    let (parts, _) = gathered(with(vec![rect(0.0, 0.0, 10.0, 10.0), rect(20.0, 0.0, 10.0, 10.0)]), &job);
    let told: Vec<_> = parts.iter().map(|p| (p.tabs.clone(), p.mark)).collect();
    assert_eq!(told, [(TabWish::Count(5), false), (TabWish::Count(2), false)]);
}

proptest! {
    /// Rings in a row, each with a hole, drawn in any order: as many parts, each with its hole, each point in the material.
    #[test]
    fn rings_in_any_order_are_parts_with_a_hole(
        keys in proptest::collection::vec(0.0..1.0_f64, 24),
        turn in 0.0..std::f64::consts::TAU,
    ) {
        let mut outlines: Vec<(f64, Outline)> = Vec::new();
        for i in 0..12_u32 {
            let along = 60.0 * f64::from(i);
            let centre = Point::new(along * turn.cos(), along * turn.sin());
            let wide = 10.0 + f64::from(i);
            outlines.push((keys[2 * i as usize], Outline::circle(centre, wide)));
            outlines.push((keys[2 * i as usize + 1], Outline::circle(centre, wide - 1.0)));
        }
        outlines.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (parts, problems) = gathered(with(outlines.into_iter().map(|o| o.1).collect()), &job());
        prop_assert!(problems.is_empty());
        prop_assert_eq!(parts.len(), 12);
        for part in &parts {
            prop_assert_eq!(part.region.holes().len(), 1);
            prop_assert!(part.region.contains(part.at) && part.region.distance(part.at) > 0.4);
        }
    }
}
