//! What a sheet in stock is like, beyond its size.

/// Room that is taken at the edges of a sheet beyond its margin, mm: clamps, screws, a fence.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Clamp {
    /// Where its length begins.
    pub left: f64,
    /// Where its length ends.
    pub right: f64,
    /// Where its width begins.
    pub bottom: f64,
    /// Where its width ends.
    pub top: f64,
}
