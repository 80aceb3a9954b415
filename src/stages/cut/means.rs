//! What the tables, the shelf and the job's overrides say about one wood of one thickness.

use crate::problem::{Problem, Problems};
use crate::shop::{Cutter, LaserCraft, LaserSetting, RouterCraft, RouterSetting, Shop, TabRule, Tool, chip};
use crate::stages::job::{Cutting, Job};
use crate::stages::part::Part;
use crate::units::millimetres;

use super::{Craft, Settings};

/// A cutter asked for that is this close to one on the shelf, as a fraction of its diameter, is that one as measured:
/// cutters wear and are ground again. Anything farther off is another cutter, whose flutes nobody has told us.
const SAME_CUTTER: f64 = 0.05;

/// No beam is wider, mm; a larger number is a slip of the unit.
const WIDEST_KERF_MM: f64 = 5.0;

/// How one wood of one thickness is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Means {
    /// Width that is removed, mm.
    pub(super) kerf_mm: f64,
    pub(super) settings: Settings,
    pub(super) tabs: TabRule,
    /// How a cutter goes about it.
    pub(super) router: RouterCraft,
    /// How a beam goes about it.
    pub(super) laser: LaserCraft,
    /// Height at which a router travels, mm; 0 on a laser.
    pub(super) clearance_mm: f64,
}

impl Means {
    /// Width that is removed where a hole is cut round, mm.
    pub(super) fn inside_mm(&self) -> f64 {
        match &self.settings {
            Settings::Laser(setting) => self.kerf_mm + setting.inside_more_mm,
            Settings::Router(_) => self.kerf_mm,
        }
    }

    /// Whether a cutter does it, and not a beam.
    pub(super) fn is_router(&self) -> bool {
        matches!(self.settings, Settings::Router(_))
    }

    /// How beam or cutter goes about it.
    pub(super) fn craft(&self) -> Craft {
        if self.is_router() { Craft::Router(self.router) } else { Craft::Laser(self.laser) }
    }

    /// The same for one part, with what the job says of it alone.
    pub(super) fn of_part(self, part: &Part) -> Self {
        let width_mm = part.cutting.tab_width_mm.unwrap_or(self.tabs.width_mm);
        Self {
            tabs: TabRule {
                width_mm,
                height: part.cutting.router.tab_height.unwrap_or(self.tabs.height),
                ..self.tabs
            },
            router: self.router.with(part.cutting.router),
            laser: self.laser.with(part.cutting.laser),
            ..self
        }
    }

    /// What removes the wood, for messages: `the kerf of 0.15 mm`.
    pub(super) fn tool(&self) -> String {
        let kerf = millimetres(self.kerf_mm);
        if self.is_router() { format!("the cutter of {kerf} mm") } else { format!("the kerf of {kerf} mm") }
    }
}

/// The means for `wood` of `thickness_mm`, or why there are none.
pub(super) fn means(job: &Job, shop: &Shop, wood: &str, thickness_mm: f64) -> Result<Means, Problem> {
    let cutting = job.cutting.for_wood(wood);
    let mut tabs = shop.tabs(wood, thickness_mm)?;
    tabs.width_mm = positive("tab-width", "tab width", cutting.tab_width_mm)?.unwrap_or(tabs.width_mm);
    tabs.height = cutting.router.tab_height.unwrap_or(tabs.height);
    let router_craft = shop.router_craft(wood)?.with(cutting.router);
    let laser_craft = shop.laser_craft(wood)?.with(cutting.laser);
    let means = |kerf_mm, settings, clearance_mm| Means {
        kerf_mm,
        settings,
        tabs,
        router: router_craft,
        laser: laser_craft,
        clearance_mm,
    };
    match &shop.machine.tool {
        Tool::Laser { .. } => {
            let setting = laser(&cutting, shop.laser(wood, thickness_mm)?)?;
            Ok(means(setting.kerf_mm, Settings::Laser(setting), 0.0))
        }
        Tool::Router { clearance_mm, cutters, min_rpm, max_rpm } => {
            let (cutter, diameter) = cutter(cutting.cutter_mm, cutters)?;
            let table = shop.router(wood, thickness_mm, cutter)?;
            let setting = router(&cutting, table, [*min_rpm, *max_rpm])?;
            long_enough(cutter, wood, thickness_mm, setting.overcut_mm)?;
            let kerf_mm = shop.measured_kerf(wood, diameter).unwrap_or(diameter);
            let faster = chip::faster(router_craft.finish_mm, kerf_mm, router_craft.thin_feed);
            let finish_feed_mm_min =
                (setting.feed_mm_min * faster).min(shop.machine.rapid_mm_min).max(setting.feed_mm_min);
            let setting = RouterSetting { finish_feed_mm_min, ..setting };
            Ok(means(kerf_mm, Settings::Router(setting), *clearance_mm))
        }
    }
}

/// The table's values with the job's in their place.
fn laser(wish: &Cutting, table: LaserSetting) -> Result<LaserSetting, Problem> {
    let kerf_mm = wish.kerf_mm.unwrap_or(table.kerf_mm);
    if !(0.0..=WIDEST_KERF_MM).contains(&kerf_mm) {
        let message = format!("a kerf of {kerf_mm} mm is not between 0 and {WIDEST_KERF_MM} mm");
        return Err(Problem::error("kerf-out-of-range", message).hint("measure it with a coupon"));
    }
    let power = wish.power.unwrap_or(table.power);
    if !(power > 0.0 && power <= 1.0) {
        let message = format!("a power of {power} is not above 0 and at most 1");
        return Err(Problem::error("power-out-of-range", message).hint("power is a fraction of the beam's"));
    }
    let passes = wish.passes.unwrap_or(table.passes);
    if passes == 0 || passes > MOST_PASSES {
        let message = format!("{passes} passes of the beam: use 1 to {MOST_PASSES}");
        return Err(Problem::error("passes-out-of-range", message));
    }
    let feed_mm_min = positive("feed", "feed", wish.feed_mm_min)?.unwrap_or(table.feed_mm_min);
    // Neither a job's kerf nor the table's is ever less than nothing on the inside.
    let inside_mm = wish.kerf_inside_mm.unwrap_or(kerf_mm + table.inside_more_mm).clamp(0.0, WIDEST_KERF_MM);
    Ok(LaserSetting { feed_mm_min, power, passes, kerf_mm, inside_more_mm: inside_mm - kerf_mm, ..table })
}

/// More passes than this are a slip: the wood would have burnt long before.
const MOST_PASSES: u32 = 100;

/// A pass thinner than this, mm, only rubs.
const LEAST_PASS_MM: f64 = 0.02;

/// The table's values with the job's in their place. Where the job turns the spindle faster or slower than the table and
/// names no feed, the feeds follow, so that each tooth takes the same chip: feed = n x flutes x chip load.
fn router(wish: &Cutting, table: RouterSetting, rpm: [f64; 2]) -> Result<RouterSetting, Problem> {
    let turns = positive("spindle-speed", "spindle speed", wish.rpm)?.unwrap_or(table.rpm);
    if !(rpm[0]..=rpm[1]).contains(&turns) {
        let message = format!("the spindle runs from {} to {} turns a minute, not {turns}", rpm[0], rpm[1]);
        return Err(Problem::error("spindle-speed-out-of-range", message).hint("change rpm under cutting"));
    }
    let faster = if table.rpm > 0.0 { turns / table.rpm } else { 1.0 };
    let pass_mm = positive("pass", "depth of a pass", wish.pass_mm)?.unwrap_or(table.pass_mm);
    if pass_mm < LEAST_PASS_MM {
        let message = format!("a pass of {pass_mm} mm: use {LEAST_PASS_MM} mm or more");
        return Err(Problem::error("pass-out-of-range", message));
    }
    Ok(RouterSetting {
        rpm: turns,
        feed_mm_min: positive("feed", "feed", wish.feed_mm_min)?.unwrap_or(table.feed_mm_min * faster),
        plunge_mm_min: table.plunge_mm_min * faster,
        pass_mm,
        ..table
    })
}

/// A wish that must be a positive number.
fn positive(code: &'static str, name: &str, wish: Option<f64>) -> Result<Option<f64>, Problem> {
    match wish {
        Some(value) if !(value.is_finite() && value > 0.0) => {
            let message = format!("the {name} must be more than 0, not {value}");
            Err(Problem::error(code, message).hint("change it under cutting, or leave it to the table"))
        }
        other => Ok(other),
    }
}

/// The cutter on the shelf, and its diameter: the first one, or the one that the job asks for.
fn cutter(wish: Option<f64>, shelf: &[Cutter]) -> Result<(&Cutter, f64), Problem> {
    let no_shelf = || Problem::error("no-cutter", "the machine file lists no cutter");
    let Some(wanted) = wish else {
        return shelf.first().map(|c| (c, c.diameter_mm)).ok_or_else(no_shelf);
    };
    let off = |c: &&Cutter| (c.diameter_mm - wanted).abs();
    let nearest = shelf.iter().min_by(|a, b| off(a).total_cmp(&off(b))).ok_or_else(no_shelf)?;
    if off(&nearest) <= SAME_CUTTER * nearest.diameter_mm {
        return Ok((nearest, wanted));
    }
    let sizes: Vec<String> = shelf.iter().map(|c| millimetres(c.diameter_mm)).collect();
    let message = format!("no cutter of {wanted} mm is on the shelf, which holds {} mm", sizes.join(", "));
    Err(Problem::error("cutter-not-on-shelf", message)
        .hint("take one of these, or add the cutter with its flutes and their length to the machine file"))
}

/// Refuses a cutter whose flutes do not reach through the wood and the overcut.
fn long_enough(cutter: &Cutter, wood: &str, thickness_mm: f64, overcut_mm: f64) -> Result<(), Problem> {
    let depth = thickness_mm + overcut_mm;
    if cutter.flute_length_mm >= depth - super::track::NOTHING_MM {
        return Ok(());
    }
    let message = format!(
        "the flutes of the cutter of {} mm are {} mm long, {wood} of {} mm with an overcut of {} mm needs {} mm",
        millimetres(cutter.diameter_mm),
        millimetres(cutter.flute_length_mm),
        millimetres(thickness_mm),
        millimetres(overcut_mm),
        millimetres(depth),
    );
    Err(Problem::error("cutter-too-short", message)
        .hint("take a longer cutter with --cutter, or thinner wood"))
}

/// Pushes a problem unless it has been told already: the same table is asked for every part.
pub(super) fn tell_once(problem: Problem, problems: &mut Problems) {
    if !problems.iter().any(|told| *told == problem) {
        problems.push(problem);
    }
}
