//! Tests of geometry.

mod curve;
mod distance;
