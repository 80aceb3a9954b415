//! Bytes to [`Program`], as a machine would read them: G-code through the dialect of its post, DXF and SVG by their layers
//! and groups.

mod drawing;
mod gcode;
mod kind;
mod traces;

use std::io::{self, BufRead};

use super::{Limits, Program, Source};
use crate::shop::{Machine, Post};
use crate::units::Unit;
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
    /// Unit of a drawing, whatever it says itself; none where it is to be believed. G-code says its own.
    pub units: Option<Unit>,
    /// Whether the file has to be as strict as our own are: a drawing that needs a repair, or uses a layer that the
    /// machine does not name, is wrong then, and not only odd.
    pub strict: bool,
}

/// Reads a file by what it holds, not by its name. What stops a machine, or should, is among the program's problems.
pub fn read(source: Source<'_>, reading: &Reading) -> Program {
    match kind::of(source.bytes) {
        Kind::Drawing => drawing::read(source, reading),
        // Bytes in memory can always be read.
        Kind::Program => gcode::stream(source.bytes, source.name, reading, true).unwrap_or_default(),
    }
}

/// Whether a file that begins like this is a program, and not a drawing.
pub fn is_program(beginning: &[u8]) -> bool {
    matches!(kind::of(beginning), Kind::Program)
}

/// Reads G-code from a stream, whatever its length: what it comes to and what is wrong with it, and its traces where they
/// are kept (36 bytes for each segment; nothing else grows with the program).
///
/// # Errors
/// Those of the reader.
pub fn stream(reader: impl BufRead, name: &str, reading: &Reading, keep_traces: bool) -> io::Result<Program> {
    gcode::stream(reader, name, reading, keep_traces)
}
