//! How many cuts follow right after a neighbour, and what it costs to go elsewhere first.

use grainwise::geometry::distance::{SegmentIndex, gap};
use grainwise::stages::cut::{Path, SheetCuts};

/// Two cuts nearer than this are neighbours, mm.
const NEIGHBOURS_MM: f64 = 5.0;

/// So far apart are they kept, mm: not at all, as the tables say, and much.
const APART: [f64; 6] = [0.0, 2.0, 5.0, 10.0, 20.0, 50.0];

/// Prints the table.
pub(super) fn run() {
    println!("the Fenwren under a beam, cuts within {NEIGHBOURS_MM} mm of the one before");
    println!("{:>9} {:>7} {:>12}", "apart, mm", "follow", "travel, mm");
    for apart in APART {
        let sheets = super::planned(&super::fenwren("laser", apart));
        let follow: usize = sheets.iter().map(follow).sum();
        let travel: f64 = sheets.iter().map(|s| s.travel_length_mm).sum();
        println!("{apart:>9} {follow:>7} {travel:>12.1}");
    }
}

fn follow(sheet: &SheetCuts) -> usize {
    let index = |path: &Path| match path {
        Path::Closed(outline) => Some(SegmentIndex::of_outline(outline)),
        Path::Open(_) => None,
    };
    let near = |a: &Path, b: &Path| gap(&index(a)?, &index(b)?, NEIGHBOURS_MM);
    sheet.cuts.windows(2).filter(|pair| near(&pair[0].path, &pair[1].path).is_some()).count()
}
