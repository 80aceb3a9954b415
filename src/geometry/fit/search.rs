//! The fewest arcs along a run of samples.
//!
//! A chain may leave the curve by the tolerance, so its joints need not lie on the curve: at each sample a joint may
//! stand at one of a few offsets from it. Between two joints stands one family of arcs, and the samples between them
//! leave an interval of it (see [`super::bulges`]). The search goes layer by layer: for each number of arcs and each
//! offset it keeps the farthest sample that a chain can reach, with the interval of the last arc's bulge that goes
//! with some chain so far, kinks included. Walking back from the end then fixes each bulge so that kinks are small.

use super::bulges::{Bulges, Directions, Family};
use super::samples::Sample;
use crate::geometry::{Point, Vec2};

/// Where joints may stand beside the curve, as fractions of the reach.
const OFFSETS: [f64; 5] = [-0.9, -0.45, 0.0, 0.45, 0.9];

/// A state this much less far along than the best one, as a fraction of the best one's last step, is given up.
const BEHIND: f64 = 0.5;

/// No arc has a radius of less than this many times the reach. What passes a smaller circle within reach may be quite
/// another shape.
const SMALLEST_RADIUS: f64 = 1.1;

/// Where joints have to follow the curve's direction they do so to this many degrees.
const CAREFUL_DEG: f64 = 0.7;

/// What to fit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Task<'a> {
    pub(super) samples: &'a [Sample],
    /// How far samples may lie from the chain.
    pub(super) reach: f64,
    /// Sine and cosine of the largest kink.
    pub(super) kink: (f64, f64),
    /// Directions in which the first arc may leave.
    pub(super) leave: Option<Directions>,
    /// Directions in which the last arc may arrive.
    pub(super) arrive: Option<Directions>,
    /// For each sample whether a joint there has to lie on the curve and follow its direction (see [`Stuck`]).
    pub(super) careful: &'a [bool],
    /// First and last point of the chain, at the first and last sample.
    pub(super) ends: (Point, Point),
}

/// One arc of the result.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) bulge: f64,
    /// The samples that it covers.
    pub(super) first: usize,
    pub(super) last: usize,
    family: Family,
    bulges: Bulges,
}

#[derive(Clone, Copy, Debug)]
struct Node {
    index: usize,
    at: Point,
    parent: usize,
    /// Of the arc that arrives here; none at the start.
    arc: Option<(Family, Bulges)>,
}

/// The samples between which the search could only get on with a kink: what reached farthest came there in a bad
/// direction. Where joints lie on the curve and follow it there is always a way on, at the price of shorter arcs.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stuck {
    pub(super) first: usize,
    pub(super) last: usize,
}

/// The arcs from end to end, within reach of all samples; and the first place at which a kink could not be helped.
pub(super) fn search(task: &Task<'_>) -> (Vec<Piece>, Option<Stuck>) {
    let mut search = Search { task, nodes: Vec::new(), stuck: None };
    let end = search.run();
    let mut pieces = search.walk_back(end);
    settle(task, &mut pieces);
    (pieces, search.stuck)
}

/// A straight line from each sample to the next.
pub(super) fn chords(samples: &[Sample], ends: (Point, Point)) -> Vec<Piece> {
    let last = samples.len() - 1;
    let at = |i: usize| {
        if i == 0 {
            ends.0
        } else if i == last {
            ends.1
        } else {
            samples[i].at
        }
    };
    let piece = |i: usize| {
        let family = Family::new(at(i), at(i + 1))?;
        let bulges = Bulges { low: 0.0, high: 0.0 };
        Some(Piece { from: at(i), to: at(i + 1), bulge: 0.0, first: i, last: i + 1, family, bulges })
    };
    (0..last).filter_map(piece).collect()
}

struct Search<'a> {
    task: &'a Task<'a>,
    nodes: Vec<Node>,
    stuck: Option<Stuck>,
}

impl Search<'_> {
    fn run(&mut self) -> usize {
        self.nodes.push(Node { index: 0, at: self.task.ends.0, parent: 0, arc: None });
        let mut layer = vec![0];
        let mut step = 8;
        loop {
            if let Some(end) = self.finish(&layer) {
                return end;
            }
            let before = self.nodes[layer[0]].index;
            if before + 2 >= self.task.samples.len() {
                return self.force_finish(layer[0]);
            }
            layer = self.next(&layer, step);
            step = (self.nodes[layer[0]].index - before).max(1);
        }
    }

    /// The end, where an arc from one of these states gets there; the one with the widest choice.
    fn finish(&mut self, layer: &[usize]) -> Option<usize> {
        let last = self.task.samples.len() - 1;
        let mut best: Option<(f64, Node)> = None;
        for &parent in layer {
            let at = self.task.ends.1;
            if let Some(arc) = self.arc(parent, last, at, true) {
                let width = arc.1.high - arc.1.low;
                if best.is_none_or(|(most, _)| width > most) {
                    best = Some((width, Node { index: last, at, parent, arc: Some(arc) }));
                }
            }
        }
        let node = best?.1;
        self.nodes.push(node);
        Some(self.nodes.len() - 1)
    }

    /// Remembers the first place at which there was no smooth way on.
    fn note_stuck(&mut self, node: usize) {
        let before = &self.nodes[self.nodes[self.nodes[node].parent].parent];
        let stuck = Stuck { first: before.index, last: self.nodes[node].index + 1 };
        self.stuck.get_or_insert(stuck);
    }

    /// The end by a straight line, whatever the kink.
    fn force_finish(&mut self, parent: usize) -> usize {
        self.note_stuck(parent);
        let at = self.task.ends.1;
        let arc = Family::new(self.nodes[parent].at, at).map(|f| (f, Bulges { low: 0.0, high: 0.0 }));
        self.nodes.push(Node { index: self.task.samples.len() - 1, at, parent, arc });
        self.nodes.len() - 1
    }

    /// The states one arc farther, the farthest first; never none, never one that does not get on.
    fn next(&mut self, layer: &[usize], step: usize) -> Vec<usize> {
        let mut next: Vec<Node> = Vec::with_capacity(OFFSETS.len());
        for offset in OFFSETS {
            let mut best: Option<Node> = None;
            for &parent in layer {
                let least = best.as_ref().map_or(0, |b| b.index);
                if let Some(node) = self.farthest(parent, offset, step, least) {
                    best = Some(node);
                }
            }
            next.extend(best);
        }
        next.sort_by_key(|node| std::cmp::Reverse(node.index));
        if next.is_empty() {
            self.note_stuck(layer[0]);
            next.push(self.one_step(layer[0]));
        }
        let most = next[0].index;
        let gone = most - self.nodes[next[0].parent].index;
        next.retain(|node| (most - node.index) as f64 <= BEHIND * gone as f64);
        let first = self.nodes.len();
        self.nodes.extend(next);
        (first..self.nodes.len()).collect()
    }

    /// A straight line to the next sample, whatever the kink: where nothing else is possible.
    fn one_step(&self, parent: usize) -> Node {
        let index = (self.nodes[parent].index + 1).min(self.task.samples.len() - 2);
        let at = self.task.samples[index].at;
        let arc = Family::new(self.nodes[parent].at, at).map(|f| (f, Bulges { low: 0.0, high: 0.0 }));
        Node { index, at, parent, arc }
    }

    /// The farthest joint at this offset that one arc from the parent reaches, if it lies beyond sample `least`.
    fn farthest(&self, parent: usize, offset: f64, step: usize, least: usize) -> Option<Node> {
        let from = self.nodes[parent].index;
        let end = self.task.samples.len() - 2;
        let joint = |index: usize| {
            let s = &self.task.samples[index];
            s.at + Vec2::new(-s.along.y, s.along.x) * (offset * self.task.reach)
        };
        let reaches = |index: usize| {
            if self.task.careful[index] && offset.abs() > 0.0 {
                return None;
            }
            let at = joint(index);
            self.arc(parent, index, at, false).map(|arc| Node { index, at, parent, arc: Some(arc) })
        };
        if from >= end {
            return None;
        }
        let (mut low, mut best, mut high);
        if least > from {
            // Worth having only beyond what another state reaches already.
            if least >= end {
                return None;
            }
            best = Some(reaches(least + 1)?);
            (low, high) = (least + 1, end + 1);
            let mut ahead = 1;
            while low + ahead < high {
                match reaches(low + ahead) {
                    Some(node) => (low, best) = (node.index, Some(node)),
                    None => high = low + ahead,
                }
                ahead *= 2;
            }
        } else {
            best = None;
            (low, high) = (from, end + 1);
            let mut try_at = (from + step).min(end);
            loop {
                if let Some(node) = reaches(try_at) {
                    (low, best) = (try_at, Some(node));
                    let ahead = (try_at - from).div_ceil(3);
                    if try_at + ahead >= high {
                        break;
                    }
                    try_at += ahead;
                } else {
                    high = try_at;
                    if best.is_some() || try_at <= from + 1 {
                        break;
                    }
                    try_at = from + (try_at - from) * 2 / 3;
                    try_at = try_at.max(from + 1);
                }
            }
        }
        best.as_ref()?;
        while high - low > 1 {
            let middle = usize::midpoint(low, high);
            match reaches(middle) {
                Some(node) => (low, best) = (middle, Some(node)),
                None => high = middle,
            }
        }
        best
    }

    /// The arcs from a state to a point at sample `index` that pass all samples between within reach, with no kink.
    fn arc(&self, parent: usize, index: usize, at: Point, last: bool) -> Option<(Family, Bulges)> {
        let node = &self.nodes[parent];
        let family = Family::new(node.at, at)?;
        let mut bulges = family.wider_than(SMALLEST_RADIUS * self.task.reach);
        let leave = match node.arc {
            Some((before, range)) => Some(before.ends(range).widened(self.task.kink)),
            None => self.task.leave,
        };
        if let Some(directions) = leave {
            bulges = bulges.meet(family.leaving(directions));
        }
        if let (true, Some(directions)) = (last, self.task.arrive) {
            bulges = bulges.meet(family.arriving(directions));
        }
        if !last && self.task.careful[index] {
            let own = Directions::about(self.task.samples[index].along, CAREFUL_DEG.to_radians());
            bulges = bulges.meet(family.arriving(own));
        }
        if bulges.is_empty() {
            return None;
        }
        let between = &self.task.samples[node.index + 1..index];
        // Far too long an arc shows at a few places: look there first.
        let stride = between.len() / 6 + 1;
        for sample in between.iter().step_by(stride).chain(between) {
            bulges = bulges.meet(family.near(sample.at, self.task.reach));
            if bulges.is_empty() {
                return None;
            }
        }
        Some((family, bulges))
    }

    fn walk_back(&self, end: usize) -> Vec<Piece> {
        let mut pieces = Vec::new();
        let mut id = end;
        while id != 0 {
            let Node { index, at, parent, arc } = self.nodes[id];
            let before = &self.nodes[parent];
            if let Some((family, bulges)) = arc {
                let bulge = f64::midpoint(bulges.low, bulges.high);
                let (from, first) = (before.at, before.index);
                pieces.push(Piece { from, to: at, bulge, first, last: index, family, bulges });
            }
            id = parent;
        }
        pieces.reverse();
        pieces
    }
}

/// Fixes the bulges from the end backwards, each as smooth with the next as its interval allows; then evens the kinks
/// out, and makes straight what is straight to the tolerance.
fn settle(task: &Task<'_>, pieces: &mut [Piece]) {
    let count = pieces.len();
    for i in (0..count).rev() {
        let wish = if i + 1 < count {
            let next = pieces[i + 1];
            Some(next.family.start(next.bulge))
        } else {
            task.arrive.map(|d| (d.low + d.high).normalize())
        };
        let piece = &mut pieces[i];
        if let Some(direction) = wish {
            piece.bulge = piece.bulges.clamp(piece.family.arriving_along(direction));
        }
    }
    for _ in 0..2 {
        for i in 0..count {
            pieces[i].bulge = evened(task, pieces, i);
        }
    }
    for i in 0..count {
        straighten(task, pieces, i);
    }
}

/// The directions before and after a piece, as far as they are known.
fn around(task: &Task<'_>, pieces: &[Piece], i: usize) -> (Option<Vec2>, Option<Vec2>) {
    let before = match i.checked_sub(1) {
        Some(j) => Some(pieces[j].family.end(pieces[j].bulge)),
        None => task.leave.map(|d| (d.low + d.high).normalize()),
    };
    let after = match pieces.get(i + 1) {
        Some(next) => Some(next.family.start(next.bulge)),
        None => task.arrive.map(|d| (d.low + d.high).normalize()),
    };
    (before, after)
}

/// The bulge of piece `i` that shares the kinks at its two ends evenly, within its interval.
fn evened(task: &Task<'_>, pieces: &[Piece], i: usize) -> f64 {
    let piece = &pieces[i];
    let (before, after) = around(task, pieces, i);
    let first = before.map(|d| piece.family.leaving_along(d));
    let last = after.map(|d| piece.family.arriving_along(d));
    match (first, last) {
        (Some(a), Some(b)) => piece.bulges.clamp(bulge_between(a, b)),
        _ => piece.bulge,
    }
}

/// The bulge whose included angle is midway between those of two others.
fn bulge_between(a: f64, b: f64) -> f64 {
    // The tangent of (u + v) / 2 is (sin u + sin v) / (cos u + cos v).
    let (p, q) = ((1.0 + a * a).sqrt(), (1.0 + b * b).sqrt());
    (a * q + b * p) / (p + q)
}

/// Makes a piece a line where its sagitta is within half the reach, a line passes all its samples, and the kinks at its
/// ends allow it.
fn straighten(task: &Task<'_>, pieces: &mut [Piece], i: usize) {
    let piece = pieces[i];
    let sagitta = piece.from.distance(piece.to) * piece.bulge.abs() / 2.0;
    let (low, high) = (piece.bulges.low, piece.bulges.high);
    if piece.bulge == 0.0 || sagitta > task.reach / 2.0 || low > 0.0 || high < 0.0 {
        return;
    }
    let (before, after) = around(task, pieces, i);
    let line = piece.family.start(0.0);
    let smooth = |d: Option<Vec2>| d.is_none_or(|d| d.dot(line) >= task.kink.1);
    if smooth(before) && smooth(after) {
        pieces[i].bulge = 0.0;
    }
}
