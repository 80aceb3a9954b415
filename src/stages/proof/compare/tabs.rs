//! Tabs: as many as planned, as wide and as high.

use crate::problem::Problem;
use crate::stages::cut::Settings;

use super::super::plan::Plan;
use super::field::Field;
use super::piece::Piece;
use super::runs::Gap;
use super::wrong;

/// Tabs are as wide and as high as planned within this, mm.
const SAME_MM: f64 = 0.03;

/// The tabs found around a piece, width and height; what differs from the plan becomes problems.
pub(super) fn check(piece: &Piece, field: &Field, plan: &Plan, problems: &mut Vec<Problem>) -> Vec<[f64; 2]> {
    let mut around = Vec::new();
    let mut in_holes = Vec::new();
    for gap in &piece.gaps {
        let size = [gap.length() - plan.kerf_mm, height(gap, field, plan)];
        let (outline, _) = piece.nearest_outline(gap.middle());
        if outline == 0 { around.push((size, *gap)) } else { in_holes.push((size, *gap)) }
    }
    if let Some(planned) = &piece.wanted.tabs {
        compared(piece, planned, &around, "", problems);
    }
    if let Some(planned) = &piece.wanted.waste_tabs {
        compared(piece, planned, &in_holes, " in its holes", problems);
    }
    around.into_iter().map(|(size, _)| size).collect()
}

/// Height of the wood that is left at a gap's middle.
fn height(gap: &Gap, field: &Field, plan: &Plan) -> f64 {
    match plan.settings {
        Settings::Laser(_) => plan.thickness_mm,
        Settings::Router(_) => plan.thickness_mm + field.lowest(gap.middle(), SAME_MM),
    }
}

fn compared(
    piece: &Piece,
    planned: &[[f64; 2]],
    found: &[([f64; 2], &Gap)],
    where_: &str,
    problems: &mut Vec<Problem>,
) {
    let wanted = piece.wanted;
    let name = format!("part '{}', piece {}", wanted.id, wanted.copy);
    if planned.len() != found.len() {
        let message = format!("{name}, has {} tabs{where_}, {} are planned", found.len(), planned.len());
        let at = found.first().map_or(wanted.at, |(_, gap)| gap.middle());
        problems.push(wrong("tab-count", message, wanted, at));
        return;
    }
    for (size, gap) in found {
        let same = |plan: &[f64; 2]| plan.iter().zip(size).all(|(a, b)| (a - b).abs() <= SAME_MM);
        if !planned.iter().any(same) {
            let message = format!(
                "{name}: a tab{where_} is {:.2} mm wide and {:.2} mm high, planned is {:.2} by {:.2}",
                size[0], size[1], planned[0][0], planned[0][1]
            );
            problems.push(wrong("tab-size", message, wanted, gap.middle()));
        }
    }
}
