//! Tests of part.

mod gather;
mod real;
mod start;
