//! Kits on sheets: what placing alone needs, and what the search makes of it.

use std::time::Instant;

use grainwise::problem::Problems;
use grainwise::stages::job::Effort;
use grainwise::stages::sheet::lay;

use super::generator::{ROOM, job, kit};

pub(super) fn run() {
    let seconds: f64 = std::env::var("SECS").ok().and_then(|s| s.parse().ok()).unwrap_or(30.0);
    for (count, length, width, target) in [(96, 600.0, 300.0, 3), (288, 1000.0, 100.0, 17)] {
        let parts = kit(count, 7);
        let area: f64 = parts.iter().map(|part| part.region.area()).sum();
        let sheet = length * width;
        println!("{count} parts on {length} x {width}: area bound {:.2}, wanted {target}", area / sheet);
        for effort in [Effort::Seconds(0.0), Effort::Quick, Effort::Seconds(seconds)] {
            let start = Instant::now();
            let mut problems = Problems::new();
            let layout = lay(&parts, &job(length, width, effort), ROOM, &mut problems);
            let reach = layout.sheets.last().map_or(0.0, |last| {
                last.placed
                    .iter()
                    .map(|p| parts[p.part].region.placed(&p.placement).bounds().x1)
                    .fold(0.0, f64::max)
            });
            println!(
                "  {effort:?}: {} sheets, last used to {reach:.0} mm, {:.2} s, {} problems",
                layout.sheets.len(),
                start.elapsed().as_secs_f64(),
                problems.len()
            );
        }
    }
}
