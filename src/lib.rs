//! Grainwise takes a model-aircraft builder from the outlines on a plan to cut files that can be trusted.
//!
//! The modules stand in the order of the journey: arguments come in by [`cli`], walk through [`stages`], and what comes
//! out goes to the disk through [`files`]. [`geometry`] knows nothing of wood; [`shop`] knows what the workshop owns.

pub mod cli;
pub mod stages;
pub mod coupon;
pub mod shop;
pub mod geometry;
pub mod problem;
pub mod units;
pub mod yaml;
pub mod files;
