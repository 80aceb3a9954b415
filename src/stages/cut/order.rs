//! The order of the cuts on a sheet: all marks, then all scores, then the cuts through, holes before the outline around
//! them and pieces that lie in a hole before that hole, so that nothing is cut that has already fallen. Within these
//! rules, short travel.

use std::collections::BTreeMap;

use static_aabb2d_index::{StaticAABB2DIndex, StaticAABB2DIndexBuilder};

use crate::geometry::{Outline, Point};

use super::track::Track;
use super::travel::{self, Stop, Visit};
use super::{Cut, Operation, Path};

/// A closed path may begin at so many of its vertices: more hardly shorten the way.
const BEGINNINGS: usize = 8;

/// Puts the cuts of a sheet in order, each closed path begun and each open one run so that travel is short.
pub(super) fn in_order(cuts: Vec<Cut>) -> Vec<Cut> {
    let (marks, rest): (Vec<Cut>, Vec<Cut>) = cuts.into_iter().partition(|c| c.operation == Operation::Mark);
    let (scores, through): (Vec<Cut>, Vec<Cut>) =
        rest.into_iter().partition(|c| c.operation == Operation::Score);
    let mut here = Point::ORIGIN;
    let mut ordered = by_piece(marks, &mut here);
    ordered.extend(by_piece(scores, &mut here));
    ordered.extend(through_cuts(through, here));
    ordered
}

/// Lines drawn on pieces: those of one piece together.
fn by_piece(mut cuts: Vec<Cut>, here: &mut Point) -> Vec<Cut> {
    cuts.sort_by_key(|cut| cut.placed);
    let groups: Vec<Vec<Cut>> =
        cuts.chunk_by(|a, b| a.placed == b.placed).map(|lines| joined_up(lines.to_vec())).collect();
    let stops: Vec<Stop> = groups.iter().map(|lines| Stop::open(begins(lines), ends(lines))).collect();
    let visits = travel::shorten(*here, &stops, travel::nearest_next(*here, &stops));
    let mut groups: Vec<Option<Vec<Cut>>> = groups.into_iter().map(Some).collect();
    let ordered: Vec<Cut> = visits
        .iter()
        .filter_map(|visit| {
            let lines = groups[visit.stop].take()?;
            Some(if visit.gate == 0 { lines } else { backwards(lines) })
        })
        .flatten()
        .collect();
    *here = ordered.last().map_or(*here, end_of);
    ordered
}

/// The lines of one piece, each begun near where the one before ended.
fn joined_up(lines: Vec<Cut>) -> Vec<Cut> {
    let Some(first) = lines.first() else { return lines };
    let stops: Vec<Stop> = lines.iter().map(|l| Stop::open(begin_of(l), end_of(l))).collect();
    let visits = travel::nearest_next(begin_of(first), &stops);
    take_in_turn(lines, &visits, |line, gate| if gate == 0 { line } else { run_backwards(line) })
}

fn backwards(lines: Vec<Cut>) -> Vec<Cut> {
    lines.into_iter().rev().map(run_backwards).collect()
}

/// The cuts through, under the rules of what may not fall before it is done with.
fn through_cuts(cuts: Vec<Cut>, here: Point) -> Vec<Cut> {
    let before = later_cuts(&cuts);
    let beginnings: Vec<Vec<usize>> = cuts.iter().map(beginnings).collect();
    let stop = |i: usize| {
        let points: Vec<Point> = beginnings[i].iter().map(|&v| vertex(&cuts[i], v)).collect();
        Stop::closed(&points, before[i])
    };
    let stops: Vec<Stop> = (0..cuts.len()).map(stop).collect();
    let by_nearest = travel::shorten(here, &stops, travel::nearest_next(here, &stops));
    let by_piece = travel::shorten(here, &stops, piece_by_piece(&cuts, here, &stops));
    let way = |visits: &[Visit]| travel::way_length(here, &stops, visits);
    let shorter = if way(&by_piece) < way(&by_nearest) { by_piece } else { by_nearest };
    take_with_index(cuts, &shorter, |i, cut, gate| begun_at(cut, beginnings[i][gate]))
}

/// A way to begin with: piece after piece by short travel, the holes of each, then its outline.
fn piece_by_piece(cuts: &[Cut], here: Point, stops: &[Stop]) -> Vec<Visit> {
    let mut pieces: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (i, cut) in cuts.iter().enumerate() {
        pieces.entry(cut.placed).or_default().push(i);
    }
    let pieces: Vec<Vec<usize>> = pieces.into_values().collect();
    let mut piece_of = vec![0; cuts.len()];
    for (piece, of) in pieces.iter().enumerate() {
        for &cut in of {
            piece_of[cut] = piece;
        }
    }
    let whole = |of: &Vec<usize>| {
        let outer = of.iter().rev().find(|&&i| cuts[i].operation == Operation::CutOutside).unwrap_or(&of[0]);
        // The hole that it lies in belongs to the piece that has to come later.
        let before =
            stops[*outer].before.map(|hole| piece_of[hole]).filter(|&later| later != piece_of[*outer]);
        Stop { gates: stops[*outer].gates.clone(), before }
    };
    let wholes: Vec<Stop> = pieces.iter().map(whole).collect();
    let tour = travel::shorten(here, &wholes, travel::nearest_next(here, &wholes));
    let mut at = here;
    tour.iter().flat_map(|visit| one_piece(&pieces[visit.stop], stops, &mut at)).collect()
}

/// The cuts of one piece, the nearest next.
fn one_piece(cuts: &[usize], stops: &[Stop], at: &mut Point) -> Vec<Visit> {
    let within = |i: &usize| Stop {
        gates: stops[*i].gates.clone(),
        before: stops[*i].before.and_then(|later| cuts.iter().position(|&c| c == later)),
    };
    let own: Vec<Stop> = cuts.iter().map(within).collect();
    let visits = travel::nearest_next(*at, &own);
    *at = visits.last().map_or(*at, |last| own[last.stop].gates[last.gate].leave);
    visits.into_iter().map(|v| Visit { stop: cuts[v.stop], gate: v.gate }).collect()
}

fn take_in_turn(cuts: Vec<Cut>, visits: &[Visit], run: impl Fn(Cut, usize) -> Cut) -> Vec<Cut> {
    take_with_index(cuts, visits, |_, cut, gate| run(cut, gate))
}

fn take_with_index(cuts: Vec<Cut>, visits: &[Visit], run: impl Fn(usize, Cut, usize) -> Cut) -> Vec<Cut> {
    let mut cuts: Vec<Option<Cut>> = cuts.into_iter().map(Some).collect();
    let mut turn = |visit: &Visit| cuts[visit.stop].take().map(|cut| run(visit.stop, cut, visit.gate));
    visits.iter().filter_map(&mut turn).collect()
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

/// Vertices at which a closed path may begin: outside its tabs, spread around it.
fn beginnings(cut: &Cut) -> Vec<usize> {
    let Path::Closed(outline) = &cut.path else { return vec![0] };
    let count = outline.vertices().len();
    let free: Vec<usize> = if cut.tabs.is_empty() {
        (0..count).collect()
    } else {
        let track = Track::of_outline(outline);
        let outside = |s: f64| cut.tabs.iter().all(|tab| s <= tab.from_mm || s >= tab.to_mm);
        (0..count).filter(|&v| outside(track.start(v))).collect()
    };
    let step = free.len().div_ceil(BEGINNINGS).max(1);
    let chosen: Vec<usize> = free.into_iter().step_by(step).collect();
    if chosen.is_empty() { vec![0] } else { chosen }
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
    vertex(cut, 0)
}

/// Where a cut ends.
pub(super) fn end_of(cut: &Cut) -> Point {
    match &cut.path {
        Path::Closed(outline) => outline.vertices()[0].at,
        Path::Open(chain) => chain.vertices()[chain.vertices().len() - 1].at,
    }
}

fn begins(lines: &[Cut]) -> Point {
    lines.first().map_or(Point::ORIGIN, begin_of)
}

fn ends(lines: &[Cut]) -> Point {
    lines.last().map_or(Point::ORIGIN, end_of)
}
