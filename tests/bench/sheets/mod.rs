//! Sheets: strips of free length beside a published optimiser, kits, and how long the first answer takes.

mod generator;
mod kits;
mod strips;

/// Runs it.
pub(super) fn run() {
    let named: Vec<String> = std::env::args().collect();
    if !named.iter().any(|n| n == "strips") {
        kits::run();
    }
    if !named.iter().any(|n| n == "kits") {
        strips::run();
    }
}
