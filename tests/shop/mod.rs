//! Tests of shop.

mod shipped;
