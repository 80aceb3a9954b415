//! Tests of cut.

mod support;
mod beam;
mod craft;
mod heat;
mod entry;
mod feeds;
mod finish;
mod lead;
mod kerf;
mod marks;
mod means;
mod moves;
mod order;
mod plan;
mod recess;
mod relief;
mod tabs;
mod time;
