//! Looks a setting up, between the rows of a table where need be, never outside it.

use super::{LaserRow, LaserSetting, RouterRow, RouterSetting, TabRow, TabRule};
use crate::shop::machine::Cutter;

/// Two sizes of wood, beam or cutter closer than this (millimetres or watts) are the same.
const SAME: f64 = 1e-6;

/// Wood this much thinner or thicker than a table's last row, as a fraction, still counts as that row: a sheet of 1/32 inch
/// (0.794 mm) is sold as 0.8 mm, and no starting value is known more closely.
const NEARLY: f64 = 0.02;

/// What a table does not hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Outside {
    /// What was asked for, such as `thickness` or `beam power`.
    pub what: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// What was asked.
    pub asked: f64,
    /// The least and the most that the table holds; none where it is empty.
    pub holds: Option<(f64, f64)>,
}

/// The two neighbours of a value and how far it lies from the first to the second, 0 to 1.
fn neighbours<'r, R>(
    rows: &'r [R],
    key: impl Fn(&R) -> f64,
    asked: f64,
    what: &'static str,
    unit: &'static str,
) -> Result<(&'r R, &'r R, f64), Outside> {
    let holds = rows.first().zip(rows.last()).map(|(first, last)| (key(first), key(last)));
    let outside = Outside { what, unit, asked, holds };
    let asked = match holds {
        Some((least, most)) if asked >= least * (1.0 - NEARLY) && asked <= most * (1.0 + NEARLY) => {
            asked.clamp(least, most)
        }
        _ => asked,
    };
    let upper = rows.iter().find(|row| key(row) >= asked - SAME).ok_or(outside.clone())?;
    if (key(upper) - asked).abs() <= SAME {
        return Ok((upper, upper, 0.0));
    }
    let lower = rows.iter().rev().find(|row| key(row) < asked).ok_or(outside)?;
    Ok((lower, upper, (asked - key(lower)) / (key(upper) - key(lower))))
}

/// The rows in groups of the same first key (beam or cutter), which they are sorted by.
fn groups<R>(rows: &[R], key: impl Fn(&R) -> f64) -> Vec<&[R]> {
    rows.chunk_by(|a, b| (key(a) - key(b)).abs() <= SAME).collect()
}

fn between(a: f64, b: f64, t: f64) -> f64 {
    a + (b - a) * t
}

/// A laser setting for this thickness and beam.
///
/// Along the thickness, time and energy per millimetre of cut are interpolated; along the beam's power, speed and watts
/// are. Both are straight lines in the formula that the shipped tables come from, so that nothing is lost between rows.
///
/// # Errors
/// [`Outside`] where thickness or power lie outside the table.
pub fn laser(rows: &[LaserRow], thickness_mm: f64, beam_w: f64) -> Result<LaserSetting, Outside> {
    let beams = groups(rows, |row| row.beam_w);
    let (low, high, t) = neighbours(&beams, |group| group[0].beam_w, beam_w, "beam power", "W")?;
    let (a, b) = (at_thickness(low, thickness_mm)?, at_thickness(high, thickness_mm)?);
    Ok(if t == 0.0 { a } else { between_beams((low[0].beam_w, &a), (high[0].beam_w, &b), t) })
}

fn at_thickness(rows: &[LaserRow], thickness_mm: f64) -> Result<LaserSetting, Outside> {
    let (low, high, t) = neighbours(rows, |row| row.thickness_mm, thickness_mm, "thickness", "mm")?;
    if t == 0.0 {
        return Ok(low.setting);
    }
    let (a, b) = (&low.setting, &high.setting);
    let passes = a.passes.max(b.passes);
    let of = |s: &LaserSetting| Beam { minutes: f64::from(s.passes) / s.feed_mm_min, power: s.power };
    let score = |s: &LaserSetting| Beam { minutes: 1.0 / s.score_feed_mm_min, power: s.score_power };
    let mark = |s: &LaserSetting| Beam { minutes: 1.0 / s.mark_feed_mm_min, power: s.mark_power };
    let (cut, score, mark) =
        (of(a).towards(of(b), t), score(a).towards(score(b), t), mark(a).towards(mark(b), t));
    Ok(setting(passes, between(a.kerf_mm, b.kerf_mm, t), &cut, &score, &mark))
}

/// Minutes per millimetre of finished cut, and the fraction of power while it lasts.
#[derive(Clone, Copy)]
struct Beam {
    minutes: f64,
    power: f64,
}

impl Beam {
    /// Between two thicknesses: time and energy lie on straight lines.
    fn towards(self, other: Self, t: f64) -> Self {
        let minutes = between(self.minutes, other.minutes, t);
        let energy = between(self.minutes * self.power, other.minutes * other.power, t);
        Self { minutes, power: energy / minutes }
    }

    /// Between two beams of different power: speed and watts lie on straight lines.
    fn between_beams(self, own_w: f64, other: Self, other_w: f64, t: f64) -> Self {
        let speed = between(1.0 / self.minutes, 1.0 / other.minutes, t);
        let watts = between(self.power * own_w, other.power * other_w, t);
        Self { minutes: 1.0 / speed, power: (watts / between(own_w, other_w, t)).min(1.0) }
    }
}

fn between_beams((a_w, a): (f64, &LaserSetting), (b_w, b): (f64, &LaserSetting), t: f64) -> LaserSetting {
    let passes = a.passes.max(b.passes);
    let mix = |a_minutes: f64, a_power: f64, b_minutes: f64, b_power: f64| {
        let (a, b) =
            (Beam { minutes: a_minutes, power: a_power }, Beam { minutes: b_minutes, power: b_power });
        a.between_beams(a_w, b, b_w, t)
    };
    let whole = |s: &LaserSetting| f64::from(s.passes) / s.feed_mm_min;
    let cut = mix(whole(a), a.power, whole(b), b.power);
    let score = mix(1.0 / a.score_feed_mm_min, a.score_power, 1.0 / b.score_feed_mm_min, b.score_power);
    let mark = mix(1.0 / a.mark_feed_mm_min, a.mark_power, 1.0 / b.mark_feed_mm_min, b.mark_power);
    setting(passes, between(a.kerf_mm, b.kerf_mm, t), &cut, &score, &mark)
}

/// The setting whose cut, score and mark these beams make.
fn setting(passes: u32, kerf_mm: f64, cut: &Beam, score: &Beam, mark: &Beam) -> LaserSetting {
    LaserSetting {
        feed_mm_min: f64::from(passes) / cut.minutes,
        power: cut.power,
        passes,
        kerf_mm,
        inside_more_mm: 0.0,
        score_feed_mm_min: 1.0 / score.minutes,
        score_power: score.power,
        mark_feed_mm_min: 1.0 / mark.minutes,
        mark_power: mark.power,
    }
}

/// A router setting for this thickness and cutter, with the spindle between `min_rpm` and `max_rpm`. Where the spindle
/// cannot turn as the table says, the feed follows, so that the chip load stays.
///
/// # Errors
/// [`Outside`] where thickness or cutter lie outside the table.
pub fn router(
    rows: &[RouterRow],
    thickness_mm: f64,
    cutter: &Cutter,
    (min_rpm, max_rpm): (f64, f64),
) -> Result<RouterSetting, Outside> {
    let row = router_row(rows, thickness_mm, cutter.diameter_mm)?;
    let rpm = row.rpm.min(max_rpm).max(min_rpm);
    let feed = rpm * f64::from(cutter.flutes) * row.chip_load_mm;
    Ok(RouterSetting {
        rpm,
        feed_mm_min: feed,
        finish_feed_mm_min: feed,
        plunge_mm_min: feed * row.plunge,
        pass_mm: row.pass_mm.min(cutter.diameter_mm),
        overcut_mm: row.overcut_mm,
        mark_depth_mm: row.mark_depth_mm.min(thickness_mm / 2.0),
        score_depth: row.score_depth,
    })
}

/// The row of a router table for this thickness and cutter, between its rows where need be.
///
/// # Errors
/// [`Outside`] where thickness or cutter lie outside the table.
pub fn router_row(rows: &[RouterRow], thickness_mm: f64, cutter_mm: f64) -> Result<RouterRow, Outside> {
    let cutters = groups(rows, |row| row.cutter_mm);
    let (low, high, t) =
        neighbours(&cutters, |group| group[0].cutter_mm, cutter_mm, "cutter diameter", "mm")?;
    let (a, b) = (router_at(low, thickness_mm)?, router_at(high, thickness_mm)?);
    Ok(mixed(&a, &b, t))
}

fn router_at(rows: &[RouterRow], thickness_mm: f64) -> Result<RouterRow, Outside> {
    let (low, high, t) = neighbours(rows, |row| row.thickness_mm, thickness_mm, "thickness", "mm")?;
    Ok(mixed(low, high, t))
}

fn mixed(a: &RouterRow, b: &RouterRow, t: f64) -> RouterRow {
    RouterRow {
        cutter_mm: between(a.cutter_mm, b.cutter_mm, t),
        thickness_mm: between(a.thickness_mm, b.thickness_mm, t),
        rpm: between(a.rpm, b.rpm, t),
        chip_load_mm: between(a.chip_load_mm, b.chip_load_mm, t),
        plunge: between(a.plunge, b.plunge, t),
        pass_mm: between(a.pass_mm, b.pass_mm, t),
        overcut_mm: between(a.overcut_mm, b.overcut_mm, t),
        mark_depth_mm: between(a.mark_depth_mm, b.mark_depth_mm, t),
        score_depth: between(a.score_depth, b.score_depth, t),
    }
}

/// The tab rule for this thickness. Counts are taken from the nearer row.
///
/// # Errors
/// [`Outside`] where the thickness lies outside the table.
pub fn tabs(rows: &[TabRow], thickness_mm: f64) -> Result<TabRule, Outside> {
    let (low, high, t) = neighbours(rows, |row| row.thickness_mm, thickness_mm, "thickness", "mm")?;
    let (a, b) = (&low.rule, &high.rule);
    let nearer = if t < 0.5 { a } else { b };
    Ok(TabRule {
        every_mm: between(a.every_mm, b.every_mm, t),
        least: nearer.least,
        most: nearer.most,
        width_mm: between(a.width_mm, b.width_mm, t),
        height: between(a.height, b.height, t),
    })
}
