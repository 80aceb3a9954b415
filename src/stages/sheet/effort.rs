//! How long the search for better sheets may go on.

use std::time::Instant;

use crate::stages::job::Effort;
use crate::stages::watch::Watch;

/// What is tried for each piece of a kit: no time to speak of, some seconds, minutes for a usual kit of a hundred.
const QUICK: u64 = 1_000;
const NORMAL: u64 = 300_000;
const LONG: u64 = 7_500_000;

/// How much may be tried for so many pieces, in places of convex pieces; none where the clock counts.
pub(super) fn most(effort: Effort, pieces: usize) -> Option<u64> {
    let each = match effort {
        Effort::Quick => QUICK,
        Effort::Normal => NORMAL,
        Effort::Long => LONG,
        Effort::Seconds(_) => return None,
    };
    Some(each * pieces as u64)
}

/// Tells how much of the time has gone that there is for `share` of the work, 0 to 1; always 0 where the clock does not
/// count, and all of it once the search is stopped.
pub(super) fn clock(effort: Effort, share: f64, watch: &dyn Watch) -> impl Fn() -> f64 + Sync {
    let start = Instant::now();
    move || match effort {
        _ if watch.stopped() => 1.0,
        Effort::Seconds(seconds) => start.elapsed().as_secs_f64() / (seconds * share).max(f64::MIN_POSITIVE),
        _ => 0.0,
    }
}
