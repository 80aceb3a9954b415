//! Tests of shop.

mod post;
mod shipped;
