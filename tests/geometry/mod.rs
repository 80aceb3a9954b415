//! Tests of geometry.
