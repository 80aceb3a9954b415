//! Which cuts through the wood run near each other, and how near.

use static_aabb2d_index::{StaticAABB2DIndex, StaticAABB2DIndexBuilder};

use crate::geometry::distance::{SegmentIndex, gap};

use super::{Cut, Path};

/// For each cut the closed ones near it.
#[derive(Debug)]
pub(super) struct Near {
    /// The other cut and the narrowest place between the two, mm; rising by cut.
    near: Vec<Vec<(usize, f64)>>,
}

impl Near {
    /// Finds all pairs of closed cuts nearer than `reach_mm`; none where that is 0.
    pub(super) fn new(cuts: &[Cut], reach_mm: f64) -> Self {
        let mut near = vec![Vec::new(); cuts.len()];
        if reach_mm > 0.0 {
            for (a, b, distance) in pairs(cuts, reach_mm) {
                near[a].push((b, distance));
                near[b].push((a, distance));
            }
        }
        for list in &mut near {
            list.sort_by_key(|one: &(usize, f64)| one.0);
        }
        Self { near }
    }

    /// The cuts nearer to this one than one of the two wants it, rising; `limit_mm` is what each wants.
    pub(super) fn within(&self, cut: usize, limit_mm: impl Fn(usize) -> f64) -> Vec<usize> {
        let nearer = |&&(other, distance): &&(usize, f64)| distance < limit_mm(cut).max(limit_mm(other));
        self.near[cut].iter().filter(nearer).map(|one| one.0).collect()
    }
}

fn pairs(cuts: &[Cut], reach_mm: f64) -> Vec<(usize, usize, f64)> {
    let closed: Vec<(usize, SegmentIndex)> =
        cuts.iter().enumerate().filter_map(|(i, cut)| Some((i, index(cut)?))).collect();
    let Some(boxes) = boxes(&closed) else { return Vec::new() };
    let mut found = Vec::new();
    for (k, (a, own)) in closed.iter().enumerate() {
        let area = own.bounds().inflate(reach_mm, reach_mm);
        let mut others = boxes.query(area.x0, area.y0, area.x1, area.y1);
        others.retain(|&other| other > k);
        others.sort_unstable();
        for (b, other) in others.into_iter().map(|other| &closed[other]) {
            found.extend(gap(own, other, reach_mm).map(|gap| (*a, *b, gap.distance)));
        }
    }
    found
}

fn index(cut: &Cut) -> Option<SegmentIndex> {
    match &cut.path {
        Path::Closed(outline) => Some(SegmentIndex::of_outline(outline)),
        Path::Open(_) => None,
    }
}

fn boxes(closed: &[(usize, SegmentIndex)]) -> Option<StaticAABB2DIndex<f64>> {
    let mut builder = StaticAABB2DIndexBuilder::new(closed.len());
    for (_, own) in closed {
        let bounds = own.bounds();
        builder.add(bounds.x0, bounds.y0, bounds.x1, bounds.y1);
    }
    builder.build().ok()
}
