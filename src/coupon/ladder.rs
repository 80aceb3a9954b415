//! Ladders: pieces that are all alike, each cut in a way of its own that is marked on it. Every rung is a file of its own
//! for the same sheet, so that a machine which takes drawings can be set for each.

use super::Wish;
use super::built::{self, part, plate, words};
use super::reading::shown;
use crate::geometry::{Chain, Region, Vertex};
use crate::problem::Problems;
use crate::shop::{Cutter, LaserSetting, Shop, Tool};
use crate::stages::cut::{self, SheetCuts};
use crate::stages::job::{Cutting, Job};
use crate::stages::part::Part;
use crate::stages::sheet::{Layout, Sheet};
use crate::stages::watch::Watch;
use crate::stages::{self, Kit};

/// One piece of a ladder.
#[derive(Clone, Debug)]
pub(super) struct Rung {
    pub(super) part: Part,
    /// What is marked on it: speed and percent of the power, or depth.
    pub(super) label: String,
    cutting: Cutting,
    shop: Shop,
}

/// Speeds of the rungs, as parts of the table's: from surely through to surely not.
const SPEEDS: [f64; 4] = [0.7, 1.0, 1.4, 2.0];

/// Powers of the rungs, as parts of the table's.
const POWERS: [f64; 3] = [0.7, 1.0, 1.3];

/// Depths of the rungs, as parts of the table's deepest pass.
const DEPTHS: [f64; 6] = [0.5, 0.75, 1.0, 1.25, 1.5, 2.0];

/// No scored line is left thinner than this part of the wood.
const DEEPEST: f64 = 0.85;

/// Speeds are rounded to this, mm/min.
const SPEED_STEP: f64 = 10.0;

/// Squares cut at three powers and four speeds.
pub(super) fn power(wish: &Wish, shop: &Shop, problems: &mut Problems) -> Vec<Rung> {
    let setting = match shop.laser(&wish.wood, wish.thickness_mm) {
        Ok(setting) => setting,
        Err(problem) => {
            problems.push(problem);
            return Vec::new();
        }
    };
    let mut settings: Vec<(f64, f64)> = Vec::new();
    for power in POWERS {
        for speed in SPEEDS {
            let step = step_of(&setting, power, speed, shop.machine.rapid_mm_min);
            if !settings.contains(&step) {
                settings.push(step);
            }
        }
    }
    settings.into_iter().enumerate().map(|(i, step)| power_rung(i, step, wish, shop)).collect()
}

/// Speed in mm/min and power in percent, both rounded to what can be marked.
fn step_of(setting: &LaserSetting, power: f64, speed: f64, fastest: f64) -> (f64, f64) {
    let feed = (setting.feed_mm_min * speed / SPEED_STEP).round() * SPEED_STEP;
    (feed.clamp(SPEED_STEP, fastest), (setting.power * power * 100.0).round().clamp(1.0, 100.0))
}

fn power_rung(i: usize, (feed, percent): (f64, f64), wish: &Wish, shop: &Shop) -> Rung {
    let mut square = part(
        &format!("P{}", i + 1),
        Region::new(plate(16.0, 16.0), Vec::new()),
        &wish.wood,
        wish.thickness_mm,
    );
    square.marks = words(&feed.to_string(), 8.0, 9.0);
    square.marks.extend(words(&format!("{percent}%"), 8.0, 4.0));
    // Nothing holds a rung: whether it falls out is what it tells.
    square.tabs = crate::stages::job::TabWish::Count(0);
    let cutting = Cutting { feed_mm_min: Some(feed), power: Some(percent / 100.0), ..wish.cutting.clone() };
    Rung { part: square, label: format!("{feed} {percent}"), cutting, shop: shop.clone() }
}

/// Small plates with a groove, each cut in passes of another depth, the groove in one.
pub(super) fn depth(wish: &Wish, shop: &Shop, problems: &mut Problems) -> Vec<Rung> {
    let Tool::Router { cutters, .. } = &shop.machine.tool else { return Vec::new() };
    let diameter = wish.cutting.cutter_mm.or(cutters.first().map(|cutter| cutter.diameter_mm));
    let Some(cutter) = diameter.and_then(|diameter| shop.machine.cutter(diameter)) else { return Vec::new() };
    let table = match shop.router(&wish.wood, wish.thickness_mm, &cutter) {
        Ok(table) => table,
        Err(problem) => {
            problems.push(problem);
            return Vec::new();
        }
    };
    let most = (DEEPEST * wish.thickness_mm).min(cutter.diameter_mm);
    let mut depths: Vec<f64> =
        DEPTHS.iter().map(|part| ((table.pass_mm * part).min(most) * 20.0).floor() / 20.0).collect();
    depths.dedup();
    let rungs = depths.into_iter().filter(|depth| *depth >= 0.05).enumerate();
    rungs.filter_map(|(i, depth)| depth_rung(i, depth, &cutter, wish, shop)).collect()
}

fn depth_rung(i: usize, depth: f64, cutter: &Cutter, wish: &Wish, shop: &Shop) -> Option<Rung> {
    let mut small = part(
        &format!("D{}", i + 1),
        Region::new(plate(30.0, 20.0), Vec::new()),
        &wish.wood,
        wish.thickness_mm,
    );
    small.marks = words(&shown(depth), 15.0, 4.0);
    small.scores = vec![Chain::new(vec![Vertex::new(6.0, 13.0, 0.0), Vertex::new(24.0, 13.0, 0.0)]).ok()?];
    let shop = shop.with_pass(&wish.wood, wish.thickness_mm, cutter.diameter_mm, depth)?;
    let cutting = Cutting { pass_mm: Some(depth), ..wish.cutting.clone() };
    Some(Rung { part: small, label: shown(depth), cutting, shop })
}

/// The journey of a ladder: all rungs are laid together, then each is planned as a sheet of its own.
pub(super) fn travel(
    kit: &mut Kit,
    rungs: &[Rung],
    job: &Job,
    shop: &Shop,
    watch: &dyn Watch,
    problems: &mut Problems,
) {
    built::lay(kit, job, shop, problems);
    let layout = std::mem::take(&mut kit.layout);
    let mut together = Vec::new();
    for sheet in &layout.sheets {
        let mut all: Option<SheetCuts> = None;
        for placed in &sheet.placed {
            let Some(rung) = rungs.get(placed.part) else { continue };
            let number = kit.layout.sheets.len() + 1;
            let own = Sheet { number, placed: vec![*placed], ..sheet.clone() };
            kit.layout.sheets.push(own.clone());
            let job = Job { cutting: rung.cutting.clone(), ..job.clone() };
            let one = Layout { sheets: vec![own] };
            for cuts in cut::plan(&one, &kit.parts, &job, &rung.shop, watch, problems) {
                add(&mut all, &cuts, sheet);
                kit.sheets.push(cuts);
            }
        }
        together.extend(all);
    }
    stages::finish(kit, job, shop, watch, problems);
    // All rungs of a sheet lie on one board: that is what there is to see.
    let mut seen = Kit { drawings: kit.drawings.clone(), parts: kit.parts.clone(), ..Kit::default() };
    (seen.layout, seen.sheets) = (layout, together);
    kit.picture = stages::seen(&seen, job, shop, problems.as_slice());
}

/// Adds the cuts of one rung to those of the whole sheet.
fn add(all: &mut Option<SheetCuts>, one: &SheetCuts, sheet: &Sheet) {
    let whole = all.get_or_insert_with(|| SheetCuts {
        sheet: sheet.clone(),
        cuts: Vec::new(),
        moves: Vec::new(),
        cut_length_mm: 0.0,
        travel_length_mm: 0.0,
        time_s: 0.0,
        ..one.clone()
    });
    let part = one.sheet.placed.first();
    let at = sheet.placed.iter().position(|placed| Some(placed) == part).unwrap_or(0);
    whole.cuts.extend(one.cuts.iter().cloned().map(|cut| cut::Cut { placed: at, ..cut }));
    whole.moves.extend(one.moves.iter().cloned());
    whole.cut_length_mm += one.cut_length_mm;
    whole.travel_length_mm += one.travel_length_mm;
    whole.time_s += one.time_s;
}
