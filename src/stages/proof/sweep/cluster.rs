//! Runs that come so near to each other that what they sweep meets.

use static_aabb2d_index::StaticAABB2DIndexBuilder;

use super::{GRID_MM, Run};
use crate::geometry::distance::{SegmentIndex, gap};

/// The runs in clusters, each in their order, in the order of their first runs: no two clusters have anything in common.
pub(super) fn clusters(runs: &[(&Run, f64)]) -> Vec<Vec<usize>> {
    let widest = runs.iter().map(|(_, radius)| *radius).fold(0.0, f64::max);
    let indexes: Vec<SegmentIndex> =
        runs.iter().map(|(run, _)| SegmentIndex::new(run.iter().copied())).collect();
    let mut builder = StaticAABB2DIndexBuilder::new(runs.len());
    for index in &indexes {
        let b = index.bounds();
        builder.add(b.x0, b.y0, b.x1, b.y1);
    }
    let Ok(boxes) = builder.build() else { return vec![(0..runs.len()).collect()] };
    let mut heads: Vec<usize> = (0..runs.len()).collect();
    for (i, index) in indexes.iter().enumerate() {
        let farthest = runs[i].1 + widest + 2.0 * GRID_MM;
        let b = index.bounds().inflate(farthest, farthest);
        for j in boxes.query(b.x0, b.y0, b.x1, b.y1).into_iter().filter(|&j| j > i) {
            let (one, two) = (head(&mut heads, i), head(&mut heads, j));
            let reach = runs[i].1 + runs[j].1 + 2.0 * GRID_MM;
            if one != two && gap(index, &indexes[j], reach).is_some() {
                heads[one.max(two)] = one.min(two);
            }
        }
    }
    let mut clusters: Vec<Vec<usize>> = Vec::new();
    let mut places = vec![usize::MAX; runs.len()];
    for i in (0..runs.len()).filter(|&i| !runs[i].0.is_empty()) {
        let head = head(&mut heads, i);
        if places[head] == usize::MAX {
            places[head] = clusters.len();
            clusters.push(Vec::new());
        }
        clusters[places[head]].push(i);
    }
    clusters
}

/// The first of those that this one belongs to.
fn head(heads: &mut [usize], mut of: usize) -> usize {
    while heads[of] != of {
        heads[of] = heads[heads[of]];
        of = heads[of];
    }
    of
}
