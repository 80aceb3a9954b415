//! The passes before the last, farther out in the waste by what the last one is to take. The last pass then runs round the
//! whole outline with little wood to take: it leaves a clean edge, and the cutter is not bent away from it.
//!
//! They end above the wood's lower face: the last pass alone goes through, while the piece is still held all round.

use crate::geometry::offset;
use crate::geometry::{Outline, Region};
use crate::shop::RouterCraft;
use crate::stages::part::Part;

use super::super::means::Means;
use super::super::tabs::{self, Pattern};
use super::super::track::Track;
use super::super::{Cut, Operation, Path, Tab};
use super::{Depths, entry};

/// The passes before a last one that finishes leave at least so much of the thickness, mm: what lies flat on a board is
/// not cut through by mistake.
pub(in super::super) const LEAST_SKIN_MM: f64 = 0.1;

/// A tab beside the path has about the same length there: it may differ by this share, as on curves.
const SAME_TAB: f64 = 0.5;

/// The place beside the path lies as far away as it should within this share: elsewhere the path has a corner.
const SAME_SIDE: f64 = 1.5;

/// The paths of all passes but the last around a part, in drawing coordinates, the material on their left: around the part
/// first. None where the cutter finds no room there, or where the craft wants none.
pub(in super::super) fn around(part: &Part, means: &Means) -> Vec<Option<Outline>> {
    let aside = means.router.finish_mm;
    if !means.is_router() || aside <= 0.0 {
        return Vec::new();
    }
    let distance = means.kerf_mm / 2.0 + aside;
    let grown = |outline: &Outline, by: f64| {
        let solid = Region::new(outline.clone().wound(true), Vec::new());
        let grown = offset::offset(&solid, by).ok().filter(|grown| grown.closed.is_empty())?;
        match grown.regions.as_slice() {
            [one] if one.holes().is_empty() => Some(one.outer().clone().wound(by > 0.0)),
            _ => None,
        }
    };
    let outer = grown(part.region.outer(), distance);
    let holes = part.region.holes().iter().map(|hole| grown(hole, -distance));
    std::iter::once(outer).chain(holes).collect()
}

/// Gives each path of a part its own.
pub(in super::super) fn assign(rough: &[Option<Outline>], pattern: &mut Pattern) {
    let Some((outer, holes)) = rough.split_first() else { return };
    pattern.outer.rough.clone_from(outer);
    for held in &mut pattern.holes {
        let within = |rough: &&Outline| held.outline.contains(rough.vertices()[0].at);
        held.rough = holes.iter().flatten().find(within).cloned();
    }
}

impl Depths<'_> {
    /// The cut with its first passes begun beside its path's beginning; and whether a finishing pass is wanted that finds
    /// no room. What is gone down on in a helix or drilled has none.
    pub(super) fn with_rough(&self, cut: Cut, craft: &RouterCraft) -> (Cut, bool) {
        let through = matches!(cut.operation, Operation::CutInside | Operation::CutOutside);
        if !through || craft.finish_mm <= 0.0 {
            return (Cut { rough: None, ..cut }, false);
        }
        let track = Track::of_path(&cut.path);
        let helix = cut.tabs.is_empty()
            && entry::helix(&track, self.depth(cut.operation), self.setting.pass_mm, craft).is_some();
        let rough = cut.rough.as_ref().filter(|_| !helix && self.skin(cut.operation, craft) > 0.0);
        let rough =
            rough.map(|rough| begun_beside(rough, &track)).filter(|rough| tabs(&cut, rough).is_some());
        let unfinished = rough.is_none() && !helix && !self.drilled(&track);
        (Cut { rough, ..cut }, unfinished)
    }
}

/// The path begun at its place nearest to where the track begins.
fn begun_beside(rough: &Outline, track: &Track) -> Outline {
    let beside = Track::of_outline(rough);
    let (s, _) = beside.nearest(track.point(0.0));
    tabs::begun_at(rough, &beside, s)
}

/// The tabs of a cut as they lie on the path beside it; none where that has no place for one of them.
pub(super) fn tabs(cut: &Cut, rough: &Outline) -> Option<Vec<Tab>> {
    let Path::Closed(outline) = &cut.path else { return None };
    let (track, beside) = (Track::of_outline(outline), Track::of_outline(rough));
    let apart = beside.nearest(track.point(0.0)).1;
    let turned = outline.is_counter_clockwise() != rough.is_counter_clockwise();
    let place = |s: f64| {
        let (at, off) = beside.nearest(track.point(s));
        (off <= SAME_SIDE * apart).then_some(at)
    };
    let tab = |tab: &Tab| {
        let ends = (place(tab.from_mm)?, place(tab.to_mm)?);
        let (from_mm, to_mm) = if turned { (ends.1, ends.0) } else { ends };
        let (is, was) = (to_mm - from_mm, tab.to_mm - tab.from_mm);
        ((is - was).abs() <= SAME_TAB * was).then_some(Tab { from_mm, to_mm, ..*tab })
    };
    let mut found: Vec<Tab> = cut.tabs.iter().map(tab).collect::<Option<_>>()?;
    found.sort_by(|a, b| a.from_mm.total_cmp(&b.from_mm));
    found.windows(2).all(|pair| pair[0].to_mm <= pair[1].from_mm).then_some(found)
}
