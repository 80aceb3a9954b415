//! Feed and depth tables: how each wood is cut, by thickness and by beam power or cutter diameter.
//!
//! Between the rows of a table values are interpolated; outside it a table says nothing, and that is a problem.

use super::craft::{LaserCraft, RouterCraft};
use serde::{Deserialize, Serialize};

pub mod lookup;
pub mod read;

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

/// One row of a laser table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaserRow {
    /// Beam power, W.
    pub beam_w: f64,
    /// Thickness of the wood, mm.
    pub thickness_mm: f64,
    /// What to set.
    pub setting: LaserSetting,
}

/// One row of a router table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RouterRow {
    /// Cutter diameter, mm.
    pub cutter_mm: f64,
    /// Thickness of the wood, mm.
    pub thickness_mm: f64,
    /// Spindle speed, turns a minute.
    pub rpm: f64,
    /// What one flute takes off in one turn, mm: feed = rpm × flutes × chip load.
    pub chip_load_mm: f64,
    /// Feed into the wood as a fraction of the feed along it.
    pub plunge: f64,
    /// Deepest single pass, mm.
    pub pass_mm: f64,
    /// How far below the wood the last pass goes, mm.
    pub overcut_mm: f64,
    /// Depth of marks, mm.
    pub mark_depth_mm: f64,
    /// Depth of scores as a fraction of the thickness.
    pub score_depth: f64,
}

/// One row of a tab table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TabRow {
    /// Thickness of the wood, mm.
    pub thickness_mm: f64,
    /// How it is held.
    pub rule: TabRule,
}

/// All tables of one wood, sorted; empty where its file has none.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tables {
    /// By beam power, then thickness.
    pub laser: Vec<LaserRow>,
    /// By cutter diameter, then thickness.
    pub router: Vec<RouterRow>,
    /// How a beam goes about it.
    pub laser_craft: LaserCraft,
    /// How a cutter goes about it.
    pub router_craft: RouterCraft,
    /// Tabs on a laser, by thickness.
    pub laser_tabs: Vec<TabRow>,
    /// Tabs on a router, by thickness.
    pub router_tabs: Vec<TabRow>,
}
