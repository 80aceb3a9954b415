//! Tests of picture.

mod proof;
mod sheets;
mod unfinished;
