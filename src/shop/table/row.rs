//! The columns of each table, and how a row of numbers becomes one of it.

use super::lookup;
use super::{FitRow, KerfRow, LaserRow, LaserSetting, RouterRow, TabRow, TabRule};

/// A column: its name, and the span outside which a value is surely a slip.
pub type Column = (&'static str, f64, f64);

/// A row of a table.
pub trait Row: Copy {
    /// Its columns, in the order in which files have them.
    const COLUMNS: &'static [Column];
    /// How many of them, from the first, it is looked up by.
    const BY: usize;

    /// A row from as many numbers as there are columns.
    fn of(values: &[f64]) -> Self;

    /// Its numbers, in the order of the columns.
    fn values(&self) -> Vec<f64>;

    /// The row that a table gives for these keys, between its rows where need be; none outside it.
    fn at(rows: &[Self], key: &[f64]) -> Option<Self>;
}

impl Row for LaserRow {
    const COLUMNS: &'static [Column] = &[
        ("beam_w", 0.5, 2000.0),
        ("thickness_mm", 0.1, 50.0),
        ("feed_mm_min", 10.0, 100_000.0),
        ("power", 0.005, 1.0),
        ("passes", 1.0, 50.0),
        ("kerf_mm", 0.02, 1.0),
        ("score_feed_mm_min", 10.0, 100_000.0),
        ("score_power", 0.005, 1.0),
        ("mark_feed_mm_min", 10.0, 100_000.0),
        ("mark_power", 0.005, 1.0),
    ];
    const BY: usize = 2;

    fn of(row: &[f64]) -> Self {
        let setting = LaserSetting {
            feed_mm_min: row[2],
            power: row[3],
            passes: row[4].round() as u32,
            kerf_mm: row[5],
            inside_more_mm: 0.0,
            score_feed_mm_min: row[6],
            score_power: row[7],
            mark_feed_mm_min: row[8],
            mark_power: row[9],
        };
        Self { beam_w: row[0], thickness_mm: row[1], setting }
    }

    fn values(&self) -> Vec<f64> {
        let s = &self.setting;
        vec![
            self.beam_w,
            self.thickness_mm,
            s.feed_mm_min,
            s.power,
            f64::from(s.passes),
            s.kerf_mm,
            s.score_feed_mm_min,
            s.score_power,
            s.mark_feed_mm_min,
            s.mark_power,
        ]
    }

    fn at(rows: &[Self], key: &[f64]) -> Option<Self> {
        let setting = lookup::laser(rows, key[1], key[0]).ok()?;
        Some(Self { beam_w: key[0], thickness_mm: key[1], setting })
    }
}

impl Row for RouterRow {
    const COLUMNS: &'static [Column] = &[
        ("cutter_mm", 0.2, 25.0),
        ("thickness_mm", 0.1, 50.0),
        ("rpm", 1000.0, 100_000.0),
        ("chip_load_mm", 0.001, 1.0),
        ("plunge", 0.05, 1.0),
        ("pass_mm", 0.05, 25.0),
        ("overcut_mm", 0.0, 1.0),
        ("mark_depth_mm", 0.02, 1.0),
        ("score_depth", 0.05, 0.9),
    ];
    const BY: usize = 2;

    fn of(row: &[f64]) -> Self {
        Self {
            cutter_mm: row[0],
            thickness_mm: row[1],
            rpm: row[2],
            chip_load_mm: row[3],
            plunge: row[4],
            pass_mm: row[5].min(row[0]),
            overcut_mm: row[6],
            mark_depth_mm: row[7],
            score_depth: row[8],
        }
    }

    fn values(&self) -> Vec<f64> {
        vec![
            self.cutter_mm,
            self.thickness_mm,
            self.rpm,
            self.chip_load_mm,
            self.plunge,
            self.pass_mm,
            self.overcut_mm,
            self.mark_depth_mm,
            self.score_depth,
        ]
    }

    fn at(rows: &[Self], key: &[f64]) -> Option<Self> {
        let row = lookup::router_row(rows, key[1], key[0]).ok()?;
        Some(Self { cutter_mm: key[0], thickness_mm: key[1], ..row })
    }
}

impl Row for TabRow {
    const COLUMNS: &'static [Column] = &[
        ("thickness_mm", 0.1, 50.0),
        ("every_mm", 10.0, 2000.0),
        ("least", 0.0, 50.0),
        ("most", 0.0, 100.0),
        ("width_mm", 0.1, 20.0),
        ("height", 0.05, 1.0),
    ];
    const BY: usize = 1;

    fn of(row: &[f64]) -> Self {
        let rule = TabRule {
            every_mm: row[1],
            least: row[2].round() as u32,
            most: row[3].round() as u32,
            width_mm: row[4],
            height: row[5],
        };
        Self { thickness_mm: row[0], rule }
    }

    fn values(&self) -> Vec<f64> {
        let rule = &self.rule;
        let (least, most) = (f64::from(rule.least), f64::from(rule.most));
        vec![self.thickness_mm, rule.every_mm, least, most, rule.width_mm, rule.height]
    }

    fn at(rows: &[Self], key: &[f64]) -> Option<Self> {
        Some(Self { thickness_mm: key[0], rule: lookup::tabs(rows, key[0]).ok()? })
    }
}

impl Row for KerfRow {
    const COLUMNS: &'static [Column] = &[("cutter_mm", 0.2, 25.0), ("kerf_mm", 0.1, 30.0)];
    const BY: usize = 1;

    fn of(row: &[f64]) -> Self {
        Self { cutter_mm: row[0], kerf_mm: row[1] }
    }

    fn values(&self) -> Vec<f64> {
        vec![self.cutter_mm, self.kerf_mm]
    }

    /// What was measured on one cutter says nothing of another.
    fn at(_: &[Self], _: &[f64]) -> Option<Self> {
        None
    }
}

impl Row for FitRow {
    const COLUMNS: &'static [Column] = &[
        ("thickness_mm", 0.1, 50.0),
        ("measured_mm", 0.1, 50.0),
        ("press_mm", -1.0, 1.0),
        ("glue_mm", -1.0, 1.0),
        ("slide_mm", -1.0, 2.0),
    ];
    const BY: usize = 1;

    fn of(row: &[f64]) -> Self {
        Self {
            thickness_mm: row[0],
            measured_mm: row[1],
            press_mm: row[2],
            glue_mm: row[3],
            slide_mm: row[4],
        }
    }

    fn values(&self) -> Vec<f64> {
        vec![self.thickness_mm, self.measured_mm, self.press_mm, self.glue_mm, self.slide_mm]
    }

    /// What was measured on one sheet says nothing of another thickness.
    fn at(_: &[Self], _: &[f64]) -> Option<Self> {
        None
    }
}
