//! Outer outlines outwards and holes inwards by half of what is removed, so that the piece that is left has its true size.

use crate::geometry::offset::{self, Closed, Narrow, Refused};
use crate::geometry::{Outline, Region};
use crate::problem::Problem;
use crate::stages::part::Part;
use crate::units::millimetres;

use super::means::Means;

/// So many narrow places of one part are told one by one; the rest are counted.
const TOLD_ONE_BY_ONE: usize = 12;

/// Where the middle of beam or cutter runs around one part, in drawing coordinates: counter-clockwise around the part,
/// clockwise around each hole, so that the material lies on the left.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Compensated {
    pub(super) outer: Outline,
    pub(super) holes: Vec<Outline>,
}

/// Offsets the part's outlines by half of `means`' kerf, the holes by half of what it is there. Every place too narrow for
/// it is a problem, and none is lost: what comes back has one outer outline and as many holes as the part.
pub(super) fn compensate(part: &Part, means: &Means) -> Result<Compensated, Vec<Problem>> {
    let (outside, inside) = (means.kerf_mm, means.inside_mm());
    let around = moved_by(part, means, outside / 2.0)?;
    if part.region.holes().is_empty() || (outside - inside).abs() < SAME_KERF_MM {
        return Ok(around);
    }
    Ok(Compensated { holes: moved_by(part, means, inside / 2.0)?.holes, ..around })
}

/// Two kerfs that differ by less are one, mm.
const SAME_KERF_MM: f64 = 1e-6;

fn moved_by(part: &Part, means: &Means, distance: f64) -> Result<Compensated, Vec<Problem>> {
    if distance <= 0.0 {
        return Ok(taken_apart(&part.region));
    }
    let grown = offset::offset(&part.region, distance).map_err(|refused| vec![refusal(part, refused)])?;
    if !grown.closed.is_empty() {
        return Err(too_narrow(part, means, &grown.closed));
    }
    match grown.regions.as_slice() {
        [one] if one.holes().len() == part.region.holes().len() => Ok(taken_apart(one)),
        pieces => Err(vec![changed(part, means, pieces)]),
    }
}

fn taken_apart(region: &Region) -> Compensated {
    Compensated { outer: region.outer().clone(), holes: region.holes().to_vec() }
}

/// One problem for each narrow place, up to a limit that is told too.
fn too_narrow(part: &Part, means: &Means, closed: &[Closed]) -> Vec<Problem> {
    let told = closed.iter().take(TOLD_ONE_BY_ONE);
    let mut problems: Vec<Problem> = told.map(|place| narrow(part, means, place)).collect();
    if closed.len() > TOLD_ONE_BY_ONE {
        let more = closed.len() - TOLD_ONE_BY_ONE;
        let message = format!("part '{}' has {more} more places too narrow for {}", part.id, means.tool());
        problems.push(Problem::error("too-narrow", message).of_part(&part.id).at(part.at));
    }
    problems
}

fn narrow(part: &Part, means: &Means, place: &Closed) -> Problem {
    let what = match place.what {
        Narrow::Hole => "hole",
        Narrow::Slot => "slot",
        Narrow::Neck => "neck",
    };
    let message = format!(
        "part '{}' has a {what} {} mm wide at ({:.2}, {:.2}): too narrow for {}",
        part.id,
        millimetres(place.width),
        place.at.x,
        place.at.y,
        means.tool(),
    );
    let hint = if means.is_router() {
        "take a smaller cutter with --cutter, widen it in the drawing, or cut it by hand and leave it out"
    } else {
        "widen it in the drawing, draw it as a score line, or measure the kerf again with a coupon and give --kerf"
    };
    Problem::error("too-narrow", message).of_part(&part.id).on_layer(&part.layer).at(place.at).hint(hint)
}

fn refusal(part: &Part, refused: Refused) -> Problem {
    let (Refused::Crossing(at) | Refused::Unverified(at)) = refused;
    Problem::error("kerf-not-allowed-for", format!("part '{}': {refused}", part.id))
        .of_part(&part.id)
        .on_layer(&part.layer)
        .at(at)
        .hint("mend the outline there: lines that cross, touch or run twice")
}

/// The offset has other loops than the part though no narrow place was named: refused, never cut.
fn changed(part: &Part, means: &Means, pieces: &[Region]) -> Problem {
    let holes: usize = pieces.iter().map(|piece| piece.holes().len()).sum();
    let message = format!(
        "part '{}' with {} holes would become {} pieces with {holes} holes under {}",
        part.id,
        part.region.holes().len(),
        pieces.len(),
        means.tool(),
    );
    Problem::error("too-narrow", message).of_part(&part.id).on_layer(&part.layer).at(part.at).hint(
        "some hole, slot or notch is too narrow: take a smaller cutter with --cutter, or mend the drawing",
    )
}
