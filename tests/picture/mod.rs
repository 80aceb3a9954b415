//! Tests of picture.

mod page;
mod paper;
mod proof;
mod sheets;
mod unfinished;
