//! Curves to lines and arcs, once, within a tolerance.

use super::curve::Curve;
use super::{Chain, Malformed, Outline};

/// An open chain of lines and arcs that stays within `tolerance` (millimetres) of the curves, measured both ways.
/// The curves follow each other; joins that are smooth stay smooth, corners stay corners.
///
/// # Errors
/// [`Malformed`] where nothing is left of the curves.
pub fn chain(curves: &[Curve], tolerance: f64) -> Result<Chain, Malformed> {
    let _ = (curves, tolerance);
    Err(Malformed::TooFewPoints)
}

/// A closed outline of lines and arcs that stays within `tolerance` (millimetres) of the curves, measured both ways.
/// The last curve comes back to the first.
///
/// # Errors
/// As [`chain`].
pub fn outline(curves: &[Curve], tolerance: f64) -> Result<Outline, Malformed> {
    let _ = (curves, tolerance);
    Err(Malformed::TooFewPoints)
}
