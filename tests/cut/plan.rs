//! The plan as a whole: the same each time, fast enough, and stopped when asked.

use std::sync::atomic::{AtomicUsize, Ordering};

use grainwise::geometry::Region;
use grainwise::problem::Problems;
use grainwise::stages::cut;
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Layout, Placed, Sheet};
use grainwise::stages::watch::Watch;

use super::support::{at, circle, job, part, plan, rectangle, sheet, shop};

/// Plates with three holes, no two alike, 25 on a sheet.
fn many(count: usize) -> (Vec<Part>, Layout) {
    let mut parts = Vec::new();
    let mut sheets = Vec::new();
    for i in 0..count {
        let wide = 40.0 + (i % 97) as f64 * 0.2;
        let holes = vec![circle(10.0, 10.0, 4.0), circle(30.0, 10.0, 5.0), rectangle(6.0, 20.0, 30.0, 32.0)];
        parts.push(part(&format!("P{i}"), Region::new(rectangle(0.0, 0.0, wide, 40.0), holes)));
    }
    for (number, chunk) in (0..count).collect::<Vec<_>>().chunks(25).enumerate() {
        let place =
            |(n, &i): (usize, &usize)| at(i, 10.0 + 70.0 * (n % 5) as f64, 10.0 + 60.0 * (n / 5) as f64);
        let placed: Vec<Placed> = chunk.iter().enumerate().map(place).collect();
        sheets.push(Sheet { number: number + 1, ..sheet(placed) });
    }
    (parts, Layout { sheets })
}

#[test]
fn the_same_on_one_thread_and_on_many() {
    let (parts, layout) = many(150);
    let shop = shop("workshop-router");
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| plan(&layout, &parts, &job(), &shop))
    };
    assert_eq!(on(1), on(4));
}

#[test]
fn five_thousand_pieces_are_planned() {
    let (parts, layout) = many(5000);
    let (sheets, problems) = plan(&layout, &parts, &job(), &shop("workshop-router"));
    assert!(!problems.stop());
    assert_eq!(sheets.iter().map(|s| s.cuts.len()).sum::<usize>(), 20_000);
}

#[test]
fn one_sheet_of_thousands_of_cuts_is_ordered() {
    let (parts, layout) = many(2500);
    let mut placed = Vec::new();
    for (i, sheet) in layout.sheets.iter().enumerate() {
        for one in &sheet.placed {
            let mut one = *one;
            one.placement.shift.x += 400.0 * (i % 10) as f64;
            one.placement.shift.y += 400.0 * (i / 10) as f64;
            placed.push(one);
        }
    }
    let layout = Layout { sheets: vec![Sheet { placed, ..layout.sheets[0].clone() }] };
    let (sheets, _) = plan(&layout, &parts, &job(), &shop("desktop-laser"));
    assert_eq!(sheets[0].cuts.len(), 10_000);
}

struct StopsAt(usize, AtomicUsize);

impl Watch for StopsAt {
    fn step(&self, _name: &str, _done: usize, _total: usize) {
        self.1.fetch_add(1, Ordering::Relaxed);
    }

    fn stopped(&self) -> bool {
        self.1.load(Ordering::Relaxed) > self.0
    }
}

#[test]
fn it_stops_when_asked() {
    let (parts, layout) = many(500);
    let watch = StopsAt(3, AtomicUsize::new(0));
    let sheets = cut::plan(&layout, &parts, &job(), &shop("workshop-router"), &watch, &mut Problems::new());
    assert!(sheets.is_empty());
    assert!(watch.1.load(Ordering::Relaxed) < 1000);
}

#[test]
fn nothing_on_the_sheets_makes_no_cuts() {
    let (sheets, problems) = plan(&Layout::default(), &[], &job(), &shop("desktop-laser"));
    assert!(sheets.is_empty() && problems.is_empty());
}
