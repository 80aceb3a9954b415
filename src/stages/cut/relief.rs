//! Parts with the corners relieved in which a mating part sits, where a cutter cuts them and the craft asks for it.

use crate::geometry::relief::{self, Relieved, Rule};
use crate::problem::{Problem, Problems};
use crate::shop::Shop;
use crate::stages::job::Job;
use crate::stages::part::Part;

use super::means;

/// A bay is this much wider than the cutter at each side, mm: what is exactly as wide would close under it.
const WIDER_MM: f64 = 0.05;

/// Beyond a bay at least this much wood is left, mm, or as much as the cutter is wide where that is more (common practice,
/// no source): what is thinner breaks out.
const KEEP_MM: f64 = 2.0;

/// Relieves the corners of all parts; what is wrong with their woods is told elsewhere.
pub(super) fn relieve(parts: &mut [Part], job: &Job, shop: &Shop, problems: &mut Problems) {
    let (mut corners, mut of_parts) = (0, 0);
    for part in parts {
        let Some(rule) = rule(part, job, shop) else { continue };
        let Relieved { region, corners: made, left_out } = relief::relieved(&part.region, &rule);
        if let Some(at) = left_out.first() {
            let message = format!(
                "part '{}': {} inside corners are not relieved: too little wood would be left there",
                part.id,
                left_out.len()
            );
            let hint = "take a smaller cutter, square them with a file, or round the mating part";
            problems.push(Problem::note("relief-left-out", message).of_part(&part.id).at(*at).hint(hint));
        }
        if made > 0 {
            part.region = region;
            (corners, of_parts) = (corners + made, of_parts + 1);
        }
    }
    if corners > 0 {
        let message = format!(
            "{corners} inside corners of slots and notches are relieved, in {of_parts} parts: square corners fit there"
        );
        problems.push(Problem::note("relieved", message));
    }
}

fn rule(part: &Part, job: &Job, shop: &Shop) -> Option<Rule> {
    let means = means::means(job, shop, &part.wood, part.thickness_mm).ok()?;
    if !means.is_router() {
        return None;
    }
    let means = means.of_part(part);
    let form = means.router.relief?;
    Some(Rule {
        radius_mm: means.kerf_mm / 2.0 + WIDER_MM,
        form,
        widest_mm: means.router.relief_most_mm,
        keep_mm: KEEP_MM.max(means.kerf_mm),
    })
}
