//! A way over stops, and how it is made shorter: single stops and short stretches go elsewhere, stretches are turned
//! round, each stop takes the gate that suits its neighbours. No change breaks a rule.

use std::collections::VecDeque;
use std::ops::Range;

use crate::geometry::Point;

use super::nearby::Nearby;
use super::travel::{Gate, Stop, Visit};

/// So many neighbours of each stop are tried.
const NEIGHBOURS: usize = 8;

/// So many gates of others near each gate are looked at to find them.
const NEAREST: usize = 12;

/// Stretches of up to so many stops are moved elsewhere: a piece with its holes, mostly.
const MOVED: usize = 6;

/// Of these, stretches of up to so many stops also the other way round.
const MOVED_TURNED: usize = 3;

/// Stretches of up to so many stops are turned round.
const TURNED: usize = 1000;

/// Stretches of up to so many stops change places when the way is shaken anywhere.
const SHAKEN: usize = 30;

/// Stops near each other are so far apart in the order at most when the way is shaken between them.
const FAR: usize = 1000;

/// One shake of so many is anywhere on the way, the others are between stops near each other.
const ANYWHERE: usize = 3;

/// A gain smaller than this, in millimetres, is rounding.
const GAIN_MM: f64 = 1e-6;

/// Where the dice begin: any number, the same always.
const SEED: u64 = 0x5EED;

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
    /// For each stop those with the nearest gates, and how near they are, the nearest first.
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
            neighbours: neighbours(stops),
            waiting: VecDeque::new(),
            waits: vec![false; stops.len()],
            gained: 0.0,
            changed: usize::MAX..0,
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

    /// Again and again changes places of two stretches that follow each other, mends the way around them, and keeps what
    /// is no longer than before, until so many changes have been looked at.
    pub(super) fn shake(&mut self, tries: usize) {
        let mut dice = Dice(SEED);
        let mut kept = self.visits.clone();
        let last = self.tries + tries;
        while self.tries < last {
            self.tries += 1;
            (self.gained, self.changed) = (0.0, usize::MAX..0);
            if !self.swap(&mut dice) {
                continue;
            }
            self.improve();
            let range = self.changed.clone();
            if self.gained >= 0.0 {
                kept[range.clone()].copy_from_slice(&self.visits[range]);
            } else {
                self.visits[range.clone()].copy_from_slice(&kept[range.clone()]);
                self.note(range);
            }
        }
    }

    /// Where two stretches that follow each other begin and end: between three stops near each other, or anywhere.
    fn two_stretches(&self, dice: &mut Dice) -> Option<[usize; 3]> {
        let (count, stop) = (self.visits.len(), dice.below(self.stops.len()));
        if dice.below(ANYWHERE) == 0 {
            let first = stop.min(count - 2);
            let middle = first + 1 + dice.below(SHAKEN.min(count - first - 1));
            return Some([first, middle, (middle + 1 + dice.below(SHAKEN)).min(count)]);
        }
        let near = &self.neighbours[stop];
        let one = |dice: &mut Dice| near.get(dice.below(near.len().max(1))).map(|n| self.at[n.1] + 1);
        let mut places = [self.at[stop] + 1, one(dice)?, one(dice)?];
        places.sort_unstable();
        (places[2] - places[0] <= FAR).then_some(places)
    }

    /// Two stretches that follow each other change places, where the rules allow.
    fn swap(&mut self, dice: &mut Dice) -> bool {
        let Some([first, middle, to]) = self.two_stretches(dice) else { return false };
        if first >= middle || middle >= to || !self.may_move(first, middle - 1, to) {
            return false;
        }
        let ends = |tour: &Self, middle: usize| tour.step(first) + tour.step(middle) + tour.step(to);
        let old = ends(self, middle);
        self.shift(first, middle - 1, to);
        let middle = first + to - middle;
        self.gained += old - ends(self, middle);
        self.look_again(&[first, middle, to]);
        true
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
        // Stops that should be kept apart are near each other: a long step needs no look.
        if way < self.apart_mm && self.stops[from.stop].apart.binary_search(&to.stop).is_ok() {
            way + self.apart_mm
        } else {
            way
        }
    }

    fn seat(&self, stop: usize, gate: usize) -> Seat {
        Seat::new(self.stops, stop, gate)
    }

    fn turned(&self, seat: Seat) -> Seat {
        self.seat(seat.stop, self.stops[seat.stop].gates[seat.gate].back)
    }

    /// Stretches that begin with `stop` (where `begins`) or end with it (where `ends`) to beside `other`, at least
    /// `near` mm away.
    fn try_moves(&mut self, stop: usize, other: usize, (begins, ends): (bool, bool), near: f64) -> bool {
        let (here, there) = (self.at[stop], self.at[other]);
        (0..MOVED).any(|more| {
            let turned = more > 0 && more < MOVED_TURNED;
            let (from, to) = ((here, here + more), (here.wrapping_sub(more), here));
            begins
                && (self.try_move(from, there + 1, false, near)
                    || turned && self.try_move(from, there, true, near))
                || ends
                    && (self.try_move(to, there, false, near)
                        || turned && self.try_move(to, there + 1, true, near))
        })
    }

    /// The visits `first..=last`, perhaps turned round, to before the visit now at `to`, where that gains.
    fn try_move(&mut self, (first, last): (usize, usize), to: usize, turn: bool, near: f64) -> bool {
        if first > last || last >= self.visits.len() || (first..=last + 1).contains(&to) {
            return false;
        }
        self.tries += 1;
        let (before, after) = (self.seat_before(to), self.visits.get(to));
        let closed = self.link(self.seat_before(first), self.visits.get(last + 1));
        let least = self.step(first) + self.step(last + 1) + self.step(to) - closed - GAIN_MM;
        if least <= near {
            return false;
        }
        let (mut a, mut b) = (self.visits[first], self.visits[last]);
        if turn {
            (a, b) = (self.turned(b), self.turned(a));
        } else if first == last {
            a = self.best(a.stop, before, after);
            b = a;
        }
        let added = self.link(before, Some(&a)) + self.link(Some(&b), after);
        if added >= least || !self.may_move(first, last, to) || (turn && !self.may_turn(first, last)) {
            return false;
        }
        self.gained += least + GAIN_MM - added;
        if turn {
            self.turn(first, last);
        }
        if first == last {
            self.visits[first] = a;
        }
        self.shift(first, last, to);
        let count = last + 1 - first;
        let (new, old) = if to > last { (to - count, first) } else { (to, last + 1) };
        self.look_again(&[new, new + count, old]);
        true
    }

    fn may_move(&self, first: usize, last: usize, to: usize) -> bool {
        let rank = |i: usize| self.stops[self.visits[i].stop].rank;
        if rank(first.min(to)) != rank(last.max(to - usize::from(to > last))) {
            return false;
        }
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

    fn note(&mut self, range: Range<usize>) {
        self.changed = self.changed.start.min(range.start)..self.changed.end.max(range.end);
        for i in range {
            self.at[self.visits[i].stop] = i;
        }
    }

    /// Turns round what lies between two stops, so that they follow each other: the steps before both give way, or
    /// those after both.
    fn try_turns(&mut self, stop: usize, other: usize, (before, after): (bool, bool), near: f64) -> bool {
        let (a, b) = (self.at[stop].min(self.at[other]), self.at[stop].max(self.at[other]));
        after && self.try_turn(a + 1, b, near) || before && self.try_turn(a, b - 1, near)
    }

    fn try_turn(&mut self, from: usize, to: usize, near: f64) -> bool {
        if to <= from || to - from > TURNED {
            return false;
        }
        self.tries += 1;
        let removed = self.step(from) + self.step(to + 1);
        if removed - GAIN_MM <= near {
            return false;
        }
        let next = self.visits.get(to + 1);
        let (first, last) = (self.turned(self.visits[to]), self.turned(self.visits[from]));
        let added = self.link(self.seat_before(from), Some(&first)) + self.link(Some(&last), next);
        if added > removed - GAIN_MM || !self.may_turn(from, to) {
            return false;
        }
        self.gained += removed - added;
        self.turn(from, to);
        self.look_again(&[from, to + 1]);
        true
    }

    fn turn(&mut self, from: usize, to: usize) {
        self.visits[from..=to].reverse();
        for i in from..=to {
            self.visits[i] = self.turned(self.visits[i]);
        }
        self.note(from..to + 1);
    }

    fn may_turn(&self, from: usize, to: usize) -> bool {
        let rank = |i: usize| self.stops[self.visits[i].stop].rank;
        let later = |v: &Seat| self.stops[v.stop].before;
        rank(from) == rank(to)
            && self.visits[from..=to].iter().filter_map(later).all(|stop| self.at[stop] > to)
    }

    /// The steps to these places are new: the stops at both ends take the gates that suit, and are tried again.
    fn look_again(&mut self, places: &[usize]) {
        for &place in places {
            for i in place.saturating_sub(1)..(place + 1).min(self.visits.len()) {
                self.suit(i);
                self.wait(self.visits[i].stop);
            }
        }
    }

    /// The visit at `place` takes its best gate.
    fn suit(&mut self, place: usize) {
        let old = self.visits[place];
        let best = self.best(old.stop, self.seat_before(place), self.visits.get(place + 1));
        if best.gate != old.gate {
            let way = |tour: &Self| tour.step(place) + tour.step(place + 1);
            let before = way(self);
            self.visits[place] = best;
            let gained = before - way(self);
            if gained > GAIN_MM {
                self.gained += gained;
                self.note(place..place + 1);
            } else {
                self.visits[place] = old;
            }
        }
    }

    /// The stop by the gate that is best between two visits.
    fn best(&self, stop: usize, from: Option<&Seat>, to: Option<&Seat>) -> Seat {
        let from = from.map_or(self.start, |v| v.leave);
        let to = to.map(|v| v.enter);
        let cost = |g: &Gate| from.distance(g.enter) + to.map_or(0.0, |to| g.leave.distance(to));
        let gates = self.stops[stop].gates.iter().map(cost).enumerate();
        let gate = gates.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(i, _)| i);
        self.seat(stop, gate)
    }

    /// All gates at once, the best for this order: for each gate of each stop the shortest way that leads there.
    pub(super) fn choose_gates(&mut self) {
        let mut reached = vec![(0.0, self.start)];
        let mut came: Vec<Vec<usize>> = Vec::with_capacity(self.visits.len());
        for visit in &self.visits {
            let way = |gate: &Gate| {
                let ways = reached.iter().map(|(sum, from)| sum + from.distance(gate.enter)).enumerate();
                let (from, sum) = ways.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, 0.0));
                (from, (sum, gate.leave))
            };
            let (from, sums) = self.stops[visit.stop].gates.iter().map(way).unzip();
            came.push(from);
            reached = sums;
        }
        let last = reached.iter().enumerate().min_by(|a, b| a.1.0.total_cmp(&b.1.0));
        let mut gate = last.map_or(0, |(i, _)| i);
        for (visit, from) in self.visits.iter_mut().zip(&came).rev() {
            *visit = Seat::new(self.stops, visit.stop, gate);
            gate = from[gate];
        }
    }
}

/// For each stop those with the nearest gates.
fn neighbours(stops: &[Stop]) -> Vec<Vec<(f64, usize)>> {
    let gates = || stops.iter().enumerate().flat_map(|(i, s)| s.gates.iter().map(move |g| (i, g.enter)));
    let points: Vec<Point> = gates().map(|g| g.1).collect();
    let owners: Vec<usize> = gates().map(|g| g.0).collect();
    let mut tree = Nearby::new(&points);
    (0..points.len()).for_each(|p| tree.set(p, true));
    let mut first = 0;
    let mut all = Vec::with_capacity(stops.len());
    for stop in stops {
        let own = first..first + stop.gates.len();
        first = own.end;
        own.clone().for_each(|p| tree.set(p, false));
        let near = |p: usize| {
            let found = tree.nearest(points[p], NEAREST).into_iter();
            found.map(|q| (points[p].distance(points[q]), owners[q])).collect::<Vec<_>>()
        };
        let mut near: Vec<(f64, usize)> = own.clone().flat_map(near).collect();
        near.sort_by(|a, b| (a.1.cmp(&b.1)).then(a.0.total_cmp(&b.0)));
        near.dedup_by_key(|found| found.1);
        near.sort_by(|a, b| (a.0.total_cmp(&b.0)).then(a.1.cmp(&b.1)));
        near.truncate(NEIGHBOURS);
        all.push(near);
        own.for_each(|p| tree.set(p, true));
    }
    all
}

/// Numbers that look like chance and are the same on every machine: Knuth's multiplier (The Art of Computer Programming,
/// volume 2, section 3.3.4, table 1: line 26, from memory).
struct Dice(u64);

impl Dice {
    /// A whole number below `limit`, which is at least 1.
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % limit
    }
}
