//! Pictures of jobs that stopped before there were sheets.

use std::collections::BTreeMap;

use grainwise::geometry::{Outline, Point};
use grainwise::problem::Problem;
use grainwise::stages::drawing::{Drawing, Drawn, Role};
use grainwise::stages::part::Part;
use grainwise::stages::picture::{Scene, svg};
use grainwise::stages::sheet::Layout;
use grainwise::units::Unit;
use resvg::usvg;

fn drawing(size: f64) -> Drawing {
    let item = Outline::polygon(&[(0.0, 0.0), (size, 0.0), (size, size / 4.0)]).unwrap();
    let outline = Drawn { item, layer: "cut".to_owned(), role: Role::Cut };
    Drawing {
        file: "wing.dxf".to_owned(),
        units: Unit::Millimetre,
        outlines: vec![outline],
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

fn drawn(drawings: &[Drawing], parts: &[Part], problems: &[Problem]) -> String {
    let layout = Layout::default();
    let scene = Scene { title: "Kite", machine: "", drawings, parts, layout: &layout, cuts: &[], problems };
    let text = svg(&scene);
    assert!(usvg::Tree::from_str(&text, &usvg::Options::default()).is_ok());
    text
}

#[test]
fn outlines_are_shown_where_they_became_no_parts() {
    let text = drawn(&[drawing(200.0)], &[], &[]);
    assert!(text.contains("M0 0L200 0L200 50L0 0Z"));
}

#[test]
fn parts_are_shown_by_name() {
    let outline = drawing(200.0).outlines[0].item.clone();
    let mut part = super::sheets::part("R1", outline, Vec::new());
    part.at = Point::new(150.0, 15.0);
    let text = drawn(&[drawing(200.0)], &[part], &[]);
    assert!(text.contains("<title>R1</title>") && text.contains("aria-label=\"R1\""));
}

#[test]
fn a_problem_of_the_drawing_is_flagged_at_its_place() {
    let problem = Problem::error("open-outline", "a gap").in_file("wing.dxf").at(Point::new(60.0, 30.0));
    let flagged = drawn(&[drawing(200.0)], &[], std::slice::from_ref(&problem));
    assert!(flagged.contains("problem, by its number"));
    let elsewhere = problem.in_file("tail.dxf");
    assert!(!drawn(&[drawing(200.0)], &[], &[elsewhere]).contains("problem, by its number"));
}

#[test]
fn a_drawing_of_kilometres_is_shown_smaller_and_says_so() {
    assert!(drawn(&[drawing(6_000_000.0)], &[], &[]).contains("shown at 1 : 2000"));
}

#[test]
fn nothing_at_all_is_still_a_picture() {
    assert!(drawn(&[], &[], &[Problem::error("no-drawing", "there is none")]).contains("no-drawing"));
}
