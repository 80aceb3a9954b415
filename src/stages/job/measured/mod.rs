//! Pieces that are written down in the job: measured, or pricked through from the plan.

mod read;

pub(super) use read::{EDGE, HOLE, NOTCH, PIECE, TREATED, pieces};

use super::Depth;
use crate::geometry::{Point, Vec2};

/// A piece without a drawing. Its coordinates are its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// What it is called.
    pub name: String,
    /// Its outline.
    pub form: Form,
    /// What is given is half of it: the other half lies across the line from its first point to its last.
    pub half: bool,
    /// Corners between straights that say nothing else.
    pub corner: Corner,
    /// How far a pricked point may lie off, mm; 0 where the curve passes the very points.
    pub reading_error_mm: f64,
    /// Holes.
    pub holes: Vec<Hole>,
    /// What is taken out of its edge.
    pub notches: Vec<Notch>,
    /// Lines cut part of the way.
    pub scores: Vec<Vec<Point>>,
    /// Lines drawn on it.
    pub marks: Vec<Vec<Point>>,
    /// Its grain, degrees from the x axis.
    pub grain_deg: Option<f64>,
    /// Line and column in the job file.
    pub line: (usize, usize),
}

/// A closed line.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// Length along x and width along y, mm.
    Rectangle(f64, f64),
    /// Diameter, mm.
    Circle(f64),
    /// Length over all along x and width, mm, with round ends.
    Slot(f64, f64),
    /// Edge by edge from a point.
    Edges(Point, Vec<Edge>),
    /// A fair curve all round, save where it has corners and straight runs.
    Pricked(Pricks),
}

/// One edge: from where the last one ended.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// Where it goes.
    pub way: Way,
    /// What is done to the corner at its end; none for what the piece says.
    pub corner: Option<Corner>,
    /// Line and column in the job file.
    pub line: (usize, usize),
}

/// How an edge goes.
#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    /// Straight to a point; with a rise, as an arc that lies so far to the right of the chord, mm.
    To(Point, f64),
    /// Straight, so far along x and y, mm; with a rise as above.
    By(Vec2, f64),
    /// Straight, so many mm in this direction, degrees from the x axis.
    Angle(f64, f64),
    /// Straight, so many mm after a turn to the left of so many degrees.
    Turn(f64, f64),
    /// A fair curve through pricked points, and how it begins and ends.
    Curve(Pricks, Lead, Lead),
}

/// What a corner between two straights is made.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Corner {
    /// Left as it is.
    #[default]
    Sharp,
    /// An arc of this radius, mm.
    Round(f64),
    /// Cut off, so far from the corner on both sides, mm.
    Cut(f64),
}

/// How a curve meets what it joins.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Lead {
    /// As it comes: bent up to its end as before it.
    #[default]
    Running,
    /// Straight at its very end, as a batten that ends at its last pin.
    Free,
    /// Smoothly out of the straight there.
    Tangent,
    /// In this direction of travel, degrees from the x axis.
    Degrees(f64),
}

/// Pricked points: in the job, or in a file.
#[derive(Clone, Debug, PartialEq)]
pub enum Pricks {
    /// These.
    List(Vec<Prick>),
    /// Those of a file, whose numbers are this many mm each.
    File(String, f64),
}

/// One pricked point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prick {
    /// Where.
    pub at: Point,
    /// The curve has a corner here.
    pub corner: bool,
    /// From here to the next it is straight.
    pub straight: bool,
}

/// A hole.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Its outline about its own middle; one given edge by edge or pricked where it is.
    pub form: Form,
    /// Its corners.
    pub corner: Corner,
    /// Where its middle lies: one hole for each; one shift for each where the outline has its own place.
    pub at: Vec<Point>,
    /// Turned so far, degrees.
    pub turn_deg: f64,
    /// How deep it is milled where it does not go through.
    pub depth: Option<Depth>,
    /// Line and column in the job file.
    pub line: (usize, usize),
}

/// A notch: a rectangle taken out of the edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Notch {
    /// The middle of its mouth, as near to the edge as is known.
    pub at: Point,
    /// Across, mm.
    pub width_mm: f64,
    /// From the edge inwards, mm.
    pub depth_mm: f64,
    /// The direction in which it goes in, degrees from the x axis; square to the edge where there is none.
    pub angle_deg: Option<f64>,
    /// Line and column in the job file.
    pub line: (usize, usize),
}
