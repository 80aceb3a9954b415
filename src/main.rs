//! The `grainwise` command: arguments, run, exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(grainwise::cli::run(std::env::args_os()))
}
