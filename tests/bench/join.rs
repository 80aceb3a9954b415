//! Joining and gathering: how long 500 and 5,000 parts take, drawn as loose lines in no order.

use std::collections::BTreeMap;
use std::time::Instant;

use grainwise::geometry::curve::Curve;
use grainwise::geometry::{Point, Vec2};
use grainwise::problem::Problems;
use grainwise::stages::drawing::join::{Joining, join};
use grainwise::stages::drawing::{Drawn, Found, Role, Stroke};
use grainwise::stages::job::Job;
use grainwise::stages::part::gather;
use grainwise::units::Unit;

/// Lines of one part: a rib of 32 lines and a square hole of 8.
const LINES: usize = 40;

/// Prints the table.
pub(super) fn run() {
    println!("joining loose lines (two threads where there are two cores)");
    println!("{:>8} {:>9} {:>10} {:>10}", "parts", "lines", "join ms", "gather ms");
    for parts in [500, 5000] {
        let found = loose_lines(parts);
        let lines = found.strokes.len();
        let mut problems = Problems::new();
        let started = Instant::now();
        let joining = Joining { join_mm: 0.05, tolerance_mm: 0.01 };
        let drawing = join(found, "bench", joining, &mut problems);
        let joined = started.elapsed();
        let started = Instant::now();
        let gathered = gather(&[drawing], &Job::default(), &grainwise::shop::woods(), &mut problems);
        assert_eq!(gathered.len(), parts);
        let ms = |time: std::time::Duration| time.as_secs_f64() * 1e3;
        println!("{parts:>8} {lines:>9} {:>10.0} {:>10.0}", ms(joined), ms(started.elapsed()));
    }
}

/// The lines of many parts, one of each in turn, so that no two that belong together stand together.
fn loose_lines(parts: usize) -> Found {
    let mut strokes = Vec::with_capacity(parts * LINES);
    for line in 0..LINES {
        for part in 0..parts {
            let corner = Point::new((part % 100) as f64 * 130.0, (part / 100) as f64 * 40.0);
            let (count, index, wide, high) =
                if line < 32 { (32, line, 60.0, 15.0) } else { (8, line - 32, 5.0, 5.0) };
            let at = |i: usize| {
                let angle = std::f64::consts::TAU * i as f64 / f64::from(count);
                corner + Vec2::new(wide * angle.cos(), high * angle.sin())
            };
            let curves = vec![Curve::line(at(index), at(index + 1))];
            strokes.push(Drawn {
                item: Stroke { curves, closed: false },
                layer: String::new(),
                role: Role::Cut,
            });
        }
    }
    Found {
        units: Unit::Millimetre,
        strokes,
        texts: Vec::new(),
        points: Vec::new(),
        used: BTreeMap::new(),
        unused: BTreeMap::new(),
    }
}
