//! Makes an offset and lets it pass only where it has been shown to be right.
//!
//! The rim is exact by the way it is made; what could still go wrong is shown by witnesses. Every result is measured
//! against its source, and compared with what another kernel of arcs finds. Where that one disagrees, a polygon kernel
//! that shares nothing with either is asked, and whoever agrees with it and keeps the distance is right; else the offset
//! is refused.

use super::assemble::Outlines;
use super::clipper::Measure;
use super::rim::Rim;
use super::source::Source;
use super::{Offset, Refused, cavalier, check, clipper, link, narrow, unite};
use crate::geometry::{FARTHEST, Point, Region};

/// Added to the distance, in millimetres, so that what is exactly as wide as the cutter closes, always: a slot and the
/// cutter, a web and the kerf are often the same number, and rounding must not decide.
/// It is no round number, so that no width differs from the cutter by just as much.
pub(super) const NUDGE: f64 = 1.37e-5;

/// A distance below this, in millimetres, is none.
const NOTHING: f64 = 1e-6;

/// Two kernels of arcs agree where their areas differ by no more than this for each millimetre of outline: the other one
/// takes points within a ten-thousandth as the same.
const ARCS_AGREE: f64 = 1e-4;

/// A kernel of arcs and one of polygons agree where their areas differ by no more than this for each millimetre of
/// outline: the chords lie within a thousandth of their arcs, on the source and again on the result.
const POLYGONS_AGREE: f64 = 2.0 * clipper::FLATNESS;

/// How a result came to be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trust {
    /// Both kernels of arcs agree.
    Agreed,
    /// They do not; the polygon kernel bears out this result.
    BorneOut,
    /// The other kernel's result stands, borne out by the polygon kernel.
    Other,
}

pub(super) fn offset(region: &Region, distance: f64) -> Result<(Offset, Trust), Refused> {
    let anywhere = region.outer().vertices()[0].at;
    if !distance.is_finite() || distance.abs() > FARTHEST {
        return Err(Refused::Unverified(anywhere));
    }
    if distance.abs() < NOTHING {
        return Ok((Offset { regions: vec![region.clone()], closed: Vec::new() }, Trust::Agreed));
    }
    let grows = distance > 0.0;
    let reach = distance.abs() + NUDGE;
    let loops = unite::outlines(region, grows).map_err(Refused::Crossing)?;
    let source = Source::new(&loops);
    let rim = Rim::of(&source, reach);
    let found = link::loops(&rim).and_then(|found| {
        let found = Outlines::of(if grows { found } else { unite::turned(&found) });
        check::off_the_source(&found, &source, reach).map_or(Ok(found), Err)
    });
    let (loops, signed) = if grows { (loops, reach) } else { (unite::turned(&loops), -reach) };
    let other = cavalier::offset(&loops, signed);
    let keeps = |other: &Outlines| check::off_the_source(other, &source, reach).is_none();
    let (result, trust) = judged(found, other, || clipper::offset(&loops, signed), keeps)
        .map_err(|at| Refused::Unverified(at.unwrap_or(anywhere)))?;
    let regions = result.regions().map_err(Refused::Unverified)?;
    let closed = narrow::closed(&source, &rim, reach, grows);
    Ok((Offset { regions, closed }, trust))
}

/// The result that can be trusted; or, where none can, the place of the trouble if it is known.
fn judged(
    found: Result<Outlines, Point>,
    other: Option<Outlines>,
    polygons: impl FnOnce() -> Measure,
    keeps_distance: impl FnOnce(&Outlines) -> bool,
) -> Result<(Outlines, Trust), Option<Point>> {
    let place = found.as_ref().err().copied();
    let found = match (found, &other) {
        (Ok(found), Some(other)) if agree(&found, other) => return Ok((found, Trust::Agreed)),
        (found, _) => found,
    };
    let measure = polygons();
    match (found, other) {
        (Ok(found), _) if borne_out(&found, &measure) => Ok((found, Trust::BorneOut)),
        (_, Some(other)) if borne_out(&other, &measure) && keeps_distance(&other) => {
            Ok((other, Trust::Other))
        }
        _ => Err(place),
    }
}

fn agree(a: &Outlines, b: &Outlines) -> bool {
    a.count() == b.count() && (a.area() - b.area()).abs() <= ARCS_AGREE * (a.perimeter() + b.perimeter())
}

fn borne_out(found: &Outlines, polygons: &Measure) -> bool {
    let near = (found.area() - polygons.area).abs() <= POLYGONS_AGREE * (found.perimeter() + polygons.length);
    near && found.count() == polygons.loops
}
