//! What proving costs beside all other stages together, on the Fenwren's machines, and how fast a long program streams.

use std::fmt::Write as _;
use std::io::{BufReader, Cursor};
use std::path::Path;
use std::time::Instant;

use grainwise::problem::Problems;
use grainwise::shop::Shop;
use grainwise::stages::proof::{self, Limits, Source, read};
use grainwise::stages::{self, Unwatched, job};

/// Each is timed this often, and the fastest counts.
const ROUNDS: usize = 15;

/// Length of the program that is streamed, bytes.
const LONG: usize = 100 << 20;

/// Prints both tables.
pub(crate) fn run() {
    println!("Proving beside all other stages together (pictures included), ms; at most as much is allowed");
    println!("{:34} {:>7} {:>8} {:>9} {:>7}", "", "files", "proving", "the rest", "share");
    for (name, machine) in [("laser", None), ("laser", Some("desktop-laser")), ("router", None)] {
        beside(name, machine);
    }
    streamed();
}

fn beside(name: &str, machine: Option<&str>) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("samples/fenwren/{name}.yaml"));
    let text = std::fs::read_to_string(&file).unwrap();
    let mut problems = Problems::new();
    let mut job = job::parse(&text, name, file.parent().unwrap(), &mut problems).unwrap();
    if let Some(machine) = machine {
        machine.clone_into(&mut job.machine);
    }
    let (mut all, mut proving, mut files) = (f64::INFINITY, f64::INFINITY, 0);
    for _ in 0..ROUNDS {
        let shop = Shop::open(&job.machine, job.post.as_deref(), &job.folder, &mut problems).unwrap();
        let begun = Instant::now();
        let kit = stages::travel(&job, &shop, &Unwatched, &mut problems);
        all = all.min(begun.elapsed().as_secs_f64() * 1e3);
        assert!(!problems.stop() && kit.proof.ok());
        let sources: Vec<(Source, usize)> = kit
            .files
            .iter()
            .filter_map(|file| Some((Source { name: &file.name, bytes: &file.bytes }, file.sheet?)))
            .collect();
        files = sources.len();
        let begun = Instant::now();
        assert!(proof::prove(&sources, &kit.sheets, &kit.parts, &shop).ok());
        proving = proving.min(begun.elapsed().as_secs_f64() * 1e3);
    }
    let title = format!("{name}.yaml on {}", job.machine);
    println!("{title:34} {files:7} {proving:8.1} {:9.1} {:7.2}", all - proving, proving / (all - proving));
}

/// A long program of short lines and arcs at several depths, read for its totals and its sense alone.
fn streamed() {
    let mut text = String::from("%\nG21 G17 G90 G94\nM3 S18000\nG0 Z5\nG0 X10 Y10\nG1 Z-1 F300\nF1200\n");
    let mut i = 0_u32;
    while text.len() < LONG {
        let (x, y) = (10.0 + f64::from(i % 4001) * 0.05, 10.0 + f64::from(i / 4001 % 2000) * 0.04);
        writeln!(text, "G1 X{x:.3} Y{y:.3}").unwrap();
        i += 1;
    }
    text.push_str("G0 Z5\nM5\nM2\n%\n");
    let limits = Limits::default();
    let reading = read::Reading { machine: None, post: None, limits: &limits, units: None, strict: false };
    for keep in [false, true] {
        let begun = Instant::now();
        let reader = BufReader::new(Cursor::new(text.as_bytes()));
        let program = read::stream(reader, "long.nc", &reading, keep).unwrap();
        let kept = if keep { "traces kept" } else { "for totals and sense" };
        println!(
            "a program of {} MB, {i} moves, {kept}: {:.2} s, {:.0} m cut",
            text.len() >> 20,
            begun.elapsed().as_secs_f64(),
            program.totals.cut_length_mm / 1e3
        );
    }
}
