//! Making: the whole command on the Fenwren beside the plain way, and how the time grows with the number of parts.

mod growth;
pub(super) mod kit;
mod side_by_side;

/// Prints both tables.
pub(super) fn run() {
    side_by_side::run();
    growth::run();
}

/// The middle one of some times.
fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}
