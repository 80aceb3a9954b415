//! How many lines and arcs smooth curves become, beside the fewest that any chain needs, and how long that takes.

pub(crate) mod curves;
pub(crate) mod fewest;
pub(crate) mod measure;

use std::time::Instant;

use grainwise::geometry::Segment;
use grainwise::geometry::curve::Curve;
use grainwise::geometry::fit;

const TOLERANCE: f64 = 0.01;

fn fitted(path: &curves::Path) -> Vec<Segment> {
    if path.closed {
        fit::outline(&path.curves, TOLERANCE).unwrap().segments().collect()
    } else {
        fit::chain(&path.curves, TOLERANCE).unwrap().segments().collect()
    }
}

/// The smooth part of a path, and how many segments beside it are drawn as they are.
fn smooth_part(path: &curves::Path) -> (Vec<Curve>, usize) {
    let (drawn, bent): (Vec<Curve>, Vec<Curve>) =
        path.curves.iter().cloned().partition(|c| matches!(c, Curve::Segment(_)));
    (bent, drawn.len())
}

/// Prints the table.
pub(crate) fn run() {
    println!("Curves to lines and arcs at {TOLERANCE} mm");
    println!(
        "{:<30} {:>4} {:>6} {:>6} {:>6} {:>6} {:>9} {:>6} {:>8}",
        "", "here", "joined", "apart", "/join", "/apart", "off mm", "kink", "us"
    );
    for path in curves::smooth() {
        let segments = fitted(&path);
        let begun = Instant::now();
        for _ in 0..20 {
            std::hint::black_box(fitted(&path));
        }
        let micros = begun.elapsed().as_secs_f64() * 1e6 / 20.0;
        let (bent, drawn) = smooth_part(&path);
        let ring = path.closed && drawn == 0;
        let points = fewest::dense(&bent, TOLERANCE);
        let (joined, apart) = (
            fewest::joined(&points, TOLERANCE, ring, 4) + drawn,
            fewest::apart(&points, TOLERANCE, ring, 8) + drawn,
        );
        let kinks = measure::kinks(&segments, path.closed);
        let kink = kinks.into_iter().filter(|k| *k < 45.0).fold(0.0, f64::max);
        println!(
            "{:<30} {:>4} {:>6} {:>6} {:>6.2} {:>6.2} {:>9.5} {:>6.2} {:>8.0}",
            path.name,
            segments.len(),
            joined,
            apart,
            segments.len() as f64 / joined as f64,
            segments.len() as f64 / apart as f64,
            measure::deviation(&path.curves, &segments),
            kink,
            micros
        );
    }
    kit();
}

/// How long a kit of seventy ribs takes, all different.
fn kit() {
    let ribs: Vec<_> =
        (0..70).map(|i| curves::naca_spline(0.02, 0.4, 0.12, 100.0 + 2.0 * f64::from(i))).collect();
    let fit_all = || ribs.iter().map(|r| fit::outline(r, TOLERANCE).unwrap().vertices().len()).sum::<usize>();
    let timed = |_| {
        let begun = Instant::now();
        let segments = std::hint::black_box(fit_all());
        (begun.elapsed().as_secs_f64() * 1e3, segments)
    };
    let best = (0..10).map(timed).reduce(|a, b| if a.0 < b.0 { a } else { b });
    if let Some((millis, segments)) = best {
        println!("70 ribs of 100 to 238 mm: {segments} segments in {millis:.1} ms, best of 10, one thread");
    }
}
