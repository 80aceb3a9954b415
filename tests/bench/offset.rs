//! Offsets of regular parts, side by side with a polygon kernel alone on the same outlines flattened at 0.005 mm.

use std::hint::black_box;
use std::time::Instant;

use clipper2_rust::{EndType, JoinType, Path64, Paths64, Point64, inflate_paths_64};
use grainwise::geometry::offset::{Trust, offset_with_trust};
use grainwise::geometry::{Outline, Region};

use nasty::{DISTANCES, Dice, regular};

#[allow(dead_code, reason = "the tests use all of it")]
#[path = "../geometry/nasty.rs"]
mod nasty;

/// How near a chord lies to its arc for the polygon kernel, in millimetres.
const FLATNESS: f64 = 0.005;
const GRID: f64 = 1e5;
const PARTS: usize = 1000;
/// Each offset is timed this often, and the fastest counts.
const ROUNDS: usize = 5;

fn flattened(region: &Region) -> Paths64 {
    region.outlines().map(flat).collect()
}

fn flat(outline: &Outline) -> Path64 {
    let mut path = Path64::new();
    for segment in outline.segments() {
        let step = 2.0 * (1.0 - FLATNESS / segment.radius()).max(0.0).acos();
        let chords =
            if segment.is_line() { 1 } else { (segment.sweep().abs() / step).ceil().max(1.0) as usize };
        for k in 0..chords {
            let at = segment.at(k as f64 / chords as f64);
            path.push(Point64::new((at.x * GRID).round() as i64, (at.y * GRID).round() as i64));
        }
    }
    path
}

/// Microseconds of the fastest round, and how many segments came out.
fn timed(mut work: impl FnMut() -> usize) -> (f64, usize) {
    let mut fastest = f64::INFINITY;
    let mut segments = 0;
    for _ in 0..ROUNDS {
        let begun = Instant::now();
        segments = black_box(work());
        fastest = fastest.min(begun.elapsed().as_secs_f64() * 1e6);
    }
    (fastest, segments)
}

fn ours(region: &Region, distance: f64) -> (usize, Option<Trust>) {
    match offset_with_trust(region, distance) {
        Ok((found, trust)) => {
            let outlines = found.regions.iter().flat_map(Region::outlines);
            (outlines.map(|o| o.vertices().len()).sum(), Some(trust))
        }
        Err(_) => (0, None),
    }
}

fn polygons(paths: &Paths64, distance: f64) -> usize {
    let found =
        inflate_paths_64(paths, distance * GRID, JoinType::Round, EndType::Polygon, 2.0, FLATNESS * GRID);
    found.iter().map(Vec::len).sum()
}

fn at(sorted: &[f64], fraction: f64) -> f64 {
    sorted[((sorted.len() - 1) as f64 * fraction) as usize]
}

fn row(name: &str, times: &mut [f64], segments: usize) {
    times.sort_by(f64::total_cmp);
    let (sum, runs) = (times.iter().sum::<f64>(), times.len());
    println!(
        "{name:34} {:9.1} {:9.1} {:9.1} {:12.1}",
        at(times, 0.5),
        at(times, 0.99),
        sum / runs as f64,
        segments as f64 / runs as f64
    );
}

/// Prints times in microseconds and segments of the result, for one kind of part after the other.
pub(crate) fn run() {
    println!("Offset of regular parts, gate on, both ways by {DISTANCES:?} mm; one thread");
    println!("{:34} {:>9} {:>9} {:>9} {:>12}", "", "median us", "p99 us", "mean us", "segments");
    let (mut all_ours, mut all_polygons, mut counts) = (Vec::new(), Vec::new(), (0, 0));
    let (mut trusts, mut ratios) = ([0usize; 4], Vec::new());
    for kind in 0..PARTS {
        let region = regular(kind, &mut Dice::new(kind as u64));
        let paths = flattened(&region);
        let size = DISTANCES[kind % DISTANCES.len()];
        for distance in [size, -size] {
            let mut trust = None;
            let (time, segments) = timed(|| {
                let (segments, how) = ours(&region, distance);
                trust = how;
                segments
            });
            let (other, chords) = timed(|| polygons(&paths, distance));
            trusts[match trust {
                Some(Trust::Agreed) => 0,
                Some(Trust::BorneOut) => 1,
                Some(Trust::Other) => 2,
                None => 3,
            }] += 1;
            ratios.push(other / time);
            all_ours.push(time);
            all_polygons.push(other);
            counts = (counts.0 + segments, counts.1 + chords);
        }
    }
    row("lines and arcs, with the gate", &mut all_ours, counts.0);
    row("polygons at 0.005 mm, alone", &mut all_polygons, counts.1);
    ratios.sort_by(f64::total_cmp);
    println!(
        "faster: {:.1} times in the median case, {:.1} times in all; segments: one for {:.1}",
        at(&ratios, 0.5),
        all_polygons.iter().sum::<f64>() / all_ours.iter().sum::<f64>(),
        counts.1 as f64 / counts.0 as f64
    );
    println!(
        "kernels of arcs agree {}, polygons asked {}, other result {}, refused {}",
        trusts[0], trusts[1], trusts[2], trusts[3]
    );
}
