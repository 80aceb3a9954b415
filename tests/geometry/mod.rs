//! Tests of geometry.

mod batten;
mod basics;
mod curve;
mod distance;
mod fit;
mod lettering;
pub(crate) mod nasty;
mod offset;
mod relief;
mod section;
mod stretch;
mod closed;

/// The smooth curves, the fewest segments, and the measures: shared with the benchmarks.
#[allow(dead_code, reason = "the benchmarks use all of it")]
#[path = "../bench/segments/mod.rs"]
mod segments;
