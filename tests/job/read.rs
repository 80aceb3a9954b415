//! What a job file says comes to be in the job.

use grainwise::geometry::Point;
use grainwise::stages::job::size::parse_sheet;
use grainwise::stages::job::{GrainWish, Job, LayerRules, TabWish};
use grainwise::units::Unit;

use super::good;

const WHOLE: &str = r##"
title: Fenwren
units: mm
drawings:
  - wing.dxf
  - {file: tail.svg, units: inch, px_per_inch: 90}
layers:
  cut: [PARTS, "#ff8800"]
  ignore: []
parts:
  - {name: "R*", drawing: wing.dxf, wood: balsa-medium, thickness: 2, pairs: 1}
  - name: [F1, F2]
    wood: light-ply
    thickness: 3
    copies: 3
    mirrored: 2
    grain: 90
    tabs: [[10, 20.5], [30, 1 inch]]
    mark: false
  - {name: X1, skip: yes-not-a-flag}
stock:
  - {wood: balsa-medium, thickness: 2, sheet: 1000x100, count: 6}
  - {wood: light-ply, thickness: 1/8 inch, sheet: 24x12 inch}
machine: {name: workshop-router, post: router-inch}
cutting: {kerf: 0.2, cutter: 2, tabs: 0, tab_width: 3, spacing: 4, margin: 5, feed: 600, power: 0.5,
          passes: 2, rpm: 18000, pass_depth: 1, join: 0.1, tolerance: 0.02, seed: 7, effort: 2.5}
"##;

fn whole() -> Job {
    good(&WHOLE.replace("skip: yes-not-a-flag", "skip: true"))
}

#[test]
fn title_folder_and_file_are_kept() {
    let job = whole();
    assert_eq!((job.title.as_str(), job.file.as_deref()), ("Fenwren", Some("job.yaml")));
    assert_eq!(job.folder, std::path::Path::new("shelf"));
}

#[test]
fn drawings_come_as_names_or_maps() {
    let job = whole();
    assert_eq!((job.drawings[0].file.as_str(), job.drawings[0].units), ("wing.dxf", None));
    assert_eq!(job.drawings[0].px_per_inch, 96.0);
    assert_eq!((job.drawings[1].units, job.drawings[1].px_per_inch), (Some(Unit::Inch), 90.0));
}

#[test]
fn given_layer_lists_replace_the_defaults_and_others_stay() {
    let (layers, usual) = (whole().layers, LayerRules::default());
    assert_eq!(layers.cut, ["PARTS", "#ff8800"]);
    assert_eq!(layers.ignore, Vec::<String>::new());
    assert_eq!((layers.score, layers.grain), (usual.score, usual.grain));
}

#[test]
fn a_rule_with_two_names_is_two_rules_each_at_its_place() {
    let parts = whole().parts.unwrap();
    let names: Vec<&str> = parts.iter().map(|rule| rule.name.as_str()).collect();
    assert_eq!(names, ["R*", "F1", "F2", "X1"]);
    assert_eq!((parts[1].line, parts[2].line), ((12, 12), (12, 16)));
    assert_eq!((parts[1].copies, parts[1].mirrored, parts[1].mark), (Some(3), Some(2), Some(false)));
    assert!(parts[3].skip);
}

#[test]
fn a_pair_is_one_of_each_hand() {
    let parts = whole().parts.unwrap();
    assert_eq!((parts[0].copies, parts[0].mirrored), (Some(1), Some(1)));
}

#[test]
fn tabs_are_a_number_or_points_in_the_files_unit() {
    let parts = whole().parts.unwrap();
    assert_eq!(parts[1].tabs, TabWish::At(vec![Point::new(10.0, 20.5), Point::new(30.0, 25.4)]));
    assert_eq!(parts[0].tabs, TabWish::Table);
}

#[test]
fn grain_is_along_free_or_degrees_below_a_half_turn() {
    let of = |grain: &str| {
        good(&format!("drawings: a.dxf\nparts: [{{name: A, grain: {grain}}}]")).parts.unwrap()[0].grain
    };
    assert_eq!(of("along"), GrainWish::Drawn);
    assert_eq!(of("free"), GrainWish::Free);
    assert_eq!(of("-45"), GrainWish::Degrees(135.0));
    assert_eq!(of("180"), GrainWish::Degrees(0.0));
}

#[test]
fn stock_is_in_millimetres_whatever_it_is_written_in() {
    let stock = whole().stock;
    assert_eq!((stock[0].length_mm, stock[0].width_mm, stock[0].count), (1000.0, 100.0, Some(6)));
    assert_eq!((stock[1].thickness_mm, stock[1].count), (3.175, None));
    assert!((stock[1].length_mm - 609.6).abs() < 1e-9 && (stock[1].width_mm - 304.8).abs() < 1e-9);
}

#[test]
fn machine_is_a_name_or_a_map() {
    let job = whole();
    assert_eq!((job.machine.as_str(), job.post.as_deref()), ("workshop-router", Some("router-inch")));
    let job = good("drawings: a.dxf\nmachine: mine.yaml");
    assert_eq!((job.machine.as_str(), job.post), ("mine.yaml", None));
}

#[test]
fn cutting_replaces_every_value_it_names() {
    let job = whole();
    let cutting = job.cutting;
    assert_eq!((cutting.kerf_mm, cutting.cutter_mm, cutting.tabs), (Some(0.2), Some(2.0), Some(0)));
    assert_eq!(
        (cutting.tab_width_mm, cutting.spacing_mm, cutting.margin_mm),
        (Some(3.0), Some(4.0), Some(5.0))
    );
    assert_eq!((cutting.feed_mm_min, cutting.power, cutting.passes), (Some(600.0), Some(0.5), Some(2)));
    assert_eq!((cutting.rpm, cutting.pass_mm), (Some(18000.0), Some(1.0)));
    assert_eq!((job.join_mm, job.tolerance_mm, job.seed), (0.1, 0.02, 7));
    assert_eq!(job.effort, grainwise::stages::job::Effort::Seconds(2.5));
}

#[test]
fn bare_numbers_are_in_the_jobs_unit_and_others_in_their_own() {
    let text = "units: inch\ndrawings: a.dxf\nparts: [{name: A, thickness: 0.125}, {name: B, thickness: 3 mm}, \
                {name: C, thickness: 3/16}]\ncutting: {feed: 20}";
    let job = good(text);
    let thick: Vec<f64> = job.parts.unwrap().iter().filter_map(|rule| rule.thickness_mm).collect();
    assert_eq!(thick, [3.175, 3.0, 4.7625]);
    assert_eq!(job.cutting.feed_mm_min, Some(508.0));
}

#[test]
fn a_number_as_a_name_stays_as_it_is_written() {
    let parts = good("drawings: a.dxf\nparts: [{name: 1.10}, {name: [007, 3]}]").parts.unwrap();
    let names: Vec<&str> = parts.iter().map(|rule| rule.name.as_str()).collect();
    assert_eq!(names, ["1.10", "007", "3"]);
}

#[test]
fn a_job_with_nothing_but_a_drawing_is_the_job_of_that_drawing() {
    let mut job = good("drawings: [a.dxf]");
    (job.file, job.folder) = (None, std::path::PathBuf::new());
    assert_eq!(job, Job::of_drawings(vec!["a.dxf".to_owned()]));
    assert_eq!(
        (job.machine.as_str(), job.join_mm, job.tolerance_mm, job.seed),
        ("makerspace-laser", 0.05, 0.01, 1)
    );
    assert_eq!(job.parts, None);
}

#[test]
fn json_is_yaml() {
    let job = good(
        r#"{"drawings": ["a.dxf"], "stock": [{"wood": "birch-ply", "thickness": 1.5, "sheet": "300x300"}]}"#,
    );
    assert_eq!(job.stock[0].thickness_mm, 1.5);
}

#[test]
fn an_anchor_stands_for_its_value() {
    let job =
        good("drawings: a.dxf\nparts:\n- {name: A, wood: &w balsa-hard}\n- {name: B, wood: *w}\n- {name: C}");
    let woods: Vec<Option<String>> = job.parts.unwrap().into_iter().map(|rule| rule.wood).collect();
    assert_eq!(woods, [Some("balsa-hard".to_owned()), Some("balsa-hard".to_owned()), None]);
}

#[test]
fn sheets_are_written_in_many_ways() {
    for text in ["1000x100", "1000 x 100", "1000X100 mm", "100x10 cm", "1 m x 100 mm", "1000×100"] {
        assert_eq!(parse_sheet(text, Unit::Millimetre), Ok((1000.0, 100.0)), "{text}");
    }
    assert_eq!(parse_sheet("36x4", Unit::Inch), Ok((914.4, 101.6)));
}

#[test]
fn what_is_no_sheet_is_refused() {
    for text in [
        "",
        "x",
        "1000",
        "1000x",
        "x100",
        "1000x100x2",
        "-1000x100",
        "NaNx100",
        "infx100",
        "1e9x100",
        "1x1",
        "10 furlongs x 1",
    ] {
        assert!(parse_sheet(text, Unit::Millimetre).is_err(), "{text}");
    }
}

#[test]
fn stock_may_be_a_remnant_with_knots_under_clamps_at_a_price() {
    let job = good(
        "drawings: a.dxf
stock:
- {wood: balsa-hard, thickness: 2, outline: left/remnant-1.svg, price: 1.25, quality: 3}
- {wood: balsa-hard, thickness: 2, outline: [[5, 5], [205, 5], [155, 85], [5, 85]], clamp: 12}
- wood: balsa-hard
  thickness: 2
  sheet: 1000x100
  clamp: {left: 20, top: 1/2 inch}
  avoid:
  - {circle: 10, at: [100, 50]}
  - {rectangle: [30, 8], at: [970, 0]}
  - {points: [[0, 0], [20, 0], [0, 9]]}
",
    );
    let [file, points, whole] = &job.stock[..] else { panic!("{:?}", job.stock) };
    assert_eq!((file.outline_file.as_deref(), file.count), (Some("left/remnant-1.svg"), Some(1)));
    assert_eq!((file.price, file.quality, whole.price, whole.quality), (Some(1.25), 3, None, 1));
    assert_eq!((points.length_mm, points.width_mm, points.count), (200.0, 80.0, Some(1)));
    assert_eq!(points.blank.outline.as_ref().unwrap().area(), 80.0 * (200.0 + 150.0) / 2.0);
    assert_eq!(points.area_mm2(), 14_000.0);
    let all = grainwise::stages::job::Clamp { left: 12.0, right: 12.0, bottom: 12.0, top: 12.0 };
    assert_eq!(points.blank.clamp, all);
    let some = grainwise::stages::job::Clamp { left: 20.0, top: 12.7, ..Default::default() };
    assert_eq!((whole.blank.clamp, whole.count), (some, None));
    let bounds: Vec<_> = whole.blank.avoid.iter().map(grainwise::geometry::Outline::bounds).collect();
    let bounds: Vec<_> = bounds.iter().map(|b| [b.x0, b.y0, b.x1, b.y1]).collect();
    assert_eq!(bounds, [[95.0, 45.0, 105.0, 55.0], [970.0, 0.0, 1000.0, 8.0], [0.0, 0.0, 20.0, 9.0]]);
}

#[test]
fn parts_may_ask_for_quality_company_a_place_and_spares() {
    let job = good(
        "drawings: a.dxf
parts:
- {name: A, quality: 3, together: sides, spares: 4}
- {name: B, pin: {at: [20, 1 inch]}}
- {name: C, pin: [{sheet: 2, at: [5, 6], turn: 180}, {at: [7, 8], turn: -90}]}
",
    );
    let rules = job.parts.unwrap();
    let a = &rules[0].lying;
    assert_eq!((a.quality, a.together.as_deref(), a.spares), (3, Some("sides"), 4));
    let pins = |rule: usize| {
        let pins = rules[rule].lying.pins.iter();
        pins.map(|pin| (pin.sheet, pin.at.x, pin.at.y, pin.turn_deg)).collect::<Vec<_>>()
    };
    assert_eq!(pins(1), [(1, 20.0, 25.4, None)]);
    assert_eq!(pins(2), [(2, 5.0, 6.0, Some(180.0)), (1, 7.0, 8.0, Some(-90.0))]);
    assert_eq!((rules[1].lying.quality, rules[1].lying.spares), (0, 0));
}
