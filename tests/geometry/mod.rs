//! Tests of geometry.

mod curve;
