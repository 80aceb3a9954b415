//! Kits on sheets: what placing alone needs, and what the search makes of it.

use std::time::Instant;

use grainwise::problem::Problems;
use grainwise::stages::job::Effort;
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Layout, lay};

use super::generator::{ROOM, job, kit};

/// Seconds that the search may take.
pub(super) const SECONDS: f64 = 30.0;

/// Kits: parts, sheet, sheets that are asked for.
const KITS: [(usize, f64, f64, usize); 2] = [(96, 600.0, 300.0, 3), (288, 1000.0, 100.0, 17)];

/// Prints what each effort makes of each kit.
pub(super) fn run(seconds: f64) {
    for (count, length, width, asked) in KITS {
        let parts = kit(count, 7);
        let area: f64 = parts.iter().map(|part| part.region.area()).sum();
        let bound = area / (length * width);
        println!("\n{count} parts on {length} x {width} mm: area bound {bound:.2} sheets, asked for {asked}");
        for effort in [Effort::Seconds(0.0), Effort::Quick, Effort::Seconds(seconds)] {
            let start = Instant::now();
            let mut problems = Problems::new();
            let layout = lay(&parts, &job(length, width, effort), ROOM, &mut problems);
            println!(
                "  {:14} {:3} sheets, the last used to {:4.0} of {length} mm, {:6.2} s, {} problems",
                format!("{effort:?}"),
                layout.sheets.len(),
                reach(&layout, &parts),
                start.elapsed().as_secs_f64(),
                problems.len()
            );
        }
    }
}

/// How far along the last sheet its pieces reach, mm.
fn reach(layout: &Layout, parts: &[Part]) -> f64 {
    let end = |p: &grainwise::stages::sheet::Placed| parts[p.part].region.placed(&p.placement).bounds().x1;
    layout.sheets.last().map_or(0.0, |last| last.placed.iter().map(end).fold(0.0, f64::max))
}
