//! The `cutting` of a job file: what replaces the shop's values.
//!
//! | key | value |
//! | --- | --- |
//! | `kerf`, `cutter` | width that the beam removes, diameter of the cutter |
//! | `kerf_inside` | width that the beam removes where it goes round a hole |
//! | `tabs`, `tab_width` | tabs on every part (0 for none), and how wide |
//! | `spacing`, `margin` | least distance between parts beyond kerf, and to the sheet's edge |
//! | `feed`, `power`, `passes` | length a minute; fraction of the beam's power, 0 to 1; times round |
//! | `rpm`, `pass_depth` | turns of the spindle a minute; deepest single pass |
//! | `recess` | how deep recesses are whose layer does not say it: `half` of the wood, or a length |
//! | `join`, `tolerance` | ends this near are one point; how far curves may stray as lines and arcs |
//! | `leave_out` | `true` leaves out outlines that cannot be cut, with a warning for each, instead of refusing the job |
//! | `seed` | seed of everything random |
//! | `effort` | how long better sheets are looked for: `quick`, `normal`, `long`, or seconds |
//! | `climb` | `true` where the cutter climbs, `false` where it cuts conventionally |
//! | `apart` | how near to the cut before it a beam may cut without a matter |
//! | `bridge` | cuts of a beam nearer to each other than so many kerfs come last |
//! | `beam_lead` | radius of the arc by which a beam comes to a path from the waste; 0 where it pierces on the path |
//! | `overcut` | how far a beam cuts on past the beginning of a closed path |
//! | `ramp`, `helix` | steepest slope into the wood along a path and round a circle, degrees; 90 plunges |
//! | `lead` | radius of the arcs by which a cutter comes to a path and leaves it; 0 for none |
//! | `tab_shape`, `tab_height` | `square`, `ramped` or `round`; height as a fraction of the thickness, on a router |
//! | `finish`, `finish_climb` | what the last pass of a cutter takes around a piece; whether it climbs |
//! | `skin` | what all passes but the last leave of the wood's thickness |
//! | `relief`, `relief_most` | `none`, `dogbone` or `edge` at the ends of slots and notches; how wide these may be |
//! | `corner_feed` | share of the feed that is left to a cutter in inside corners |
//! | `overlap` | share of a cutter's diameter by which the loops that clear a recess overlap |
//! | `thin_feed` | how many times faster, at most, a cutter's last pass is where it takes thin chips only; 1 for no faster |
//! | `woods` | for one wood by its name, a map of these keys, but for those that hold for the whole job |
//!
//! A part's own `cutting` holds `tab_width`, `recess` and the keys of craft. Nearer wins: a part over its wood over the job.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use super::{Cutting, Effort, Job, depth};
use crate::shop::craft::Taker;
use crate::shop::{LaserWish, RouterWish};
use crate::units::Unit;
use crate::yaml::{Fields, Node, Reader, What};

/// For the whole job only.
const JOB: [&str; 8] = ["spacing", "margin", "join", "tolerance", "leave_out", "seed", "effort", "woods"];

/// For the whole job or one wood, which has sheets of its own.
const SHEET: [&str; 9] =
    ["kerf", "kerf_inside", "cutter", "tabs", "feed", "power", "passes", "rpm", "pass_depth"];

/// For the whole job, one wood or one part.
const PART: [&str; 2] = ["tab_width", "recess"];

/// Whole numbers up to here come through YAML unharmed.
const LARGEST_SEED: f64 = 9_007_199_254_740_991.0;

/// Some of these keys, and all of craft.
fn keys(lists: &[&[&'static str]]) -> Vec<&'static str> {
    [lists, &[&PART, RouterWish::JOB_KEYS, LaserWish::JOB_KEYS]].concat().concat()
}

/// The keys for a whole job.
pub(super) fn job_keys() -> Vec<&'static str> {
    keys(&[&SHEET, &JOB])
}

/// The keys for one wood.
pub(super) fn wood_keys() -> Vec<&'static str> {
    keys(&[&SHEET])
}

/// The keys for the parts of one rule.
pub(super) fn part_keys() -> Vec<&'static str> {
    keys(&[])
}

/// Reads what replaces the shop's values into the job. The shop knows the woods `known`.
pub(super) fn read(node: Node, unit: Unit, known: &[&str], job: &mut Job, reader: &mut Reader) {
    let Some(mut fields) = reader.map(node, "cutting", &job_keys()) else { return };
    let mut length = |key: &str, range: RangeInclusive<f64>| {
        let node = fields.take(key)?;
        reader.length(&node, key, unit, range)
    };
    let spacing_mm = length("spacing", 0.0..=500.0);
    let margin_mm = length("margin", 0.0..=500.0);
    let join = length("join", 0.0..=10.0);
    let tolerance = length("tolerance", 0.0005..=1.0);
    job.join_mm = join.unwrap_or(job.join_mm);
    job.tolerance_mm = tolerance.unwrap_or(job.tolerance_mm);
    let leave_out =
        fields.take("leave_out").and_then(|node| reader.flag(&node, "leave_out")).unwrap_or(false);
    let woods = fields.take("woods").map(|node| woods(node, unit, known, reader)).unwrap_or_default();
    if let Some(node) = fields.take("seed") {
        seed(&node, job, reader);
    }
    if let Some(effort) = fields.take("effort").and_then(|node| effort(&node, reader)) {
        job.effort = effort;
    }
    job.cutting = Cutting { spacing_mm, margin_mm, leave_out, woods, ..values(&mut fields, unit, reader) };
}

/// What replaces the shop's values for the parts of one rule.
pub(super) fn of_part(node: Node, unit: Unit, reader: &mut Reader) -> Cutting {
    reader
        .map(node, "a part's cutting", &part_keys())
        .map(|mut fields| values(&mut fields, unit, reader))
        .unwrap_or_default()
}

/// What replaces the shop's values for one wood each.
fn woods(node: Node, unit: Unit, known: &[&str], reader: &mut Reader) -> BTreeMap<String, Cutting> {
    let What::Map(entries) = node.what else {
        reader.wrong_type(&node, "woods", "a map of woods");
        return BTreeMap::new();
    };
    let mut woods = BTreeMap::new();
    for entry in entries {
        if !known.contains(&entry.key.as_str()) {
            reader.unknown("unknown-wood", entry.place, "a wood", &entry.key, known);
            continue;
        }
        if let Some(mut fields) = reader.map(entry.value, "a wood's cutting", &wood_keys()) {
            woods.insert(entry.key, values(&mut fields, unit, reader));
        }
    }
    woods
}

/// The values that a wood may have of its own; what a part may not have has been refused before.
fn values(fields: &mut Fields, unit: Unit, reader: &mut Reader) -> Cutting {
    let mut length = |key: &str, range: RangeInclusive<f64>| {
        let node = fields.take(key)?;
        reader.length(&node, key, unit, range)
    };
    Cutting {
        kerf_mm: length("kerf", 0.0..=5.0),
        kerf_inside_mm: length("kerf_inside", 0.0..=5.0),
        cutter_mm: length("cutter", 0.1..=25.0),
        tab_width_mm: length("tab_width", 0.1..=50.0),
        feed_mm_min: length("feed", 1.0..=100_000.0),
        pass_mm: length("pass_depth", 0.05..=25.0),
        recess: fields.take("recess").and_then(|node| depth::read(&node, "recess", unit, reader)),
        tabs: fields.take("tabs").and_then(|node| reader.whole(&node, "tabs", 0..=200)),
        passes: fields.take("passes").and_then(|node| reader.whole(&node, "passes", 1..=50)),
        power: fields.take("power").and_then(|node| reader.number(&node, "power", 0.005..=1.0)),
        rpm: fields.take("rpm").and_then(|node| reader.number(&node, "rpm", 100.0..=200_000.0)),
        router: RouterWish::take(&mut Taker::job(fields, unit, reader)),
        laser: LaserWish::take(&mut Taker::job(fields, unit, reader)),
        ..Cutting::default()
    }
}

fn effort(node: &Node, reader: &mut Reader) -> Option<Effort> {
    match &node.what {
        What::Number(..) => reader.number(node, "effort", Effort::SECONDS).map(Effort::Seconds),
        What::Text(word) => {
            let known = word.parse();
            if known.is_err() {
                reader.unknown("unknown-effort", node.place, "an effort", word, &Effort::WORDS);
            }
            known.ok()
        }
        _ => {
            reader.wrong_type(node, "effort", "'quick', 'normal', 'long' or a number of seconds");
            None
        }
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
