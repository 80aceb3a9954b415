//! Tests of write.

mod arcs;
mod cutlist;
mod drawings;
mod gcode;
mod golden;
mod hostile;
mod reread;
pub(crate) mod sample;
