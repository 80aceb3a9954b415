//! Tests of shop.

mod post;
mod shipped;
mod own;
mod tables;
