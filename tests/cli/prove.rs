//! Cut files read back: what `make` tells of its own, and what `prove` finds in anybody's.

use std::fs;
use std::path::Path;

use serde_json::Value;

use super::{codes, dxf, folder, names, report, run, sample, square};

/// A job of four plates with a hole each, made into `out`.
fn made(folder: &Path, machine: &str) -> Value {
    let plates: String = (0..4)
        .map(|n| f64::from(n) * 60.0)
        .map(|x| square(x, 0.0, 50.0) + &square(x + 20.0, 20.0, 8.0))
        .collect();
    fs::write(folder.join("plates.dxf"), dxf(&plates)).unwrap();
    let job = format!(
        "machine: {machine}\ndrawings: [plates.dxf]\nparts:\n  - {{ name: \"*\", wood: balsa-medium, thickness: 2 }}\n\
         stock:\n  - {{ wood: balsa-medium, thickness: 2, sheet: 160x100 }}\n"
    );
    fs::write(folder.join("plates.yaml"), job).unwrap();
    report(folder, &["make", "plates.yaml", "-o", "out"], 0)
}

/// Changes the first of these words in a file of the kit.
fn change(folder: &Path, file: &str, from: &str, to: &str) {
    let path = folder.join("out").join(file);
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.contains(from), "{from} in {text}");
    fs::write(path, text.replacen(from, to, 1)).unwrap();
}

/// The first line of a program that runs straight along x through the wood, and the same a millimetre farther.
fn first_cut_along_x(program: &str) -> (String, String) {
    let through = program.split("cut outside").nth(1).unwrap();
    let line = through.lines().find(|l| l.starts_with("G1 X") || l.starts_with('X')).unwrap();
    let (x, rest) = line.split_once('X').map(|(_, x)| x.split_once(' ').unwrap_or((x, ""))).unwrap();
    let farther = x.parse::<f64>().unwrap() + 1.0;
    (format!("\n{line}\n"), format!("\n{}X{farther} {rest}\n", line.split('X').next().unwrap()))
}

#[test]
fn every_cut_file_of_a_kit_is_proved_and_each_piece_counts_once() {
    let folder = folder();
    let report = report(folder.path(), &["check", sample("laser.yaml").to_str().unwrap()], 0);
    let proof = &report["proof"];
    assert_eq!(proof["ok"], true);
    let written: usize =
        report["sheets"].as_array().unwrap().iter().map(|s| s["files"].as_array().unwrap().len()).sum();
    assert_eq!(proof["files"].as_array().unwrap().len(), written);
    let copies: u64 = report["parts"].as_array().unwrap().iter().map(|p| p["copies"].as_u64().unwrap()).sum();
    assert_eq!(proof["pieces"].as_u64().unwrap(), copies);
    // The kit promises 0.02 mm.
    for key in ["worst_gouge_mm", "worst_excess_mm"] {
        assert!((0.0..=0.02).contains(&proof[key].as_f64().unwrap()), "{key}: {}", proof[key]);
    }
}

#[test]
fn the_report_has_the_checksum_of_what_was_proved_and_figures_for_each_piece() {
    let folder = folder();
    let report = made(folder.path(), "makerspace-laser");
    for file in report["proof"]["files"].as_array().unwrap() {
        let bytes = fs::read(folder.path().join("out").join(file["file"].as_str().unwrap())).unwrap();
        assert_eq!(file["sha256"], grainwise::files::checksum(&bytes));
        for piece in file["pieces"].as_array().unwrap() {
            assert!(
                piece["gouge_mm"].as_f64().unwrap() <= 0.02 && piece["excess_mm"].as_f64().unwrap() <= 0.02
            );
            assert!(!piece["tabs"].as_array().unwrap().is_empty());
        }
    }
}

#[test]
fn make_tells_its_verdict_and_draws_it() {
    let folder = folder();
    made(folder.path(), "workshop-router");
    assert!(names(&folder.path().join("out")).contains(&"proof.svg".to_owned()));
    let said = run(folder.path(), &["check", "plates.yaml"], 0).stdout;
    let said = String::from_utf8_lossy(&said).into_owned();
    assert!(said.contains("4 pieces, all within 0.0") && said.contains("mm of the plan"), "{said}");
}

#[test]
fn the_folder_of_a_kit_is_proved_file_by_file() {
    for machine in ["makerspace-laser", "desktop-laser", "workshop-router"] {
        let folder = folder();
        let made = made(folder.path(), machine);
        let proved = report(folder.path(), &["prove", "out", "--against", "plates.yaml"], 0);
        let (made, proved) = (&made["proof"], &proved["proof"]);
        assert_eq!(made["files"].as_array().unwrap().len(), proved["files"].as_array().unwrap().len());
        assert_eq!(
            (&made["pieces"], &made["worst_gouge_mm"]),
            (&proved["pieces"], &proved["worst_gouge_mm"])
        );
    }
}

#[test]
fn a_file_that_would_spoil_a_piece_is_refused_with_the_place() {
    let folder = folder();
    made(folder.path(), "workshop-router");
    let program = fs::read_to_string(folder.path().join("out/sheet-1.nc")).unwrap();
    let (line, farther) = first_cut_along_x(&program);
    change(folder.path(), "sheet-1.nc", &line, &farther);
    let proved = report(folder.path(), &["prove", "out/sheet-1.nc", "--against", "plates.yaml"], 1);
    assert_eq!((&proved["ok"], &proved["proof"]["ok"]), (&Value::Bool(false), &Value::Bool(false)));
    let placed = proved["problems"].as_array().unwrap().iter().find(|p| p["at_mm"].is_array());
    assert_eq!(placed.unwrap()["file"], "out/sheet-1.nc");
    let said = run(folder.path(), &["prove", "out/sheet-1.nc", "--against", "plates.yaml"], 1).stdout;
    assert!(String::from_utf8_lossy(&said).contains("not as planned: out/sheet-1.nc"));
}

#[test]
fn a_file_changed_since_it_was_made_is_told_and_proved_all_the_same() {
    let folder = folder();
    made(folder.path(), "workshop-router");
    change(folder.path(), "sheet-1.nc", "CAUTION", "Caution");
    let proved = report(folder.path(), &["prove", "out", "--against", "plates.yaml"], 0);
    assert!(codes(&proved).contains(&"changed-file".to_owned()), "{:?}", codes(&proved));
}

#[test]
fn a_file_finds_its_sheet_by_where_it_cuts() {
    let folder = folder();
    let kit = sample("laser.yaml");
    run(folder.path(), &["make", kit.to_str().unwrap(), "-o", "out"], 0);
    fs::rename(folder.path().join("out/sheet-3.dxf"), folder.path().join("friend.dxf")).unwrap();
    let proved = report(folder.path(), &["prove", "friend.dxf", "--against", kit.to_str().unwrap()], 0);
    assert_eq!(proved["proof"]["files"][0]["sheet"], 3);
    assert!(codes(&proved).contains(&"sheet-found".to_owned()));
    assert!(codes(&proved).contains(&"sheets-left-out".to_owned()));
}

#[test]
fn a_file_whose_layout_nobody_knows_is_held_against_the_parts_that_fit_it() {
    let folder = folder();
    made(folder.path(), "makerspace-laser");
    // With a wider margin the same plates lie elsewhere.
    let job = fs::read_to_string(folder.path().join("plates.yaml")).unwrap();
    fs::write(folder.path().join("wide.yaml"), job + "cutting: { margin: 11.5 }\n").unwrap();
    let prove = ["prove", "out/sheet-1.dxf", "out/sheet-2.dxf", "--against", "wide.yaml"];
    let proved = report(folder.path(), &[&prove[..], &["-o", "fit.svg"]].concat(), 0);
    assert!(codes(&proved).contains(&"placed-by-fit".to_owned()), "{:?}", codes(&proved));
    assert_eq!(proved["proof"]["pieces"], 4);
    let picture = fs::read_to_string(folder.path().join("fit.svg")).unwrap();
    assert!(picture.contains("pieces placed by best fit"));
}

#[test]
fn a_wrong_name_does_not_mislead() {
    let folder = folder();
    let kit = sample("laser.yaml");
    run(folder.path(), &["make", kit.to_str().unwrap(), "-o", "out"], 0);
    fs::rename(folder.path().join("out/sheet-3.dxf"), folder.path().join("sheet-1-copy.dxf")).unwrap();
    let proved = report(folder.path(), &["prove", "sheet-1-copy.dxf", "--against", kit.to_str().unwrap()], 0);
    assert_eq!(proved["proof"]["files"][0]["sheet"], 3);
}

#[test]
fn the_unit_can_be_said() {
    let folder = folder();
    made(folder.path(), "makerspace-laser");
    // The header of a DXF says 4 for millimetres, 1 for inches ($INSUNITS, the DXF reference).
    change(folder.path(), "sheet-1.dxf", "$INSUNITS\n70\n4\n", "$INSUNITS\n70\n1\n");
    let prove = ["prove", "out/sheet-1.dxf", "--against", "plates.yaml"];
    report(folder.path(), &prove, 1);
    report(folder.path(), &[&prove[..], &["--units", "mm"]].concat(), 0);
}

#[test]
fn without_a_job_it_tells_what_a_file_touches() {
    let folder = folder();
    let text = "G21 G90 G17 G94\nS18000 M3\nG0 Z5\nG0 X10 Y20\nG1 Z-1.5 F300\nG1 X40 F600\nG0 Z5\nM5\nM2\n";
    fs::write(folder.path().join("slot.nc"), text).unwrap();
    let proved = report(folder.path(), &["prove", "slot.nc"], 0);
    let file = &proved["proof"]["files"][0];
    // 1.5 mm down, 30 mm along, 1.5 mm up again.
    assert_eq!((file["lowest_mm"].as_f64(), file["cut_length_mm"].as_f64()), (Some(-1.5), Some(33.0)));
    assert_eq!(file["sha256"], grainwise::files::checksum(text.as_bytes()));
    assert!(codes(&proved).contains(&"no-plan".to_owned()));
}

#[test]
fn a_program_that_a_machine_would_refuse_is_refused_without_a_job_too() {
    let folder = folder();
    // RS-274/NGC, 3.5.3: the radii at both ends of an arc agree within 0.002 mm.
    let text =
        "G21 G90 G17 G94\nS18000 M3\nG0 Z5\nG0 X10 Y20\nG1 Z-1 F300\nG2 X20 Y20 I4 J0\nG0 Z5\nM5\nM2\n";
    fs::write(folder.path().join("arc.nc"), text).unwrap();
    assert!(codes(&report(folder.path(), &["prove", "arc.nc"], 1)).contains(&"arc-radii-differ".to_owned()));
}

#[test]
fn the_proof_s_picture_is_drawn_good_or_bad() {
    let folder = folder();
    made(folder.path(), "makerspace-laser");
    run(folder.path(), &["prove", "out", "--against", "plates.yaml", "-o", "proof.png", "--width", "300"], 0);
    let bytes = fs::read(folder.path().join("proof.png")).unwrap();
    // The signature of a PNG (W3C PNG specification, 5.2).
    assert!(bytes.starts_with(b"\x89PNG\r\n\x1a\n"));
    fs::write(folder.path().join("empty.nc"), "M2\n").unwrap();
    run(folder.path(), &["prove", "empty.nc", "--against", "plates.yaml", "-o", "empty.svg"], 1);
    assert!(names(folder.path()).contains(&"empty.svg".to_owned()));
}

#[test]
fn what_is_not_there_could_not_be_proved() {
    let folder = folder();
    made(folder.path(), "workshop-router");
    run(folder.path(), &["prove", "nothing.nc"], 2);
    run(folder.path(), &["prove", "out", "--against", "nothing.yaml"], 2);
    run(folder.path(), &["prove", ".", "--against", "plates.yaml"], 2);
    run(folder.path(), &["prove", "out", "-o", "proof.pdf"], 2);
}
