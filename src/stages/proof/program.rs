//! The normal form of a file that has been read: what it does to the wood, in its order. Every reader gives it, and
//! nothing after the readers knows G-code, DXF or SVG.

use crate::geometry::{Point, Rect, Segment};
use crate::problem::Problem;
use crate::stages::cut::Operation;

/// What a file does, on the sheet whose lower left corner is the origin; millimetres, z 0 on the wood's face.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Program {
    /// The stretches in the order in which they are made.
    pub traces: Vec<Trace>,
    /// What it comes to.
    pub totals: Totals,
    /// What a machine would refuse, or do that it should not; in the order of the file.
    pub problems: Vec<Problem>,
}

/// One stretch without a break: the beam is on, or the cutter in the wood, from its first corner to its last.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// Its corners in order, at least two. A plunge is two corners at one place with different heights.
    pub corners: Vec<Corner>,
    /// Line of the file that makes the segment that leaves each corner, from 1; 0 where the file has no such lines. As
    /// many as there are corners; the last means nothing.
    pub lines: Vec<u32>,
    /// How the file says what it does.
    pub does: Does,
}

/// A corner of a trace.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Where.
    pub at: Point,
    /// Height of beam or cutter: 0 on the wood's face, negative below.
    pub z: f64,
    /// Bulge of the segment that leaves it (see [`Segment::bulge`]); z changes evenly along it.
    pub bulge: f64,
}

/// How a file says what a trace does.
#[derive(Clone, Debug, PartialEq)]
pub enum Does {
    /// By a layer or group that the machine's file names.
    Says(Operation),
    /// By a layer or group that the machine's file does not name.
    Unsaid(String),
    /// A beam, by its power (a fraction of all it has) and its feed, mm/min.
    Burns {
        /// Fraction of its power, 0 to 1.
        power: f64,
        /// mm/min.
        feed: f64,
    },
    /// A cutter, by its depth.
    Mills,
}

/// What a program comes to.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Totals {
    /// All that it touches on its way, travel included; none where it goes nowhere.
    pub bounds: Option<Rect>,
    /// Lowest height, mm; 0 where it never leaves the wood's face.
    pub lowest_mm: f64,
    /// Length cut, mm.
    pub cut_length_mm: f64,
    /// Length travelled between the cuts, mm.
    pub travel_length_mm: f64,
    /// Time by feeds and rapids alone, without acceleration, s; 0 for a drawing.
    pub time_s: f64,
}

impl Trace {
    /// Its segments with the heights at their ends, in order.
    pub fn segments(&self) -> impl Iterator<Item = (Segment, [f64; 2])> + '_ {
        self.corners
            .windows(2)
            .map(|pair| (Segment::arc(pair[0].at, pair[1].at, pair[0].bulge), [pair[0].z, pair[1].z]))
    }

    /// Its lowest height, mm.
    pub fn lowest(&self) -> f64 {
        self.corners.iter().map(|corner| corner.z).fold(f64::INFINITY, f64::min)
    }

    /// Where it begins.
    pub fn begin(&self) -> Point {
        self.corners[0].at
    }

    /// Where it ends.
    pub fn end(&self) -> Point {
        self.corners[self.corners.len() - 1].at
    }
}
