//! The order of the cuts on a sheet: all marks, then all scores, then recesses, then the cuts through, holes before the outline around
//! them and pieces that lie in a hole before that hole, so that nothing is cut that has already fallen. Within these
//! rules, short travel; under a beam cuts near each other not one right after the other, and thin bridges last.

use std::collections::BTreeMap;

use static_aabb2d_index::{StaticAABB2DIndex, StaticAABB2DIndexBuilder};

use crate::geometry::{Outline, Point};

use super::means::Means;
use super::near::Near;
use super::router::start;
use super::track::Track;
use super::travel::{self, Stop, Visit};
use super::{Cut, Operation, Path};

/// A closed path may begin at so many of its vertices while the order is sought: more hardly change it.
const BEGINNINGS: usize = 16;

/// And at so many once the order is found.
const ALL_BEGINNINGS: usize = 128;

/// What keeps cuts from heating their neighbours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Heat {
    /// Two cuts nearer to each other than this are not made one right after the other when there is a choice, mm.
    pub(super) apart_mm: f64,
    /// Two cuts nearer than this leave a thin bridge between them and come last, mm.
    pub(super) thin_mm: f64,
}

impl Heat {
    /// That of a beam; a cutter's is none to speak of.
    pub(super) fn of(means: &Means) -> Self {
        if means.is_router() {
            return Self { apart_mm: 0.0, thin_mm: 0.0 };
        }
        Self { apart_mm: means.laser.apart_mm, thin_mm: means.laser.bridge_kerfs * means.kerf_mm }
    }
}

/// Puts the cuts of a sheet in order, each closed path begun and each open one run so that travel is short; `heat` is
/// that of each piece. A cutter (`router`) begins away from corners.
pub(super) fn in_order(cuts: Vec<Cut>, router: bool, heat: impl Fn(usize) -> Heat) -> Vec<Cut> {
    let cuts: Vec<Cut> = if router { cuts.into_iter().map(start::with_places).collect() } else { cuts };
    let heats: Vec<Heat> = cuts.iter().map(|cut| heat(cut.placed)).collect();
    let most = |of: fn(&Heat) -> f64| heats.iter().map(of).fold(0.0, f64::max);
    let apart_mm = most(|heat| heat.apart_mm);
    let beginnings: Vec<Vec<usize>> = cuts.iter().map(|cut| beginnings(cut, router)).collect();
    let some: Vec<Vec<usize>> = beginnings.iter().map(|all| spread(all, BEGINNINGS)).collect();
    let all: Vec<Vec<usize>> = beginnings.iter().map(|all| spread(all, ALL_BEGINNINGS)).collect();
    let later = later_cuts(&cuts);
    let near = Near::new(&cuts, apart_mm.max(most(|heat| heat.thin_mm)));
    let thin = |i: usize| !near.within(i, |c| heats[c].thin_mm).is_empty();
    let ranks = ranks(&cuts, &later, thin);
    let gates = |i: usize, vertices: &[Vec<usize>]| {
        let points: Vec<Point> = vertices[i].iter().map(|&v| vertex(&cuts[i], v)).collect();
        match &cuts[i].path {
            Path::Closed(_) => Stop::closed(&points),
            // From the middle outwards, never back.
            Path::Open(_) if cuts[i].operation == Operation::Recess => Stop::closed(&[begin_of(&cuts[i])]),
            Path::Open(_) => Stop::open(begin_of(&cuts[i]), end_of(&cuts[i])),
        }
    };
    let stop = |i: usize| {
        let stop = gates(i, &some);
        Stop { before: later[i], rank: ranks[i], apart: near.within(i, |c| heats[c].apart_mm), ..stop }
    };
    let stops: Vec<Stop> = (0..cuts.len()).map(stop).collect();
    let start = Point::ORIGIN;
    let visits = travel::shorten(start, &stops, apart_mm, travel::nearest_next(start, &stops));
    let stops: Vec<Stop> = (0..cuts.len()).map(|i| gates(i, &all)).collect();
    let visits = travel::through_best_gates(start, &stops, visits);
    let mut cuts: Vec<Option<Cut>> = cuts.into_iter().map(Some).collect();
    let done = |visit: &Visit| {
        let cut = cuts[visit.stop].take()?;
        Some(match cut.path {
            Path::Closed(_) => begun_at(cut, all[visit.stop][visit.gate]),
            Path::Open(_) if visit.gate == 1 => run_backwards(cut),
            Path::Open(_) => cut,
        })
    };
    visits.iter().filter_map(done).collect()
}

/// Marks, scores, recesses, cuts through, and last the cuts that leave thin bridges; what must come later than another is never of
/// a lower rank.
fn ranks(cuts: &[Cut], later: &[Option<usize>], thin: impl Fn(usize) -> bool) -> Vec<u8> {
    let rank = |i: usize| match cuts[i].operation {
        Operation::Mark => 0,
        Operation::Score => 1,
        Operation::Recess => 2,
        Operation::CutInside | Operation::CutOutside => 3 + u8::from(thin(i)),
    };
    let mut ranks: Vec<u8> = (0..cuts.len()).map(rank).collect();
    for i in 0..cuts.len() {
        let (rank, mut next) = (ranks[i], later[i]);
        while let Some(after) = next.filter(|&after| ranks[after] < rank) {
            ranks[after] = rank;
            next = later[after];
        }
    }
    ranks
}

/// For each cut the one that has to come later: for a hole its own outline, for an outline the smallest hole of another
/// piece that it lies in.
pub(super) fn later_cuts(cuts: &[Cut]) -> Vec<Option<usize>> {
    let outers: Vec<usize> =
        (0..cuts.len()).filter(|&i| cuts[i].operation == Operation::CutOutside).collect();
    let mut outer_of = BTreeMap::new();
    for &i in &outers {
        outer_of.insert(cuts[i].placed, i);
    }
    let mut later: Vec<Option<usize>> = vec![None; cuts.len()];
    let index = boxes(cuts, &outers);
    for hole in (0..cuts.len()).filter(|&i| cuts[i].operation == Operation::CutInside) {
        later[hole] = outer_of.get(&cuts[hole].placed).copied();
        for inner in inside(cuts, hole, &outers, index.as_ref()) {
            let smaller = |old: usize| area(&cuts[hole]) < area(&cuts[old]);
            if later[inner].is_none_or(smaller) {
                later[inner] = Some(hole);
            }
        }
    }
    later
}

fn boxes(cuts: &[Cut], outers: &[usize]) -> Option<StaticAABB2DIndex<f64>> {
    let mut builder = StaticAABB2DIndexBuilder::new(outers.len());
    for &i in outers {
        let bounds = outline(&cuts[i])?.bounds();
        builder.add(bounds.x0, bounds.y0, bounds.x1, bounds.y1);
    }
    builder.build().ok()
}

/// The outer cuts of other pieces that lie in this hole.
fn inside(cuts: &[Cut], hole: usize, outers: &[usize], index: Option<&StaticAABB2DIndex<f64>>) -> Vec<usize> {
    let Some((around, index)) = outline(&cuts[hole]).zip(index) else { return Vec::new() };
    let bounds = around.bounds();
    let mut found: Vec<usize> = index
        .query(bounds.x0, bounds.y0, bounds.x1, bounds.y1)
        .into_iter()
        .map(|i| outers[i])
        .filter(|&i| cuts[i].placed != cuts[hole].placed)
        .filter(|&i| outline(&cuts[i]).is_some_and(|inner| lies_in(inner, around)))
        .collect();
    found.sort_unstable();
    found
}

/// Whether one outline lies in another; the two never cross.
fn lies_in(inner: &Outline, around: &Outline) -> bool {
    let (small, large) = (inner.bounds(), around.bounds());
    let within = large.x0 <= small.x0 && large.y0 <= small.y0 && small.x1 <= large.x1 && small.y1 <= large.y1;
    within && inner.vertices().first().is_some_and(|v| around.contains(v.at))
}

fn outline(cut: &Cut) -> Option<&Outline> {
    match &cut.path {
        Path::Closed(outline) => Some(outline),
        Path::Open(_) => None,
    }
}

fn area(cut: &Cut) -> f64 {
    outline(cut).map_or(0.0, Outline::area)
}

/// Vertices at which a closed path may begin: outside its tabs; of a cutter (`router`) those away from corners, where it
/// has such. None of an open one.
pub fn beginnings(cut: &Cut, router: bool) -> Vec<usize> {
    let Path::Closed(outline) = &cut.path else { return Vec::new() };
    let better = if router { start::vertices(cut) } else { Vec::new() };
    if !better.is_empty() {
        return better;
    }
    let track = Track::of_outline(outline);
    let outside = |s: f64| cut.tabs.iter().all(|tab| s <= tab.from_mm || s >= tab.to_mm);
    let free: Vec<usize> = (0..outline.vertices().len()).filter(|&v| outside(track.start(v))).collect();
    if free.is_empty() { vec![0] } else { free }
}

/// At most so many of them, evenly spread.
fn spread(all: &[usize], most: usize) -> Vec<usize> {
    all.iter().copied().step_by(all.len().div_ceil(most).max(1)).collect()
}

fn vertex(cut: &Cut, index: usize) -> Point {
    match &cut.path {
        Path::Closed(outline) => outline.vertices()[index].at,
        Path::Open(chain) => chain.vertices()[index].at,
    }
}

/// The cut begun at another vertex of its closed path; its tabs stay where they are on the wood.
fn begun_at(cut: Cut, vertex: usize) -> Cut {
    let Path::Closed(outline) = &cut.path else { return cut };
    if vertex == 0 {
        return cut;
    }
    let track = Track::of_outline(outline);
    let (begin, length) = (track.start(vertex), track.length());
    let mut tabs: Vec<super::Tab> = cut.tabs.iter().map(|tab| moved(*tab, begin, length)).collect();
    tabs.sort_by(|a, b| a.from_mm.total_cmp(&b.from_mm));
    Cut { path: Path::Closed(outline.started_at(vertex)), tabs, ..cut }
}

fn moved(tab: super::Tab, begin: f64, length: f64) -> super::Tab {
    let from_mm = if tab.from_mm >= begin { tab.from_mm - begin } else { tab.from_mm - begin + length };
    super::Tab { from_mm, to_mm: (from_mm + tab.to_mm - tab.from_mm).min(length), ..tab }
}

/// The cut run the other way, from the same vertex where its path is closed.
pub(super) fn run_backwards(cut: Cut) -> Cut {
    let length = Track::of_path(&cut.path).length();
    let turned = |tab: &super::Tab| super::Tab {
        from_mm: (length - tab.to_mm).max(0.0),
        to_mm: length - tab.from_mm,
        height_mm: tab.height_mm,
    };
    let tabs = cut.tabs.iter().rev().map(turned).collect();
    let path = match cut.path {
        Path::Closed(outline) => Path::Closed(outline.reversed()),
        Path::Open(chain) => Path::Open(chain.reversed()),
    };
    Cut { path, tabs, ..cut }
}

/// Where a cut begins.
pub(super) fn begin_of(cut: &Cut) -> Point {
    match &cut.rough {
        Some(rough) => rough.vertices()[0].at,
        None => cut.lead.come.map_or_else(|| vertex(cut, 0), |arc| arc.from),
    }
}

/// Where a cut ends.
pub(super) fn end_of(cut: &Cut) -> Point {
    match (&cut.path, cut.lead.leave) {
        (Path::Closed(_), Some(arc)) => arc.to,
        (Path::Closed(outline), None) => outline.vertices()[0].at,
        (Path::Open(chain), _) => chain.vertices()[chain.vertices().len() - 1].at,
    }
}
