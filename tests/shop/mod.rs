//! Tests of shop.

mod post;
mod shipped;
mod folder;
mod own;
mod tables;
