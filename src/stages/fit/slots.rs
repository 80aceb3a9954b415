//! Slots made to the wood that goes in, as thick as it was measured and as tight as it should be.
//!
//! A slot is a hole or a notch between two straight walls that stand parallel, about as far apart as the wood is thick.

use super::{Row, Verdict, adjust, measure};
use crate::geometry::{Outline, Point, Region, Segment, Vec2};
use crate::problem::{Problem, Problems};
use crate::shop::Shop;
use crate::stages::job::slots::{Mate, SlotFit, Slots};
use crate::stages::job::{Job, Stock};
use crate::stages::part::Part;

/// How much wider than the wood a slot is where no coupon told, mm: to press, to glue, to slide (common practice, no
/// source; a fit coupon tells better).
const WIDER_MM: [f64; 3] = [-0.05, 0.1, 0.2];

/// A slot is drawn within this of the wood's thickness, mm: sheets differ from what they are sold as by less.
const DRAWN_MM: f64 = 0.5;

/// Walls that lean against each other by more than this, as a sine, are none of a slot.
const PARALLEL: f64 = 0.01;

/// A wall shorter than this, mm, belongs to a round end or a bay.
const LEAST_WALL_MM: f64 = 1.0;

/// A slot that is off by less is left as it is, mm: no machine here cuts it closer.
const SAME_MM: f64 = 0.005;

/// Makes the slots of every part that asks for it, and tells what was moved; a row for each slot.
pub fn check(parts: &mut [Part], job: &Job, shop: &Shop, problems: &mut Problems) -> Vec<Row> {
    let mut rows = Vec::new();
    for part in parts {
        let Some(slots) = part.cutting.slots.clone() else { continue };
        let (thickness, wider) = asked(&slots, part, job, shop);
        let should_mm = thickness + wider;
        let places = places(&part.region, thickness);
        if places.is_empty() {
            let message = format!(
                "part '{}' has no slot about {thickness:.2} mm wide, and slots are asked for",
                part.id
            );
            let hint = "a slot has two straight, parallel walls; draw it as wide as the wood is sold";
            problems.push(
                job.placed(Problem::warning("no-slot", message).of_part(&part.id).hint(hint), slots.line),
            );
        }
        for at in places {
            let Some(is_mm) = measure::walls(&part.region, at).map(|walls| walls.width) else { continue };
            let mut row = Row {
                name: format!("slot at {:.1}, {:.1}", at.x, at.y),
                part: part.id.clone(),
                should_mm,
                is_mm,
                verdict: Verdict::Fits,
                built: false,
                held: Vec::new(),
            };
            if (should_mm - is_mm).abs() > SAME_MM {
                match adjust::widened(part, at, should_mm - is_mm) {
                    Ok(made) => {
                        *part = made;
                        row.verdict = Verdict::Adjusted;
                    }
                    Err(why) => {
                        let small = is_mm < should_mm;
                        row.verdict = if small { Verdict::Small } else { Verdict::Large };
                        let message =
                            format!("part '{}': its slot cannot be made to the wood: {why}", part.id);
                        let told = Problem::warning("slot-not-made", message).of_part(&part.id).at(at);
                        problems.push(job.placed(told, slots.line));
                    }
                }
            }
            rows.push(row);
        }
    }
    tell(&rows, problems);
    rows
}

fn tell(rows: &[Row], problems: &mut Problems) {
    let moved = rows.iter().filter(|row| row.verdict == Verdict::Adjusted);
    let by: Vec<f64> = moved.map(|row| row.should_mm - row.is_mm).collect();
    if by.is_empty() {
        return;
    }
    let least = by.iter().copied().fold(f64::INFINITY, f64::min);
    let most = by.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let message = format!("{} slots are made to the wood: wider by {least:+.2} to {most:+.2} mm", by.len());
    problems.push(Problem::note("slots-made", message));
}

/// Thickness of what goes in, and how much wider the slot should be, mm.
fn asked(slots: &Slots, part: &Part, job: &Job, shop: &Shop) -> (f64, f64) {
    // A coupon is cut from one wood; where only a thickness is said, the part's own tells how it gives.
    let (wood, sold, measured) = match &slots.mate {
        Mate::Measured(mm) => (part.wood.as_str(), part.thickness_mm, Some(*mm)),
        Mate::Wood(wood, mm) => (wood.as_str(), *mm, Stock::measured(&job.stock, wood, *mm)),
    };
    let coupon = shop.fit(wood, sold);
    let thickness = measured.or(coupon.map(|row| row.measured_mm)).unwrap_or(sold);
    let wider = coupon.map_or(WIDER_MM, |row| [row.press_mm, row.glue_mm, row.slide_mm]);
    let wider = match slots.fit {
        SlotFit::Press => wider[0],
        SlotFit::Glue => wider[1],
        SlotFit::Slide => wider[2],
        SlotFit::Wider(mm) => mm,
    };
    (thickness, wider)
}

/// A place in the middle of each slot about as wide as this.
fn places(region: &Region, thickness: f64) -> Vec<Point> {
    let mut found: Vec<Point> = Vec::new();
    let walls = region.outlines().flat_map(Outline::segments);
    for wall in walls.filter(|s| s.is_line() && s.length() >= LEAST_WALL_MM) {
        // The material lies on the left.
        let way = wall.tangent(0.0);
        let out = Vec2::new(way.y, -way.x);
        let at = wall.at(0.5) + out * (thickness / 3.0);
        let Some(slot) = measure::walls(region, at) else { continue };
        let across = wall.at(0.5) + out * (slot.width / 2.0);
        if slot.near == wall && is_slot(&slot, thickness) && !found.iter().any(|p| same(*p, across, &wall)) {
            found.push(across);
        }
    }
    found
}

fn is_slot(slot: &measure::Walls, thickness: f64) -> bool {
    let [near, opposite] = [slot.near, slot.opposite];
    let lean = near.tangent(0.0).cross(opposite.tangent(0.0)).abs();
    opposite.is_line()
        && lean <= PARALLEL
        && opposite.length() >= LEAST_WALL_MM
        && (slot.width - thickness).abs() <= DRAWN_MM
}

/// Whether a place found from one wall is that found from the other: abreast of the wall and as far out.
fn same(before: Point, now: Point, wall: &Segment) -> bool {
    let way = wall.tangent(0.0);
    let apart = before - now;
    apart.cross(way).abs() <= DRAWN_MM && apart.dot(way).abs() <= wall.length() / 2.0
}
