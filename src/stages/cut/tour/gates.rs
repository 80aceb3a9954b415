//! By which gates stops are entered and left, and whose gates are near.

use crate::geometry::Point;

use super::super::nearby::Nearby;
use super::super::travel::{Gate, Stop};
use super::{GAIN_MM, Seat, Tour};

/// So many neighbours of each stop are tried.
const NEIGHBOURS: usize = 8;

/// So many gates of others near each gate are looked at to find them.
const NEAREST: usize = 12;

/// So many times as many for a stop that is to be kept apart from others.
const BEYOND: usize = 4;

impl Tour<'_> {
    /// The steps to these places are new: the stops at both ends take the gates that suit, and are tried again.
    pub(super) fn look_again(&mut self, places: &[usize]) {
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
    pub(super) fn best(&self, stop: usize, from: Option<&Seat>, to: Option<&Seat>) -> Seat {
        let from = from.map_or(self.start, |v| v.leave);
        let to = to.map(|v| v.enter);
        let cost = |g: &Gate| from.distance(g.enter) + to.map_or(0.0, |to| g.leave.distance(to));
        let gates = self.stops[stop].gates.iter().map(cost).enumerate();
        let gate = gates.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(i, _)| i);
        self.seat(stop, gate)
    }

    /// All gates at once, the best for this order.
    pub(in super::super) fn choose_gates(&mut self) {
        let order: Vec<usize> = self.visits.iter().map(|visit| visit.stop).collect();
        for (visit, gate) in self.visits.iter_mut().zip(best_gates(self.start, self.stops, &order)) {
            *visit = Seat::new(self.stops, visit.stop, gate);
        }
    }
}

/// The gates that are best for this order, one for each visit: for each gate of each stop the shortest way that leads
/// there.
pub(in super::super) fn best_gates(start: Point, stops: &[Stop], order: &[usize]) -> Vec<usize> {
    let mut reached = vec![(0.0, start)];
    let mut came: Vec<Vec<usize>> = Vec::with_capacity(order.len());
    for &stop in order {
        let way = |gate: &Gate| {
            let ways = reached.iter().map(|(sum, from)| sum + from.distance(gate.enter)).enumerate();
            let (from, sum) = ways.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, 0.0));
            (from, (sum, gate.leave))
        };
        let (from, sums) = stops[stop].gates.iter().map(way).unzip();
        came.push(from);
        reached = sums;
    }
    let last = reached.iter().enumerate().min_by(|a, b| a.1.0.total_cmp(&b.1.0));
    let mut gate = last.map_or(0, |(i, _)| i);
    let mut gates = vec![0; order.len()];
    for (chosen, from) in gates.iter_mut().zip(&came).rev() {
        *chosen = gate;
        gate = from[gate];
    }
    gates
}

/// For each stop those with the nearest gates, and how dear it is at least to go there, mm.
pub(super) fn neighbours(stops: &[Stop], apart_mm: f64) -> Vec<Vec<(f64, usize)>> {
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
        // Those to be kept apart from are the nearest: others are looked for beyond them.
        let count = NEAREST * if stop.apart.is_empty() { 1 } else { BEYOND };
        let dear = |owner: usize| if stop.apart.binary_search(&owner).is_ok() { apart_mm } else { 0.0 };
        let near = |p: usize| {
            let found = tree.nearest(points[p], count).into_iter();
            found.map(|q| (points[p].distance(points[q]) + dear(owners[q]), owners[q])).collect::<Vec<_>>()
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
