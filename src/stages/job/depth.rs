//! How deep a recess is: `half` of the wood, or a length.

use std::ops::RangeInclusive;

use crate::units::Unit;
use crate::yaml::{Node, Reader, What};

/// Depths that a recess may have, mm.
const DEPTHS_MM: RangeInclusive<f64> = 0.1..=100.0;

/// How deep a recess is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Depth {
    /// As the part's `cutting` says, and half of the wood where that says nothing.
    #[default]
    Asked,
    /// Half of the wood.
    Half,
    /// So many thousandths of a millimetre.
    Micrometres(u32),
}

impl Depth {
    /// A depth in millimetres; below a thousandth of one it is none.
    #[must_use]
    pub fn of_mm(mm: f64) -> Self {
        Self::Micrometres((mm * 1000.0).round().clamp(0.0, 1e9) as u32)
    }

    /// In wood of this thickness, mm, where the part asks for `asked`.
    #[must_use]
    pub fn mm(self, asked: Option<Self>, thickness_mm: f64) -> f64 {
        match (self, asked) {
            (Self::Micrometres(depth), _) | (Self::Asked, Some(Self::Micrometres(depth))) => {
                f64::from(depth) / 1000.0
            }
            _ => thickness_mm / 2.0,
        }
    }
}

/// Reads a depth.
pub(super) fn read(node: &Node, key: &str, unit: Unit, reader: &mut Reader) -> Option<Depth> {
    match &node.what {
        What::Text(word) if word.trim() == "half" => Some(Depth::Half),
        _ => reader.length(node, key, unit, DEPTHS_MM).map(Depth::of_mm),
    }
}
