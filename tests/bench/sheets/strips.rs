//! Strips of free length, the pieces turned by 0 or 180 degrees: the sets of ESICUP (CC0), beside a published optimiser
//! with the same time and threads in the same run.

use std::path::Path;
use std::process::Command;
use std::time::Instant;

use grainwise::geometry::Point;
use grainwise::stages::sheet::search::{StripPart, strip};
use serde_json::Value;

/// The sets, and the densities in % that are asked for at 10 s and at 60 s.
const SETS: [(&str, f64, f64); 7] = [
    ("albano", 87.0, 88.3),
    ("blaz1", 79.5, 81.5),
    ("dagli", 84.5, 87.0),
    ("shapes1", 72.0, 74.5),
    ("shirts", 86.0, 88.0),
    ("swim", 74.0, 76.0),
    ("trousers", 89.0, 90.3),
];

/// Published means of 20 minutes on 3 threads, % (J. Gardeyn, G. Vanden Berghe, T. Wauters, arXiv 2509.13329, table 2).
const PUBLISHED: [f64; 7] = [89.47, 84.68, 89.26, 75.69, 89.66, 78.26, 91.73];

#[derive(Debug)]
struct Set {
    width: f64,
    area: f64,
    parts: Vec<StripPart>,
}

/// Prints the table for each time.
pub(super) fn run(folder: &Path, seconds: &[f64]) {
    for &seconds in seconds {
        println!("\nStrips, {seconds} s on 2 threads; density in %");
        println!(
            "{:10} {:>7} {:>7} {:>7} {:>10} {:>8}",
            "", "ours", "theirs", "asked", "published", "tried/s"
        );
        for ((name, at_10, at_60), published) in SETS.into_iter().zip(PUBLISHED) {
            let file = folder.join(format!("{name}.json"));
            let Some(set) = read(&file) else {
                println!("{name:10} left out: {} is missing", file.display());
                continue;
            };
            let (density, rate) = ours(&set, seconds);
            let theirs = theirs(&file, seconds).map_or_else(|| "-".to_owned(), |d| format!("{d:.2}"));
            let asked = if seconds < 30.0 { at_10 } else { at_60 };
            println!("{name:10} {density:7.2} {theirs:>7} {asked:7.1} {published:10.2} {rate:8.0}");
        }
    }
}

fn read(file: &Path) -> Option<Set> {
    let value: Value = serde_json::from_str(&std::fs::read_to_string(file).ok()?).unwrap();
    let number = |value: &Value| value.as_f64().unwrap();
    let mut area = 0.0;
    let parts = value["parts"].as_array().unwrap().iter().map(|part| {
        let outline = part["outline"].as_array().unwrap().iter();
        let outline: Vec<Point> = outline.map(|p| Point::new(number(&p[0]), number(&p[1]))).collect();
        let copies = part["copies"].as_u64().unwrap() as usize;
        area += twice_area(&outline).abs() / 2.0 * copies as f64;
        let turned = outline.iter().map(|p| Point::new(-p.x, -p.y)).collect();
        StripPart { copies, ways: vec![outline, turned] }
    });
    let parts = parts.collect();
    Some(Set { width: number(&value["strip_width"]), area, parts })
}

fn twice_area(points: &[Point]) -> f64 {
    let next = |i: usize| points[(i + 1) % points.len()];
    points.iter().enumerate().map(|(i, p)| p.x * next(i).y - p.y * next(i).x).sum()
}

/// Density in %, and places tried a second.
fn ours(set: &Set, seconds: f64) -> (f64, f64) {
    let start = Instant::now();
    let gone = || start.elapsed().as_secs_f64() / seconds;
    let (length, _, tried) = strip(&set.parts, set.width, 1, None, &gone);
    (100.0 * set.area / (set.width * length), tried as f64 / start.elapsed().as_secs_f64())
}

/// The optimiser cannot place an exact fit: as in print, the strips of blaz1 and shapes1 are widened a little for it.
const THEIRS: &str = r"
import json, sys, spyrrow
d = json.load(open(sys.argv[1]))
w = d['strip_width'] * (1.0001 if d['name'] in ('blaz1', 'shapes1') else 1)
area = lambda o: abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(o, o[1:] + o[:1]))) / 2
total = sum(area(p['outline']) * p['copies'] for p in d['parts'])
items = [spyrrow.Item(str(i), [tuple(q) for q in p['outline']], p['copies'], p['turns']) for i, p in enumerate(d['parts'])]
config = spyrrow.StripPackingConfig(early_termination=False, total_computation_time=int(float(sys.argv[2])), num_workers=2, seed=1)
found = spyrrow.StripPackingInstance(d['name'], w, items).solve(config)
print(100 * total / (d['strip_width'] * found.width))
";

/// What the published optimiser makes of it; none where it does not run.
fn theirs(file: &Path, seconds: f64) -> Option<f64> {
    let python = std::env::var_os("GRAINWISE_PYTHON")?;
    let output =
        Command::new(python).args(["-c", THEIRS]).arg(file).arg(seconds.to_string()).output().ok()?;
    String::from_utf8_lossy(&output.stdout).trim().parse().ok()
}
