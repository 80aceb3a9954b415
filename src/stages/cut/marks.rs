//! Part names and grain arrows: where they go on a piece, and how large they are.
//!
//! All is done on the sheet, where the piece already lies mirrored and turned, so that a name reads the right way round on
//! the finished piece of either hand.

use crate::geometry::{Chain, Region};

/// Smallest height of capitals, mm: the smallest of ISO 3098.
pub const SMALLEST: f64 = 1.8;

/// Largest height of capitals, mm: larger ones only take time.
pub const LARGEST: f64 = 7.0;

/// Distance that strokes keep from every edge and hole, mm.
pub const CLEARANCE: f64 = 0.8;

/// Where a mark came to lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Where {
    /// In the material.
    Inside,
    /// Beside the piece, on waste.
    Beside,
    /// Nowhere: there is no room.
    Nowhere,
}

/// What is drawn for a piece, in the coordinates of its sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Marking {
    /// Lines to be drawn.
    pub strokes: Vec<Chain>,
    /// Where the name came to lie.
    pub name: Where,
    /// Where the grain arrow came to lie; none where the piece has no grain direction.
    pub arrow: Option<Where>,
    /// Height of the capitals, mm; 0 where the name is nowhere.
    pub height_mm: f64,
    /// Characters of the name that there is no letter for; each is drawn as an empty box.
    pub unknown: Vec<char>,
}

/// Places a name and, where the piece has a grain direction (degrees on the sheet), a grain arrow. `free` says whether a
/// place on the sheet is waste that nothing else needs.
pub fn place(name: &str, region: &Region, grain_deg: Option<f64>, free: &dyn Fn(&Region) -> bool) -> Marking {
    let _ = (name, region, free);
    Marking {
        strokes: Vec::new(),
        name: Where::Nowhere,
        arrow: grain_deg.map(|_| Where::Nowhere),
        height_mm: 0.0,
        unknown: Vec::new(),
    }
}
