//! Tests of picture.
