//! Bytes to [`Program`], as a machine would read them: G-code through the dialect of its post, DXF and SVG by their layers
//! and groups.

mod drawing;
mod gcode;
mod kind;
mod traces;

use super::{Limits, Program, Source};
use crate::shop::{Machine, Post};
use kind::Kind;

/// What is known of the machine that a file is for.
#[derive(Clone, Copy, Debug)]
pub struct Reading<'a> {
    /// The machine: its file names the layers and groups of its drawings. Where there is none, names decide by their
    /// meaning.
    pub machine: Option<&'a Machine>,
    /// The post whose dialect G-code is written in; the standard itself where there is none.
    pub post: Option<&'a Post>,
    /// What the program may do.
    pub limits: &'a Limits,
    /// Whether the file has to be as strict as our own are: a drawing that needs a repair, or uses a layer that the
    /// machine does not name, is wrong then, and not only odd.
    pub strict: bool,
}

/// Reads a file by what it holds, not by its name. What stops a machine, or should, is among the program's problems.
pub fn read(source: Source<'_>, reading: &Reading) -> Program {
    match kind::of(source.bytes) {
        Kind::Drawing => drawing::read(source, reading),
        Kind::Program => gcode::read(source, reading),
    }
}
