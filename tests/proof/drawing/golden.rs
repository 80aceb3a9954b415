//! The accepted files of the sample kit, read back to the cuts that they came from.

use std::fs;

use grainwise::geometry::{Point, Segment};
use grainwise::stages::cut::{Cut, Operation, Path};
use grainwise::stages::proof::{Does, Trace};

use super::{near, strictly};
use crate::write::sample;

/// What rounding to six decimals and an arc given by its ends and radius may move, mm.
const CLOSE: f64 = 1e-5;

fn golden(name: &str) -> Vec<u8> {
    fs::read(format!("{}/tests/write/golden/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

/// A stretch of a path that is burned, from one length along it to another.
struct Stretch {
    operation: Operation,
    segments: Vec<Segment>,
    from: f64,
    to: f64,
}

impl Stretch {
    fn whole(&self) -> f64 {
        self.segments.iter().map(Segment::length).sum()
    }

    /// The point this far along the path, which may run past its end.
    fn at(&self, mm: f64) -> Point {
        let whole = self.whole();
        let mut left = if mm > whole { mm - whole } else { mm };
        for segment in &self.segments {
            if left <= segment.length() {
                return segment.at(left / segment.length());
            }
            left -= segment.length();
        }
        self.segments.last().unwrap().to
    }

    fn distance(&self, point: Point) -> f64 {
        self.segments.iter().map(|s| s.nearest(point).1).fold(f64::INFINITY, f64::min)
    }
}

/// What a cut burns: all of it, or from the end of each tab to the beginning of the next.
fn stretches(cut: &Cut) -> Vec<Stretch> {
    let segments: Vec<Segment> = match &cut.path {
        Path::Closed(outline) => outline.segments().collect(),
        Path::Open(chain) => chain.segments().collect(),
    };
    let stretch = |from, to| Stretch { operation: cut.operation, segments: segments.clone(), from, to };
    let whole = stretch(0.0, 0.0).whole();
    let count = cut.tabs.len();
    if count == 0 {
        return vec![stretch(0.0, whole)];
    }
    let next = |i: usize| if i + 1 == count { whole + cut.tabs[0].from_mm } else { cut.tabs[i + 1].from_mm };
    (0..count).map(|i| stretch(cut.tabs[i].to_mm, next(i))).collect()
}

fn agree(trace: &Trace, stretch: &Stretch, name: &str) {
    assert_eq!(trace.does, Does::Says(stretch.operation), "{name}");
    let length: f64 = trace.segments().map(|(segment, _)| segment.length()).sum();
    assert!((length - (stretch.to - stretch.from)).abs() < 10.0 * CLOSE, "{name}: {length}");
    for (segment, z) in trace.segments() {
        assert_eq!(z, [0.0, 0.0]);
        for t in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let off = stretch.distance(segment.at(t));
            assert!(off < CLOSE, "{name}: {off}");
        }
    }
    // A whole circle may begin anywhere on it.
    let is_circle = stretch.segments.iter().all(|s| s.bulge.abs() == 1.0) && stretch.from == 0.0;
    if is_circle {
        assert_eq!(trace.begin(), trace.end(), "{name}");
    } else {
        assert!(near(trace.begin(), stretch.at(stretch.from), CLOSE), "{name}");
        assert!(near(trace.end(), stretch.at(stretch.to), CLOSE), "{name}");
    }
}

#[test]
fn every_drawing_of_the_kit_comes_back_to_its_cuts() {
    let (sheets, _) = sample::kit(sample::LASER);
    for sheet in &sheets {
        for ending in ["-r12.dxf", "-r2000.dxf", ".svg"] {
            let name = format!("sheet-{}{ending}", sheet.sheet.number);
            let program = strictly(golden(&name), &sample::laser());
            assert_eq!(program.problems, vec![], "{name}");
            let mut wanted: Vec<Stretch> = sheet.cuts.iter().flat_map(stretches).collect();
            if ending == ".svg" {
                // One group for each operation; within it the order of the cuts.
                wanted.sort_by_key(|stretch| stretch.operation);
            }
            assert_eq!(program.traces.len(), wanted.len(), "{name}");
            for (trace, stretch) in program.traces.iter().zip(&wanted) {
                agree(trace, stretch, &name);
            }
            let length: f64 = wanted.iter().map(|s| s.to - s.from).sum();
            assert!((program.totals.cut_length_mm - length).abs() < 1e-3, "{name}");
        }
    }
}
