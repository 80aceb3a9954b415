//! Ribs that the job describes: sections from root to tip, and what is cut into them.

mod read;

pub(super) use read::{BLOCK, COVERING, END, FOOT, HOLE, SECTION, SET, SIDES, SPAR, sets};

/// A set of ribs, or the templates to sand one between.
#[derive(Clone, Debug, PartialEq)]
pub struct RibSet {
    /// What the ribs are called: this and a number from 1 at the root.
    pub name: String,
    /// The root.
    pub root: End,
    /// The tip.
    pub tip: End,
    /// Where the ribs stand, from the root, mm; rising, the first is the root, the last the tip.
    pub stations: Vec<f64>,
    /// The fraction of the chord that runs straight from root to tip, and about which sections are twisted.
    pub straight: f64,
    /// How far behind its place at the root that line is at the tip, mm.
    pub sweep_mm: f64,
    /// A drawing of the wing from above, whose edges say where ribs begin and end: span along x from the root, nose up.
    pub planform: Option<String>,
    /// Thickness of the ribs, mm: what crosses them aslant needs a wider notch.
    pub thickness_mm: f64,
    /// The rib is cut square so far behind its nose, mm.
    pub leading_edge_mm: f64,
    /// The rib is cut square so far ahead of its tail, mm.
    pub trailing_edge_mm: f64,
    /// What lies on the ribs and is taken off them; where several lie, the first counts.
    pub coverings: Vec<Covering>,
    /// Spars.
    pub spars: Vec<Spar>,
    /// Lightening holes.
    pub holes: Vec<Lightening>,
    /// Feet and tabs to build on.
    pub feet: Vec<Foot>,
    /// How far the root rib leans, degrees.
    pub lean_deg: f64,
    /// Instead of ribs, templates and blanks.
    pub block: Option<Block>,
    /// Line and column in the job file.
    pub line: (usize, usize),
}

/// One end of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct End {
    /// Its section.
    pub section: Source,
    /// Its chord, mm; 0 where a drawing says it.
    pub chord_mm: f64,
    /// How far its nose is turned up, degrees.
    pub twist_deg: f64,
}

/// Where a section comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// A NACA number.
    Naca(String),
    /// A file of coordinates.
    Coordinates(String),
    /// An outline in a drawing, by the text within it; without one the largest. Nose to the left.
    Drawn(String, Option<String>),
}

/// Which surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The upper one.
    Upper,
    /// The lower one.
    Lower,
    /// Both.
    Both,
    /// Neither: through the middle.
    Through,
}

/// Sheeting or cap strips.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Covering {
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// From this fraction of the chord.
    pub from: f64,
    /// To this one.
    pub to: f64,
    /// Where.
    pub side: Side,
}

/// A strip that runs straight from root to tip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spar {
    /// Fractions of the chord at root and tip.
    pub at: (f64, f64),
    /// Where it lies.
    pub side: Side,
    /// Its width along the chord, mm.
    pub width_mm: f64,
    /// Its height, mm.
    pub depth_mm: f64,
    /// So much wider and deeper the notch is, mm.
    pub fit_mm: f64,
    /// Line and column in the job file.
    pub line: (usize, usize),
}

/// A lightening hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lightening {
    /// Fractions of the chord between which it lies; a round hole about the first where both are the same.
    pub span: (f64, f64),
    /// Wood left around it, mm.
    pub web_mm: f64,
    /// Narrower than this, mm, it is left out.
    pub least_mm: f64,
}

/// A foot that stands on the board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foot {
    /// Fractions of the chord at root and tip; it stands on a straight line between.
    pub at: (f64, f64),
    /// Its width, mm.
    pub width_mm: f64,
    /// How far below the chord of the root the board lies, mm.
    pub down_mm: f64,
    /// Line and column in the job file.
    pub line: (usize, usize),
}

/// Templates for sanding a block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Diameter of the pins, mm.
    pub pin_mm: f64,
    /// Fractions of the tip's chord at which they stand.
    pub pins: (f64, f64),
    /// So much larger the blanks are all round, mm.
    pub oversize_mm: f64,
}
