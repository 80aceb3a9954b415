//! Strokes joined into outlines.

use std::collections::BTreeMap;

use grainwise::geometry::curve::Curve;
use grainwise::geometry::{Point, Segment};
use grainwise::problem::{Problem, Problems, Severity};
use grainwise::stages::drawing::join::{Joining, join};
use grainwise::stages::drawing::{Drawing, Drawn, Found, Role, Stroke};
use grainwise::units::Unit;
use proptest::prelude::*;

const JOINING: Joining = Joining { join_mm: 0.05, tolerance_mm: 0.01 };

type XY = (f64, f64);

fn point((x, y): XY) -> Point {
    Point::new(x, y)
}

fn drawn(stroke: Stroke, role: Role) -> Drawn<Stroke> {
    Drawn { item: stroke, layer: "0".to_owned(), role }
}

fn cut(curves: Vec<Curve>, closed: bool) -> Drawn<Stroke> {
    drawn(Stroke { curves, closed }, Role::Cut)
}

fn line(a: XY, b: XY) -> Drawn<Stroke> {
    cut(vec![Curve::line(point(a), point(b))], false)
}

fn arc(a: XY, b: XY, bulge: f64) -> Drawn<Stroke> {
    cut(vec![Curve::Segment(Segment::arc(point(a), point(b), bulge))], false)
}

fn sides(points: &[XY]) -> impl Iterator<Item = (XY, XY)> {
    (0..points.len()).map(|i| (points[i], points[(i + 1) % points.len()]))
}

fn polyline(points: &[XY]) -> Drawn<Stroke> {
    cut(sides(points).map(|(a, b)| Curve::line(point(a), point(b))).collect(), true)
}

fn lines(points: &[XY]) -> Vec<Drawn<Stroke>> {
    sides(points).map(|(a, b)| line(a, b)).collect()
}

fn rect(x: f64, y: f64, w: f64, h: f64) -> [XY; 4] {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
}

fn joined_with(strokes: Vec<Drawn<Stroke>>, joining: Joining) -> (Drawing, Vec<Problem>) {
    let found = Found {
        units: Unit::Millimetre,
        strokes,
        texts: Vec::new(),
        points: Vec::new(),
        used: BTreeMap::new(),
        unused: BTreeMap::new(),
    };
    let mut problems = Problems::new();
    let drawing = join(found, "plan.dxf", joining, &mut problems);
    (drawing, problems.into_iter().collect())
}

fn joined(strokes: Vec<Drawn<Stroke>>) -> (Drawing, Vec<Problem>) {
    joined_with(strokes, JOINING)
}

fn areas(drawing: &Drawing) -> Vec<f64> {
    let mut areas: Vec<f64> = drawing.outlines.iter().map(|o| o.item.area()).collect();
    areas.sort_by(f64::total_cmp);
    areas
}

fn codes(problems: &[Problem]) -> Vec<&str> {
    problems.iter().map(|p| p.code).collect()
}

#[track_caller]
fn assert_areas(strokes: Vec<Drawn<Stroke>>, expected: &[f64]) -> Vec<Problem> {
    let (drawing, problems) = joined(strokes);
    let found = areas(&drawing);
    let alike =
        found.len() == expected.len() && found.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-6);
    assert!(alike, "areas {found:?}, expected {expected:?}; {problems:#?}");
    problems
}

#[test]
fn lines_in_any_order_and_direction_close() {
    let mut strokes = lines(&rect(0.0, 0.0, 30.0, 20.0));
    strokes.swap(0, 2);
    strokes[1] = line((30.0, 20.0), (30.0, 0.0));
    assert_eq!(codes(&assert_areas(strokes, &[600.0])), [""; 0]);
}

#[test]
fn a_gap_within_the_joining_distance_closes_at_the_corner() {
    let strokes = vec![
        line((0.03, 0.0), (30.0, 0.0)),
        line((30.0, 0.0), (30.0, 20.0)),
        line((30.0, 20.0), (0.0, 20.0)),
        line((0.0, 20.0), (0.0, 0.02)),
    ];
    assert!(assert_areas(strokes, &[600.0]).is_empty());
}

#[test]
fn a_wider_gap_is_told_with_place_size_and_hint() {
    let strokes = vec![
        line((0.0, 0.12), (0.0, 20.0)),
        line((0.0, 20.0), (30.0, 20.0)),
        line((30.0, 20.0), (30.0, 0.0)),
        line((30.0, 0.0), (0.0, 0.0)),
    ];
    let (drawing, problems) = joined(strokes);
    assert!(drawing.outlines.is_empty());
    let [problem] = problems.as_slice() else { panic!("{problems:#?}") };
    assert_eq!((problem.code, problem.severity), ("open-outline", Severity::Error));
    assert!(problem.message.contains("0.120 mm"), "{}", problem.message);
    assert!(problem.hint.contains("--join 0.12 "), "{}", problem.hint);
    let [x, y] = problem.at_mm.unwrap();
    assert!(x.abs() < 1e-9 && (y.abs() < 1e-9 || (y - 0.12).abs() < 1e-9));
}

#[test]
fn the_value_that_the_hint_gives_closes_the_outline() {
    let strokes = || {
        let mut strokes = lines(&rect(0.0, 0.0, 30.0, 20.0));
        strokes[0] = line((0.2345, 0.0), (30.0, 0.0));
        strokes
    };
    let (_, problems) = joined(strokes());
    let hint = &problems[0].hint;
    let told: f64 = hint.split("--join ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    let (drawing, problems) = joined_with(strokes(), Joining { join_mm: told, ..JOINING });
    assert!(problems.is_empty() && drawing.outlines.len() == 1, "{problems:#?}");
}

/// Two frames whose corners lie within the joining distance of each other: each end has two others in reach, and only
/// the nearer one is right. In the file the wrong ones stand next to each other.
#[test]
fn the_smallest_gap_wins_not_the_order_of_the_file() {
    let gap = 0.01;
    let frame = |x: f64, y: f64, sx: f64, sy: f64| {
        [
            line((x + sx * gap, y), (x + sx * 20.0, y)),
            line((x + sx * 20.0, y), (x + sx * 20.0, y + sy * 10.0)),
            line((x + sx * 20.0, y + sy * 10.0), (x, y + sy * 10.0)),
            line((x, y + sy * 10.0), (x, y + sy * gap)),
        ]
    };
    let [a0, a1, a2, a3] = frame(0.0, 0.0, 1.0, 1.0);
    let [b0, b1, b2, b3] = frame(-0.02, -0.02, -1.0, -1.0);
    let problems = assert_areas(vec![a0, b0, a3, b3, a1, b1, a2, b2], &[200.0, 200.0]);
    assert!(problems.is_empty(), "{problems:#?}");
}

#[test]
fn lines_drawn_twice_are_removed_and_counted() {
    let mut strokes = lines(&rect(0.0, 0.0, 30.0, 20.0));
    strokes.push(line((30.0, 0.0), (0.0, 0.0)));
    strokes.push(line((0.0, 0.0), (30.0, 0.0)));
    let problems = assert_areas(strokes, &[600.0]);
    assert_eq!(codes(&problems), ["doubled-lines"]);
    assert!(problems[0].message.starts_with("2 lines"), "{}", problems[0].message);
}

#[test]
fn a_line_partly_over_another_is_removed() {
    let mut strokes = lines(&rect(0.0, 0.0, 30.0, 20.0));
    strokes[0] = line((0.0, 0.0), (18.0, 0.0));
    strokes.push(line((7.0, 0.0), (30.0, 0.0)));
    strokes.push(line((3.0, 0.0), (5.0, 0.0)));
    assert_eq!(codes(&assert_areas(strokes, &[600.0])), ["doubled-lines"]);
}

#[test]
fn an_arc_partly_over_another_is_removed() {
    let quarter = (std::f64::consts::PI / 8.0).tan();
    let r = 10.0;
    let strokes =
        vec![arc((r, 0.0), (-r, 0.0), 1.0), arc((0.0, r), (0.0, -r), 1.0), arc((0.0, -r), (r, 0.0), quarter)];
    let problems = assert_areas(strokes, &[std::f64::consts::PI * r * r]);
    assert_eq!(codes(&problems), ["doubled-lines"]);
}

#[test]
fn a_whole_outline_drawn_twice_is_cut_once() {
    let square = rect(5.0, 5.0, 10.0, 10.0);
    let mut turned = square;
    turned.rotate_left(2);
    turned.reverse();
    let problems = assert_areas(vec![polyline(&square), polyline(&turned)], &[100.0]);
    assert_eq!(codes(&problems), ["doubled-lines"]);
}

#[test]
fn an_outline_over_the_lines_of_another_is_cut_once() {
    let square = rect(5.0, 5.0, 10.0, 10.0);
    let mut strokes = vec![polyline(&square)];
    strokes.extend(lines(&square));
    assert_eq!(codes(&assert_areas(strokes, &[100.0])), ["doubled-lines"]);
}

#[test]
fn a_line_over_one_side_of_a_polyline_is_removed() {
    let strokes = vec![polyline(&rect(0.0, 0.0, 30.0, 20.0)), line((5.0, 0.0), (30.0, 0.0))];
    assert_eq!(codes(&assert_areas(strokes, &[600.0])), ["doubled-lines"]);
}

#[test]
fn points_and_lines_without_length_are_counted() {
    let mut strokes = lines(&rect(0.0, 0.0, 30.0, 20.0));
    strokes.push(line((30.0, 0.0), (30.0, 0.0)));
    strokes.push(polyline(&[(50.0, 0.0), (60.0, 0.0), (60.0, 0.0), (60.0, 10.0)]));
    let problems = assert_areas(strokes, &[50.0, 600.0]);
    assert_eq!(codes(&problems), ["zero-length"]);
    assert!(problems[0].message.starts_with("2 lines"), "{}", problems[0].message);
}

/// A traced curve written as very short lines: each is nearer to the next than the joining distance, and none is a
/// repeat of another.
#[test]
fn short_lines_of_a_traced_curve_are_all_kept() {
    let count = 4000;
    let at = |i: usize| {
        let angle = std::f64::consts::TAU * i as f64 / f64::from(count);
        (20.0 * angle.cos(), 20.0 * angle.sin())
    };
    let points: Vec<XY> = (0..count as usize).map(at).collect();
    let area = f64::from(count) / 2.0 * 400.0 * (std::f64::consts::TAU / f64::from(count)).sin();
    let (drawing, problems) = joined(lines(&points));
    assert!(problems.is_empty(), "{problems:#?}");
    assert!((areas(&drawing)[0] - area).abs() < 0.01 * 126.0, "{:?} {area}", areas(&drawing));
}

#[test]
fn parts_that_share_an_edge_drawn_once_are_two() {
    let mut strokes = lines(&rect(0.0, 0.0, 30.0, 20.0));
    strokes.extend([
        line((30.0, 0.0), (50.0, 0.0)),
        line((50.0, 0.0), (50.0, 20.0)),
        line((50.0, 20.0), (30.0, 20.0)),
    ]);
    assert_eq!(codes(&assert_areas(strokes, &[400.0, 600.0])), ["shared-edge"]);
}

#[test]
fn parts_that_share_an_edge_drawn_twice_are_two() {
    let (a, b) = (rect(0.0, 0.0, 30.0, 20.0), rect(30.0, 0.0, 20.0, 20.0));
    let strokes = [lines(&a), lines(&b)].concat();
    assert_eq!(codes(&assert_areas(strokes, &[400.0, 600.0])), ["shared-edge", "doubled-lines"]);
    assert!(assert_areas(vec![polyline(&a), polyline(&b)], &[400.0, 600.0]).is_empty());
}

#[test]
fn a_part_drawn_against_part_of_the_edge_of_another_is_a_part() {
    let mut strokes = lines(&rect(0.0, 0.0, 30.0, 20.0));
    strokes.extend([
        line((30.0, 5.0), (50.0, 5.0)),
        line((50.0, 5.0), (50.0, 15.0)),
        line((50.0, 15.0), (30.02, 15.0)),
    ]);
    assert_areas(strokes, &[200.0, 600.0]);
}

#[test]
fn lines_drawn_against_a_closed_polyline_make_a_part_with_its_edge() {
    let strokes = vec![
        polyline(&rect(0.0, 0.0, 30.0, 20.0)),
        line((30.0, 5.0), (50.0, 5.0)),
        line((50.0, 5.0), (50.0, 15.0)),
        line((50.0, 15.0), (30.0, 15.0)),
    ];
    assert_eq!(codes(&assert_areas(strokes, &[200.0, 600.0])), ["shared-edge"]);
}

#[test]
fn a_grid_of_lines_gives_its_cells() {
    let mut strokes = Vec::new();
    for i in 0..=3 {
        let at = f64::from(i) * 10.0;
        strokes.push(line((0.0, at), (30.0, at)));
        for j in 0..3 {
            strokes.push(line((at, f64::from(j) * 10.0), (at, f64::from(j + 1) * 10.0)));
        }
    }
    assert_areas(strokes, &[100.0; 9]);
}

#[test]
fn triangles_that_touch_in_a_point_are_two() {
    let (a, b) = ([(0.0, 0.0), (10.0, -5.0), (10.0, 5.0)], [(0.0, 0.0), (-8.0, 5.0), (-8.0, -5.0)]);
    let problems = assert_areas([lines(&a), lines(&b)].concat(), &[40.0, 50.0]);
    assert!(problems.is_empty(), "{problems:#?}");
}

#[test]
fn an_arc_tangent_to_a_line_at_a_branch_is_told_apart() {
    // A slot cover: a rectangle whose upper side is also the chord under a bow that leaves it at a shallow angle.
    let mut strokes = lines(&rect(0.0, 0.0, 40.0, 10.0));
    strokes.push(arc((40.0, 10.0), (0.0, 10.0), 0.02));
    let bow = {
        let s = Segment::arc(Point::new(40.0, 10.0), Point::new(0.0, 10.0), 0.02);
        let (r, a) = (s.radius(), s.sweep());
        r * r * (a - a.sin()) / 2.0
    };
    assert_areas(strokes, &[bow, 400.0]);
}

#[test]
fn a_whisker_on_an_outline_is_told_and_the_outline_kept() {
    let mut strokes = lines(&rect(0.0, 0.0, 30.0, 20.0));
    strokes.push(line((30.0, 20.0), (35.0, 25.0)));
    let problems = assert_areas(strokes, &[600.0]);
    assert_eq!(codes(&problems), ["branching-outline"]);
    assert_eq!(problems[0].at_mm, Some([30.0, 20.0]));
}

#[test]
fn a_line_between_two_outlines_is_told() {
    let mut strokes = [lines(&rect(0.0, 0.0, 10.0, 10.0)), lines(&rect(20.0, 0.0, 10.0, 10.0))].concat();
    strokes.push(line((10.0, 0.0), (20.0, 0.0)));
    assert_eq!(codes(&assert_areas(strokes, &[100.0, 100.0])), ["branching-outline"]);
}

/// An arrow drawn in one line whose tail crosses over, as a person drew it.
#[test]
fn an_outline_that_crosses_itself_is_told_with_the_place() {
    let arrow = [(0.0, 4.5), (5.0, 0.0), (10.0, 0.0), (20.0, 9.0), (20.0, 0.0), (10.0, 9.0), (5.0, 9.0)];
    let (drawing, problems) = joined(vec![polyline(&arrow)]);
    assert!(drawing.outlines.is_empty());
    assert_eq!(codes(&problems), ["crossing-outline"]);
    let [x, y] = problems[0].at_mm.unwrap();
    assert!((x - 15.0).abs() < 1e-6 && (y - 4.5).abs() < 1e-6);
}

/// Its two halves cancel out: an area of nothing, and yet no sliver.
#[test]
fn a_bow_tie_is_no_sliver() {
    let (_, problems) = joined(vec![polyline(&[(0.0, 0.0), (20.0, 10.0), (20.0, 0.0), (0.0, 10.0)])]);
    assert_eq!(codes(&problems), ["crossing-outline"]);
}

#[test]
fn what_runs_out_of_a_closed_outline_and_back_is_left_out_and_told() {
    let corner = [(0.0, 0.0), (-0.5, -0.5), (0.0, 0.0), (40.0, 0.0), (40.0, 9.0), (0.0, 9.0)];
    let bent = [
        (0.0, 20.0),
        (40.0, 20.0),
        (40.0, 29.0),
        (20.0, 29.0),
        (20.0, 25.0),
        (15.0, 25.0),
        (20.0, 25.0),
        (20.0, 29.0),
        (0.0, 29.0),
    ];
    let past_the_corner = [(0.0, 40.0), (43.0, 40.0), (40.0, 40.0), (40.0, 49.0), (0.0, 49.0)];
    for turn in 0..5 {
        let turned = |points: &[XY]| {
            let mut points = points.to_vec();
            points.rotate_left(turn);
            polyline(&points)
        };
        let (drawing, problems) = joined(vec![turned(&corner), turned(&bent), turned(&past_the_corner)]);
        assert_eq!(codes(&problems), ["out-and-back"], "{turn}");
        assert_eq!(problems[0].severity, Severity::Warning);
        assert_eq!(areas(&drawing).len(), 3);
        assert!(areas(&drawing).iter().all(|a| (a - 360.0).abs() < 1e-6), "{:?}", areas(&drawing));
    }
}

#[test]
fn a_thin_notch_is_kept() {
    let notched = [(0.0, 0.0), (40.0, 0.0), (40.0, 9.0), (20.01, 9.0), (20.0, 2.0), (19.99, 9.0), (0.0, 9.0)];
    assert_areas(vec![polyline(&notched)], &[360.0 - 0.07]);
}

#[test]
fn an_outline_that_encloses_nothing_is_told() {
    let (drawing, problems) = joined(vec![polyline(&[(0.0, 0.0), (20.0, 0.0)])]);
    assert!(drawing.outlines.is_empty());
    assert_eq!(codes(&problems), ["sliver-outline"]);
}

#[test]
fn a_nearly_closed_circle_is_not_bent_to_close_its_gap() {
    let (r, gap) = (20.0, 0.04);
    let half = gap / 2.0 / r;
    let start = (r * f64::cos(half), r * f64::sin(half));
    let end = (start.0, -start.1);
    let bulge = ((std::f64::consts::TAU - 2.0 * half) / 4.0).tan();
    let (drawing, problems) = joined(vec![arc(start, end, bulge)]);
    assert!(problems.is_empty(), "{problems:#?}");
    let outline = &drawing.outlines[0].item;
    assert!((outline.area() - std::f64::consts::PI * r * r).abs() < 0.01);
    assert!((outline.bounds().x0 + r).abs() < 1e-6);
}

#[test]
fn an_open_line_within_an_outline_is_told() {
    let strokes = vec![
        polyline(&rect(0.0, 0.0, 30.0, 20.0)),
        line((5.0, 5.0), (25.0, 5.0)),
        line((25.0, 5.0), (25.0, 15.0)),
        line((25.0, 15.0), (5.0, 15.0)),
    ];
    let problems = assert_areas(strokes, &[600.0]);
    assert_eq!((codes(&problems), problems[0].severity), (vec!["open-outline"], Severity::Error));
}

#[test]
fn a_straight_line_by_itself_is_left_out_and_told() {
    let strokes = vec![polyline(&rect(0.0, 0.0, 30.0, 20.0)), line((5.0, 5.0), (25.0, 5.0))];
    let problems = assert_areas(strokes, &[600.0]);
    assert_eq!((codes(&problems), problems[0].severity), (vec!["stray-line"], Severity::Warning));
}

#[test]
fn many_open_lines_are_told_up_to_a_number_and_counted() {
    let strokes = (0..500).map(|i| line((f64::from(i) * 3.0, 0.0), (f64::from(i) * 3.0, 10.0))).collect();
    let (_, problems) = joined(strokes);
    assert_eq!(problems.len(), 51);
    assert!(problems[50].message.contains("450"), "{}", problems[50].message);
}

#[test]
fn marks_are_joined_and_may_stay_open() {
    let mark = |a: XY, b: XY| {
        drawn(Stroke { curves: vec![Curve::line(point(a), point(b))], closed: false }, Role::Mark)
    };
    let (drawing, problems) = joined(vec![
        mark((0.0, 0.0), (10.0, 0.0)),
        mark((10.0, 10.0), (10.0, 0.01)),
        mark((30.0, 0.0), (40.0, 0.0)),
    ]);
    assert!(problems.is_empty() && drawing.outlines.is_empty());
    let lengths: Vec<f64> = drawing.lines.iter().map(|l| l.item.length().round()).collect();
    assert_eq!(lengths, [20.0, 10.0]);
}

#[test]
fn a_closed_mark_is_opened_at_its_first_vertex() {
    let mut stroke = polyline(&rect(0.0, 0.0, 10.0, 5.0));
    stroke.role = Role::Score;
    let (drawing, _) = joined(vec![stroke]);
    let chain = &drawing.lines[0].item;
    assert_eq!(chain.vertices().first().unwrap().at, chain.vertices().last().unwrap().at);
    assert_eq!(chain.length(), 30.0);
}

proptest! {
    /// However the sides of some rectangles apart from each other are shuffled, turned and nudged, the rectangles come back.
    #[test]
    fn shuffled_sides_come_back_as_their_outlines(
        seed in proptest::collection::vec((0.0..1.0_f64, any::<bool>(), -0.01..0.01_f64), 40),
    ) {
        let mut strokes: Vec<(f64, Drawn<Stroke>)> = Vec::new();
        for i in 0..10 {
            for (k, (a, b)) in sides(&rect(f64::from(i) * 12.0, 0.0, 10.0, 5.0 + f64::from(i))).enumerate() {
                let (key, turn, nudge) = seed[4 * i as usize + k];
                let a = (a.0 + nudge, a.1 - nudge);
                strokes.push((key, if turn { line(b, a) } else { line(a, b) }));
            }
        }
        strokes.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (drawing, problems) = joined(strokes.into_iter().map(|s| s.1).collect());
        prop_assert!(problems.is_empty(), "{:#?}", problems);
        let found = areas(&drawing);
        prop_assert_eq!(found.len(), 10);
        for (i, area) in found.iter().enumerate() {
            prop_assert!((area - 10.0 * (5.0 + i as f64)).abs() < 0.5, "{:?}", found);
        }
    }
}
