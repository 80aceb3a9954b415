//! What follows from a reading: the value for the shop's table. Plain arithmetic, each formula beside what it comes from.

use super::kerf::{STRIP_MM, STRIPS};
use super::{Kind, Wish};
use crate::problem::Problem;
use crate::shop::{Shop, Tool};

/// What was found, for one row of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The table of the wood that it goes into.
    pub table: &'static str,
    /// What the row is looked up by, column and value.
    pub key: Vec<(&'static str, f64)>,
    /// What was found, column and value.
    pub values: Vec<(&'static str, f64)>,
    /// What it is, in a sentence.
    pub told: String,
}

/// No beam is narrower or wider, mm; what a cutter takes away is within this of its diameter.
const KERFS: (f64, f64) = (0.02, 1.0);

/// A cutter whose kerf differs from its diameter by more than this, as a fraction, is another cutter, or a slip.
const CUTTER_OFF: f64 = 0.25;

/// A slot differs from the wood by no more, mm.
const FIT_OFF: f64 = 1.0;

/// A depth that is off by more than this, mm, was set wrongly.
const DEPTH_OFF: f64 = 0.1;

/// A length as it is marked: at most three decimals, none that are nothing.
pub fn shown(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// What the numbers of a reading are, in order.
pub fn wanted(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Kerf => {
            &["width of all ten strips side by side, mm", "the kerf marked on them after the K, mm"]
        }
        Kind::Fit => &[
            "thickness of the wood as measured, mm",
            "the slot that wants pressing",
            "the slot to glue in",
            "the slot that slides",
        ],
        Kind::Power => &["the speed marked on the rung, mm/min", "the percent marked on it"],
        Kind::Depth => {
            &["the depth marked on the deepest clean groove, mm", "that groove's depth as measured, mm"]
        }
    }
}

/// The kerf, mm, from the width of the stack and the kerf that the strips were cut for.
///
/// A strip's path is `STRIP_MM + assumed` wide, and half the true kerf goes on either side: it comes off
/// `STRIP_MM + assumed - kerf` wide, and `STRIPS` of them are `total` wide.
pub fn kerf(total_mm: f64, assumed_mm: f64) -> f64 {
    STRIP_MM + assumed_mm - total_mm / f64::from(STRIPS)
}

/// What follows from the numbers that were read.
///
/// # Errors
/// A problem where there are more or fewer numbers than the coupon gives, or they cannot be right.
pub fn found(wish: &Wish, shop: &Shop, numbers: &[f64]) -> Result<Found, Problem> {
    let names = wanted(wish.kind);
    if numbers.len() != names.len() {
        let message =
            format!("a {} coupon gives {} numbers, not {}", wish.kind.name(), names.len(), numbers.len());
        return Err(Problem::error("reading-count", message).hint(format!("in order: {}", names.join("; "))));
    }
    match (wish.kind, numbers) {
        (Kind::Kerf, &[total, assumed]) => kerf_found(wish, shop, total, assumed),
        (Kind::Fit, &[measured, press, glue, slide]) => fit_found(wish, measured, [press, glue, slide]),
        (Kind::Power, &[feed, percent]) => power_found(wish, shop, feed, percent),
        (Kind::Depth, &[marked, measured]) => depth_found(wish, shop, marked, measured),
        _ => Err(Problem::error("reading-count", "this reading cannot be taken")),
    }
}

fn out(message: String, hint: &str) -> Problem {
    Problem::error("reading-out-of-range", message).hint(hint)
}

fn kerf_found(wish: &Wish, shop: &Shop, total: f64, assumed: f64) -> Result<Found, Problem> {
    let kerf = kerf(total, assumed);
    let hint =
        "measure all ten strips side by side, pressed together, and take the number after the K from them";
    let told = format!("the kerf is {} mm", shown(kerf));
    match shop.machine.tool {
        Tool::Laser { .. } => {
            if !(KERFS.0..=KERFS.1).contains(&kerf) {
                return Err(out(format!("a kerf of {} mm is no beam's", shown(kerf)), hint));
            }
            Ok(Found { table: "laser", key: beam_key(wish, shop)?, values: vec![("kerf_mm", kerf)], told })
        }
        Tool::Router { .. } => {
            let cutter = cutter(wish, shop)?;
            if (kerf - cutter).abs() > CUTTER_OFF * cutter {
                let message =
                    format!("a cutter of {} mm does not take {} mm away", shown(cutter), shown(kerf));
                return Err(out(message, hint));
            }
            let key = vec![("cutter_mm", cutter)];
            Ok(Found { table: "router_kerf", key, values: vec![("kerf_mm", kerf)], told })
        }
    }
}

fn fit_found(wish: &Wish, measured: f64, slots: [f64; 3]) -> Result<Found, Problem> {
    if slots.iter().any(|slot| !(slot - measured).abs().le(&FIT_OFF)) || !slots.is_sorted() {
        let message = format!("these slots do not go with wood of {} mm", shown(measured));
        return Err(out(message, "give the wood's thickness, then the slots from tight to loose"));
    }
    let [press, glue, slide] = slots.map(|slot| slot - measured);
    let values = vec![("measured_mm", measured), ("press_mm", press), ("glue_mm", glue), ("slide_mm", slide)];
    let told = format!(
        "a slot is drawn wider than the wood by {} mm to press, {} mm to glue, {} mm to slide",
        shown(press),
        shown(glue),
        shown(slide)
    );
    Ok(Found { table: "fits", key: vec![("thickness_mm", wish.thickness_mm)], values, told })
}

fn power_found(wish: &Wish, shop: &Shop, feed: f64, percent: f64) -> Result<Found, Problem> {
    let fastest = shop.machine.rapid_mm_min;
    if !(feed > 0.0 && feed <= fastest && percent > 0.0 && percent <= 100.0) {
        let message = format!("{feed} mm/min at {percent} % is no rung of this machine's ladder");
        return Err(out(message, "give the two numbers that are marked on the rung"));
    }
    let values = vec![("feed_mm_min", feed), ("power", percent / 100.0)];
    let told = format!("cut at {feed} mm/min with {percent} % of the power");
    Ok(Found { table: "laser", key: beam_key(wish, shop)?, values, told })
}

fn depth_found(wish: &Wish, shop: &Shop, marked: f64, measured: f64) -> Result<Found, Problem> {
    let cutter = cutter(wish, shop)?;
    if !(marked > 0.0 && marked <= cutter && measured > 0.0) {
        let message = format!("a pass of {marked} mm is none for a cutter of {} mm", shown(cutter));
        return Err(out(message, "give the depth marked on the plate, then the groove's depth as measured"));
    }
    let off = measured - marked;
    if off.abs() > DEPTH_OFF {
        let way = if off > 0.0 { "deeper" } else { "less deep" };
        let message = format!("the cutter goes {} mm {way} than it should", shown(off.abs()));
        return Err(out(message, "set z 0 on the wood's face again, press the wood flat, and cut another"));
    }
    let key = vec![("cutter_mm", cutter), ("thickness_mm", wish.thickness_mm)];
    let told = format!("the deepest pass is {} mm; z 0 is within {} mm", shown(marked), shown(off.abs()));
    Ok(Found { table: "router", key, values: vec![("pass_mm", marked)], told })
}

fn beam_key(wish: &Wish, shop: &Shop) -> Result<Vec<(&'static str, f64)>, Problem> {
    match shop.machine.tool {
        Tool::Laser { power_w } => Ok(vec![("beam_w", power_w), ("thickness_mm", wish.thickness_mm)]),
        Tool::Router { .. } => {
            Err(Problem::error("wrong-machine", format!("the machine '{}' is no laser", shop.machine.name)))
        }
    }
}

/// The nominal diameter of the cutter that was used, mm.
fn cutter(wish: &Wish, shop: &Shop) -> Result<f64, Problem> {
    match &shop.machine.tool {
        Tool::Router { cutters, .. } => {
            let first = cutters.first().map(|cutter| cutter.diameter_mm);
            let none = || Problem::error("no-cutter", "the machine file lists no cutter");
            wish.cutting.cutter_mm.or(first).ok_or_else(none)
        }
        Tool::Laser { .. } => {
            Err(Problem::error("wrong-machine", format!("the machine '{}' is no router", shop.machine.name)))
        }
    }
}
