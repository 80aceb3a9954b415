//! Tests of shop.
