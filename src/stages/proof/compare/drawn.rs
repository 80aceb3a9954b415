//! Scores and marks: each within its part, each one that is wanted there, none of the scores too many.

use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Chain, Point};
use crate::problem::Problem;

use super::super::Kind;
use super::super::program::Trace;
use super::piece::Piece;
use super::{Pieces, WITHIN_MM, told, wrong};

/// A line drawn on a part may end on its edge, and beyond it by this much, mm: a line across a rib often does.
const OVER_EDGE_MM: f64 = 0.05;

/// Places along a drawn line are looked at this far apart, mm.
const STEP_MM: f64 = 1.0;

/// Holds scores and marks against the pieces.
pub(super) fn check(traces: &[Trace], kinds: &[Kind], pieces: &Pieces, problems: &mut Vec<Problem>) {
    for kind in [Kind::Score, Kind::Mark] {
        let of_kind = || traces.iter().zip(kinds).filter(move |(_, k)| **k == kind).map(|(trace, _)| trace);
        let done =
            SegmentIndex::new(of_kind().flat_map(|trace| trace.segments().map(|(segment, _)| segment)));
        for trace in of_kind() {
            problems.extend(misplaced(trace, kind, pieces));
        }
        for piece in &pieces.all {
            problems.extend(missing(piece, kind, &done));
        }
    }
}

fn name(kind: Kind) -> &'static str {
    if kind == Kind::Score { "score" } else { "mark" }
}

/// A line that crosses the edge of a part or lies on none; a score that no part has.
fn misplaced(trace: &Trace, kind: Kind, pieces: &Pieces) -> Option<Problem> {
    let places: Vec<Point> = along(trace);
    let near = pieces.around(&places);
    let name = name(kind);
    let holder = near.iter().find(|piece| places.iter().all(|at| piece.holds(*at, OVER_EDGE_MM)));
    let Some(piece) = holder else {
        let over = near.iter().find(|piece| places.iter().any(|at| piece.holds(*at, 0.0)));
        return match over {
            Some(piece) => {
                let message = format!("a {name} runs over the edge of part '{}'", piece.wanted.id);
                Some(told("mark-over-edge", message, trace, 0).of_part(&piece.wanted.id))
            }
            None if kind == Kind::Score => Some(told("score-on-waste", "a score lies on no part", trace, 0)),
            None => Some(told("mark-on-waste", "a mark lies on no part", trace, 0)),
        };
    };
    if kind == Kind::Mark {
        return None;
    }
    let wanted = SegmentIndex::new(piece.wanted.scores.iter().flat_map(Chain::segments));
    let astray = places.iter().position(|at| !wanted.is_nearer(*at, WITHIN_MM))?;
    let message = format!("part '{}' has no score here", piece.wanted.id);
    Some(told("score-astray", message, trace, 0).of_part(&piece.wanted.id).at(places[astray]))
}

/// A line that is wanted on a part and not there.
fn missing(piece: &Piece, kind: Kind, done: &SegmentIndex) -> Option<Problem> {
    let wanted = if kind == Kind::Score { &piece.wanted.scores } else { &piece.wanted.marks };
    let places = wanted.iter().flat_map(|chain| chain.segments().flat_map(places_on));
    let mut lost = places.filter(|at| !done.is_nearer(*at, WITHIN_MM));
    let at = lost.next()?;
    let code = if kind == Kind::Score { "score-missing" } else { "mark-missing" };
    let message = format!(
        "part '{}', piece {}, lacks a {} that is drawn on it",
        piece.wanted.id,
        piece.wanted.copy,
        name(kind)
    );
    Some(wrong(code, message, piece.wanted, at))
}

fn along(trace: &Trace) -> Vec<Point> {
    trace.segments().flat_map(|(segment, _)| places_on(segment)).collect()
}

fn places_on(segment: crate::geometry::Segment) -> impl Iterator<Item = Point> {
    let count = (segment.length() / STEP_MM).ceil().clamp(1.0, 1e6) as usize;
    (0..=count).map(move |i| segment.at(i as f64 / count as f64))
}
