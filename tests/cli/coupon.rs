//! Coupons as people cut and read them.

use std::fs;
use std::path::Path;

use serde_json::Value;

use super::{folder, grainwise, names, run};

fn coupon<'a>(kind: &'a str, machine: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let mut all = vec!["coupon", kind, "--machine", machine, "--wood", "balsa-medium", "--thickness", "3"];
    all.extend(more);
    all
}

/// The report of a coupon that was cut into a folder of its own.
fn cut(folder: &Path, arguments: &[&str]) -> Value {
    let mut all = arguments.to_vec();
    all.extend(["-o", "out", "--force", "--json"]);
    serde_json::from_slice(&run(folder, &all, 0).stdout).unwrap()
}

#[test]
fn every_coupon_is_cut_proved_and_told_on_every_machine_that_it_is_for() {
    let cases = [
        ("kerf", "makerspace-laser"),
        ("kerf", "desktop-laser"),
        ("kerf", "workshop-router"),
        ("fit", "makerspace-laser"),
        ("fit", "desktop-laser"),
        ("fit", "workshop-router"),
        ("power", "makerspace-laser"),
        ("power", "desktop-laser"),
        ("depth", "workshop-router"),
    ];
    for (kind, machine) in cases {
        let folder = folder();
        let report = cut(folder.path(), &coupon(kind, machine, &[]));
        assert_eq!(report["ok"], true, "{kind} {machine}");
        assert_eq!(report["proof"]["ok"], true, "{kind} {machine}");
        let files = names(&folder.path().join("out"));
        for name in ["coupon.txt", "picture.svg", "proof.svg", "report.json"] {
            assert!(files.iter().any(|file| file == name), "{kind} {machine}: {name} in {files:?}");
        }
        let text = fs::read_to_string(folder.path().join("out/coupon.txt")).unwrap();
        assert!(text.contains(&format!("grainwise coupon {kind} --machine {machine}")), "{text}");
        assert!(text.contains("CAUTION"), "{text}");
    }
}

#[test]
fn a_ladder_is_for_its_own_kind_of_machine() {
    for (kind, machine) in [("power", "workshop-router"), ("depth", "desktop-laser")] {
        let folder = folder();
        let done = run(folder.path(), &coupon(kind, machine, &["-o", "out"]), 1);
        assert!(String::from_utf8_lossy(&done.stderr).contains("wrong-machine"));
        assert!(!folder.path().join("out").exists());
    }
}

/// Each rung of a ladder is cut as is marked on it: the feeds in the G-code are those that the text lists.
#[test]
fn each_rung_of_a_ladder_has_a_speed_and_power_of_its_own() {
    let folder = folder();
    cut(folder.path(), &coupon("power", "desktop-laser", &[]));
    let out = folder.path().join("out");
    let text = fs::read_to_string(out.join("coupon.txt")).unwrap();
    let rungs: Vec<(String, String, f64)> = text
        .lines()
        .filter(|line| line.trim_start().starts_with("sheet-"))
        .map(|line| {
            let words: Vec<&str> = line.split_whitespace().collect();
            (words[0].to_owned(), words[1].to_owned(), words[3].parse().unwrap())
        })
        .collect();
    assert_eq!(rungs.len(), 12);
    for (file, speed, percent) in rungs {
        let program = fs::read_to_string(out.join(&file)).unwrap();
        assert!(program.lines().any(|line| line.ends_with(&format!("F{speed}"))), "{file}: {speed}");
        // The shipped post writes S 0 to 1000.
        assert!(program.contains(&format!("M4 S{}", percent * 10.0)), "{file}: {percent}");
    }
}

/// The groove of each plate goes as deep as is marked on it, in one pass: its depth is the height of the first line down
/// after its cut begins.
#[test]
fn each_groove_is_as_deep_as_is_marked_beside_it() {
    let folder = folder();
    cut(folder.path(), &coupon("depth", "workshop-router", &["--cutter", "2"]));
    let out = folder.path().join("out");
    let text = fs::read_to_string(out.join("coupon.txt")).unwrap();
    let mut rungs = 0;
    for line in text.lines().filter(|line| line.trim_start().starts_with("sheet-")) {
        let words: Vec<&str> = line.split_whitespace().collect();
        let program = fs::read_to_string(out.join(words[0])).unwrap();
        let (_, groove) = program.split_once(", score)").unwrap();
        let (groove, _) = groove.split_once("(D").unwrap_or((groove, ""));
        assert!(groove.contains(&format!("Z-{}", words[1])), "{line}: {groove}");
        rungs += 1;
    }
    assert!(rungs >= 4, "{text}");
}

#[test]
fn a_reading_goes_into_the_shop_and_the_next_job_uses_it() {
    let folder = folder();
    let reading = ["--reading", "99.62", "0.176", "--date", "2026-05-30"];
    run(folder.path(), &coupon("kerf", "desktop-laser", &reading), 0);
    let file = folder.path().join("shop/measured/balsa-medium.yaml");
    let text = fs::read_to_string(&file).unwrap();
    // 10 + 0.176 - 99.62 / 10, by hand.
    assert!(text.contains("{beam_w: 10, thickness_mm: 3, kerf_mm: 0.214, measured: 2026-05-30, note: \"kerf coupon, desktop-laser\"}"), "{text}");
    let listed = run(folder.path(), &["shop"], 0);
    let listed = String::from_utf8_lossy(&listed.stdout).into_owned();
    assert!(listed.contains("balsa-medium laser at 10, 3: kerf_mm from"), "{listed}");
    assert!(listed.contains("measured 2026-05-30"), "{listed}");
    cut(folder.path(), &coupon("kerf", "desktop-laser", &[]));
    let told = fs::read_to_string(folder.path().join("out/coupon.txt")).unwrap();
    assert!(told.contains("cut for a kerf of 0.214 mm"), "{told}");
}

#[test]
fn readings_of_several_kinds_stand_side_by_side_and_a_new_one_replaces_its_own() {
    let folder = folder();
    let read = |kind: &str, machine: &str, day: &str, numbers: &[&str]| {
        let mut more = vec!["--date", day, "--reading"];
        more.extend(numbers);
        run(folder.path(), &coupon(kind, machine, &more), 0);
    };
    read("kerf", "desktop-laser", "2026-01-02", &["99.62", "0.176"]);
    read("power", "desktop-laser", "2026-01-03", &["420", "85"]);
    read("fit", "desktop-laser", "2026-01-04", &["2.93", "2.88", "2.98", "3.08"]);
    read("kerf", "workshop-router", "2026-01-05", &["99.7", "1"]);
    read("kerf", "desktop-laser", "2026-01-06", &["99.72", "0.176"]);
    let text = fs::read_to_string(folder.path().join("shop/measured/balsa-medium.yaml")).unwrap();
    let rows: Vec<&str> = text.lines().filter(|line| line.trim_start().starts_with("- ")).collect();
    let expected = [
        "    - {beam_w: 10, thickness_mm: 3, feed_mm_min: 420, power: 0.85, measured: 2026-01-03, note: \"power coupon, desktop-laser\"}",
        "    - {beam_w: 10, thickness_mm: 3, kerf_mm: 0.204, measured: 2026-01-06, note: \"kerf coupon, desktop-laser\"}",
        "    - {cutter_mm: 1, kerf_mm: 1.03, measured: 2026-01-05, note: \"kerf coupon, workshop-router\"}",
        "    - {thickness_mm: 3, measured_mm: 2.93, press_mm: -0.05, glue_mm: 0.05, slide_mm: 0.15, measured: 2026-01-04, note: \"fit coupon, desktop-laser\"}",
    ];
    assert_eq!(rows, expected);
    let shown = run(folder.path(), &["shop", "--wood", "balsa-medium"], 0);
    let shown = String::from_utf8_lossy(&shown.stdout).into_owned();
    assert!(
        shown.contains("0.204 [") && shown.contains("2026-01-06") && shown.contains("2026-01-03"),
        "{shown}"
    );
}

#[test]
fn readings_that_cannot_be_right_change_nothing() {
    let cases: [(&str, &str, &[&str], &str); 8] = [
        ("kerf", "desktop-laser", &["9.96", "0.176"], "reading-out-of-range"),
        ("kerf", "desktop-laser", &["99.6"], "reading-count"),
        ("kerf", "workshop-router", &["80", "1"], "reading-out-of-range"),
        ("fit", "desktop-laser", &["2.93", "3.1", "2.9", "3.2"], "reading-out-of-range"),
        ("power", "desktop-laser", &["90000", "85"], "reading-out-of-range"),
        ("power", "desktop-laser", &["400", "0.85", "1"], "reading-count"),
        ("depth", "workshop-router", &["0.8", "1.2"], "reading-out-of-range"),
        ("depth", "desktop-laser", &["0.8", "0.8"], "wrong-machine"),
    ];
    for (kind, machine, numbers, code) in cases {
        let folder = folder();
        let mut more = vec!["--reading"];
        more.extend(numbers);
        let done = run(folder.path(), &coupon(kind, machine, &more), 1);
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(said.contains(code), "{kind} {numbers:?}: {said}");
        assert!(!folder.path().join("shop").exists(), "{kind} {numbers:?}");
    }
}

#[test]
fn a_measured_file_that_a_hand_changed_is_left_alone() {
    let folder = folder();
    let file = folder.path().join("shop/measured/balsa-medium.yaml");
    fs::create_dir_all(file.parent().unwrap()).unwrap();
    let own =
        "extends: balsa-medium\nlaser:\n  columns: [beam_w, thickness_mm, kerf_mm]\n  rows: [[10, 3, 0.2]]\n";
    fs::write(&file, own).unwrap();
    let done = run(folder.path(), &coupon("kerf", "desktop-laser", &["--reading", "99.62", "0.176"]), 1);
    assert!(String::from_utf8_lossy(&done.stderr).contains("changed-by-hand"));
    assert_eq!(fs::read_to_string(&file).unwrap(), own);
}

#[test]
fn a_shop_folder_beside_the_job_counts_and_another_may_be_named() {
    let folder = folder();
    let text = "extends: balsa-light\ndensity_kg_m3: 270\nthicknesses_mm: [2]\n";
    for place in ["here/shop/tables", "there/tables"] {
        fs::create_dir_all(folder.path().join(place)).unwrap();
        fs::write(folder.path().join(place).join("paulownia.yaml"), text).unwrap();
    }
    fs::create_dir_all(folder.path().join("bare")).unwrap();
    let job = "drawings: [plate.dxf]\nparts: [{name: \"*\", wood: paulownia, thickness: 2}]\nstock: [{wood: paulownia, thickness: 2, sheet: 300x100}]\n";
    for place in ["here", "bare"] {
        fs::write(folder.path().join(place).join("job.yaml"), job).unwrap();
        fs::write(folder.path().join(place).join("plate.dxf"), super::dxf(&super::square(0.0, 0.0, 50.0)))
            .unwrap();
    }
    let report = super::report(folder.path(), &["check", "here/job.yaml"], 0);
    // 50 x 50 x 2 mm at 270 kg/m3.
    assert!((report["parts"][0]["mass_g"].as_f64().unwrap() - 1.35).abs() < 1e-6);
    let refused = super::report(folder.path(), &["check", "bare/job.yaml"], 1);
    assert!(super::codes(&refused).contains(&"unknown-wood".to_owned()));
    super::report(folder.path(), &["check", "bare/job.yaml", "--shop", "there"], 0);
    let missing =
        grainwise(folder.path()).args(["check", "bare/job.yaml", "--shop", "nowhere"]).output().unwrap();
    assert_eq!(missing.status.code(), Some(2));
}

#[test]
fn a_fault_in_the_shop_stops_the_job_and_says_where() {
    let folder = folder();
    fs::create_dir_all(folder.path().join("shop/tables")).unwrap();
    let bad = "extends: balsa-medium\nlaser:\n  rows:\n    - {beam_w: 60, thickness_mm: 3, kerf_mm: 21}\n";
    fs::write(folder.path().join("shop/tables/balsa-medium.yaml"), bad).unwrap();
    let done = run(folder.path(), &["shop"], 1);
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(said.contains("balsa-medium.yaml:4:") && said.contains("0.02 to 1"), "{said}");
}
