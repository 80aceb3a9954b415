//! The `cutting` of a job file: what replaces the shop's values.
//!
//! | key | value |
//! | --- | --- |
//! | `kerf`, `cutter` | width that the beam removes, diameter of the cutter |
//! | `tabs`, `tab_width` | tabs on every part (0 for none), and how wide |
//! | `spacing`, `margin` | least distance between parts beyond kerf, and to the sheet's edge |
//! | `feed`, `power`, `passes` | length a minute; fraction of the beam's power, 0 to 1; times round |
//! | `rpm`, `pass_depth` | turns of the spindle a minute; deepest single pass |
//! | `join`, `tolerance` | ends this near are one point; how far curves may stray as lines and arcs |
//! | `leave_out` | `true` leaves out outlines that cannot be cut, with a warning for each, instead of refusing the job |
//! | `seed` | seed of everything random |

use std::ops::RangeInclusive;

use super::{Cutting, Job};
use crate::units::Unit;
use crate::yaml::{Fields, Node, Reader};

const KEYS: [&str; 15] = [
    "kerf",
    "cutter",
    "tabs",
    "tab_width",
    "spacing",
    "margin",
    "feed",
    "power",
    "passes",
    "rpm",
    "pass_depth",
    "join",
    "tolerance",
    "leave_out",
    "seed",
];

/// Whole numbers up to here come through YAML unharmed.
const LARGEST_SEED: f64 = 9_007_199_254_740_991.0;

/// Reads what replaces the shop's values into the job.
pub(super) fn read(node: Node, unit: Unit, job: &mut Job, reader: &mut Reader) {
    let Some(mut fields) = reader.map(node, "cutting", &KEYS) else { return };
    let mut length = |key: &str, range: RangeInclusive<f64>| {
        let node = fields.take(key)?;
        reader.length(&node, key, unit, range)
    };
    let kerf_mm = length("kerf", 0.0..=5.0);
    let cutter_mm = length("cutter", 0.1..=25.0);
    let tab_width_mm = length("tab_width", 0.1..=50.0);
    let spacing_mm = length("spacing", 0.0..=500.0);
    let margin_mm = length("margin", 0.0..=500.0);
    let feed_mm_min = length("feed", 1.0..=100_000.0);
    let pass_mm = length("pass_depth", 0.05..=25.0);
    let join = length("join", 0.0..=10.0);
    let tolerance = length("tolerance", 0.0005..=1.0);
    job.join_mm = join.unwrap_or(job.join_mm);
    job.tolerance_mm = tolerance.unwrap_or(job.tolerance_mm);
    job.cutting = Cutting {
        kerf_mm,
        cutter_mm,
        tab_width_mm,
        spacing_mm,
        margin_mm,
        feed_mm_min,
        pass_mm,
        ..counts(&mut fields, reader)
    };
    if let Some(node) = fields.take("seed") {
        seed(&node, job, reader);
    }
}

fn counts(fields: &mut Fields, reader: &mut Reader) -> Cutting {
    Cutting {
        tabs: fields.take("tabs").and_then(|node| reader.whole(&node, "tabs", 0..=200)),
        passes: fields.take("passes").and_then(|node| reader.whole(&node, "passes", 1..=50)),
        power: fields.take("power").and_then(|node| reader.number(&node, "power", 0.005..=1.0)),
        rpm: fields.take("rpm").and_then(|node| reader.number(&node, "rpm", 100.0..=200_000.0)),
        leave_out: fields.take("leave_out").and_then(|node| reader.flag(&node, "leave_out")).unwrap_or(false),
        ..Cutting::default()
    }
}

fn seed(node: &Node, job: &mut Job, reader: &mut Reader) {
    if let Some(number) = reader.number(node, "seed", 0.0..=LARGEST_SEED) {
        if number.fract() == 0.0 {
            job.seed = number as u64;
        } else {
            reader.wrong_type(node, "seed", "a whole number");
        }
    }
}
