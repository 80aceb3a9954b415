//! Tests of picture.

mod page;
mod proof;
mod sheets;
mod unfinished;
