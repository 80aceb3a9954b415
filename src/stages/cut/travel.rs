//! Short travel: in what order to visit stops, some of which must come before others.
//!
//! The nearest stop that may be visited comes next; then [`tour`](super::tour) moves stops and turns stretches round for
//! as long as that shortens the way and breaks no rule, and shakes the way a fixed number of times to get out of where
//! no single move gains. Time grows about as n log n, and the result is the same on every machine.

use crate::geometry::Point;

use super::nearby::Nearby;
use super::tour::{Tour, best_gates};

/// While the way is shaken so many changes are looked at for each stop, and so many more on every sheet, for small ones
/// are soon done: with twice as many the way becomes about one in a hundred shorter.
const TRIES: usize = 400;
const TRIES_MORE: usize = 10_000;

/// A way to do a stop: where it is entered and where it is left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Gate {
    pub(super) enter: Point,
    pub(super) leave: Point,
    /// Which gate of the stop does the same the other way round.
    pub(super) back: usize,
}

/// Something to be visited once.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stop {
    /// At least one.
    pub(super) gates: Vec<Gate>,
    /// The stop that has to come later than this one.
    pub(super) before: Option<usize>,
    /// All stops of a lower rank come before any of a higher one.
    pub(super) rank: u8,
    /// Stops that should not follow right after this one nor come right before it, rising.
    pub(super) apart: Vec<usize>,
}

impl Stop {
    /// Entered and left at any one of these points.
    pub(super) fn closed(points: &[Point]) -> Self {
        let gate = |(i, &p): (usize, &Point)| Gate { enter: p, leave: p, back: i };
        let gates = points.iter().enumerate().map(gate).collect();
        Self { gates, before: None, rank: 0, apart: Vec::new() }
    }

    /// Run from one end to the other.
    pub(super) fn open(from: Point, to: Point) -> Self {
        let gates = vec![Gate { enter: from, leave: to, back: 1 }, Gate { enter: to, leave: from, back: 0 }];
        Self { gates, before: None, rank: 0, apart: Vec::new() }
    }
}

/// A visit: which stop, by which of its gates.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Visit {
    pub(super) stop: usize,
    pub(super) gate: usize,
}

/// The nearest stop next, from `start`, as far as the rules allow. No stop may have to come before one of a lower rank.
pub(super) fn nearest_next(start: Point, stops: &[Stop]) -> Vec<Visit> {
    let mut owners = Vec::new();
    let mut points = Vec::new();
    let mut first = Vec::with_capacity(stops.len());
    for (i, stop) in stops.iter().enumerate() {
        first.push(points.len());
        points.extend(stop.gates.iter().map(|g| g.enter));
        owners.extend(std::iter::repeat_n(i, stop.gates.len()));
    }
    let mut tree = Nearby::new(&points);
    let mut waits = vec![0_usize; stops.len()];
    stops.iter().filter_map(|s| s.before).for_each(|later| waits[later] += 1);
    let open = |tree: &mut Nearby, i: usize, is: bool| {
        (first[i]..first[i] + stops[i].gates.len()).for_each(|p| tree.set(p, is));
    };
    let mut ranks: Vec<u8> = stops.iter().map(|s| s.rank).collect();
    ranks.sort_unstable();
    ranks.dedup();
    let (mut here, mut visits) = (start, Vec::with_capacity(stops.len()));
    for rank in ranks {
        let of_rank = |i: &usize| stops[*i].rank == rank;
        (0..stops.len()).filter(of_rank).filter(|&i| waits[i] == 0).for_each(|i| open(&mut tree, i, true));
        while let Some(&point) = tree.nearest(here, 1).first() {
            let stop = owners[point];
            let gate = point - first[stop];
            visits.push(Visit { stop, gate });
            here = stops[stop].gates[gate].leave;
            open(&mut tree, stop, false);
            if let Some(later) = stops[stop].before {
                waits[later] -= 1;
                if waits[later] == 0 && of_rank(&later) {
                    open(&mut tree, later, true);
                }
            }
        }
    }
    visits
}

/// The same visits in the same order, each by the gate that makes the way shortest.
pub(super) fn through_best_gates(start: Point, stops: &[Stop], visits: Vec<Visit>) -> Vec<Visit> {
    let order: Vec<usize> = visits.into_iter().map(|visit| visit.stop).collect();
    let gates = best_gates(start, stops, &order);
    order.into_iter().zip(gates).map(|(stop, gate)| Visit { stop, gate }).collect()
}

/// The same visits in a shorter order. To visit two stops that should be kept apart one right after the other costs as
/// much as `apart_mm` of travel.
pub(super) fn shorten(start: Point, stops: &[Stop], apart_mm: f64, visits: Vec<Visit>) -> Vec<Visit> {
    if visits.len() < 2 {
        return visits;
    }
    let mut tour = Tour::new(start, stops, apart_mm, &visits);
    tour.choose_gates();
    tour.improve_all();
    tour.choose_gates();
    tour.shake(TRIES_MORE + TRIES * stops.len());
    tour.choose_gates();
    tour.improve_all();
    tour.into_visits()
}
