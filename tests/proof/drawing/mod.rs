//! Drawings read back as traces.

mod entities;
mod golden;
mod layers;
mod sense;
mod strict;

use grainwise::geometry::Point;
use grainwise::problem::Severity;
use grainwise::shop::Machine;
use grainwise::stages::proof::read::{Reading, read};
use grainwise::stages::proof::{Limits, Program, Source};

fn read_with(bytes: &[u8], machine: Option<&Machine>, limits: &Limits, strict: bool) -> Program {
    read(Source { name: "test", bytes }, &Reading { machine, post: None, limits, units: None, strict })
}

/// As a file of ours for this machine.
fn strictly(bytes: impl AsRef<[u8]>, machine: &Machine) -> Program {
    read_with(bytes.as_ref(), Some(machine), &Limits::default(), true)
}

/// As a file by somebody else.
fn freely(bytes: impl AsRef<[u8]>) -> Program {
    read_with(bytes.as_ref(), None, &Limits::default(), false)
}

fn errors(program: &Program) -> Vec<&'static str> {
    program.problems.iter().filter(|p| p.severity == Severity::Error).map(|p| p.code).collect()
}

fn codes(program: &Program) -> Vec<&'static str> {
    program.problems.iter().map(|p| p.code).collect()
}

fn near(a: Point, b: Point, mm: f64) -> bool {
    a.distance(b) <= mm
}

/// A DXF of these entities, in millimetres.
fn dxf(entities: &str) -> String {
    format!(
        "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n\
         0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
    )
}

/// An SVG of 200 by 100 mm that holds this.
fn svg(inside: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"200mm\" height=\"100mm\" viewBox=\"0 0 200 100\" \
         fill=\"none\" stroke=\"#000\">{inside}</svg>\n"
    )
}
