//! Ends that are one point: end to end first, the smallest gap first, then ends on the middle of another line.

use super::double::{boxes, inside};
use super::grid::Grid;
use super::net::{Edge, Net};
use crate::geometry::curve::Curve;
use crate::geometry::{Point, fit};

/// An edge this many times as long as the gap between its ends may close upon itself; a shorter one is a speck.
const SPECK: f64 = 4.0;

/// Joins loose ends in pairs, the smallest gap of the whole drawing first, up to `join` millimetres.
pub(super) fn pair(net: &mut Net, join: f64) {
    let loose = loose_ends(net);
    let mut grid = Grid::new(join);
    for (number, end) in loose.iter().enumerate() {
        grid.add(end.at, number);
    }
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for (a, end) in loose.iter().enumerate() {
        for b in grid.near(end.at, join).filter(|&b| b > a) {
            let gap = end.at.distance(loose[b].at);
            let own = end.edge == loose[b].edge && net.edges[end.edge].length < SPECK * gap;
            if gap <= join && !own {
                pairs.push((gap, a, b));
            }
        }
    }
    pairs.sort_by(|p, q| p.0.total_cmp(&q.0).then((p.1, p.2).cmp(&(q.1, q.2))));
    let mut taken = vec![false; loose.len()];
    let mut merged = Vec::new();
    for (_, a, b) in pairs {
        if !taken[a] && !taken[b] {
            (taken[a], taken[b]) = (true, true);
            merged.push((loose[a].node, loose[b].node));
        }
    }
    net.merge(&merged);
}

/// An end that no other end meets.
#[derive(Clone, Copy, Debug)]
pub(super) struct LooseEnd {
    /// Its node.
    pub(super) node: usize,
    /// Its edge.
    pub(super) edge: usize,
    /// Where it is.
    pub(super) at: Point,
}

/// Every end that no other end meets, in the order of the edges.
pub(super) fn loose_ends(net: &Net) -> Vec<LooseEnd> {
    let degrees = net.degrees();
    let ends = |(edge, e): (usize, &Edge)| {
        [0, 1].map(|side| LooseEnd { node: e.ends[side], edge, at: e.points[side] })
    };
    net.edges.iter().enumerate().flat_map(ends).filter(|end| degrees[end.node] == 1).collect()
}

/// Joins the ends that are still loose to the nearest line within `join` millimetres: to its end, or to its middle, which
/// is then cut there.
pub(super) fn tee(net: &mut Net, join: f64, tolerance: f64) {
    let loose = loose_ends(net);
    if loose.is_empty() {
        return;
    }
    straighten(net, &loose, join, tolerance);
    let Some(index) = boxes(&net.edges, join) else { return };
    let (mut merges, mut cuts) = (Vec::new(), Vec::new());
    for end in &loose {
        let hits = index.query(end.at.x, end.at.y, end.at.x, end.at.y);
        let nearest = hits
            .into_iter()
            .filter(|&edge| !net.edges[edge].ends.contains(&end.node))
            .filter_map(|edge| on_edge(&net.edges[edge], end.at, join).map(|(gap, t)| (gap, edge, t)))
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        match nearest {
            Some((_, edge, Landing::End(side))) => merges.push((end.node, net.edges[edge].ends[side])),
            Some((_, edge, Landing::Middle(t))) => cuts.push((edge, t, end.node)),
            None => {}
        }
    }
    net.split(cuts);
    net.merge(&merges);
}

/// Where an end lands on an edge.
#[derive(Clone, Copy, Debug)]
enum Landing {
    End(usize),
    Middle(f64),
}

fn on_edge(edge: &Edge, at: Point, join: f64) -> Option<(f64, Landing)> {
    let to_end = [0, 1].map(|side| edge.points[side].distance(at));
    let side = usize::from(to_end[1] < to_end[0]);
    if let Curve::Segment(segment) = &edge.curve
        && let Some(t) = inside(segment, at, join)
    {
        return Some((segment.nearest(at).1, Landing::Middle(t)));
    }
    (to_end[side] <= join).then_some((to_end[side], Landing::End(side)))
}

/// Turns the free curves on whose middle an end lies into lines and arcs, which can be cut there.
fn straighten(net: &mut Net, loose: &[LooseEnd], join: f64, tolerance: f64) {
    let Some(index) = boxes(&net.edges, join) else { return };
    let mut free: Vec<(usize, Point)> = Vec::new();
    for end in loose {
        for edge in index.query(end.at.x, end.at.y, end.at.x, end.at.y) {
            let apart = edge != end.edge && net.edges[edge].points.iter().all(|p| p.distance(end.at) > join);
            if apart && !matches!(net.edges[edge].curve, Curve::Segment(_)) {
                free.push((edge, end.at));
            }
        }
    }
    free.sort_by_key(|&(edge, _)| edge);
    for group in free.chunk_by(|a, b| a.0 == b.0) {
        let edge = group[0].0;
        let Ok(chain) = fit::chain(std::slice::from_ref(&net.edges[edge].curve), tolerance) else { continue };
        let touched = |at: Point| chain.segments().any(|s| s.nearest(at).1 <= join + tolerance);
        if group.iter().any(|&(_, at)| touched(at)) {
            let pieces: Vec<_> = chain.segments().collect();
            net.replace(edge, &pieces);
        }
    }
}
