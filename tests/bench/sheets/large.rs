//! How long the first answer for 2,000 parts takes, and how much memory.

use std::time::Instant;

use grainwise::problem::Problems;
use grainwise::stages::job::Effort;
use grainwise::stages::sheet::lay;

use super::generator::{ROOM, job, kit};

pub(super) fn run() {
    let parts = kit(2000, 3);
    let mut problems = Problems::new();
    for effort in [Effort::Seconds(0.0), Effort::Quick] {
        let start = Instant::now();
        let layout = lay(&parts, &job(600.0, 300.0, effort), ROOM, &mut problems);
        println!(
            "2,000 parts, {effort:?}: {} sheets of 600 x 300 in {:.2} s (5 allowed), most memory so far {} MB (1000 allowed)",
            layout.sheets.len(),
            start.elapsed().as_secs_f64(),
            memory()
        );
    }
}

/// The most memory that the process has taken so far, MB, as the Linux kernel tells it; 0 elsewhere.
fn memory() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.split_whitespace().next()?.parse::<u64>().ok()).unwrap_or(0) / 1000
}
