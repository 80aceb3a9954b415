//! What each trace is there for: cut through, score, mark. A drawing says it by its layers, a beam by power and feed, a
//! cutter by its depth.

use crate::geometry::distance::SegmentIndex;
use crate::problem::Problem;
use crate::shop::{LaserSetting, RouterSetting};
use crate::stages::cut::{Operation, Settings};

use super::super::Kind;
use super::super::plan::Plan;
use super::super::program::{Does, Trace};
use super::recess::Sunk;
use super::told;

/// Heights this near are one, mm: what a coarse post rounds away.
pub(super) const SAME_HEIGHT_MM: f64 = 0.006;

/// A depth that a table asks for is kept within this, mm.
pub(super) const DEPTH_MM: f64 = 0.02;

/// Power and feed are kept within this fraction.
const SAME_SETTING: f64 = 0.01;

/// And within this much of full power, or of a mm/min, for what a post rounds away.
const POWER_STEP: f64 = 0.005;
const FEED_STEP: f64 = 1.0;

/// An upper pass keeps to the path of the last one within this, mm.
const SAME_PATH_MM: f64 = 0.02;

/// The kind of each trace, and what is wrong with it.
pub(super) fn kinds(traces: &[Trace], plan: &Plan, problems: &mut Vec<Problem>) -> Vec<Kind> {
    let mut odd = Vec::new();
    let sunk = Sunk::of(plan);
    let mut kinds: Vec<Kind> = Vec::with_capacity(traces.len());
    for (i, trace) in traces.iter().enumerate() {
        let (kind, wrong) = match (&trace.does, &plan.settings) {
            (Does::Says(operation), _) => (said(*operation), None),
            (Does::Unsaid(_), _) => (Kind::Through, None),
            (Does::Burns { power, feed }, Settings::Laser(setting)) => burns(*power, *feed, setting),
            (Does::Mills, Settings::Router(setting)) => sunk
                .over(trace, plan.thickness_mm, setting.mark_depth_mm)
                .unwrap_or_else(|| mills(trace.lowest(), plan.thickness_mm, setting)),
            (Does::Burns { .. }, Settings::Router(_)) => {
                (Kind::Through, Some("a beam cuts where the plan has a cutter".to_owned()))
            }
            (Does::Mills, Settings::Laser(_)) => {
                (Kind::Through, Some("a cutter cuts where the plan has a beam".to_owned()))
            }
        };
        kinds.push(kind);
        if let Some(wrong) = wrong {
            odd.push((i, wrong));
        }
    }
    let through = (!odd.is_empty()).then(|| through_index(traces, &kinds));
    for (i, wrong) in odd {
        if kinds[i] == Kind::Upper && through.as_ref().is_some_and(|index| keeps_to(&traces[i], index)) {
            continue;
        }
        problems.push(
            told("odd-setting", wrong, &traces[i], 0)
                .hint("the shop's tables and the job say how deep or how hot a cut, a score and a mark are"),
        );
    }
    kinds
}

const fn said(operation: Operation) -> Kind {
    match operation {
        Operation::Mark => Kind::Mark,
        Operation::Score => Kind::Score,
        Operation::Recess => Kind::Recess,
        Operation::CutInside | Operation::CutOutside => Kind::Through,
    }
}

fn burns(power: f64, feed: f64, setting: &LaserSetting) -> (Kind, Option<String>) {
    let choices = [
        (Kind::Through, setting.power, setting.feed_mm_min),
        (Kind::Score, setting.score_power, setting.score_feed_mm_min),
        (Kind::Mark, setting.mark_power, setting.mark_feed_mm_min),
    ];
    let near = |a: f64, b: f64, step: f64| (a - b).abs() <= SAME_SETTING * b + step;
    let same = choices.iter().find(|(_, p, f)| near(power, *p, POWER_STEP) && near(feed, *f, FEED_STEP));
    if let Some((kind, ..)) = same {
        return (*kind, None);
    }
    // What is nearest in heat is what was meant; the comparison goes on with it.
    let heat = power / feed;
    let off = |c: &&(Kind, f64, f64)| (logarithm(heat) - logarithm(c.1 / c.2)).abs();
    let kind = choices.iter().min_by(|a, b| off(a).total_cmp(&off(b))).map_or(Kind::Through, |c| c.0);
    let message = format!(
        "a beam of {:.1} % power at {feed:.0} mm/min is neither the cut, nor the score, nor the mark of this wood",
        power * 100.0
    );
    (kind, Some(message))
}

/// Order only matters here, so that the platform's logarithm does.
fn logarithm(value: f64) -> f64 {
    libm::log(value.max(f64::MIN_POSITIVE))
}

fn mills(lowest: f64, thickness: f64, setting: &RouterSetting) -> (Kind, Option<String>) {
    let near = |depth: f64| (lowest + depth.min(thickness)).abs() <= DEPTH_MM;
    if lowest <= -thickness + SAME_HEIGHT_MM {
        let short = lowest > -thickness - setting.overcut_mm + DEPTH_MM;
        let message = format!(
            "a cut ends {:.3} mm below the wood's face: through, but short of the overcut of {:.3} mm",
            -lowest, setting.overcut_mm
        );
        (Kind::Through, short.then_some(message))
    } else if near(setting.mark_depth_mm) {
        (Kind::Mark, None)
    } else if near(setting.score_depth * thickness) {
        (Kind::Score, None)
    } else {
        let message = format!(
            "a cut ends {:.3} mm below the wood's face: neither through, nor a score, nor a mark",
            -lowest
        );
        (Kind::Upper, Some(message))
    }
}

fn through_index(traces: &[Trace], kinds: &[Kind]) -> SegmentIndex {
    let through = traces.iter().zip(kinds).filter(|(_, kind)| **kind == Kind::Through);
    SegmentIndex::new(through.flat_map(|(trace, _)| trace.segments().map(|(segment, _)| segment)))
}

fn keeps_to(trace: &Trace, through: &SegmentIndex) -> bool {
    !through.is_empty()
        && trace.segments().all(|(segment, _)| {
            [0.0, 0.5, 1.0].into_iter().all(|t| through.is_nearer(segment.at(t), SAME_PATH_MM))
        })
}
