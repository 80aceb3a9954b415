//! Lines drawn twice, or partly over another: found, and all but one removed.

use rayon::prelude::*;
use static_aabb2d_index::{StaticAABB2DIndex, StaticAABB2DIndexBuilder};

use super::SAME;
use super::grid::Grid;
use super::net::{Edge, Net};
use crate::geometry::curve::Curve;
use crate::geometry::{Point, Segment};

/// A repeat may be off by this fraction of its own length at the most, so that the short pieces of a traced curve, which
/// lie near each other, are not taken for repeats of one another.
const SLACK: f64 = 1.0 / 8.0;

/// Removes curves that repeat another one within `join` millimetres, and the stretches along which lines or arcs lie on
/// others. Returns how many were removed, and the place of the first.
pub(super) fn remove(net: &mut Net, join: f64) -> (usize, Option<Point>) {
    let cuts = touches(net, join);
    net.split(cuts);
    repeats(net, join)
}

/// Where edges must be cut: at an end of another edge that lies on them, or that runs along them from there.
fn touches(net: &Net, join: f64) -> Vec<(usize, f64, usize)> {
    let Some(boxes) = boxes(&net.edges, join) else { return Vec::new() };
    let per_edge = |(number, edge): (usize, &Edge)| {
        let mut cuts = Vec::new();
        for side in 0..2 {
            let at = edge.points[side];
            for host in boxes.query(at.x, at.y, at.x, at.y) {
                if host != number
                    && let Some(t) = cut_by(edge, side, &net.edges[host], join)
                {
                    cuts.push((host, t, edge.ends[side]));
                }
            }
        }
        cuts
    };
    net.edges.par_iter().enumerate().flat_map_iter(per_edge).collect()
}

/// Boxes around the edges, wider by `reach`; none where there are no edges.
pub(super) fn boxes(edges: &[Edge], reach: f64) -> Option<StaticAABB2DIndex<f64>> {
    let mut builder = StaticAABB2DIndexBuilder::new(edges.len());
    for edge in edges {
        let b = edge.curve.bounds().inflate(reach, reach);
        builder.add(b.x0, b.y0, b.x1, b.y1);
    }
    builder.build().ok()
}

/// The fraction of the host's length at which the edge's end lies on it: within rounding, or within the joining distance
/// where the edge then runs along the host.
fn cut_by(edge: &Edge, side: usize, host: &Edge, join: f64) -> Option<f64> {
    let (Curve::Segment(line), Curve::Segment(on)) = (&edge.curve, &host.curve) else { return None };
    let leaving = if side == 0 { *line } else { line.reversed() };
    let t = inside(on, edge.points[side], join)?;
    if on.at(t).distance(edge.points[side]) <= SAME {
        return Some(t);
    }
    [t * host.length, (1.0 - t) * host.length]
        .into_iter()
        .any(|reach| lies_on(&leaving, edge.length, reach.min(edge.length), on, join))
        .then_some(t)
}

/// The fraction at which a point lies on a line or arc, clear of both its ends.
pub(super) fn inside(on: &Segment, point: Point, join: f64) -> Option<f64> {
    let (t, distance) = on.nearest(point);
    let foot = on.at(t);
    (distance <= join && foot.distance(on.from) > join && foot.distance(on.to) > join).then_some(t)
}

/// Whether the first `stretch` millimetres of a segment lie on another.
fn lies_on(leaving: &Segment, length: f64, stretch: f64, on: &Segment, join: f64) -> bool {
    let slack = join.min(stretch * SLACK);
    [0.0, 0.5, 1.0].into_iter().all(|part| on.nearest(leaving.at(part * stretch / length)).1 <= slack)
}

/// Removes every edge that repeats one before it.
fn repeats(net: &mut Net, join: f64) -> (usize, Option<Point>) {
    let mut grid = Grid::new(join);
    let mut kept: Vec<Edge> = Vec::with_capacity(net.edges.len());
    let (mut removed, mut first) = (0, None);
    for edge in std::mem::take(&mut net.edges) {
        let middle = edge.curve.at(0.5);
        if grid.near(middle, join).any(|other| is_repeat(&edge, &kept[other], join)) {
            removed += 1;
            first = first.or(Some(middle));
        } else {
            grid.add(middle, kept.len());
            kept.push(edge);
        }
    }
    net.edges = kept;
    (removed, first)
}

fn is_repeat(a: &Edge, b: &Edge, join: f64) -> bool {
    let slack = join.min(a.length.min(b.length) * SLACK);
    let close = |p: Point, q: Point| p.distance(q) <= slack;
    let ahead = close(a.points[0], b.points[0]) && close(a.points[1], b.points[1]);
    let back = close(a.points[0], b.points[1]) && close(a.points[1], b.points[0]);
    let along = |turn: bool| {
        [0.25, 0.5, 0.75]
            .into_iter()
            .all(|t| close(a.curve.at(t), b.curve.at(if turn { 1.0 - t } else { t })))
    };
    (ahead && along(false)) || (back && along(true))
}
