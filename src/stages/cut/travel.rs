//! Short travel: in what order to visit stops, some of which must come before others.
//!
//! The nearest stop that may be visited comes next; then stops are moved and stretches turned round for as long as that
//! shortens the way and breaks no rule. Time grows about as n log n.

use crate::geometry::Point;

use super::nearby::Nearby;

/// So many neighbours of each stop are tried when the way is shortened.
const NEIGHBOURS: usize = 8;

/// Stretches of up to so many stops are moved elsewhere.
const MOVED: usize = 3;

/// Stretches of up to so many stops are turned round.
const TURNED: usize = 1000;

/// The way is gone through this often at most; later rounds gain little.
const ROUNDS: usize = 5;

/// A gain smaller than this, in millimetres, is rounding.
const GAIN_MM: f64 = 1e-6;

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
}

impl Stop {
    /// Entered and left at any one of these points.
    pub(super) fn closed(points: &[Point], before: Option<usize>) -> Self {
        let gate = |(i, &p): (usize, &Point)| Gate { enter: p, leave: p, back: i };
        Self { gates: points.iter().enumerate().map(gate).collect(), before }
    }

    /// Run from one end to the other.
    pub(super) fn open(from: Point, to: Point) -> Self {
        let gates = vec![Gate { enter: from, leave: to, back: 1 }, Gate { enter: to, leave: from, back: 0 }];
        Self { gates, before: None }
    }
}

/// A visit: which stop, by which of its gates.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Visit {
    pub(super) stop: usize,
    pub(super) gate: usize,
}

/// The nearest stop next, from `start`, as far as the rules allow.
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
    (0..stops.len()).filter(|&i| waits[i] == 0).for_each(|i| open(&mut tree, i, true));
    let (mut here, mut visits) = (start, Vec::with_capacity(stops.len()));
    while let Some(&point) = tree.nearest(here, 1).first() {
        let stop = owners[point];
        let gate = point - first[stop];
        visits.push(Visit { stop, gate });
        here = stops[stop].gates[gate].leave;
        open(&mut tree, stop, false);
        if let Some(later) = stops[stop].before {
            waits[later] -= 1;
            if waits[later] == 0 {
                open(&mut tree, later, true);
            }
        }
    }
    visits
}

/// Length of the way, mm: between the stops, not along them.
pub(super) fn way_length(start: Point, stops: &[Stop], visits: &[Visit]) -> f64 {
    let mut here = start;
    let mut sum = 0.0;
    for visit in visits {
        let gate = stops[visit.stop].gates[visit.gate];
        sum += here.distance(gate.enter);
        here = gate.leave;
    }
    sum
}

/// The same visits in a shorter order.
pub(super) fn shorten(start: Point, stops: &[Stop], visits: Vec<Visit>) -> Vec<Visit> {
    if visits.len() < 2 {
        return visits;
    }
    let mut tour = Tour::new(start, stops, visits);
    for _ in 0..ROUNDS {
        let gained = tour.round();
        tour.choose_gates();
        if !gained {
            break;
        }
    }
    tour.visits
}

struct Tour<'a> {
    start: Point,
    stops: &'a [Stop],
    visits: Vec<Visit>,
    /// Where in the order each stop comes.
    at: Vec<usize>,
    /// The stops that have to come earlier than each.
    earlier: Vec<Vec<usize>>,
    neighbours: Vec<Vec<usize>>,
}

impl<'a> Tour<'a> {
    fn new(start: Point, stops: &'a [Stop], visits: Vec<Visit>) -> Self {
        let mut at = vec![0; stops.len()];
        visits.iter().enumerate().for_each(|(i, v)| at[v.stop] = i);
        let mut earlier = vec![Vec::new(); stops.len()];
        for (i, stop) in stops.iter().enumerate() {
            if let Some(later) = stop.before {
                earlier[later].push(i);
            }
        }
        Self { start, stops, visits, at, earlier, neighbours: neighbours(stops) }
    }

    fn leave(&self, after: usize) -> Point {
        // Place 0 is the start, place i + 1 the visit i.
        after.checked_sub(1).map_or(self.start, |i| self.gate(self.visits[i]).leave)
    }

    fn enter(&self, visit: usize) -> Option<Point> {
        self.visits.get(visit).map(|v| self.gate(*v).enter)
    }

    fn gate(&self, visit: Visit) -> Gate {
        self.stops[visit.stop].gates[visit.gate]
    }

    /// Tries each stop once; whether anything was gained.
    fn round(&mut self) -> bool {
        let mut gained = false;
        for stop in 0..self.stops.len() {
            for n in 0..self.neighbours[stop].len() {
                let other = self.neighbours[stop][n];
                gained |= self.try_moves(stop, other) || self.try_turn(stop, other);
            }
        }
        gained
    }

    /// Stretches that begin with `stop` to right after `other`, or that end with it to right before.
    fn try_moves(&mut self, stop: usize, other: usize) -> bool {
        (0..MOVED).any(|more| {
            let (first, last) = (self.at[stop], self.at[stop] + more);
            self.try_move(first, last, self.at[other] + 1)
                || (self.at[stop] >= more && {
                    let last = self.at[stop];
                    self.try_move(last - more, last, self.at[other])
                })
        })
    }

    /// The visits `first..=last` to before the visit now at `to`, where that gains.
    fn try_move(&mut self, first: usize, last: usize, to: usize) -> bool {
        if last >= self.visits.len() || (first..=last + 1).contains(&to) {
            return false;
        }
        let (before, into) = (self.leave(first), self.leave(to));
        let mut gates = (self.gate(self.visits[first]), self.gate(self.visits[last]));
        let removed = before.distance(gates.0.enter)
            + self.enter(last + 1).map_or(0.0, |next| gates.1.leave.distance(next))
            + self.enter(to).map_or(0.0, |next| into.distance(next));
        let closed = self.enter(last + 1).map_or(0.0, |next| before.distance(next));
        let mut gate = None;
        if first == last {
            let best = self.best_gate(self.visits[first].stop, into, self.enter(to));
            gates = (
                self.stops[self.visits[first].stop].gates[best],
                self.stops[self.visits[first].stop].gates[best],
            );
            gate = Some(best);
        }
        let added = into.distance(gates.0.enter)
            + self.enter(to).map_or(0.0, |next| gates.1.leave.distance(next))
            + closed;
        if added > removed - GAIN_MM || !self.may_move(first, last, to) {
            return false;
        }
        if let Some(gate) = gate {
            self.visits[first].gate = gate;
        }
        self.shift(first, last, to);
        true
    }

    fn may_move(&self, first: usize, last: usize, to: usize) -> bool {
        let stops = self.visits[first..=last].iter().map(|v| v.stop);
        if to > last {
            let passed = last + 1..to;
            stops.filter_map(|s| self.stops[s].before).all(|later| !passed.contains(&self.at[later]))
        } else {
            let passed = to..first;
            stops.flat_map(|s| &self.earlier[s]).all(|earlier| !passed.contains(&self.at[*earlier]))
        }
    }

    fn shift(&mut self, first: usize, last: usize, to: usize) {
        let count = last - first + 1;
        let range = if to > last {
            self.visits[first..to].rotate_left(count);
            first..to
        } else {
            self.visits[to..=last].rotate_right(count);
            to..last + 1
        };
        self.note(range);
    }

    fn note(&mut self, range: std::ops::Range<usize>) {
        for i in range {
            self.at[self.visits[i].stop] = i;
        }
    }

    /// Turns round what lies between `stop` and `other`, so that the one follows the other.
    fn try_turn(&mut self, stop: usize, other: usize) -> bool {
        let (from, to) = (self.at[stop] + 1, self.at[other]);
        if to <= from || to - from > TURNED {
            return false;
        }
        let turned = |v: Visit| self.stops[v.stop].gates[self.gate(v).back];
        let (first, last) = (self.visits[from], self.visits[to]);
        let next = self.enter(to + 1);
        let removed = self.leave(from).distance(self.gate(first).enter)
            + next.map_or(0.0, |next| self.gate(last).leave.distance(next));
        let added = self.leave(from).distance(turned(last).enter)
            + next.map_or(0.0, |next| turned(first).leave.distance(next));
        if added > removed - GAIN_MM || !self.may_turn(from, to) {
            return false;
        }
        self.visits[from..=to].reverse();
        for i in from..=to {
            let visit = self.visits[i];
            self.visits[i].gate = self.gate(visit).back;
        }
        self.note(from..to + 1);
        true
    }

    fn may_turn(&self, from: usize, to: usize) -> bool {
        let later = |v: &Visit| self.stops[v.stop].before;
        self.visits[from..=to].iter().filter_map(later).all(|stop| self.at[stop] > to)
    }

    fn best_gate(&self, stop: usize, from: Point, to: Option<Point>) -> usize {
        let cost = |g: &Gate| from.distance(g.enter) + to.map_or(0.0, |to| g.leave.distance(to));
        let gates = self.stops[stop].gates.iter().enumerate();
        gates.min_by(|a, b| cost(a.1).total_cmp(&cost(b.1))).map_or(0, |(i, _)| i)
    }

    /// Each stop by the gate that suits its neighbours in the order.
    fn choose_gates(&mut self) {
        for i in 0..self.visits.len() {
            let stop = self.visits[i].stop;
            self.visits[i].gate = self.best_gate(stop, self.leave(i), self.enter(i + 1));
        }
    }
}

/// For each stop the stops whose middles are nearest to its own.
fn neighbours(stops: &[Stop]) -> Vec<Vec<usize>> {
    let middles: Vec<Point> = stops.iter().map(middle).collect();
    let mut tree = Nearby::new(&middles);
    (0..stops.len()).for_each(|i| tree.set(i, true));
    let others = |i: usize| {
        let mut near = tree.nearest(middles[i], NEIGHBOURS + 1);
        near.retain(|&other| other != i);
        near.truncate(NEIGHBOURS);
        near
    };
    (0..stops.len()).map(others).collect()
}

fn middle(stop: &Stop) -> Point {
    let sum = stop.gates.iter().fold(crate::geometry::Vec2::ZERO, |sum, g| sum + g.enter.to_vec2());
    (sum / stop.gates.len() as f64).to_point()
}
