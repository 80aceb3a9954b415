//! A file whose layout nobody knows: each piece that would come free is placed by best fit among the parts of the job.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::fit::{Fit, Hand, Shapes};
use super::plan::{Plan, Wanted};
use super::program::Program;
use super::{compare, sweep};
use crate::geometry::Region;
use crate::problem::Problem;

/// A piece is a part when no place of it is farther off than this, mm: farther, and it is spoilt or something else.
const FITS_MM: f64 = 1.0;

/// The parts of a job that are cut alike from one wood, each once, as they lie on one of its sheets.
struct Shelf<'a> {
    like: &'a Plan,
    parts: Vec<&'a Wanted>,
}

/// The plan of a program by the pieces that it sets free, with what could not be decided; none where no piece is a part
/// of the job. `kerf_mm` is what somebody said that beam or cutter removes.
pub(super) fn plan<'a>(
    program: &Program,
    plans: impl Iterator<Item = &'a Plan>,
    kerf_mm: Option<f64>,
) -> Option<(Plan, Vec<Problem>)> {
    let placed = shelves(plans).into_iter().map(|shelf| shelf.placed(program, kerf_mm));
    // The wood of which most pieces are found; the first where several do as well.
    placed.fold(None, |best: Option<(Plan, Vec<Problem>)>, next| match best {
        Some(held) if held.0.pieces.len() >= next.0.pieces.len() => Some(held),
        _ => (!next.0.pieces.is_empty()).then_some(next),
    })
}

/// The plans by wood and setting.
fn shelves<'a>(plans: impl Iterator<Item = &'a Plan>) -> Vec<Shelf<'a>> {
    let mut shelves: Vec<Shelf> = Vec::new();
    for plan in plans {
        let at = shelves.iter().position(|shelf| shelf.is_like(plan)).unwrap_or(shelves.len());
        if at == shelves.len() {
            shelves.push(Shelf { like: plan, parts: Vec::new() });
        }
        let shelf = &mut shelves[at];
        for wanted in &plan.pieces {
            if !shelf.parts.iter().any(|held| held.part == wanted.part) {
                shelf.parts.push(wanted);
            }
        }
    }
    shelves
}

impl Shelf<'_> {
    fn is_like(&self, plan: &Plan) -> bool {
        let like = self.like;
        like.wood == plan.wood
            && like.settings == plan.settings
            && (like.thickness_mm - plan.thickness_mm).abs() < f64::EPSILON
            && (like.kerf_mm - plan.kerf_mm).abs() < f64::EPSILON
    }

    fn placed(&self, program: &Program, kerf_mm: Option<f64>) -> (Plan, Vec<Problem>) {
        let like = self.like;
        let mut plan = Plan {
            sheet: 0,
            wood: like.wood.clone(),
            size_mm: like.size_mm,
            thickness_mm: like.thickness_mm,
            kerf_mm: kerf_mm.unwrap_or(like.kerf_mm),
            settings: like.settings,
            pieces: Vec::new(),
        };
        let islands = compare::loose(program, &plan);
        let regions: Vec<Region> = self.parts.iter().map(|wanted| wanted.region.clone()).collect();
        let shapes = Shapes::new(&regions);
        let fits: Vec<Option<Fit>> = islands.par_iter().map(|island| shapes.best(island)).collect();
        let mut copies: BTreeMap<usize, u32> = BTreeMap::new();
        let mut undecided = Vec::new();
        for (fit, island) in fits.iter().zip(&islands) {
            let Some(fit) = fit.as_ref().filter(|fit| fit.fits(FITS_MM)) else { continue };
            let part = self.parts[fit.part];
            let copy = copies.entry(part.part).or_default();
            *copy += 1;
            let wanted = part.moved(&fit.placement, *copy);
            undecided.extend(self.doubts(fit, &wanted, sweep::area(island)));
            plan.pieces.push(wanted);
        }
        (plan, undecided)
    }

    /// What a fit leaves open.
    fn doubts(&self, fit: &Fit, wanted: &Wanted, area_mm2: f64) -> Vec<Problem> {
        let mut doubts = Vec::new();
        let told = |code, message: String| Problem::note(code, message).of_part(&wanted.id).at(wanted.at);
        if fit.hand == Hand::Either {
            let message = format!("part '{}', piece {}, is as good for either hand", wanted.id, wanted.copy);
            doubts.push(told("hand-open", message));
        }
        if !fit.others.is_empty() {
            let others: Vec<&str> = fit.others.iter().map(|&i| self.parts[i].id.as_str()).collect();
            let message = format!(
                "a piece of {area_mm2:.0} mm² is taken for part '{}' and may as well be {}",
                wanted.id,
                others.join(", ")
            );
            doubts.push(told("part-open", message));
        }
        doubts
    }
}
