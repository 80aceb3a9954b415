//! A person's own machine, and what is wrong with one.

use std::path::Path;

use grainwise::problem::Problems;
use grainwise::shop::machine::read::read;
use grainwise::shop::{DrawingFormat, Shop, Tool, wood};

const MINE: &str = "\
about: mine
reach_mm: [600, 400, 0]
rapid_mm_min: 12000
acceleration_mm_s2: 1000
laser: {power_w: 45}
drawings: [dxf-r12, svg]
layers:
  mark: {name: ENGRAVE, dxf_colour: 7}
spacing_mm: 2
margin_mm: 5
";

fn problems(text: &str) -> Vec<(String, Option<usize>, String)> {
    let mut problems = Problems::new();
    let machine = read("mine", text, "mine.yaml", &mut problems);
    assert_eq!(machine.is_none(), !problems.is_empty());
    problems.iter().map(|p| (p.code.to_owned(), p.line, p.hint.clone())).collect()
}

#[test]
fn a_machine_is_read_as_it_is_written() {
    let machine = read("mine", MINE, "mine.yaml", &mut Problems::new()).unwrap();
    assert_eq!(machine.tool, Tool::Laser { power_w: 45.0 });
    assert_eq!(machine.drawings, [DrawingFormat::DxfR12, DrawingFormat::Svg]);
    assert_eq!((machine.layers.mark.name.as_str(), machine.layers.mark.dxf_colour), ("ENGRAVE", 7));
    assert_eq!(machine.layers.score.name, "score");
}

#[test]
fn a_machine_is_opened_from_its_file() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("mine.yaml"), MINE).unwrap();
    let mut problems = Problems::new();
    let shop = Shop::open("mine.yaml", None, folder.path(), &mut problems).unwrap();
    assert_eq!((shop.machine.name.as_str(), problems.len()), ("mine", 0));
    assert!(shop.laser("birch-ply", 3.0).unwrap().feed_mm_min > 100.0);
}

#[test]
fn a_file_that_is_not_there_is_told() {
    let mut problems = Problems::new();
    assert!(Shop::open("none.yaml", None, Path::new("/nowhere"), &mut problems).is_none());
    assert_eq!(problems.iter().next().unwrap().code, "unreadable-machine");
}

#[test]
fn an_unknown_machine_names_the_nearest() {
    let mut problems = Problems::new();
    assert!(Shop::open("workshop-ruter", None, Path::new("."), &mut problems).is_none());
    let problem = problems.iter().next().unwrap();
    assert_eq!(problem.code, "unknown-machine");
    assert!(problem.hint.starts_with("did you mean 'workshop-router'?"), "{}", problem.hint);
}

#[test]
fn a_name_is_no_way_out_of_the_shipped_folder() {
    for name in ["../machines/desktop-laser", "", "/etc/passwd", "..", "a\0b"] {
        let mut problems = Problems::new();
        assert!(Shop::open(name, None, Path::new("."), &mut problems).is_none(), "{name}");
    }
}

#[test]
fn an_unknown_key_names_the_nearest() {
    let found = problems(&MINE.replace("margin_mm", "margins_mm"));
    assert_eq!(found[0], ("unknown-key".to_owned(), Some(10), "did you mean 'margin_mm'?".to_owned()));
    assert_eq!(found[1].0, "missing-key");
}

#[test]
fn numbers_out_of_sense_are_told() {
    for (good, bad) in [
        ("power_w: 45", "power_w: .nan"),
        ("[600, 400, 0]", "[600, -400, 0]"),
        ("[600, 400, 0]", "[600]"),
        ("rapid_mm_min: 12000", "rapid_mm_min: 1e300"),
        ("dxf_colour: 7", "dxf_colour: 256"),
        ("name: ENGRAVE", "name: \"A<B\""),
        ("drawings: [dxf-r12, svg]", "drawings: [dwg]"),
        ("laser: {power_w: 45}", "router: {min_rpm: 5, max_rpm: 1000, clearance_mm: 5, cutters: []}"),
    ] {
        assert!(!problems(&MINE.replace(good, bad)).is_empty(), "{bad}");
    }
}

#[test]
fn a_machine_that_takes_no_file_is_told() {
    assert_eq!(problems(&MINE.replace("drawings: [dxf-r12, svg]\n", ""))[0].0, "missing-key");
}

const WOOD: &str = "\
about: a wood
density_kg_m3: 150
source: none
thicknesses_mm: [2, 3]
laser_tabs:
  columns: [thickness_mm, every_mm, least, most, width_mm, height]
  rows:
    - [2, 150, 2, 8, 1, 1]
    - [3, 150, 2, 8, 1, 1]
";

fn wood_problems(text: &str) -> Vec<(String, Option<usize>)> {
    let mut problems = Problems::new();
    wood::read("mine", text, "mine.yaml", &mut problems);
    problems.iter().map(|p| (p.code.to_owned(), p.line)).collect()
}

#[test]
fn a_table_that_is_not_in_order_is_told() {
    assert_eq!(wood_problems(WOOD), []);
    assert_eq!(wood_problems(&WOOD.replace("- [3,", "- [2,")), [("unsorted-table".to_owned(), Some(9))]);
}

#[test]
fn a_table_with_other_columns_or_numbers_is_told() {
    let cases = [
        ("every_mm, least", "least, every_mm", "unknown-columns", 6),
        ("[3, 150, 2, 8, 1, 1]", "[3, 150, 2, 8, 1]", "wrong-type", 9),
        ("[3, 150, 2, 8, 1, 1]", "[3, 150, 2, 8, 1, 1.5]", "out-of-range", 9),
        ("[3, 150, 2, 8, 1, 1]", "[.inf, 150, 2, 8, 1, 1]", "out-of-range", 9),
        ("[3, 150, 2, 8, 1, 1]", "[x, 150, 2, 8, 1, 1]", "wrong-type", 9),
        ("density_kg_m3: 150", "density_kg_m3: -1", "out-of-range", 2),
    ];
    for (good, bad, code, line) in cases {
        assert_eq!(wood_problems(&WOOD.replace(good, bad)), [(code.to_owned(), Some(line))], "{bad}");
    }
}
