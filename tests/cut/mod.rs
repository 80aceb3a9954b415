//! Tests of cut.

mod support;
mod kerf;
mod means;
mod moves;
mod order;
mod plan;
mod tabs;
mod time;
