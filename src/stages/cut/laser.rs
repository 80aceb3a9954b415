//! Moves of a beam: on along each path, off over each tab.

use crate::shop::LaserSetting;

use super::track::{NOTHING_MM, Track};
use super::{Cut, Move, Operation, Path, moves, order};

/// Speed, power and rounds of one operation.
struct Burn {
    feed: f64,
    power: f64,
    passes: u32,
}

fn burn(setting: &LaserSetting, operation: Operation) -> Burn {
    match operation {
        Operation::Mark => Burn { feed: setting.mark_feed_mm_min, power: setting.mark_power, passes: 1 },
        Operation::Score => Burn { feed: setting.score_feed_mm_min, power: setting.score_power, passes: 1 },
        Operation::CutInside | Operation::CutOutside => {
            Burn { feed: setting.feed_mm_min, power: setting.power, passes: setting.passes.max(1) }
        }
    }
}

/// All moves of the cuts.
pub(super) fn moves(cuts: &[Cut], setting: &LaserSetting, name: impl Fn(usize) -> String) -> Vec<Move> {
    let mut moves = Vec::new();
    for cut in cuts {
        moves.push(Move::Begin { operation: cut.operation, part: name(cut.placed) });
        moves.push(Move::Rapid { to: order::begin_of(cut), z: 0.0 });
        burnt(cut, &burn(setting, cut.operation), &mut moves);
        moves.push(Move::BeamOff);
    }
    moves
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
