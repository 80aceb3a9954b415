//! Tests of proof.
