//! How a sheet is cut beyond feeds and depths, in words: what the shop's tables and the job ask of beam or cutter.

use super::pen::number;
use crate::geometry::relief::Form;
use crate::shop::{LaserCraft, LaserWish, RouterCraft, RouterWish, TabShape};
use crate::stages::cut::{Craft, Settings, SheetCuts};
use crate::stages::part::Part;

/// What a drawing carries, too; all else is in programs only.
const IN_DRAWINGS: [&str; 3] = ["square corners", "kerf in holes", "goes elsewhere first"];

/// What a habit is, and how it is kept on this sheet; habits that are not asked for, or that no drawing can hold where there
/// are drawings only, are left out.
pub(super) fn told(cuts: &SheetCuts, parts: &[Part]) -> Vec<(&'static str, String)> {
    let mut told = match &cuts.craft {
        Craft::Router(craft) => router(craft),
        Craft::Laser(craft) => laser(craft, cuts),
    };
    if cuts.moves.is_empty() {
        told.retain(|(what, _)| IN_DRAWINGS.contains(what));
    }
    if !told.is_empty() && cuts.sheet.placed.iter().any(|p| parts.get(p.part).is_some_and(is_own)) {
        told.push(("save for", "parts with settings of their own in the job".to_owned()));
    }
    told
}

/// Whether the job says of a part how it is cut.
fn is_own(part: &Part) -> bool {
    part.cutting.router != RouterWish::default() || part.cutting.laser != LaserWish::default()
}

fn router(craft: &RouterCraft) -> Vec<(&'static str, String)> {
    let way = |climbs: bool| if climbs { "climbing" } else { "conventional" };
    let shape =
        TabShape::ALL.iter().find(|(_, shape)| *shape == craft.tab_shape).map_or("", |(name, _)| name);
    let [ramp, helix, lead, finish, skin, most] = [
        craft.ramp_deg,
        craft.helix_deg,
        craft.lead_mm,
        craft.finish_mm,
        craft.skin_mm,
        craft.relief_most_mm,
    ]
    .map(number);
    let mut told = vec![
        ("runs round", way(craft.climb).to_owned()),
        ("way down", format!("at most {ramp}° along paths, {helix}° round holes")),
        ("tabs", shape.to_owned()),
    ];
    if craft.lead_mm > 0.0 {
        told.push(("leads", format!("arcs of {lead} mm")));
    }
    if craft.finish_mm > 0.0 {
        told.push(("finishing pass", format!("takes {finish} mm, {}", way(craft.finish_climb))));
    }
    if craft.skin_mm > 0.0 {
        told.push(("skin", format!("{skin} mm stay until the last pass")));
    }
    if let Some(form) = craft.relief {
        let where_ = match form {
            Form::Dogbone => "across the corner",
            Form::Edge => "along an edge",
        };
        told.push(("square corners", format!("relieved {where_} in openings of at most {most} mm")));
    }
    if craft.corner_feed < 1.0 {
        told.push(("feed in corners", format!("{:.0} %", 100.0 * craft.corner_feed)));
    }
    told
}

fn laser(craft: &LaserCraft, cuts: &SheetCuts) -> Vec<(&'static str, String)> {
    let mut told = Vec::new();
    if let Settings::Laser(setting) = &cuts.settings
        && setting.inside_more_mm != 0.0
    {
        told.push(("kerf in holes", format!("{} mm", number(cuts.kerf_mm + setting.inside_more_mm))));
    }
    if craft.lead_mm > 0.0 {
        told.push(("lead", format!("an arc of {} mm from the waste", number(craft.lead_mm))));
    }
    if craft.overcut_mm > 0.0 {
        told.push(("past the beginning", format!("{} mm", number(craft.overcut_mm))));
    }
    if craft.apart_mm > 0.0 {
        told.push((
            "goes elsewhere first",
            format!("rather than within {} mm of the cut before", number(craft.apart_mm)),
        ));
    }
    told
}
