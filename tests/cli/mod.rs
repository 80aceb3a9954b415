//! The command as people run it: what it prints, what it writes, how it refuses.

mod coupon;
mod hostile;
mod interrupted;
mod make;
mod prove;
mod trial;
mod usage;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

/// The command, to be run in a folder.
fn grainwise(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_grainwise"));
    command.current_dir(folder);
    command
}

/// A folder that goes away with the test.
fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/fenwren").join(name)
}

/// Runs it and checks the exit code; a panic shows as code 101.
fn run(folder: &Path, arguments: &[&str], code: i32) -> Output {
    let output = grainwise(folder).args(arguments).output().unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(code), "{arguments:?}\n{said}");
    assert!(!said.contains("panicked"), "{said}");
    output
}

/// The report of a verb run with `--json`.
fn report(folder: &Path, arguments: &[&str], code: i32) -> Value {
    let mut all = arguments.to_vec();
    all.push("--json");
    serde_json::from_slice(&run(folder, &all, code).stdout).unwrap()
}

/// Codes of the problems in a report.
fn codes(report: &Value) -> Vec<String> {
    let problems = report["problems"].as_array().unwrap();
    problems.iter().map(|p| p["code"].as_str().unwrap().to_owned()).collect()
}

/// Names of all files in a folder, sorted; none where there is no folder.
fn names(folder: &Path) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> =
        entries.map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

const WOOD: [&str; 6] = ["--wood", "balsa-medium", "--thickness", "2", "--sheet", "1000x100"];

/// A DXF in millimetres with these entities.
fn dxf(entities: &str) -> String {
    format!(
        "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
    )
}

/// A closed polyline through the points.
fn polyline(points: &[(f64, f64)]) -> String {
    use std::fmt::Write as _;
    let mut text = format!(
        "0\nLWPOLYLINE\n5\nAB\n100\nAcDbEntity\n8\nPARTS\n100\nAcDbPolyline\n90\n{}\n70\n1\n",
        points.len()
    );
    for (x, y) in points {
        let _ = write!(text, "10\n{x}\n20\n{y}\n");
    }
    text
}

fn square(x: f64, y: f64, side: f64) -> String {
    polyline(&[(x, y), (x + side, y), (x + side, y + side), (x, y + side)])
}
