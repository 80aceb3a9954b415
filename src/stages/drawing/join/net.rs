//! The strokes of a drawing as a net: curves between nodes, where ends that are one point share a node.

use super::SAME;
use super::grid::Grid;
use crate::geometry::Point;
use crate::geometry::curve::Curve;

/// One curve of the net.
#[derive(Clone, Debug)]
pub(super) struct Edge {
    /// The curve as drawn; its ends may lie a little off their nodes.
    pub(super) curve: Curve,
    /// Nodes at its beginning and end.
    pub(super) ends: [usize; 2],
    /// Where it begins and ends.
    pub(super) points: [Point; 2],
    /// Its length, mm.
    pub(super) length: f64,
    /// Which stroke of the drawing it comes from.
    pub(super) stroke: usize,
    /// Which curve it is a piece of: pieces of one curve that follow each other are put together again.
    pub(super) origin: usize,
}

impl Edge {
    fn new(curve: Curve, stroke: usize, origin: usize) -> Self {
        let points = [curve.from(), curve.to()];
        let length = curve.length();
        Self { curve, ends: [0, 0], points, length, stroke, origin }
    }

    /// Whether it begins and ends in the same node.
    pub(super) fn is_loop(&self) -> bool {
        self.ends[0] == self.ends[1]
    }
}

/// Curves between nodes.
#[derive(Debug, Default)]
pub(super) struct Net {
    /// Where each node lies, as far as is known before the gaps are closed.
    pub(super) nodes: Vec<Point>,
    /// The curves.
    pub(super) edges: Vec<Edge>,
    /// How many curves were too short to be anything.
    pub(super) specks: usize,
}

impl Net {
    /// The net of some curves, each with the number of its stroke. Ends within [`SAME`] share a node.
    pub(super) fn new(curves: impl IntoIterator<Item = (Curve, usize)>) -> Self {
        let mut net = Self::default();
        let mut grid = Grid::new(SAME);
        for (origin, (curve, stroke)) in curves.into_iter().enumerate() {
            let mut edge = Edge::new(curve, stroke, origin);
            if edge.length <= SAME {
                net.specks += 1;
                continue;
            }
            edge.ends = edge.points.map(|at| net.node_at(at, &mut grid));
            net.edges.push(edge);
        }
        net
    }

    fn node_at(&mut self, at: Point, grid: &mut Grid) -> usize {
        let nearest = grid
            .near(at, SAME)
            .map(|node| (self.nodes[node].distance(at), node))
            .filter(|&(distance, _)| distance <= SAME)
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        if let Some((_, node)) = nearest {
            return node;
        }
        self.nodes.push(at);
        grid.add(at, self.nodes.len() - 1);
        self.nodes.len() - 1
    }

    /// How many ends meet in each node.
    pub(super) fn degrees(&self) -> Vec<usize> {
        let mut degrees = vec![0; self.nodes.len()];
        for edge in &self.edges {
            degrees[edge.ends[0]] += 1;
            degrees[edge.ends[1]] += 1;
        }
        degrees
    }

    /// Makes nodes one: `(from, into)` pairs, followed through where they chain.
    pub(super) fn merge(&mut self, pairs: &[(usize, usize)]) {
        if pairs.is_empty() {
            return;
        }
        let mut into: Vec<usize> = (0..self.nodes.len()).collect();
        for &(from, to) in pairs {
            let (from, to) = (root(&mut into, from), root(&mut into, to));
            into[from] = to;
        }
        for edge in &mut self.edges {
            edge.ends = edge.ends.map(|node| root(&mut into, node));
        }
    }

    /// Cuts edges in two or more at nodes: `(edge, fraction of its length, node)`. Only lines and arcs are cut.
    pub(super) fn split(&mut self, mut cuts: Vec<(usize, f64, usize)>) {
        cuts.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));
        cuts.dedup_by_key(|cut| (cut.0, cut.2));
        for group in cuts.chunk_by(|a, b| a.0 == b.0) {
            self.split_one(group);
        }
    }

    fn split_one(&mut self, cuts: &[(usize, f64, usize)]) {
        let edge = self.edges[cuts[0].0].clone();
        let Curve::Segment(segment) = edge.curve else { return };
        let inner = cuts.iter().map(|&(_, t, node)| (t, node));
        let stops: Vec<(f64, usize)> =
            std::iter::once((0.0, edge.ends[0])).chain(inner).chain([(1.0, edge.ends[1])]).collect();
        for (count, pair) in stops.windows(2).enumerate() {
            let curve = Curve::Segment(segment.between(pair[0].0, pair[1].0));
            let mut piece = Edge::new(curve, edge.stroke, edge.origin);
            piece.ends = [pair[0].1, pair[1].1];
            if count == 0 {
                self.edges[cuts[0].0] = piece;
            } else {
                self.edges.push(piece);
            }
        }
    }

    /// Puts lines and arcs in the place of a curve that something ends on.
    pub(super) fn replace(&mut self, edge: usize, pieces: &[crate::geometry::Segment]) {
        let old = self.edges[edge].clone();
        let mut origin = self.edges.iter().map(|e| e.origin).max().unwrap_or(0);
        let mut from = old.ends[0];
        for (count, segment) in pieces.iter().enumerate() {
            let last = count + 1 == pieces.len();
            let to = if last { old.ends[1] } else { self.push_node(segment.to) };
            origin += 1;
            let mut piece = Edge::new(Curve::Segment(*segment), old.stroke, origin);
            piece.ends = [from, to];
            from = to;
            if count == 0 {
                self.edges[edge] = piece;
            } else {
                self.edges.push(piece);
            }
        }
    }

    fn push_node(&mut self, at: Point) -> usize {
        self.nodes.push(at);
        self.nodes.len() - 1
    }
}

fn root(into: &mut [usize], mut node: usize) -> usize {
    while into[node] != node {
        into[node] = into[into[node]];
        node = into[node];
    }
    node
}
