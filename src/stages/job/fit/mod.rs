//! What has to fit together, and what waits until it does.

mod read;

use crate::geometry::Point;
use crate::yaml::Place;

pub(super) use read::{FIT, HALF, STATION, TERM, UNTIL, read};

/// How far a dimension may be off where nobody says, mm: what glue fills (common practice, no source).
pub const WITHIN: f64 = 0.1;

/// What has to fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// What it is called.
    pub name: String,
    /// What has to fit.
    pub is: Kind,
    /// What it has to fit, added up.
    pub should: Vec<Term>,
    /// What is taken off.
    pub less: Vec<Term>,
    /// How much smaller it should be, mm.
    pub play_mm: f64,
    /// How far it may be off, mm.
    pub within_mm: f64,
    /// The dimension as measured on what is built, mm.
    pub built_mm: Option<f64>,
    /// Patterns over the parts that wait.
    pub holds: Vec<String>,
    /// Whether they wait for a measured dimension even where the drawing fits.
    pub until_built: bool,
    /// How the part is brought to size.
    pub adjust: Option<Adjust>,
    /// Line and column in the job file.
    pub line: Place,
}

/// What has to fit.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// One dimension.
    Dimension(Term),
    /// What a straight spar runs through, which has to lie in a line.
    Line(Vec<Station>),
    /// Two parts that cross, by name, and a point in the slot of each.
    Halving([(String, Point); 2]),
}

/// One place that a straight spar runs through.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// The part.
    pub part: String,
    /// What is meant there.
    pub target: Target,
    /// Where it is measured from; the drawing's origin where none is given.
    pub from: Option<Point>,
    /// In which direction, degrees.
    pub along_deg: f64,
    /// Where the part stands, mm from the root.
    pub station_mm: f64,
}

/// A place of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Target {
    /// The edge or corner nearest to a point.
    Edge(Point),
    /// The middle of the slot at a point.
    Middle(Point),
}

/// How a part is brought to size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Adjust {
    /// All that lies beyond a point moves.
    Beyond(Point),
    /// The walls of the slot move, each by half.
    Walls,
}

/// One dimension.
#[derive(Clone, Debug, PartialEq)]
pub enum Term {
    /// So many mm.
    Length(f64),
    /// From a point at an edge of a part to another place; in a direction, degrees, where there is one.
    Between(String, Point, Target, Option<f64>),
    /// All of a part in a direction, degrees.
    Overall(String, f64),
    /// The width of the slot, notch or hole at a point.
    Slot(String, Point),
    /// The thickness of a wood, mm as it is sold.
    Wood(String, f64),
}

impl Term {
    /// The part that is measured.
    pub fn part(&self) -> Option<&str> {
        match self {
            Self::Between(part, ..) | Self::Overall(part, _) | Self::Slot(part, _) => Some(part),
            Self::Length(_) | Self::Wood(..) => None,
        }
    }
}
