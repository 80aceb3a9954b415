//! Which outline lies in which: parts, their holes, and parts in the holes of others.

use rayon::prelude::*;
use static_aabb2d_index::{StaticAABB2DIndex, StaticAABB2DIndexBuilder};

use super::inside::point_inside_outline;
use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Outline, Point, Rect};
use crate::stages::drawing::Drawn;

/// An outline with what is known of its place among the others.
#[derive(Debug)]
pub(super) struct Node {
    /// Its lines.
    pub(super) index: SegmentIndex,
    /// The smallest upright rectangle around it.
    pub(super) bounds: Rect,
    /// Area within it, mm².
    pub(super) area: f64,
    /// A point inside it.
    pub(super) inside: Point,
    /// The outline around it; none where there is none.
    pub(super) parent: Option<usize>,
    /// How many outlines there are around it: even for the outer outline of a part, odd for a hole.
    pub(super) depth: usize,
}

/// The outlines of one drawing, each with the one around it.
#[derive(Debug)]
pub(super) struct Tree {
    /// One for each outline, in their order.
    pub(super) nodes: Vec<Node>,
    boxes: Option<StaticAABB2DIndex<f64>>,
}

impl Tree {
    /// The tree of some outlines.
    pub(super) fn new(outlines: &[Drawn<Outline>]) -> Self {
        let nodes: Vec<Node> = outlines.par_iter().map(|outline| node(&outline.item)).collect();
        let boxes = boxes(nodes.iter().map(|node| node.bounds));
        let mut tree = Self { nodes, boxes };
        let parents: Vec<Option<usize>> =
            (0..tree.nodes.len()).into_par_iter().map(|i| tree.around(i)).collect();
        tree.nodes.iter_mut().zip(parents).for_each(|(node, parent)| node.parent = parent);
        // A parent is larger, so that from the largest down each one's parent is done before it.
        for &i in tree.nodes_by_area().iter().rev() {
            tree.nodes[i].depth = tree.nodes[i].parent.map_or(0, |parent| tree.nodes[parent].depth + 1);
        }
        tree
    }

    fn nodes_by_area(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.nodes.len()).collect();
        order.sort_by(|&a, &b| self.compare(a, b));
        order
    }

    fn compare(&self, a: usize, b: usize) -> std::cmp::Ordering {
        self.nodes[a].area.total_cmp(&self.nodes[b].area).then(a.cmp(&b))
    }

    /// The smallest larger outline around an outline.
    fn around(&self, which: usize) -> Option<usize> {
        self.holding(self.nodes[which].inside, |other| self.compare(other, which).is_gt())
    }

    /// The smallest outline around a point, of those that may be.
    fn holding(&self, at: Point, may_be: impl Fn(usize) -> bool) -> Option<usize> {
        let boxes = self.boxes.as_ref()?;
        let mut found: Vec<usize> = boxes.query(at.x, at.y, at.x, at.y);
        found.retain(|&other| may_be(other));
        found.sort_by(|&a, &b| self.compare(a, b));
        found.into_iter().find(|&other| self.nodes[other].index.winding(at) != 0)
    }

    /// The smallest outline around a point.
    pub(super) fn at(&self, point: Point) -> Option<usize> {
        self.holding(point, |_| true)
    }

    /// The outer outline of the part whose outline, or one of whose holes, this is.
    pub(super) fn outer_of(&self, which: usize) -> usize {
        match self.nodes[which].parent {
            Some(parent) if self.is_hole(which) => parent,
            _ => which,
        }
    }

    /// Whether the outline is a hole.
    pub(super) fn is_hole(&self, which: usize) -> bool {
        self.nodes[which].depth % 2 == 1
    }

    /// For each outline, those directly within it; and those within none.
    pub(super) fn children(&self) -> (Vec<Vec<usize>>, Vec<usize>) {
        let (mut children, mut roots) = (vec![Vec::new(); self.nodes.len()], Vec::new());
        for (i, node) in self.nodes.iter().enumerate() {
            match node.parent {
                Some(parent) => children[parent].push(i),
                None => roots.push(i),
            }
        }
        (children, roots)
    }
}

fn node(outline: &Outline) -> Node {
    let index = SegmentIndex::of_outline(outline);
    let inside = point_inside_outline(outline, &index);
    Node { bounds: index.bounds(), area: outline.area(), inside, parent: None, depth: 0, index }
}

/// An index of boxes; none where there are no boxes.
pub(super) fn boxes(bounds: impl ExactSizeIterator<Item = Rect>) -> Option<StaticAABB2DIndex<f64>> {
    let mut builder = StaticAABB2DIndexBuilder::new(bounds.len());
    for b in bounds {
        builder.add(b.x0, b.y0, b.x1, b.y1);
    }
    builder.build().ok()
}
