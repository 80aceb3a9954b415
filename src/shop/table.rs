//! Feed and depth tables: how each wood is cut, by thickness and by beam power or cutter diameter.

use serde::{Deserialize, Serialize};

/// How a beam cuts a wood of one thickness; starting values, to be tried on a coupon.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct LaserSetting {
    /// Speed of the cut, mm/min.
    pub feed_mm_min: f64,
    /// Fraction of the beam's power, 0 to 1.
    pub power: f64,
    /// How many times round.
    pub passes: u32,
    /// Width that the beam removes, mm.
    pub kerf_mm: f64,
    /// Speed of marks, mm/min.
    pub mark_feed_mm_min: f64,
    /// Fraction of power for marks.
    pub mark_power: f64,
    /// Speed of scores, mm/min.
    pub score_feed_mm_min: f64,
    /// Fraction of power for scores.
    pub score_power: f64,
}

/// How a cutter cuts a wood of one thickness; starting values, to be tried on a coupon.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct RouterSetting {
    /// Spindle speed, turns a minute.
    pub rpm: f64,
    /// Feed along the wood, mm/min.
    pub feed_mm_min: f64,
    /// Feed into the wood, mm/min.
    pub plunge_mm_min: f64,
    /// Deepest single pass, mm.
    pub pass_mm: f64,
    /// How far below the wood the last pass goes, mm.
    pub overcut_mm: f64,
    /// Depth of marks, mm.
    pub mark_depth_mm: f64,
    /// Depth of scores as a fraction of the thickness.
    pub score_depth: f64,
}

/// How a wood of one thickness is held by tabs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct TabRule {
    /// Length of outline per tab, mm.
    pub every_mm: f64,
    /// Fewest tabs on a part.
    pub least: u32,
    /// Most tabs on a part.
    pub most: u32,
    /// Width of the wood that is left, mm.
    pub width_mm: f64,
    /// Height of the wood that is left, as a fraction of the thickness; on a laser tabs are full height.
    pub height: f64,
}
