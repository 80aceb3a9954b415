//! Feed and depth tables: how each wood is cut, by thickness and by beam power or cutter diameter.
//!
//! Between the rows of a table values are interpolated; outside it a table says nothing, and that is a problem.

use super::craft::{LaserCraft, RouterCraft};
use serde::{Deserialize, Serialize};

pub mod lookup;
mod over;
pub(crate) mod read;
pub mod row;

pub use over::Given;
pub use read::is_date;

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
    /// So much more it removes where it goes round a hole, mm; less than 0 where that is less.
    pub inside_more_mm: f64,
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
    /// Feed of a last pass that takes little, mm/min.
    pub finish_feed_mm_min: f64,
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

/// One row of the table of what cutters take away in a wood, as measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KerfRow {
    /// The cutter's nominal diameter, mm.
    pub cutter_mm: f64,
    /// Width that it takes away, mm.
    pub kerf_mm: f64,
}

/// One row of the table of fits: how much wider than the wood a slot is drawn, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FitRow {
    /// Thickness that the wood is sold as, mm.
    pub thickness_mm: f64,
    /// Thickness as measured, mm.
    pub measured_mm: f64,
    /// For a slot that the piece has to be pressed into; below 0 where the wood gives.
    pub press_mm: f64,
    /// For a slot that leaves room for glue.
    pub glue_mm: f64,
    /// For a slot that the piece slides in.
    pub slide_mm: f64,
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
    /// What cutters take away, by their diameter: measured, so that nothing is shipped.
    pub router_kerf: Vec<KerfRow>,
    /// Fits, by thickness: measured, so that nothing is shipped.
    pub fits: Vec<FitRow>,
    /// What a person's own files said, in the order in which they were laid over each other: later ones count.
    pub given: Vec<Given>,
}

/// One of a wood's tables as columns and rows of numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Listed {
    /// Its key in the wood's file.
    pub table: &'static str,
    /// Names of its columns.
    pub columns: Vec<&'static str>,
    /// How many of them, from the first, it is looked up by.
    pub by: usize,
    /// Its rows.
    pub rows: Vec<Vec<f64>>,
}

impl Tables {
    /// All tables that hold anything.
    pub fn listed(&self) -> Vec<Listed> {
        let all = [
            listed("laser", &self.laser),
            listed("router", &self.router),
            listed("laser_tabs", &self.laser_tabs),
            listed("router_tabs", &self.router_tabs),
            listed("router_kerf", &self.router_kerf),
            listed("fits", &self.fits),
        ];
        all.into_iter().filter(|table| !table.rows.is_empty()).collect()
    }

    /// Which of a person's own files a value comes from; none where it is the shipped one, or lies between others.
    pub fn source(&self, table: &str, key: &[f64], column: &str) -> Option<&Given> {
        self.given.iter().rev().find(|given| {
            given.table == table && given.columns.contains(&column) && over::same(&given.key, key)
        })
    }
}

fn listed<R: row::Row>(table: &'static str, rows: &[R]) -> Listed {
    let columns = R::COLUMNS.iter().map(|column| column.0).collect();
    Listed { table, columns, by: R::BY, rows: rows.iter().map(R::values).collect() }
}
