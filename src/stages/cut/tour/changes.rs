//! The changes that may shorten a way: stretches go elsewhere or are turned round, under the rules.

use std::ops::Range;

use super::{GAIN_MM, Seat, Tour};

/// Stretches of up to so many stops are moved elsewhere: a piece with its holes, mostly.
const MOVED: usize = 6;

/// Of these, stretches of up to so many stops also the other way round.
const MOVED_TURNED: usize = 3;

/// Stretches of up to so many stops are turned round.
const TURNED: usize = 1000;

impl Tour<'_> {
    /// Stretches that begin with `stop` (where `begins`) or end with it (where `ends`) to beside `other`, at least
    /// `near` mm away.
    pub(super) fn try_moves(
        &mut self,
        stop: usize,
        other: usize,
        (begins, ends): (bool, bool),
        near: f64,
    ) -> bool {
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

    pub(super) fn may_move(&self, first: usize, last: usize, to: usize) -> bool {
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

    pub(super) fn shift(&mut self, first: usize, last: usize, to: usize) {
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

    pub(super) fn note(&mut self, range: Range<usize>) {
        self.changed = self.changed.start.min(range.start)..self.changed.end.max(range.end);
        for i in range {
            self.at[self.visits[i].stop] = i;
        }
    }

    /// Turns round what lies between two stops, so that they follow each other: the steps before both give way, or
    /// those after both.
    pub(super) fn try_turns(
        &mut self,
        stop: usize,
        other: usize,
        (before, after): (bool, bool),
        near: f64,
    ) -> bool {
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
}
