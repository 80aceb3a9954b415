//! Regions grown or shrunk by a distance, behind a gate that checks every result.

mod assemble;
mod cavalier;
mod check;
mod clipper;
mod cut;
mod disc;
mod gate;
mod ground;
mod link;
mod narrow;
mod rim;
mod source;
mod unite;

pub use gate::Trust;
pub use ground::{NoGround, common, ground};

use super::{Point, Region};

/// What an offset gave.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Offset {
    /// The pieces of the result; none where nothing is left.
    pub regions: Vec<Region>,
    /// Places of the source that the result can no longer follow: holes, slots and necks too small for the distance.
    pub closed: Vec<Closed>,
}

/// A place that closed up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closed {
    /// A point of the place, on the source's line or in the gap.
    pub at: Point,
    /// Width in millimetres of the hole, slot or neck there.
    pub width: f64,
    /// What it is.
    pub what: Narrow,
}

/// What can be too small for an offset.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Narrow {
    /// A whole hole.
    Hole,
    /// A slot or notch that opens outwards, or part of one.
    Slot,
    /// A neck of material.
    Neck,
}

/// Why a region could not be offset.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Refused {
    /// Outlines of the region cross, touch or overlap.
    #[error("outlines cross or touch near ({:.3}, {:.3})", .0.x, .0.y)]
    Crossing(Point),
    /// The two kernels disagree and neither could be shown to be right.
    #[error("the offset near ({:.3}, {:.3}) could not be verified", .0.x, .0.y)]
    Unverified(Point),
}

/// The region grown (`distance` > 0: outer outline outwards, holes inwards) or shrunk (`distance` < 0), in millimetres,
/// round at outward corners, arcs staying arcs.
///
/// Outlines that touch, overlap, share an edge or cross themselves are united first: material is what lies within the
/// outer outline and in no hole. What is exactly as wide as twice the distance closes, always; a slot, hole or neck up to
/// a thousandth of a millimetre wider is reported as closed too. Sides that close at 20 degrees or less are a slot, wider
/// ones a corner, which is never reported.
///
/// # Errors
/// [`Refused`] where the result cannot be trusted.
pub fn offset(region: &Region, distance: f64) -> Result<Offset, Refused> {
    gate::offset(region, distance).map(|(offset, _)| offset)
}

/// As [`offset`], and how the result came to be trusted.
///
/// # Errors
/// As [`offset`].
pub fn offset_with_trust(region: &Region, distance: f64) -> Result<(Offset, Trust), Refused> {
    gate::offset(region, distance)
}
