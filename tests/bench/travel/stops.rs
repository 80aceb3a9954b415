//! The stops of a sheet as a solver takes them: by which gates each cut may be entered and left, and what must wait.

use grainwise::geometry::{Outline, Segment};
use grainwise::stages::cut::{Cut, Operation, Path, SheetCuts};
use serde_json::{Value, json};

/// One value for each cut, in our order: `gates` (points of entry and exit; ours first), `rank` (marks 0, scores 1, cuts
/// through 2) and `before`, the cut that has to come later.
pub(super) fn of(sheet: &SheetCuts) -> Vec<Value> {
    let rank = |cut: &Cut| match cut.operation {
        Operation::Mark => 0,
        Operation::Score => 1,
        Operation::CutInside | Operation::CutOutside => 2,
    };
    let one =
        |cut: &Cut| json!({ "gates": gates(cut), "rank": rank(cut), "before": later(cut, &sheet.cuts) });
    sheet.cuts.iter().map(one).collect()
}

/// Every vertex outside the tabs, or both ends.
fn gates(cut: &Cut) -> Vec<[f64; 4]> {
    match &cut.path {
        Path::Closed(outline) => {
            let mut s = 0.0;
            let mut found = Vec::new();
            for segment in outline.segments() {
                let free = cut.tabs.iter().all(|tab| s <= tab.from_mm || s >= tab.to_mm);
                if free || found.is_empty() {
                    found.push([segment.from.x, segment.from.y, segment.from.x, segment.from.y]);
                }
                s += segment.length();
            }
            found
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
