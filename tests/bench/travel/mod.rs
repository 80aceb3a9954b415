//! Travel beside the best known: sheets of 30 to 300 cuts, and `best.py` on the same stops; and what it costs to keep
//! neighbours apart.

mod heat;
mod stops;

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

use grainwise::problem::Problems;
use grainwise::shop::{LaserWish, Shop};
use grainwise::stages::cut::SheetCuts;
use grainwise::stages::job::{self, Job, PartRule, Stock};
use grainwise::stages::{Unwatched, cut, drawing, part, sheet};
use serde_json::{Value, json};

use super::make::kit;

/// How much longer than the best known way ours may be.
const ALLOWED: f64 = 1.05;

/// Seconds that the solver has for each order that it looks for.
const SECONDS: u32 = 4;

/// Kits: how many parts, and whether names and arrows are put on them.
const KITS: [(usize, bool); 6] =
    [(13, false), (26, false), (52, false), (86, false), (128, false), (12, true)];

/// Sheets with fewer or more cuts are left out.
const CUTS: std::ops::RangeInclusive<usize> = 30..=320;

/// Prints the table.
pub(super) fn run() {
    let mut sheets = Vec::new();
    for name in ["laser", "router"] {
        for cuts in planned(&fenwren(name, 0.0)) {
            sheets.push((format!("Fenwren, {name}, sheet {}", cuts.sheet.number), cuts));
        }
    }
    for (parts, marked) in KITS {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("kit.dxf"), kit::dxf(parts)).unwrap();
        for cuts in planned(&kit_job(folder.path(), marked)) {
            sheets.push((format!("{parts} parts{}", if marked { " with names" } else { "" }), cuts));
        }
    }
    sheets.retain(|(_, cuts)| CUTS.contains(&cuts.cuts.len()));
    heat::run();
    compare(&sheets);
}

/// A job of the Fenwren, with neighbours kept apart so far; thin bridges are cut as they come.
fn fenwren(name: &str, apart_mm: f64) -> Job {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("samples/fenwren/{name}.yaml"));
    let text = std::fs::read_to_string(&file).unwrap();
    let mut job = job::parse(&text, name, file.parent().unwrap(), &mut Problems::new()).unwrap();
    job.cutting.laser =
        LaserWish { apart_mm: Some(apart_mm), bridge_kerfs: Some(0.0), ..LaserWish::default() };
    job
}

fn planned(job: &Job) -> Vec<SheetCuts> {
    let mut problems = Problems::new();
    let shop = Shop::open(&job.machine, None, &job.folder, &mut problems).unwrap();
    let drawings = drawing::read(job, &mut problems);
    let parts = part::gather(&drawings, job, &shop.woods, &mut problems);
    let layout = sheet::lay(&parts, job, cut::room(&parts, job, &shop, &mut problems), &mut problems);
    let begun = Instant::now();
    let sheets = cut::plan(&layout, &parts, job, &shop, &Unwatched, &mut problems);
    let cuts: usize = sheets.iter().map(|s| s.cuts.len()).sum();
    println!("planned {} sheets, {cuts} cuts in {:.1} ms", sheets.len(), begun.elapsed().as_secs_f64() * 1e3);
    assert!(!problems.stop(), "{:?}", problems.iter().next());
    sheets
}

fn kit_job(folder: &Path, marked: bool) -> Job {
    let mut job = Job::of_drawings(vec!["kit.dxf".to_owned()]);
    folder.clone_into(&mut job.folder);
    job.cutting.laser = LaserWish { apart_mm: Some(0.0), bridge_kerfs: Some(0.0), ..LaserWish::default() };
    "makerspace-laser".clone_into(&mut job.machine);
    let (wood, thickness_mm) = ("balsa-medium".to_owned(), 2.0);
    job.default_part = PartRule {
        wood: Some(wood.clone()),
        thickness_mm: Some(thickness_mm),
        mark: Some(marked),
        ..PartRule::default()
    };
    job.stock = vec![Stock::new(wood, thickness_mm, (600.0, 400.0))];
    job
}

/// Asks the solver for the best way over each sheet's stops, and prints both.
fn compare(sheets: &[(String, SheetCuts)]) {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/.venv/bin/python");
    let python = std::env::var_os("GRAINWISE_PYTHON").map_or(own, Into::into);
    if !Command::new(&python).args(["-c", "import ortools"]).output().is_ok_and(|o| o.status.success()) {
        println!("  left out: {} does not run ortools (GRAINWISE_PYTHON names another)", python.display());
        return;
    }
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bench/travel/best.py");
    println!("travel, mm; at most {ALLOWED} times the best known is wanted");
    println!("{:<28} {:>5} {:>10} {:>10} {:>7}", "", "cuts", "ours", "best known", "ratio");
    let mut ratios = Vec::new();
    for (name, cuts) in sheets {
        let router = name.contains("router");
        let stops = json!({ "seconds": SECONDS, "stops": stops::of(cuts, router) });
        let mut solver =
            Command::new(&python).arg(&script).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        solver.stdin.take().unwrap().write_all(stops.to_string().as_bytes()).unwrap();
        let answer: Value = serde_json::from_slice(&solver.wait_with_output().unwrap().stdout).unwrap();
        let [ours, best] = ["ours_mm", "best_mm"].map(|key| answer[key].as_f64().unwrap());
        let told = cuts.travel_length_mm;
        let same = router || (ours - told).abs() < 1e-3;
        assert!(same, "the stops are those of another way: {ours} mm, {told} mm");
        ratios.push(ours / best);
        println!("{name:<28} {:>5} {ours:>10.1} {best:>10.1} {:>7.3}", cuts.cuts.len(), ours / best);
    }
    let worst = ratios.iter().fold(0.0_f64, |a, &b| a.max(b));
    println!(
        "the longest is {worst:.3} times the best known, the mean {:.3}",
        ratios.iter().sum::<f64>() / ratios.len() as f64
    );
}
