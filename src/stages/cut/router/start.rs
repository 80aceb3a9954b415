//! Where a cutter may begin on a closed path: on straight edges, away from corners and tabs. An entry leaves a faint mark,
//! which is sanded off a straight edge most easily, and behind the beginning there has to be room to ramp down.

use crate::geometry::{Outline, Vertex, turn_between};

use super::super::track::Track;
use super::super::{Cut, Path, Tab};

/// A beginning keeps this far from corners and tabs, mm, or half of the straight where that is shorter.
const CLEAR_MM: f64 = 4.0;

/// A straight shorter than this between corners and tabs is no place to begin, mm: it may be the wall of a notch.
const LEAST_MM: f64 = 8.0;

/// So many places are offered to the order of the cuts, the longest straights first: more hardly shorten the way.
const MOST: usize = 8;

/// A straight is parted at a beginning with this much to spare for rounding, mm.
const SPARE_MM: f64 = 0.0175;

/// Two segments that turn by less than this where they meet go straight on, radians: a degree.
const STRAIGHT: f64 = 0.0175;

/// The cut with a vertex at each place where it had better begin; the path stays what it is.
pub(in super::super) fn with_places(cut: Cut) -> Cut {
    let Path::Closed(outline) = &cut.path else { return cut };
    let track = Track::of_outline(outline);
    let mut places = places(&track, &cut.tabs);
    places.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.total_cmp(&b.0)));
    places.truncate(MOST);
    let mut at: Vec<f64> = places.into_iter().map(|(place, _)| place).collect();
    at.sort_by(f64::total_cmp);
    let mut vertices: Vec<Vertex> = Vec::new();
    for (i, vertex) in outline.vertices().iter().enumerate() {
        vertices.push(*vertex);
        let (from, to) = (track.start(i), track.start(i + 1));
        let within = at.iter().filter(|s| **s > from && **s < to);
        vertices.extend(within.map(|s| Vertex { at: track.point(*s), bulge: 0.0 }));
    }
    match Outline::new(vertices) {
        Ok(outline) => Cut { path: Path::Closed(outline), ..cut },
        Err(_) => cut,
    }
}

/// Places on straights, with the length of straight around each.
fn places(track: &Track, tabs: &[Tab]) -> Vec<(f64, f64)> {
    let mut found = Vec::new();
    for (i, segment) in track.segments().iter().enumerate().filter(|(_, s)| s.is_line()) {
        let begin = track.start(i);
        let (mut from, end) = (begin, begin + segment.length());
        let mut offer = |from: f64, to: f64| {
            if to - from >= LEAST_MM {
                found.push((from + CLEAR_MM.min((to - from) / 2.0), to - from));
            }
        };
        for tab in tabs.iter().filter(|tab| tab.to_mm > begin && tab.from_mm < end) {
            offer(from, tab.from_mm);
            from = tab.to_mm;
        }
        offer(from, end);
    }
    found
}

/// The vertices at which a closed path had better begin: those in the middle of a straight; where it has none, those where
/// it goes on without a corner. None where each is a corner.
pub(in super::super) fn vertices(cut: &Cut) -> Vec<usize> {
    let Path::Closed(outline) = &cut.path else { return Vec::new() };
    let track = Track::of_outline(outline);
    let segments = track.segments();
    let count = segments.len();
    let free = |s: f64| cut.tabs.iter().all(|tab| s < tab.from_mm || s > tab.to_mm);
    let smooth = |i: usize| {
        let before = segments[(i + count - 1) % count];
        turn_between(before.tangent(1.0), segments[i].tangent(0.0)).abs() < STRAIGHT && free(track.start(i))
    };
    let all: Vec<usize> = (0..count).filter(|&i| smooth(i)).collect();
    let long = |i: usize| segments[i].is_line() && segments[i].length() > LEAST_MM / 2.0 - SPARE_MM;
    let on_straight = |i: &usize| long(*i) && long((*i + count - 1) % count);
    let straight: Vec<usize> = all.iter().copied().filter(on_straight).collect();
    if straight.is_empty() { all } else { straight }
}
