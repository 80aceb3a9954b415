//! Ten times the parts, how much more time: each stage by itself, for a laser and for a router.

use std::time::Instant;

use grainwise::problem::Problems;
use grainwise::shop::Shop;
use grainwise::stages::job::{Job, PartRule, Stock};
use grainwise::stages::proof::{self, Source};
use grainwise::stages::{Unwatched, cut, drawing, part, sheet, write};

use super::kit;

/// How many parts.
const PARTS: [usize; 3] = [50, 500, 5000];

/// How many times the time ten times the parts may take.
const ALLOWED: f64 = 12.0;

/// The stages timed.
const STAGES: [&str; 7] = ["reading", "parts", "sheets", "cuts", "writing", "proving", "all"];

/// Prints the tables.
pub(super) fn run() {
    for machine in ["makerspace-laser", "workshop-router"] {
        println!(
            "a kit of parts unlike each other, {machine}, ms (ten times the parts: at most {ALLOWED} times)"
        );
        let times = PARTS.map(|parts| stages(parts, machine));
        println!(
            "{:>9} {:>9} {:>9} {:>9} {:>7} {:>7}",
            "parts", PARTS[0], PARTS[1], PARTS[2], "ratio", "ratio"
        );
        for (i, stage) in STAGES.iter().enumerate() {
            let [a, b, c] = [0, 1, 2].map(|n| times[n][i]);
            println!("{stage:>9} {a:>9.1} {b:>9.1} {c:>9.1} {:>7.1} {:>7.1}", b / a, c / b);
        }
    }
}

/// Milliseconds of each stage, and of all.
fn stages(parts: usize, machine: &str) -> [f64; STAGES.len()] {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("kit.dxf"), kit::dxf(parts)).unwrap();
    let mut problems = Problems::new();
    let job = Job { folder: folder.path().to_owned(), ..job(machine) };
    let shop = Shop::open(machine, None, folder.path(), &mut problems).unwrap();
    // Small kits are made several times and the best counted, so that a few milliseconds are no chance.
    let rounds = (500 / parts).max(1);
    let mut best = [f64::INFINITY; STAGES.len()];
    for _ in 0..rounds {
        let times = once(&job, &shop, parts, &mut problems);
        best = std::array::from_fn(|i| best[i].min(times[i]));
    }
    best
}

fn once(job: &Job, shop: &Shop, parts: usize, problems: &mut Problems) -> [f64; STAGES.len()] {
    let mut marks = vec![Instant::now()];
    let drawings = drawing::read(job, problems);
    marks.push(Instant::now());
    let found = part::gather(&drawings, job, &shop.woods, problems);
    marks.push(Instant::now());
    let layout = sheet::lay(&found, job, cut::room(&found, job, shop, problems), problems);
    marks.push(Instant::now());
    let cuts = cut::plan(&layout, &found, job, shop, &Unwatched, problems);
    marks.push(Instant::now());
    let files = write::all(&cuts, &found, job, &shop.machine, shop.post.as_ref(), problems);
    marks.push(Instant::now());
    let sources: Vec<(Source, usize)> = files
        .iter()
        .filter_map(|file| Some((Source { name: &file.name, bytes: &file.bytes }, file.sheet?)))
        .collect();
    let proof = proof::prove(&sources, &cuts, &found, shop);
    marks.push(Instant::now());
    assert!(proof.ok());
    assert!(!problems.stop(), "{:?}", problems.iter().next());
    assert_eq!(found.len(), parts);
    assert!(files.len() > layout.sheets.len());
    let ms = |from: usize, to: usize| (marks[to] - marks[from]).as_secs_f64() * 1e3;
    [ms(0, 1), ms(1, 2), ms(2, 3), ms(3, 4), ms(4, 5), ms(5, 6), ms(0, 6)]
}

fn job(machine: &str) -> Job {
    let mut job = Job::of_drawings(vec!["kit.dxf".to_owned()]);
    let (wood, thickness_mm) = ("balsa-medium".to_owned(), 2.0);
    machine.clone_into(&mut job.machine);
    job.cutting.cutter_mm = (machine == "workshop-router").then_some(1.5);
    job.default_part =
        PartRule { wood: Some(wood.clone()), thickness_mm: Some(thickness_mm), ..PartRule::default() };
    job.stock = vec![Stock::new(wood, thickness_mm, (600.0, 100.0))];
    job
}
