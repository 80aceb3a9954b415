//! Tests of part.
