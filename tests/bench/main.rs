//! Benchmarks: `cargo bench -- NAME` runs one.

fn main() {}
