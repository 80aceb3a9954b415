//! Tests of shop.

mod post;
mod schema;
mod shipped;
mod folder;
mod own;
mod tables;
