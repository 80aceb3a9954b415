//! Where a rectangle fits into a piece: the material in bands, each with the stretches of it that are free.

use crate::geometry::{Outline, Placement, Point, Rect, Region};

/// How far an arc may stray from the lines that stand for it here, mm; the clearance grows by as much.
const STRAY: f64 = 0.05;

/// No arc is cut into more lines than this.
const MOST_CHORDS: usize = 200;

/// A band is no thinner than this, mm.
const THINNEST: f64 = 0.4;

/// No piece is cut into more bands than this.
const MOST_BANDS: f64 = 400.0;

/// A line from one point to another.
pub(super) type Edge = (Point, Point);

/// The outlines of a region as lines.
pub(super) fn edges_of(region: &Region) -> Vec<Edge> {
    let mut edges = Vec::new();
    for segment in region.outlines().flat_map(Outline::segments) {
        let pieces = segment.chord_count(STRAY).min(MOST_CHORDS);
        let mut from = segment.from;
        for i in 1..=pieces {
            let to = segment.at(i as f64 / pieces as f64);
            edges.push((from, to));
            from = to;
        }
    }
    edges
}

/// The four sides of a rectangle that is turned by `deg` degrees about the origin.
pub(super) fn sides(rect: Rect, deg: f64) -> [Edge; 4] {
    let turn = turned(deg);
    let corners = [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)];
    let [a, b, c, d] = corners.map(|(x, y)| turn.point(Point::new(x, y)));
    [(a, b), (b, c), (c, d), (d, a)]
}

/// A turn about the origin.
pub(super) const fn turned(deg: f64) -> Placement {
    Placement { turn_deg: deg, ..Placement::HERE }
}

/// A piece seen turned, so that what is to be placed lies along x, in bands from below.
#[derive(Debug)]
pub(super) struct Bands {
    bottom: f64,
    step: f64,
    free: Vec<Vec<(f64, f64)>>,
}

impl Bands {
    /// The bands of a piece seen with direction `deg` along x; everything in them is `clearance` away from all edges.
    pub(super) fn new(edges: &[Edge], deg: f64, clearance: f64) -> Self {
        let turn = turned(-deg);
        let edges: Vec<Edge> = edges.iter().map(|&(a, b)| (turn.point(a), turn.point(b))).collect();
        let ys = edges.iter().flat_map(|&(a, b)| [a.y, b.y]);
        let (low, high) = ys.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), y| (l.min(y), h.max(y)));
        let (bottom, height) = (low + clearance, high - low - 2.0 * clearance);
        if !height.is_finite() || height <= 0.0 {
            return Self { bottom: 0.0, step: 1.0, free: Vec::new() };
        }
        let step = THINNEST.max(height / MOST_BANDS);
        let count = (height / step).floor() as usize;
        let mut bands = vec![Band::default(); count];
        for &edge in &edges {
            mark(&mut bands, edge, bottom, step, clearance + STRAY);
        }
        Self { bottom, step, free: bands.into_iter().map(Band::free).collect() }
    }

    /// The roomiest place for a rectangle of this size, if there is one.
    pub(super) fn fit(&self, width: f64, height: f64) -> Option<Rect> {
        let needed = ((height / self.step).ceil() as usize).max(1);
        let mut best: Option<(f64, f64, f64)> = None;
        for start in 0..(self.free.len() + 1).saturating_sub(needed) {
            for (left, right) in self.common(start, needed, width) {
                if best.is_none_or(|(l, r, _)| right - left > r - l + 1e-9) {
                    let slack = needed as f64 * self.step - height;
                    best = Some((left, right, self.bottom + start as f64 * self.step + slack / 2.0));
                }
            }
        }
        best.map(|(left, right, y)| {
            let x = f64::midpoint(left, right) - width / 2.0;
            Rect::new(x, y, x + width, y + height)
        })
    }

    /// The stretches, at least so wide, that are free in all of these bands.
    fn common(&self, start: usize, count: usize, width: f64) -> Vec<(f64, f64)> {
        let mut common: Vec<(f64, f64)> = wide(self.free[start].iter().copied(), width);
        for band in &self.free[start + 1..start + count] {
            if common.is_empty() {
                break;
            }
            let both = common.iter().flat_map(|&(a, b)| band.iter().map(move |&(c, d)| (a.max(c), b.min(d))));
            common = wide(both, width);
        }
        common
    }
}

fn wide(stretches: impl Iterator<Item = (f64, f64)>, width: f64) -> Vec<(f64, f64)> {
    stretches.filter(|(left, right)| right - left >= width).collect()
}

/// What edges do to one band.
#[derive(Clone, Debug, Default)]
struct Band {
    /// Stretches that are too near to an edge.
    blocked: Vec<(f64, f64)>,
    /// Where edges cross the band's middle.
    crossings: Vec<f64>,
}

impl Band {
    /// The stretches between blocked ones that lie in the material.
    fn free(mut self) -> Vec<(f64, f64)> {
        self.blocked.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut free = Vec::new();
        let mut reach = f64::NEG_INFINITY;
        for &(left, right) in &self.blocked {
            if left > reach && reach.is_finite() {
                let middle = f64::midpoint(reach, left);
                if self.crossings.iter().filter(|x| **x < middle).count() % 2 == 1 {
                    free.push((reach, left));
                }
            }
            reach = reach.max(right);
        }
        free
    }
}

/// Enters an edge into every band that it comes near to.
fn mark(bands: &mut [Band], (a, b): Edge, bottom: f64, step: f64, clearance: f64) {
    let (low, high) = if a.y <= b.y { (a, b) } else { (b, a) };
    let index = |y: f64| ((y - bottom) / step).floor();
    let first = index(low.y - clearance).max(0.0);
    let last = index(high.y + clearance).min(bands.len() as f64 - 1.0);
    if last < first {
        return;
    }
    let x_at = |y: f64| {
        let rise = high.y - low.y;
        if rise <= 0.0 { low.x } else { low.x + (high.x - low.x) * ((y - low.y) / rise).clamp(0.0, 1.0) }
    };
    for (j, band) in bands.iter_mut().enumerate().take(last as usize + 1).skip(first as usize) {
        let from = bottom + j as f64 * step;
        let (mut x0, mut x1) = (x_at(from - clearance), x_at(from + step + clearance));
        if high.y - low.y <= 0.0 {
            (x0, x1) = (low.x, high.x);
        }
        band.blocked.push((x0.min(x1) - clearance, x0.max(x1) + clearance));
        let middle = from + step / 2.0;
        if low.y <= middle && middle < high.y {
            band.crossings.push(x_at(middle));
        }
    }
}
