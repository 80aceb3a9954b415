//! Moves of a beam: on along each path, off over each tab. A closed path is come to from the waste, where the beam pierces,
//! and cut on a little past its beginning, so that the ends meet however the beam lags (common practice, no source).

use crate::shop::{LaserCraft, LaserSetting};
use crate::stages::sheet::Sheet;

use super::lead::Ground;
use super::means::Means;
use super::track::{NOTHING_MM, Track};
use super::{Cut, Lead, Move, Operation, Path, moves, order};

/// Speed, power and rounds of one operation.
struct Burn {
    feed: f64,
    power: f64,
    passes: u32,
}

fn burn(setting: &LaserSetting, operation: Operation) -> Burn {
    match operation {
        Operation::Mark => Burn { feed: setting.mark_feed_mm_min, power: setting.mark_power, passes: 1 },
        // No beam clears a recess: that is refused before.
        Operation::Score | Operation::Recess => {
            Burn { feed: setting.score_feed_mm_min, power: setting.score_power, passes: 1 }
        }
        Operation::CutInside | Operation::CutOutside => {
            Burn { feed: setting.feed_mm_min, power: setting.power, passes: setting.passes.max(1) }
        }
    }
}

/// The cuts, each closed path with a lead from the waste where there is room for one; elsewhere the beam pierces on the
/// path, as it must.
pub(super) fn with_leads(
    cuts: Vec<Cut>,
    means: &Means,
    sheet: &Sheet,
    craft: impl Fn(usize) -> LaserCraft,
) -> Vec<Cut> {
    let ground = Ground::of(&cuts, sheet, means.kerf_mm);
    let with = |(i, cut): (usize, Cut)| {
        let come = ground.come(i, &cut, craft(cut.placed).lead_mm);
        Cut { lead: Lead { come, leave: None }, ..cut }
    };
    cuts.into_iter().enumerate().map(with).collect()
}

/// All moves of the cuts; `of` gives the name of the part that a cut belongs to, and how it is cut.
pub(super) fn moves(
    cuts: &[Cut],
    setting: &LaserSetting,
    of: impl Fn(usize) -> (String, Means),
) -> Vec<Move> {
    let mut moves = Vec::new();
    for cut in cuts {
        let (part, means) = of(cut.placed);
        moves.push(Move::Begin { operation: cut.operation, part });
        moves.push(Move::Rapid { to: order::begin_of(cut), z: 0.0 });
        let burn = burn(setting, cut.operation);
        let overcut = overcut(cut, means.laser.overcut_mm);
        if cut.lead.come.is_some() || overcut > 0.0 {
            each_from_the_waste(cut, overcut, &burn, &mut moves);
        } else {
            burnt(cut, &burn, &mut moves);
        }
        moves.push(Move::BeamOff);
    }
    moves
}

/// How far past its beginning a path is cut: never into a tab.
fn overcut(cut: &Cut, wish_mm: f64) -> f64 {
    match &cut.path {
        Path::Open(_) => 0.0,
        Path::Closed(outline) => {
            cut.tabs.first().map_or(outline.perimeter() * OVERCUT_SHARE, |tab| tab.from_mm).min(wish_mm)
        }
    }
}

/// No more than this share of a path is cut twice.
const OVERCUT_SHARE: f64 = 0.1;

/// Round after round, each come to by the lead and cut on past the beginning.
fn each_from_the_waste(cut: &Cut, overcut: f64, burn: &Burn, moves: &mut Vec<Move>) {
    let track = Track::of_path(&cut.path);
    for pass in 0..burn.passes {
        if pass > 0 {
            moves.push(Move::BeamOff);
            moves.push(Move::Rapid { to: order::begin_of(cut), z: 0.0 });
        }
        moves.push(Move::Beam { power: burn.power });
        if let Some(arc) = cut.lead.come {
            moves::along(arc, 0.0, 0.0, burn.feed, moves);
        }
        round(cut, &track, burn, moves);
        lit(&track, 0.0, overcut, burn, moves);
    }
}

/// The cut's path, round after round; an open path there and back.
fn burnt(cut: &Cut, burn: &Burn, moves: &mut Vec<Move>) {
    let there = Track::of_path(&cut.path);
    let open = matches!(cut.path, Path::Open(_));
    let back = (open && burn.passes > 1).then(|| Track::of_path(&order::run_backwards(cut.clone()).path));
    moves.push(Move::Beam { power: burn.power });
    for pass in 0..burn.passes {
        let track = back.as_ref().filter(|_| pass % 2 == 1).unwrap_or(&there);
        round(cut, track, burn, moves);
    }
}

/// Once along the path, with the beam off over each tab.
fn round(cut: &Cut, track: &Track, burn: &Burn, moves: &mut Vec<Move>) {
    let mut here = 0.0;
    for tab in &cut.tabs {
        lit(track, here, tab.from_mm, burn, moves);
        moves.push(Move::BeamOff);
        moves.push(Move::Rapid { to: track.point(tab.to_mm), z: 0.0 });
        moves.push(Move::Beam { power: burn.power });
        here = tab.to_mm;
    }
    lit(track, here, track.length(), burn, moves);
}

fn lit(track: &Track, from: f64, to: f64, burn: &Burn, moves: &mut Vec<Move>) {
    if to - from > NOTHING_MM {
        track.between(from, to).into_iter().for_each(|s| moves::along(s, 0.0, 0.0, burn.feed, moves));
    }
}
