//! Corners between straights, rounded or cut off.

use super::{Bench, Loop};
use crate::geometry::curve::Curve;
use crate::geometry::{Segment, Vec2, trig, turn_between};
use crate::stages::job::measured::Corner;

/// A turn of less than this, in degrees, is no corner.
const STRAIGHT_ON: f64 = 0.01;

/// A straight may be used up to the last of it and this much more, mm: rounding of what people write down.
const ROUNDING: f64 = 1e-6;

/// Rounds and cuts the corners of a closed loop. None where there is no room for one; it is told.
pub(super) fn treat(bench: &mut Bench<'_>, edges: &mut Loop) -> Option<()> {
    let n = edges.len();
    let taken: Vec<f64> = (0..n).map(|i| setback(edges, i)).collect();
    for i in 0..n {
        let (Some(side), before) = (straight(&edges[i].0), taken[(i + n - 1) % n]) else { continue };
        let length = side.chord().hypot();
        if taken[i] + before > length + ROUNDING {
            let message = format!(
                "a side of {length:.3} mm has no room for its corners, which take {:.3} mm",
                taken[i] + before
            );
            bench.wrong(bench.piece.line, "measured-corner", &message, "make the radius or the cut smaller");
            return None;
        }
    }
    let mut treated: Loop = Vec::with_capacity(2 * n);
    for i in 0..n {
        let before = taken[(i + n - 1) % n];
        let Some(side) = straight(&edges[i].0) else {
            treated.push((edges[i].0.clone(), Corner::Sharp));
            continue;
        };
        let along = side.chord() / side.chord().hypot();
        let (from, to) = (side.from + along * before, side.to - along * taken[i]);
        if from.distance(to) > ROUNDING {
            treated.push((Curve::line(from, to), Corner::Sharp));
        }
        if taken[i] > 0.0
            && let Some(next) = straight(&edges[(i + 1) % n].0)
        {
            let onward = next.chord() / next.chord().hypot();
            let end = next.from + onward * taken[i];
            let bulge = match edges[i].1 {
                Corner::Round(_) => trig::tan(turn_between(along, onward) / 4.0),
                _ => 0.0,
            };
            treated.push((Curve::Segment(Segment::arc(to, end, bulge)), Corner::Sharp));
        }
    }
    *edges = treated;
    Some(())
}

fn straight(curve: &Curve) -> Option<Segment> {
    match curve {
        Curve::Segment(s) if s.is_line() => Some(*s),
        _ => None,
    }
}

/// How much of both sides the corner at the end of an edge takes.
fn setback(edges: &Loop, i: usize) -> f64 {
    let next = &edges[(i + 1) % edges.len()].0;
    let (Some(a), Some(b)) = (straight(&edges[i].0), straight(next)) else { return 0.0 };
    let turn: f64 = turn_between(direction(a), direction(b)).abs();
    match edges[i].1 {
        _ if turn.to_degrees() < STRAIGHT_ON => 0.0,
        Corner::Sharp => 0.0,
        Corner::Round(radius) => radius * trig::tan(turn / 2.0),
        Corner::Cut(back) => back,
    }
}

fn direction(side: Segment) -> Vec2 {
    side.chord()
}
