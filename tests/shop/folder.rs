//! A person's own shop folder: what it overrides, piece by piece, and what is told of it.

use std::fs;
use std::path::Path;

use grainwise::problem::{Problem, Problems};
use grainwise::shop::{Shelf, Tool};
use tempfile::TempDir;

/// A folder with these files in it.
fn folder(files: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

fn open(files: &[(&str, &str)]) -> (Shelf, Vec<Problem>, TempDir) {
    let folder = folder(files);
    let mut problems = Problems::new();
    let shelf = Shelf::with(folder.path(), &mut problems);
    (shelf, problems.into_iter().collect(), folder)
}

fn good(files: &[(&str, &str)]) -> (Shelf, TempDir) {
    let (shelf, problems, folder) = open(files);
    assert!(problems.is_empty(), "{problems:#?}");
    (shelf, folder)
}

/// Code, line and column of the only problem.
fn told(files: &[(&str, &str)]) -> (&'static str, Option<(usize, usize)>) {
    let (_, problems, _) = open(files);
    assert_eq!(problems.len(), 1, "{problems:#?}");
    (problems[0].code, problems[0].line.zip(problems[0].column))
}

fn laser(shelf: &Shelf, wood: &str, thickness: f64, power_w: f64) -> grainwise::shop::LaserSetting {
    let mut shop = shelf.shop("makerspace-laser", None, Path::new("."), &mut Problems::new()).unwrap();
    shop.machine.tool = Tool::Laser { power_w };
    shop.laser(wood, thickness).unwrap()
}

const KERF: &str =
    "extends: balsa-medium\nlaser:\n  rows:\n    - {beam_w: 60, thickness_mm: 3, kerf_mm: 0.213}\n";

#[test]
fn an_empty_folder_changes_nothing() {
    let (shelf, _folder) = good(&[]);
    assert_eq!(shelf.woods(), Shelf::shipped().woods());
    assert_eq!(laser(&shelf, "birch-ply", 3.0, 60.0), laser(&Shelf::shipped(), "birch-ply", 3.0, 60.0));
}

#[test]
fn one_value_of_one_row_is_replaced_and_all_others_stay() {
    let (shelf, _folder) = good(&[("tables/balsa-medium.yaml", KERF)]);
    let shipped = Shelf::shipped();
    let (mine, theirs) =
        (laser(&shelf, "balsa-medium", 3.0, 60.0), laser(&shipped, "balsa-medium", 3.0, 60.0));
    assert_eq!(mine.kerf_mm, 0.213);
    assert_eq!(
        (mine.feed_mm_min, mine.power, mine.passes),
        (theirs.feed_mm_min, theirs.power, theirs.passes)
    );
    for (thickness, power) in [(2.0, 60.0), (3.0, 40.0), (4.0, 80.0)] {
        let same = |shelf| laser(shelf, "balsa-medium", thickness, power);
        assert_eq!(same(&shelf), same(&shipped), "{thickness} {power}");
    }
    assert_eq!(laser(&shelf, "balsa-hard", 3.0, 60.0), laser(&shipped, "balsa-hard", 3.0, 60.0));
}

#[test]
fn each_value_tells_its_source_with_the_day() {
    let row = "{beam_w: 60, thickness_mm: 3, kerf_mm: 0.213, measured: 2026-05-30, note: ours}";
    let text = KERF.replace("{beam_w: 60, thickness_mm: 3, kerf_mm: 0.213}", row);
    let (shelf, _folder) = good(&[("tables/balsa-medium.yaml", &text)]);
    let stocked = shelf.stocked().find(|s| s.wood.name == "balsa-medium").unwrap();
    let given = stocked.tables.source("laser", &[60.0, 3.0], "kerf_mm").unwrap();
    assert!(given.file.ends_with("tables/balsa-medium.yaml"));
    assert_eq!(
        (given.line, given.measured.as_deref(), given.note.as_deref()),
        (4, Some("2026-05-30"), Some("ours"))
    );
    assert!(stocked.tables.source("laser", &[60.0, 3.0], "power").is_none());
    assert!(stocked.tables.source("laser", &[40.0, 3.0], "kerf_mm").is_none());
    assert_eq!(stocked.files[0], "post/tables/balsa-medium.yaml");
}

#[test]
fn rows_may_stand_under_some_of_the_columns() {
    let text = "extends: balsa-medium\nrouter:\n  columns: [cutter_mm, thickness_mm, pass_mm]\n  rows: [[1.5, 3, 0.7]]\n";
    let (shelf, _folder) = good(&[("tables/balsa-medium.yaml", text)]);
    let shop = shelf.shop("workshop-router", None, Path::new("."), &mut Problems::new()).unwrap();
    let cutter = shop.machine.cutter(1.5).unwrap();
    assert_eq!(shop.router("balsa-medium", 3.0, &cutter).unwrap().pass_mm, 0.7);
}

/// A beam that the table has no rows of: what was measured holds for its thickness, the rest lies between its neighbours.
#[test]
fn a_beam_between_two_is_measured_at_one_thickness_and_known_at_all() {
    let (shelf, _folder) = good(&[("tables/balsa-medium.yaml", &KERF.replace("60", "45"))]);
    let shipped = Shelf::shipped();
    assert_eq!(laser(&shelf, "balsa-medium", 3.0, 45.0).kerf_mm, 0.213);
    for thickness in [0.8, 2.0, 5.0, 12.0] {
        let (mine, theirs) = (
            laser(&shelf, "balsa-medium", thickness, 45.0),
            laser(&shipped, "balsa-medium", thickness, 45.0),
        );
        assert!((mine.feed_mm_min / theirs.feed_mm_min - 1.0).abs() < 1e-9, "{thickness}");
        assert_eq!(mine.kerf_mm, theirs.kerf_mm, "{thickness}");
    }
}

#[test]
fn a_wood_of_one_s_own_needs_no_build() {
    let text = "extends: balsa-light\nabout: Paulownia.\ndensity_kg_m3: 270\nsource: weighed\nthicknesses_mm: [2, 3]\n";
    let (shelf, _folder) = good(&[("tables/paulownia.yaml", text)]);
    let wood = shelf.woods().into_iter().find(|wood| wood.name == "paulownia").unwrap();
    assert_eq!((wood.density_kg_m3, wood.thicknesses_mm.as_slice()), (270.0, &[2.0, 3.0][..]));
    assert_eq!(laser(&shelf, "paulownia", 3.0, 60.0), laser(&shelf, "balsa-light", 3.0, 60.0));
}

#[test]
fn what_was_measured_lies_over_a_wood_of_one_s_own() {
    let wood = "extends: balsa-light\ndensity_kg_m3: 270\n";
    let measured = "extends: paulownia\nlaser: {rows: [{beam_w: 60, thickness_mm: 3, kerf_mm: 0.19}]}\n";
    let (shelf, _folder) = good(&[("tables/paulownia.yaml", wood), ("measured/paulownia.yaml", measured)]);
    assert_eq!(laser(&shelf, "paulownia", 3.0, 60.0).kerf_mm, 0.19);
    assert_ne!(laser(&shelf, "balsa-light", 3.0, 60.0).kerf_mm, 0.19);
}

#[test]
fn a_wood_extends_another_of_one_s_own_whatever_their_order() {
    let first = "extends: zebra\ndensity_kg_m3: 300\n";
    let zebra =
        "extends: balsa-hard\ndensity_kg_m3: 310\nrouter_kerf: {rows: [{cutter_mm: 2, kerf_mm: 2.04}]}\n";
    let (shelf, _folder) = good(&[("tables/aspen.yaml", first), ("tables/zebra.yaml", zebra)]);
    let shop = shelf.shop("workshop-router", None, Path::new("."), &mut Problems::new()).unwrap();
    assert_eq!(shop.wood("aspen").unwrap().density_kg_m3, 300.0);
    assert_eq!(shop.measured_kerf("aspen", 2.0), Some(2.04));
    assert_eq!(shop.measured_kerf("balsa-hard", 2.0), None);
}

#[test]
fn a_machine_of_one_s_own_extends_a_shipped_one() {
    let mine = "extends: makerspace-laser\nlaser: {power_w: 45}\nlayers: {mark: {name: ENGRAVE}}\n";
    let (shelf, _folder) = good(&[("machines/club.yaml", mine)]);
    let mut problems = Problems::new();
    let club = shelf.machine("club", Path::new("."), &mut problems).unwrap();
    let base = shelf.machine("makerspace-laser", Path::new("."), &mut problems).unwrap();
    assert_eq!((club.name.as_str(), &club.tool), ("club", &Tool::Laser { power_w: 45.0 }));
    assert_eq!((club.layers.mark.name.as_str(), &club.layers.score), ("ENGRAVE", &base.layers.score));
    assert_eq!((club.reach_mm, problems.len()), (base.reach_mm, 0));
    assert_eq!(shelf.machine_names(), ["club", "desktop-laser", "makerspace-laser", "workshop-router"]);
}

#[test]
fn a_machine_of_a_shipped_name_takes_its_place_and_may_extend_it() {
    let mine = "extends: makerspace-laser\nreach_mm: [600, 400, 0]\n";
    let (shelf, _folder) = good(&[("machines/makerspace-laser.yaml", mine)]);
    let machine = shelf.machine("makerspace-laser", Path::new("."), &mut Problems::new()).unwrap();
    assert_eq!(machine.reach_mm, [600.0, 400.0, 0.0]);
}

#[test]
fn what_is_wrong_with_a_machine_is_told_in_the_file_that_says_it() {
    let mine = "extends: makerspace-laser\nreach_mm: [600, -400, 0]\n";
    let (shelf, _, folder) = open(&[("machines/club.yaml", mine)]);
    let mut problems = Problems::new();
    assert!(shelf.machine("club", Path::new("."), &mut problems).is_none());
    let first = problems.iter().next().unwrap();
    let file = folder.path().join("machines/club.yaml");
    assert_eq!((first.file.as_deref(), first.line), (file.to_str(), Some(2)));
}

#[test]
fn machines_that_extend_each_other_are_told() {
    let (shelf, _, _folder) =
        open(&[("machines/a.yaml", "extends: b.yaml\n"), ("machines/b.yaml", "extends: a.yaml\n")]);
    let mut problems = Problems::new();
    assert!(shelf.machine("a", Path::new("."), &mut problems).is_none());
    assert_eq!(problems.iter().next().unwrap().code, "extends-itself");
}

#[test]
fn a_post_of_one_s_own_is_named_and_may_extend_the_shipped_one_of_its_name() {
    let (shelf, _folder) = good(&[
        ("posts/router-mm.yaml", "extends: router-mm\nextension: tap\n"),
        ("posts/garage.yaml", "extends: router-mm\nline: {percent: false}\n"),
    ]);
    let mut problems = Problems::new();
    let garage = shelf.post("garage", Path::new("."), &mut problems).unwrap();
    assert_eq!((garage.extension.as_str(), garage.line.percent), ("tap", false));
    let shop = shelf.shop("workshop-router", None, Path::new("."), &mut problems).unwrap();
    assert_eq!((shop.post.unwrap().extension.as_str(), problems.len()), ("tap", 0));
}

#[test]
fn what_is_wrong_is_told_with_line_and_column() {
    let row = |row: &str| format!("extends: balsa-medium\nlaser:\n  rows:\n    - {row}\n");
    let cases = [
        (row("{beam_w: 60, thickness_mm: 3, kerf_mm: 21}"), "out-of-range", (4, 43)),
        (row("{beam_w: 60, thickness_mm: 3, kerf: 0.2}"), "unknown-key", (4, 35)),
        (row("{beam_w: 60, kerf_mm: 0.2}"), "missing-key", (4, 7)),
        (row("{beam_w: 60, thickness_mm: 3, kerf_mm: .nan}"), "out-of-range", (4, 44)),
        (row("{beam_w: 60, thickness_mm: 3, passes: 1.5}"), "wrong-type", (4, 43)),
        (row("{beam_w: 60, thickness_mm: 3, measured: yesterday}"), "wrong-type", (4, 45)),
        (row("{beam_w: 400, thickness_mm: 3, kerf_mm: 0.2}"), "missing-value", (4, 7)),
        (row("{beam_w: 60, thickness_mm: 30, kerf_mm: 0.2}"), "missing-value", (4, 7)),
        ("extends: balsa-medum\n".to_owned(), "unknown-wood", (1, 10)),
        ("extends: balsa-medium\ndensity_kg_m3: 2.2\n".to_owned(), "out-of-range", (2, 16)),
    ];
    for (text, code, (line, column)) in cases {
        let (found, place) = told(&[("tables/balsa-medium.yaml", &text)]);
        assert_eq!((found, place.map(|p| p.0)), (code, Some(line)), "{text}");
        assert!(place.unwrap().1.abs_diff(column) <= 3, "{text}: {place:?}");
    }
}

/// Millimetres a second where millimetres a minute belong: 60 times too little.
#[test]
fn a_value_in_another_unit_is_doubted() {
    let text =
        "extends: balsa-medium\nlaser:\n  rows:\n    - {beam_w: 60, thickness_mm: 3, feed_mm_min: 35}\n";
    let (_, problems, _folder) = open(&[("tables/balsa-medium.yaml", text)]);
    assert_eq!((problems.len(), problems[0].code, problems[0].line), (1, "unlikely-value", Some(4)));
    assert_eq!(problems[0].severity, grainwise::problem::Severity::Warning);
}

#[test]
fn a_thickness_that_no_row_holds_is_told() {
    let whole = "about: mine\ndensity_kg_m3: 200\nsource: none\nthicknesses_mm: [2, 3, 6]\nlaser_tabs:\n  columns: [thickness_mm, every_mm, least, most, width_mm, height]\n  rows: [[2, 150, 2, 8, 1, 1], [3, 150, 2, 8, 1, 1]]\n";
    let (_, problems, _folder) = open(&[("tables/mine.yaml", whole)]);
    assert_eq!((problems.len(), problems[0].code), (1, "gap-in-table"));
    assert!(problems[0].message.contains("6 mm"), "{}", problems[0].message);
}

#[test]
fn woods_that_extend_each_other_are_told() {
    assert_eq!(
        told(&[("tables/a.yaml", "extends: b\n"), ("tables/b.yaml", "extends: a\n")]).0,
        "extends-itself"
    );
}

#[test]
fn what_the_shop_does_not_know_is_not_passed_over_in_silence() {
    let (_, problems, _folder) = open(&[("tabels/x.yaml", ""), ("tables/x.yml", ""), ("README.md", "")]);
    let codes: Vec<&str> = problems.iter().map(|problem| problem.code).collect();
    assert_eq!(codes, ["unknown-in-shop", "unknown-in-shop"]);
    assert_eq!(problems[0].hint, "did you mean 'tables'?");
}

#[test]
fn measured_values_of_no_wood_are_told() {
    assert_eq!(told(&[("measured/oak.yaml", "extends: oak\n")]).0, "unknown-wood");
}
