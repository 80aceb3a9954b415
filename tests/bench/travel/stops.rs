//! The stops of a sheet as a solver takes them: by which gates each cut may be entered and left, and what must wait.

use grainwise::geometry::{Outline, Segment};
use grainwise::stages::cut::{Cut, Operation, Path, SheetCuts, beginnings};
use serde_json::{Value, json};

/// One value for each cut, in our order: `gates` (points of entry and exit; ours first), `rank` (marks 0, scores 1, recesses
/// 2, cuts through 3) and `before`, the cut that has to come later. How a cutter comes and leaves depends on where it begins: the
/// places themselves count.
pub(super) fn of(sheet: &SheetCuts, router: bool) -> Vec<Value> {
    let rank = |cut: &Cut| match cut.operation {
        Operation::Mark => 0,
        Operation::Score => 1,
        Operation::Recess => 2,
        Operation::CutInside | Operation::CutOutside => 3,
    };
    let one = |cut: &Cut| json!({ "gates": gates(cut, router), "rank": rank(cut), "before": later(cut, &sheet.cuts) });
    sheet.cuts.iter().map(one).collect()
}

/// Every vertex where the cut may begin, the one where it does first; or both ends.
fn gates(cut: &Cut, router: bool) -> Vec<[f64; 4]> {
    match &cut.path {
        Path::Closed(outline) => {
            let at = |v: &usize| outline.vertices()[*v].at;
            let others = beginnings(cut, router).into_iter().filter(|v| *v > 0);
            [0].into_iter().chain(others).map(|v| at(&v)).map(|p| [p.x, p.y, p.x, p.y]).collect()
        }
        Path::Open(chain) => {
            let all: Vec<Segment> = chain.segments().collect();
            let (a, b) = (all[0].from, all[all.len() - 1].to);
            vec![[a.x, a.y, b.x, b.y], [b.x, b.y, a.x, a.y]]
        }
    }
}

/// For a hole its own outline, for an outline the smallest hole of another piece around it.
fn later(cut: &Cut, cuts: &[Cut]) -> Option<usize> {
    let Path::Closed(outline) = &cut.path else { return None };
    if cut.operation == Operation::CutInside {
        return cuts.iter().position(|c| c.operation == Operation::CutOutside && c.placed == cut.placed);
    }
    let around = |c: &Cut| match &c.path {
        Path::Closed(hole) if c.operation == Operation::CutInside && c.placed != cut.placed => {
            hole.contains(outline.vertices()[0].at).then(|| Outline::area(hole))
        }
        _ => None,
    };
    let holes = cuts.iter().enumerate().filter_map(|(i, c)| around(c).map(|area| (i, area)));
    holes.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(i, _)| i)
}
