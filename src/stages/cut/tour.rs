//! A way over stops, and how it is made shorter: single stops and short stretches go elsewhere, stretches are turned
//! round, each stop takes the gate that suits its neighbours. No change breaks a rule.

use std::collections::VecDeque;
use std::ops::Range;

mod changes;
mod gates;
mod shake;

pub(super) use gates::best_gates;

use crate::geometry::Point;

use super::travel::{Gate, Stop, Visit};

/// A gain smaller than this, in millimetres, is rounding.
const GAIN_MM: f64 = 1e-6;

/// No place at all.
const NOWHERE: Range<usize> = Range { start: usize::MAX, end: 0 };

/// A visit with its gate's ends at hand.
#[derive(Clone, Copy)]
struct Seat {
    stop: usize,
    gate: usize,
    enter: Point,
    leave: Point,
}

impl Seat {
    fn new(stops: &[Stop], stop: usize, gate: usize) -> Self {
        let Gate { enter, leave, .. } = stops[stop].gates[gate];
        Self { stop, gate, enter, leave }
    }
}

/// The way over all stops.
pub(super) struct Tour<'a> {
    start: Point,
    stops: &'a [Stop],
    apart_mm: f64,
    visits: Vec<Seat>,
    /// Where in the order each stop comes.
    at: Vec<usize>,
    /// The stops that have to come earlier than each.
    earlier: Vec<Vec<usize>>,
    /// For each stop those with the nearest gates, and how dear it is at least to go there, the least first.
    neighbours: Vec<Vec<(f64, usize)>>,
    /// Stops around which something changed, to be tried again.
    waiting: VecDeque<usize>,
    waits: Vec<bool>,
    /// What has been gained less what has been lost, mm, and where, since the way was last kept.
    gained: f64,
    changed: Range<usize>,
    /// How many changes have been looked at.
    tries: usize,
}

impl<'a> Tour<'a> {
    pub(super) fn new(start: Point, stops: &'a [Stop], apart_mm: f64, visits: &[Visit]) -> Self {
        let mut at = vec![0; stops.len()];
        visits.iter().enumerate().for_each(|(i, v)| at[v.stop] = i);
        let mut earlier = vec![Vec::new(); stops.len()];
        for (i, stop) in stops.iter().enumerate() {
            if let Some(later) = stop.before {
                earlier[later].push(i);
            }
        }
        Self {
            start,
            stops,
            apart_mm,
            visits: visits.iter().map(|v| Seat::new(stops, v.stop, v.gate)).collect(),
            at,
            earlier,
            neighbours: gates::neighbours(stops, apart_mm),
            waiting: VecDeque::new(),
            waits: vec![false; stops.len()],
            gained: 0.0,
            changed: NOWHERE,
            tries: 0,
        }
    }

    pub(super) fn into_visits(self) -> Vec<Visit> {
        self.visits.into_iter().map(|seat| Visit { stop: seat.stop, gate: seat.gate }).collect()
    }

    /// Tries every stop, and all around which something changes, until nothing gains.
    pub(super) fn improve_all(&mut self) {
        (0..self.stops.len()).for_each(|stop| self.wait(stop));
        self.improve();
    }

    fn improve(&mut self) {
        while let Some(stop) = self.waiting.pop_front() {
            self.waits[stop] = false;
            if self.improve_at(stop) {
                self.wait(stop);
            }
        }
    }

    fn wait(&mut self, stop: usize) {
        if !std::mem::replace(&mut self.waits[stop], true) {
            self.waiting.push_back(stop);
        }
    }

    /// Joins `stop` to a neighbour that is nearer than the stop beside it now, in every way that gains.
    fn improve_at(&mut self, stop: usize) -> bool {
        for n in 0..self.neighbours[stop].len() {
            let (distance, other) = self.neighbours[stop][n];
            let shorter = |place: usize| distance < self.step(place);
            let ends = (shorter(self.at[stop]), shorter(self.at[stop] + 1));
            if !ends.0 && !ends.1 {
                return false;
            }
            if self.try_turns(stop, other, ends, distance)
                || self.try_moves(stop, other, ends, distance)
                || self.try_moves(other, stop, (ends.1, ends.0), distance)
            {
                return true;
            }
        }
        false
    }

    /// Length of the step to the visit at `place`, mm; none beyond the last.
    fn step(&self, place: usize) -> f64 {
        self.link(self.seat_before(place), self.visits.get(place))
    }

    fn seat_before(&self, place: usize) -> Option<&Seat> {
        place.checked_sub(1).map(|i| &self.visits[i])
    }

    /// From one visit to another, mm: from the start where there is none before, nothing where there is none after.
    fn link(&self, from: Option<&Seat>, to: Option<&Seat>) -> f64 {
        let Some(to) = to else { return 0.0 };
        let Some(from) = from else { return self.start.distance(to.enter) };
        let way = from.leave.distance(to.enter);
        let apart = &self.stops[from.stop].apart;
        if !apart.is_empty() && apart.binary_search(&to.stop).is_ok() { way + self.apart_mm } else { way }
    }

    fn seat(&self, stop: usize, gate: usize) -> Seat {
        Seat::new(self.stops, stop, gate)
    }

    fn turned(&self, seat: Seat) -> Seat {
        self.seat(seat.stop, self.stops[seat.stop].gates[seat.gate].back)
    }
}
