//! Whether a sheet lies within the machine's reach.

use crate::problem::{Problem, Problems};
use crate::shop::Shop;
use crate::stages::sheet::{Layout, Sheet};
use crate::units::millimetres;

use super::Settings;
use super::means::Means;

/// A sheet that is longer than the reach by no more than this is within it, mm: tables and tape measures are no better.
const MEASURED_MM: f64 = 0.01;

/// Refuses sheets that are longer, wider or thicker than the machine's reach, one problem for each size.
pub(super) fn check(
    layout: &Layout,
    means: impl Fn(&Sheet) -> Option<Means>,
    shop: &Shop,
    problems: &mut Problems,
) {
    for sheet in &layout.sheets {
        if let Some(problem) = flat(sheet, shop).or_else(|| upright(sheet, means(sheet), shop)) {
            super::means::tell_once(problem, problems);
        }
    }
}

fn flat(sheet: &Sheet, shop: &Shop) -> Option<Problem> {
    let [x, y, _] = shop.machine.reach_mm;
    if sheet.length_mm <= x + MEASURED_MM && sheet.width_mm <= y + MEASURED_MM {
        return None;
    }
    let message = format!(
        "a sheet of {} of {} x {} mm is larger than the {} x {} mm that {} reaches",
        sheet.wood,
        millimetres(sheet.length_mm),
        millimetres(sheet.width_mm),
        millimetres(x),
        millimetres(y),
        shop.machine.name,
    );
    Some(Problem::error("beyond-reach", message).hint("give the stock as pieces that fit the machine"))
}

fn upright(sheet: &Sheet, means: Option<Means>, shop: &Shop) -> Option<Problem> {
    let means = means?;
    let Settings::Router(setting) = means.settings else { return None };
    let needed = sheet.thickness_mm + setting.overcut_mm + means.clearance_mm;
    let reach = shop.machine.reach_mm[2];
    if needed <= reach + MEASURED_MM {
        return None;
    }
    let message = format!(
        "{} of {} mm needs {} mm up and down with overcut and clearance, {} reaches {} mm",
        sheet.wood,
        millimetres(sheet.thickness_mm),
        millimetres(needed),
        shop.machine.name,
        millimetres(reach),
    );
    Some(Problem::error("beyond-reach", message).hint("use thinner wood or a lower clearance"))
}
