//! Spoiled tabs.

use grainwise::geometry::{Point, Vec2};
use grainwise::stages::cut::Move;

use super::dice::Dice;
use super::kit::{Change, Good};
use super::paths::{Step, rewritten, steps};

/// The change of a tab's width that is made, as a fraction of it.
const SHARE: f64 = 0.6;

/// The change of a tab's height that is made, mm.
const HEIGHT_MM: f64 = 0.4;

/// A tab in a cut's moves: the first and the last move that belong to it.
type Run = (usize, usize);

fn end(step: &Move) -> Option<Point> {
    match step {
        Move::Rapid { to, .. } | Move::Line { to, .. } | Move::Arc { to, .. } => Some(*to),
        _ => None,
    }
}

fn height(step: &Move) -> Option<f64> {
    match step {
        Move::Line { z, .. } | Move::Arc { z, .. } => Some(*z),
        _ => None,
    }
}

/// Where the passes begin: moves straight down that go deeper than all before.
pub(super) fn plunges(moves: &[Move]) -> Vec<usize> {
    let mut lowest = 0.0;
    let mut plunges = Vec::new();
    for i in 1..moves.len() {
        let Some(z) = height(&moves[i]).filter(|z| *z < lowest - 1e-9) else { continue };
        lowest = z;
        if end(&moves[i - 1]) == end(&moves[i]) {
            plunges.push(i);
        }
    }
    plunges
}

/// The stretches between the beam's going off and its coming on again.
fn dark(moves: &[Move]) -> Vec<Run> {
    let is_tab =
        |i: &usize| matches!(moves[*i..*i + 3], [Move::BeamOff, Move::Rapid { .. }, Move::Beam { .. }]);
    (0..moves.len().saturating_sub(2)).filter(is_tab).map(|i| (i, i + 2)).collect()
}

/// The stretches on which the last pass is lifted.
fn lifted(moves: &[Move]) -> Vec<Run> {
    let deep = moves.iter().filter_map(height).fold(0.0, f64::min);
    let high = |i: usize| height(&moves[i]).is_some_and(|z| z > deep + 1e-9);
    let mut runs = Vec::new();
    let mut i = plunges(moves).last().map_or(moves.len(), |last| last + 1);
    while i < moves.len() {
        let begin = i;
        while i < moves.len() && high(i) {
            i += 1;
        }
        if i > begin && i < moves.len() {
            runs.push((begin, i));
        }
        i += 1;
    }
    runs
}

/// A cut with a tab and which of its tabs.
fn tab(steps: &[Step], dice: &mut Dice) -> Option<(usize, usize)> {
    let all = steps.iter().enumerate().flat_map(|(i, s)| (0..s.cut.tabs.len()).map(move |tab| (i, tab)));
    dice.pick(&all.collect::<Vec<_>>()).copied()
}

fn spoiled(
    good: &Good,
    dice: &mut Dice,
    drawn: impl Fn(&mut Step, usize),
    beam: impl Fn(&mut Vec<Move>, Run) -> Option<()>,
    milled: impl Fn(&mut Vec<Move>, Run) -> Option<()>,
) -> Option<Change> {
    let mut steps = steps(good.sheet());
    let (at, which) = tab(&steps, dice)?;
    let step = &mut steps[at];
    if step.moves.is_empty() {
        drawn(step, which);
    } else if good.milled() {
        let run = *lifted(&step.moves).get(which)?;
        milled(&mut step.moves, run)?;
    } else {
        let run = *dark(&step.moves).get(which)?;
        beam(&mut step.moves, run)?;
    }
    let what = format!("tab {which} of a cut of piece {}", steps[at].cut.placed);
    rewritten(good, &steps, what)
}

fn feed(moves: &[Move]) -> f64 {
    let feeds = moves.iter().filter_map(|step| match step {
        Move::Line { feed, .. } | Move::Arc { feed, .. } => Some(*feed),
        _ => None,
    });
    feeds.fold(0.0, f64::max)
}

fn set_height(step: &mut Move, to: f64) {
    if let Move::Line { z, .. } | Move::Arc { z, .. } = step {
        *z = to;
    }
}

/// Cut through as if it were not there.
pub(super) fn gone(good: &Good, dice: &mut Dice) -> Option<Change> {
    spoiled(
        good,
        dice,
        |step, which| {
            step.cut.tabs.remove(which);
        },
        |moves, (begin, last)| {
            let line = Move::Line { to: end(&moves[begin + 1])?, z: 0.0, feed: feed(moves) };
            moves.splice(begin..=last, [line]);
            Some(())
        },
        |moves, (begin, last)| {
            let deep = height(&moves[last])?;
            moves[begin..=last].iter_mut().for_each(|step| set_height(step, deep));
            Some(())
        },
    )
}

/// A part of it is cut through.
pub(super) fn narrow(good: &Good, dice: &mut Dice) -> Option<Change> {
    spoiled(
        good,
        dice,
        |step, which| {
            let kerf = good.plan.kerf_mm;
            let tab = &mut step.cut.tabs[which];
            tab.to_mm -= SHARE * (tab.to_mm - tab.from_mm - kerf);
        },
        |moves, (begin, last)| {
            let (from, to) = (end(&moves[begin - 1])?, end(&moves[begin + 1])?);
            let width = from.distance(to) - good.plan.kerf_mm;
            let there = to.lerp(from, SHARE * width / from.distance(to));
            moves[begin + 1] = Move::Rapid { to: there, z: 0.0 };
            moves.insert(last + 1, Move::Line { to, z: 0.0, feed: feed(moves) });
            Some(())
        },
        |moves, (begin, last)| {
            // What is along the tab becomes shorter, and the rest is cut through.
            let (up, along, down) = on_tab(moves, (begin, last))?;
            let back = (along - up) * SHARE;
            moved(&mut moves[begin + 2..=last], -back);
            let deep = height(&moves[last])?;
            moves.insert(last + 1, Move::Line { to: down, z: deep, feed: feed(moves) });
            Some(())
        },
    )
}

/// The cut goes on later.
pub(super) fn wide(good: &Good, dice: &mut Dice) -> Option<Change> {
    spoiled(
        good,
        dice,
        |step, which| {
            let length: f64 = step.segments().iter().map(grainwise::geometry::Segment::length).sum();
            let tab = &mut step.cut.tabs[which];
            tab.to_mm = (tab.to_mm + SHARE).min(length);
        },
        |moves, (begin, last)| {
            let (to, next) = (end(&moves[begin + 1])?, end(moves.get(last + 1)?)?);
            (matches!(moves[last + 1], Move::Line { .. }) && to.distance(next) > 1.0).then_some(())?;
            moves[begin + 1] = Move::Rapid { to: to.lerp(next, SHARE / to.distance(next)), z: 0.0 };
            Some(())
        },
        |moves, (begin, last)| {
            let (_, _, to) = on_tab(moves, (begin, last))?;
            let next = end(moves.get(last + 1)?)?;
            (matches!(moves[last + 1], Move::Line { .. }) && to.distance(next) > 3.0).then_some(())?;
            moved(&mut moves[begin + 2..=last], (next - to) / to.distance(next) * (2.0 * SHARE));
            Some(())
        },
    )
}

/// Where the cutter comes to on its way over a tab: to the top, to the end of the top, down again. None where the tab
/// bends: up, a ramp up, the top, a ramp down and down are five moves otherwise.
fn on_tab(moves: &[Move], (begin, last): Run) -> Option<(Point, Point, Point)> {
    (last == begin + 4).then_some(())?;
    Some((end(&moves[begin + 1])?, end(&moves[begin + 2])?, end(&moves[last])?))
}

fn moved(moves: &mut [Move], by: Vec2) {
    for step in moves {
        if let Move::Line { to, .. } | Move::Arc { to, .. } = step {
            *to += by;
        }
    }
}

fn raised(good: &Good, dice: &mut Dice, by: f64) -> Option<Change> {
    good.milled().then_some(())?;
    let nothing = |_: &mut Vec<Move>, _: Run| None;
    spoiled(
        good,
        dice,
        |_, _| (),
        nothing,
        |moves, (begin, last)| {
            let top = moves[begin..last].iter().filter_map(height).fold(f64::NEG_INFINITY, f64::max);
            for step in &mut moves[begin..last] {
                if height(step)? > top - 1e-9 {
                    set_height(step, top + by);
                }
            }
            Some(())
        },
    )
}

/// Less wood than is wanted holds the piece.
pub(super) fn low(good: &Good, dice: &mut Dice) -> Option<Change> {
    raised(good, dice, -HEIGHT_MM)
}

/// More wood than is wanted holds the piece: every pass is lifted higher.
pub(super) fn high(good: &Good, dice: &mut Dice) -> Option<Change> {
    good.milled().then_some(())?;
    let mut steps = steps(good.sheet());
    let (at, _) = tab(&steps, dice)?;
    let tops: Vec<f64> =
        steps[at].cut.tabs.iter().map(|tab| tab.height_mm - good.plan.thickness_mm).collect();
    for step in &mut steps[at].moves {
        if height(step).is_some_and(|z| tops.iter().any(|top| (z - top).abs() < 1e-9)) {
            let to = height(step)? + HEIGHT_MM;
            set_height(step, to);
        }
    }
    rewritten(good, &steps, format!("the tabs of a cut of piece {}", steps[at].cut.placed))
}
