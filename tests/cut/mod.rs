//! Tests of cut.
