//! Benchmarks: `cargo bench -- NAME` runs one, `cargo bench` all.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a benchmark prints its table, and may say bluntly what it expects"
)]

mod join;
mod make;
mod segments;
mod offset;
mod proof;
mod sheets;
mod travel;

/// Every benchmark by its name.
const BENCHMARKS: [(&str, fn()); 7] = [
    ("join", join::run),
    ("make", make::run),
    ("segments", segments::run),
    ("offset", offset::run),
    ("proof", proof::run),
    ("sheets", sheets::run),
    ("travel", travel::run),
];

fn main() {
    let named: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    for (name, run) in BENCHMARKS {
        if named.is_empty() || named.iter().any(|n| n == name) {
            run();
        }
    }
}
