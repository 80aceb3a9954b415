//! Points, arcs, outlines, and what is done with them. Knows nothing of wood or machines.
//!
//! Lengths are millimetres, angles radians unless the name ends in `_deg`, y points up.

pub mod batten;
pub mod crossing;
pub mod curve;
pub mod distance;
pub mod fit;
pub mod lettering;
pub mod offset;
pub mod section;
mod outline;
mod piece;
mod placement;
pub mod ray;
mod region;
pub mod relief;
mod segment;
pub mod stretch;
pub mod trig;

pub use kurbo::{Affine, Point, Rect, Vec2};
pub use outline::{Chain, Malformed, Outline, Vertex};
pub use placement::Placement;
pub use region::Region;
pub use segment::{STRAIGHT_BULGE, Segment, turn_between};

/// No coordinate of a drawing may lie farther out than this, in millimetres: ten kilometres. Beyond it something is
/// wrong with the drawing, and double precision would no longer hold a thousandth of a millimetre with room to spare.
pub const FARTHEST: f64 = 1.0e7;
