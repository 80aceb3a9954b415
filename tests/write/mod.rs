//! Tests of write.
