//! Joins what is left of the raw pieces of an offset into closed loops.

use static_aabb2d_index::StaticAABB2DIndexBuilder;

use super::rim::Rim;
use crate::geometry::{Point, Segment};

/// Ends that lie farther apart than this, in millimetres, are not the same junction. Where two raw pieces cross at a very
/// small angle, the slack of the cutting lets each run on by up to some ten-thousandths.
const JUNCTION: f64 = 1e-3;

/// The closed loops of a rim, with the result on their left; or a point where one does not close.
pub(super) fn loops(rim: &Rim) -> Result<Vec<Vec<Segment>>, Point> {
    let next = successors(rim)?;
    let mut seen = vec![false; next.len()];
    let mut loops = Vec::new();
    for first in 0..next.len() {
        if !seen[first] {
            loops.push(one_loop(rim, &next, first, &mut seen));
        }
    }
    Ok(loops)
}

/// The loop that a stretch belongs to, its junctions half way between the ends that meet there.
fn one_loop(rim: &Rim, next: &[usize], first: usize, seen: &mut [bool]) -> Vec<Segment> {
    let mut segments = Vec::new();
    let mut at = first;
    while !seen[at] {
        seen[at] = true;
        segments.push(rim.stretches[at].segment);
        at = next[at];
    }
    for k in 0..segments.len() {
        let after = (k + 1) % segments.len();
        let junction = segments[k].to.midpoint(segments[after].from);
        segments[k].to = junction;
        segments[after].from = junction;
    }
    segments
}

/// For each stretch the one that follows it.
fn successors(rim: &Rim) -> Result<Vec<usize>, Point> {
    let count = rim.stretches.len();
    let mut next: Vec<Option<usize>> = vec![None; count];
    let mut taken = vec![false; count];
    follow_source(rim, &mut next, &mut taken);
    join_nearest(rim, &mut next, &mut taken);
    next.iter().zip(&rim.stretches).map(|(next, stretch)| next.ok_or(stretch.segment.to)).collect()
}

/// Joins stretches that reach the ends of raw pieces that follow each other.
fn follow_source(rim: &Rim, next: &mut [Option<usize>], taken: &mut [bool]) {
    for one in &rim.loops {
        for raw in one.clone() {
            let after = if raw + 1 == one.end { one.start } else { raw + 1 };
            let (Some(last), Some(first)) = (rim.left[raw].clone().last(), rim.left[after].clone().next())
            else {
                continue;
            };
            let (a, b) = (&rim.stretches[last], &rim.stretches[first]);
            let whole = a.along.1 >= 1.0 && b.along.0 <= 0.0;
            if whole && a.segment.to.distance(b.segment.from) <= JUNCTION {
                next[last] = Some(first);
                taken[first] = true;
            }
        }
    }
}

/// Joins the ends that are left with the beginnings that are left, the nearest first.
fn join_nearest(rim: &Rim, next: &mut [Option<usize>], taken: &mut [bool]) {
    let ends: Vec<usize> = (0..next.len()).filter(|&k| next[k].is_none()).collect();
    let starts: Vec<usize> = (0..next.len()).filter(|&k| !taken[k]).collect();
    let mut pairs = pairs_within_reach(rim, &ends, &starts);
    pairs.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
    for (_, end, start) in pairs {
        if next[end].is_none() && !taken[start] {
            next[end] = Some(start);
            taken[start] = true;
        }
    }
}

fn pairs_within_reach(rim: &Rim, ends: &[usize], starts: &[usize]) -> Vec<(f64, usize, usize)> {
    let mut builder = StaticAABB2DIndexBuilder::new(starts.len());
    for &start in starts {
        let p = rim.stretches[start].segment.from;
        builder.add(p.x, p.y, p.x, p.y);
    }
    let Ok(index) = builder.build() else { return Vec::new() };
    let mut pairs = Vec::new();
    for &end in ends {
        let p = rim.stretches[end].segment.to;
        let mut each = |k: usize| {
            let start = starts[k];
            let distance = rim.stretches[start].segment.from.distance(p);
            if distance <= JUNCTION && may_follow(rim, end, start) {
                pairs.push((distance, end, start));
            }
        };
        index.visit_query(p.x - JUNCTION, p.y - JUNCTION, p.x + JUNCTION, p.y + JUNCTION, &mut each);
    }
    pairs
}

/// A stretch follows itself only as a whole circle.
fn may_follow(rim: &Rim, end: usize, start: usize) -> bool {
    end != start || rim.stretches[end].segment.length() > 4.0 * JUNCTION
}
