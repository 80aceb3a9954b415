//! Tests of picture.

mod sheets;
mod unfinished;
