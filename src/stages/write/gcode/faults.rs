//! What no program may hold, told once for each kind with the number of times it was met.

use std::collections::BTreeMap;

use super::values::{Values, clearance_mm};
use crate::geometry::Point;
use crate::problem::{Problem, Problems};
use crate::shop::Tool;
use crate::stages::cut::Settings;

/// Sums of heights and reaches may be this far off by rounding, mm.
const SLACK: f64 = 1e-6;

/// Faults of one program.
pub(super) struct Faults {
    met: BTreeMap<&'static str, (String, usize)>,
    deepest: f64,
    reach: [f64; 3],
    low: [f64; 3],
    high: [f64; 3],
}

impl Faults {
    pub(super) fn new(values: &Values<'_>) -> Self {
        let overcut = match &values.cuts.settings {
            Settings::Router(setting) => setting.overcut_mm,
            Settings::Laser(_) => 0.0,
        };
        Self {
            met: BTreeMap::new(),
            deepest: values.cuts.sheet.thickness_mm + overcut,
            reach: values.machine.reach_mm,
            low: [f64::INFINITY; 3],
            high: [f64::NEG_INFINITY; 3],
        }
    }

    /// One more of a kind; the first one's words are kept.
    pub(super) fn note(&mut self, code: &'static str, message: impl FnOnce() -> String) {
        self.met.entry(code).or_insert_with(|| (message(), 0)).1 += 1;
    }

    /// No deeper than the wood and the overcut.
    pub(super) fn depth(&mut self, z: f64) {
        let deepest = self.deepest;
        if -z > deepest + SLACK {
            self.note("too-deep", || format!("a cut goes {:.3} mm down; {deepest:.3} mm is the most", -z));
        }
    }

    pub(super) fn seconds(&mut self, seconds: f64) {
        if !(0.0..=600.0).contains(&seconds) {
            self.note("dwell-out-of-range", || format!("a dwell of {seconds} s cannot be written"));
        }
    }

    pub(super) fn power(&mut self, power: f64) {
        if !(0.0..=1.0).contains(&power) {
            self.note("power-out-of-range", || {
                format!("a beam power of {power} times the full one cannot be written")
            });
        }
    }

    /// The machine goes here.
    pub(super) fn place(&mut self, at: Point, z: f64) {
        for (i, v) in [at.x, at.y, z].into_iter().enumerate() {
            self.low[i] = self.low[i].min(v);
            self.high[i] = self.high[i].max(v);
        }
    }

    /// The way from one end to the other has to be within the machine's reach on every axis.
    pub(super) fn check_reach(&mut self, values: &Values<'_>) {
        let router = matches!(values.machine.tool, Tool::Router { .. });
        if router {
            self.high[2] = self.high[2].max(clearance_mm(values.machine));
        }
        for (i, axis) in ["x", "y", "z"].into_iter().enumerate().take(if router { 3 } else { 2 }) {
            let (span, reach) = (self.high[i] - self.low[i], self.reach[i]);
            if span > reach + SLACK {
                self.note("out-of-reach", || {
                    format!("the cuts span {span:.3} mm along {axis}; the machine reaches {reach} mm")
                });
            }
        }
    }

    /// Tells what was met.
    pub(super) fn tell(self, file: &str, problems: &mut Problems) {
        for (code, (message, times)) in self.met {
            let message = if times > 1 { format!("{message} ({times} times)") } else { message };
            problems.push(Problem::error(code, message).in_file(file).hint("the file is not written"));
        }
    }
}
