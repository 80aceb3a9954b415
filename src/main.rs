//! The `grainwise` command: arguments, run, exit code.

fn main() {}
