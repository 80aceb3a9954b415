//! Lines that run out from an outline and back over themselves: they enclose nothing, and are taken out.

use super::SAME;
use super::outlines::{REPEAT, Ring};
use crate::geometry::Point;
use crate::geometry::curve::Curve;

/// The way back may leave the way out by this fraction of the shorter of the two, and by no more than [`SAME`].
const ASIDE: f64 = 1e-2;

/// What was taken out of closed strokes.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Spurs {
    /// How many.
    pub(super) count: usize,
    /// Where the first of them turns back, and how far it ran, mm.
    pub(super) first: Option<(Point, f64)>,
}

impl Spurs {
    /// Adds what was taken out of another stroke.
    pub(super) fn add(&mut self, other: Self) {
        self.count += other.count;
        self.first = self.first.or(other.first);
    }

    fn note(&mut self, at: Point, length: f64) {
        self.count += 1;
        self.first = self.first.or(Some((at, length)));
    }
}

/// The ring without its spurs. One that is nothing but a way out and back is left as it is.
pub(super) fn without_spurs(ring: Ring, all: &mut Spurs) -> Ring {
    let mut spurs = Spurs::default();
    let mut kept: Vec<Curve> = Vec::with_capacity(ring.curves.len());
    for curve in &ring.curves {
        add(&mut kept, curve.clone(), &mut spurs);
    }
    // Round the place where the row begins and ends.
    while kept.len() > 2 && spared(&kept[kept.len() - 1], &kept[0]).is_some() {
        let first = kept.remove(0);
        add(&mut kept, first, &mut spurs);
    }
    if spurs.count == 0 || kept.len() < 2 {
        return ring;
    }
    all.add(spurs);
    Ring { curves: kept, ..ring }
}

fn add(kept: &mut Vec<Curve>, mut curve: Curve, spurs: &mut Spurs) {
    while let Some(last) = kept.last() {
        let Some(mut rest) = spared(last, &curve) else { break };
        spurs.note(curve.from(), last.length().min(curve.length()));
        kept.pop();
        match rest.pop() {
            Some(line) => curve = line,
            None => return,
        }
    }
    kept.push(curve);
}

/// Where the second curve runs back over the first: what is left of both, one line or nothing.
fn spared(out: &Curve, back: &Curve) -> Option<Vec<Curve>> {
    let near = SAME.min(ASIDE * out.length().min(back.length()));
    if out.from().distance(back.to()) <= REPEAT
        && [0.25, 0.5, 0.75].iter().all(|&t| out.at(t).distance(back.at(1.0 - t)) <= near)
    {
        return Some(Vec::new());
    }
    let (Curve::Segment(a), Curve::Segment(b)) = (out, back) else { return None };
    if !a.is_line() || !b.is_line() || a.chord().dot(b.chord()) >= 0.0 {
        return None;
    }
    let (long, end) = if a.length() >= b.length() { (a, b.to) } else { (b, a.from) };
    (long.nearest(end).1 <= near).then(|| vec![Curve::line(a.from, b.to)])
}
