//! Outlines that cross or touch where they must not.

use rayon::prelude::*;

use super::tree::{Tree, boxes};
use crate::geometry::Point;
use crate::geometry::crossing::meeting;
use crate::geometry::distance::{SegmentIndex, Visit};

/// Outlines that come within this of each other, in millimetres, touch: a hundredth of what any machine here can tell.
const TOUCH: f64 = 1e-4;

/// Outlines of two parts that run over each other by no more than this, in millimetres, only touch: curves drawn alike
/// are fitted each by itself, within a tolerance of about this.
const OVER: f64 = 0.02;

/// How two outlines get in each other's way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Clash {
    /// The first outline.
    pub(super) a: usize,
    /// The second outline.
    pub(super) b: usize,
    /// Where.
    pub(super) at: Point,
    /// Whether they cross; else they touch, and are outlines of one part.
    pub(super) crosses: bool,
}

/// Every pair of neighbouring outlines that cross, and those of one part that touch.
pub(super) fn clashes(tree: &Tree) -> Vec<Clash> {
    let mut pairs = Vec::new();
    let (children, roots) = tree.children();
    for (parent, inner) in children.iter().enumerate() {
        pairs.extend(inner.iter().map(|&child| (parent, child)));
        pairs.extend(siblings(tree, inner));
    }
    pairs.extend(siblings(tree, &roots));
    pairs.sort_unstable();
    pairs.par_iter().filter_map(|&(a, b)| clash(tree, a, b)).collect()
}

/// Pairs of outlines, none within another, whose boxes meet.
fn siblings(tree: &Tree, group: &[usize]) -> Vec<(usize, usize)> {
    let Some(index) = boxes(group.iter().map(|&i| tree.nodes[i].bounds.inflate(TOUCH, TOUCH))) else {
        return Vec::new();
    };
    let mut pairs = Vec::new();
    for (place, &a) in group.iter().enumerate() {
        let b = tree.nodes[a].bounds;
        let mut near = index.query(b.x0, b.y0, b.x1, b.y1);
        near.retain(|&other| other > place);
        pairs.extend(near.into_iter().map(|other| (a, group[other])));
    }
    pairs
}

fn clash(tree: &Tree, a: usize, b: usize) -> Option<Clash> {
    let (one, other) = (&tree.nodes[a], &tree.nodes[b]);
    let touch = meeting(&one.index, &other.index, TOUCH)?;
    let (inner, outer) = if one.area < other.area { (one, other) } else { (other, one) };
    if let Some(at) = crossing(&inner.index, &outer.index).or_else(|| crossing(&outer.index, &inner.index)) {
        return Some(Clash { a, b, at, crosses: true });
    }
    let of_one_part = tree.outer_of(a) == tree.outer_of(b);
    of_one_part.then_some(Clash { a, b, at: touch, crosses: false })
}

/// A place at which one outline's line passes from inside the other to outside it, by more than rounding.
fn crossing(a: &SegmentIndex, b: &SegmentIndex) -> Option<Point> {
    let (mut inside, mut outside) = (None, None);
    let bounds = b.bounds();
    for which in 0..a.len() {
        if !a.piece(which).bounds().overlaps(bounds) {
            let segment = a.segment(which);
            outside = outside.or(Some(segment.at(0.5)));
            continue;
        }
        for point in probes(a, which, b) {
            if b.distance(point) > OVER {
                let side = if b.winding(point) == 0 { &mut outside } else { &mut inside };
                *side = side.or(Some(point));
            }
        }
    }
    outside.and(inside)
}

/// Points of one segment between the places at which it crosses the other outline.
fn probes(a: &SegmentIndex, which: usize, b: &SegmentIndex) -> Vec<Point> {
    let segment = a.segment(which);
    let mut stops = vec![0.0, 1.0];
    b.visit(a.piece(which).bounds(), |other| {
        stops.extend(a.piece(which).crossings(b.piece(other)).map(|at| segment.nearest(at).0));
        Visit::Go
    });
    stops.sort_by(f64::total_cmp);
    let between = |pair: &[f64]| segment.at(f64::midpoint(pair[0], pair[1]));
    std::iter::once(segment.from).chain(stops.windows(2).map(between)).collect()
}
