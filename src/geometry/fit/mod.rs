//! Curves to lines and arcs, once, within a tolerance.
//!
//! Takes curves that follow each other; gives a chain or outline that stays within the tolerance of them, measured
//! both ways, with few segments.
//!
//! - Lines and arcs that stand by themselves come out as they were drawn, to the last bit.
//! - Where the direction breaks by more than [`KINK_DEG`] there is a corner, and it stays where it is. Curves that meet
//!   more smoothly are one run, fitted as a whole, and no joint within it turns by more than that.
//! - Many short lines that trace a smooth curve (see `trace`) are fitted as a curve; lines that run straight on
//!   become one.
//! - A run that closes on itself without a corner may begin anywhere. One that is round becomes two half circles.
//! - Where two strands lie so close that the tolerance would let them meet, all is fitted closer, up to a few thousand
//!   times. Strands closer than that, as in a tail that tapers to nothing, may still touch: the offset's gate finds it.

mod bulges;
mod cross;
mod elements;
mod path;
mod run;
mod samples;
mod search;
mod trace;

use super::curve::Curve;
use super::{Chain, Malformed, Outline, Segment};

/// The largest turn in degrees between two segments that still is a smooth join, and the largest that is made in a run.
pub const KINK_DEG: f64 = 2.0;

/// No tolerance is taken smaller than this, in millimetres: a nanometre. Rounding would begin to show.
pub const SMALLEST_TOLERANCE: f64 = 1e-6;

/// How often everything is fitted again, four times closer each time, while the result crosses itself.
const TRIES: u32 = 7;

/// The fraction of the tolerance to which the curves are looked at to see whether they cross themselves.
const FINE: f64 = 1e-3;

/// An open chain of lines and arcs that stays within `tolerance` (millimetres) of the curves, measured both ways.
/// The curves follow each other; joins that are smooth stay smooth, corners stay corners.
///
/// # Errors
/// [`Malformed`] where nothing is left of the curves.
pub fn chain(curves: &[Curve], tolerance: f64) -> Result<Chain, Malformed> {
    Chain::from_segments(&fitted(curves, tolerance, false)?)
}

/// A closed outline of lines and arcs that stays within `tolerance` (millimetres) of the curves, measured both ways.
/// The last curve comes back to the first. The outline begins at the first curve's beginning, or near it where the
/// curve is smooth there.
///
/// # Errors
/// As [`chain`].
pub fn outline(curves: &[Curve], tolerance: f64) -> Result<Outline, Malformed> {
    let mut segments = fitted(curves, tolerance, true)?;
    if let Some(first) = curves.first() {
        let away = |s: &Segment| s.from.distance_squared(first.from());
        let nearest = (0..segments.len()).min_by(|&i, &j| away(&segments[i]).total_cmp(&away(&segments[j])));
        segments.rotate_left(nearest.unwrap_or(0));
    }
    Outline::from_segments(&segments)
}

fn fitted(curves: &[Curve], tolerance: f64, closed: bool) -> Result<Vec<Segment>, Malformed> {
    if !curves.iter().all(Curve::is_finite) {
        return Err(Malformed::NotFinite);
    }
    let tolerance = tolerance.max(SMALLEST_TOLERANCE);
    let mut close = tolerance;
    let mut first = None;
    for _ in 0..TRIES {
        let path = path::Path::new(curves, close, closed);
        let segments = path.fit(close);
        if segments.is_empty() {
            return Err(Malformed::TooFewPoints);
        }
        debug_assert!(is_joined(&segments, closed), "segments that do not follow each other");
        if path.is_drawn_only() || !cross::crosses(&segments, closed) {
            return Ok(segments);
        }
        if first.is_none() && path::Path::new(curves, tolerance * FINE, closed).crosses_itself() {
            return Ok(segments);
        }
        first.get_or_insert(segments);
        close /= 4.0;
    }
    first.ok_or(Malformed::TooFewPoints)
}

/// Whether each segment begins in the very point where the one before ended.
fn is_joined(segments: &[Segment], closed: bool) -> bool {
    let follows = segments.windows(2).all(|pair| pair[0].to == pair[1].from);
    follows && (!closed || segments.first().map(|s| s.from) == segments.last().map(|s| s.to))
}
