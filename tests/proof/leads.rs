//! Leads and overruns are no faults, and hide none.

use grainwise::geometry::Point;
use grainwise::problem::Problems;
use grainwise::shop::Shop;
use grainwise::stages::cut::{Move, Operation, Path};
use grainwise::stages::proof::FileProof;
use grainwise::stages::{Kit, write};

use super::judge::{codes, judged, travelled};
use crate::write::sample;

/// The kit's files, written anew from its moves and judged.
fn judged_anew(kit: &mut Kit, shop: &Shop) -> Vec<FileProof> {
    let mut problems = Problems::new();
    let (job, post) = (sample::job(), shop.post.as_ref());
    kit.files = write::all(&kit.sheets, &kit.parts, &job, &shop.machine, post, &mut problems);
    assert!(!problems.stop(), "{problems:?}");
    judged(kit, shop, |_| ())
}

/// Where the moves of the first cut of this operation that has no tabs and is no small hole begin and end: a helix is
/// through all round before its last turn is done.
fn first(kit: &Kit, sheet: usize, operation: Operation) -> (usize, usize) {
    let sheet = &kit.sheets[sheet];
    let number = sheet.cuts.iter().position(|c| {
        let long = matches!(&c.path, Path::Closed(outline) if outline.perimeter() > 40.0);
        c.operation == operation && c.tabs.is_empty() && long
    });
    let number = number.unwrap();
    let begins: Vec<usize> =
        (0..sheet.moves.len()).filter(|&i| matches!(sheet.moves[i], Move::Begin { .. })).collect();
    (begins[number], begins.get(number + 1).copied().unwrap_or(sheet.moves.len()))
}

fn at_bottom(step: &Move, bottom: f64) -> bool {
    matches!(step, Move::Line { z, .. } | Move::Arc { z, .. } if (z - bottom).abs() < 1e-9)
}

fn bottom(kit: &Kit, sheet: usize) -> f64 {
    let height = |step: &Move| match step {
        Move::Line { z, .. } | Move::Arc { z, .. } => *z,
        _ => 0.0,
    };
    kit.sheets[sheet].moves.iter().map(height).fold(0.0, f64::min)
}

#[test]
fn most_cuts_of_the_kit_have_leads_and_it_is_right() {
    let (mut kit, shop) = travelled("router.yaml", None);
    let through = |op| matches!(op, Operation::CutInside | Operation::CutOutside);
    let cuts: Vec<_> = kit.sheets.iter().flat_map(|s| &s.cuts).filter(|c| through(c.operation)).collect();
    let leads = cuts.iter().filter(|c| c.lead.come.is_some() && c.lead.leave.is_some()).count();
    assert!(2 * leads > cuts.len(), "{leads} of {}", cuts.len());
    let files = judged_anew(&mut kit, &shop);
    assert!(files.iter().all(FileProof::ok), "{:?}", codes(&files));
}

/// The round of the last pass is not finished: the path does not come back to where it began.
#[test]
fn a_path_that_stops_half_way_round_is_told() {
    let (mut kit, shop) = travelled("router.yaml", None);
    let low = bottom(&kit, 4);
    let (from, to) = first(&kit, 4, Operation::CutInside);
    let level: Vec<usize> = (from..to).filter(|&i| at_bottom(&kit.sheets[4].moves[i], low)).collect();
    let cut_off = level[level.len() / 3];
    let up = kit.sheets[4].moves[to - 1].clone();
    kit.sheets[4].moves.splice(cut_off..to, [up]);
    let files = judged_anew(&mut kit, &shop);
    assert!(!files[4].ok());
}

/// A lead that goes on for a long way, at full depth, into the pieces around.
#[test]
fn a_lead_into_a_piece_is_told() {
    let (mut kit, shop) = travelled("router.yaml", None);
    let low = bottom(&kit, 0);
    let (from, to) = first(&kit, 0, Operation::CutInside);
    let last = (from..to).rev().find(|&i| at_bottom(&kit.sheets[0].moves[i], low)).unwrap();
    let Some(Move::Line { to: at, .. } | Move::Arc { to: at, .. }) = kit.sheets[0].moves.get(last) else {
        panic!("no move")
    };
    let away = Point::new(at.x, at.y + if at.y > 50.0 { -8.0 } else { 8.0 });
    let slow = 100.0;
    kit.sheets[0].moves.insert(last + 1, Move::Line { to: away, z: low, feed: slow });
    let files = judged_anew(&mut kit, &shop);
    assert!(codes(&files[..1]).contains(&"gouge"), "{:?}", codes(&files[..1]));
}
