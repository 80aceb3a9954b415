//! Order: a piece's holes, scores and marks are made while it is still held all round.

use crate::problem::Problem;

use super::super::Kind;
use super::super::plan::Plan;
use super::super::program::Trace;
use super::runs::Through;
use super::{Pieces, wrong};

/// A run belongs to an outline whose edge lies this much farther away than half the kerf at the most, mm.
const BESIDE_MM: f64 = 0.1;

/// Looks for holes and recesses that are cut after their piece was cut round.
pub(super) fn check(
    traces: &[Trace],
    kinds: &[Kind],
    pieces: &Pieces,
    through: &Through,
    plan: &Plan,
    problems: &mut Vec<Problem>,
) {
    // For each piece: when its outline is first cut through, and the last that is done within it.
    let mut first: Vec<Option<usize>> = vec![None; pieces.all.len()];
    let mut late = Vec::new();
    for (number, run) in through.runs.iter().enumerate() {
        let at = run.middle();
        let reach = plan.kerf_mm / 2.0 + BESIDE_MM;
        let area = crate::geometry::Rect::from_points(at, at).inflate(reach, reach);
        for index in pieces.boxes.within(area) {
            let (outline, distance) = pieces.all[index].nearest_outline(at);
            if distance > reach {
                continue;
            }
            if outline == 0 {
                first[index] = Some(first[index].map_or(run.trace, |t: usize| t.min(run.trace)));
            } else {
                late.push((index, run.trace, number));
            }
        }
    }
    recesses(traces, kinds, pieces, &first, problems);
    let mut told = vec![false; pieces.all.len()];
    for (index, trace, number) in late {
        if first[index].is_some_and(|first| first < trace) && !told[index] {
            told[index] = true;
            let wanted = pieces.all[index].wanted;
            let at = through.runs[number].begin();
            let message =
                format!("part '{}', piece {}: a hole is cut after its outline", wanted.id, wanted.copy);
            problems.push(wrong("hole-after-outline", message, wanted, at));
        }
    }
}

/// Looks for recesses that are cleared after their piece was first cut through all round, as `first` has it.
fn recesses(
    traces: &[Trace],
    kinds: &[Kind],
    pieces: &Pieces,
    first: &[Option<usize>],
    problems: &mut Vec<Problem>,
) {
    let clearing = traces.iter().enumerate().filter(|(i, _)| kinds[*i] == Kind::Recess);
    for (number, trace) in clearing {
        let places: Vec<_> = trace.segments().map(|(segment, _)| segment.at(0.5)).collect();
        let late = pieces.all.iter().zip(first).find(|(piece, first)| {
            first.is_some_and(|first| first < number)
                && piece.wanted.recesses.iter().any(|recess| recess.region.contains(trace.begin()))
                && places.iter().any(|at| piece.holds(*at, 0.0))
        });
        if let Some((piece, _)) = late {
            let wanted = piece.wanted;
            let message =
                format!("part '{}', piece {}: a recess is cleared after its outline", wanted.id, wanted.copy);
            problems.push(wrong("hole-after-outline", message, wanted, trace.begin()));
            return;
        }
    }
}
