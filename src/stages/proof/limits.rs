//! What a machine and the wood on it allow: the numbers that a program is held against.

use crate::shop::{Machine, RouterSetting, Tool};
use crate::stages::cut::{Settings, SheetCuts};

/// What a program may do. What is none is not known, and not judged.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Limits {
    /// How far the machine reaches along x, y and z, mm.
    pub reach_mm: Option<[f64; 3]>,
    /// Length and width of the sheet, mm.
    pub sheet_mm: Option<[f64; 2]>,
    /// Width that beam or cutter removes, mm.
    pub kerf_mm: Option<f64>,
    /// Lowest height that a cutter may go to: wood and overcut, negative, mm.
    pub lowest_mm: Option<f64>,
    /// Lowest height of travel above the wood, mm.
    pub clearance_mm: Option<f64>,
    /// Fastest feed along the wood, mm/min.
    pub feed_mm_min: Option<f64>,
    /// Fastest feed into the wood, mm/min.
    pub plunge_mm_min: Option<f64>,
    /// Deepest that a single pass may go, mm.
    pub pass_mm: Option<f64>,
    /// Slowest and fastest spindle, turns a minute.
    pub rpm: Option<[f64; 2]>,
    /// Spindle speed that the table asks for, turns a minute.
    pub table_rpm: Option<f64>,
    /// Fastest travel, mm/min.
    pub rapid_mm_min: Option<f64>,
}

impl Limits {
    /// What the machine allows, whatever lies on it.
    pub fn of_machine(machine: &Machine) -> Self {
        let mut limits = Self {
            reach_mm: Some(machine.reach_mm),
            rapid_mm_min: Some(machine.rapid_mm_min),
            ..Self::default()
        };
        if let Tool::Router { min_rpm, max_rpm, clearance_mm, .. } = &machine.tool {
            limits.rpm = Some([*min_rpm, *max_rpm]);
            limits.clearance_mm = Some(*clearance_mm);
        }
        limits
    }

    /// What machine, sheet and tables allow together.
    pub fn of_sheet(machine: &Machine, cuts: &SheetCuts) -> Self {
        let sheet = &cuts.sheet;
        let mut limits = Self {
            sheet_mm: Some([sheet.length_mm, sheet.width_mm]),
            kerf_mm: Some(cuts.kerf_mm),
            ..Self::of_machine(machine)
        };
        match &cuts.settings {
            Settings::Router(setting) => limits.router(setting, sheet.thickness_mm),
            Settings::Laser(setting) => {
                let fastest =
                    setting.feed_mm_min.max(setting.score_feed_mm_min).max(setting.mark_feed_mm_min);
                limits.feed_mm_min = Some(fastest);
            }
        }
        limits
    }

    fn router(&mut self, setting: &RouterSetting, thickness_mm: f64) {
        self.lowest_mm = Some(-(thickness_mm + setting.overcut_mm));
        self.feed_mm_min = Some(setting.feed_mm_min.max(setting.finish_feed_mm_min));
        self.plunge_mm_min = Some(setting.plunge_mm_min);
        self.pass_mm = Some(setting.pass_mm);
        self.table_rpm = Some(setting.rpm);
    }
}
