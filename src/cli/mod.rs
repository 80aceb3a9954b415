//! Arguments, and the only place that prints: the answer on standard output, the talk on standard error.

#![allow(clippy::print_stdout, clippy::print_stderr, reason = "printing is this room's work")]

mod args;
mod coupon;
mod live;
mod progress;
mod proof;
mod prove;
mod report;
mod request;
mod shelf;
mod tell;
mod trial;
mod verbs;

use std::ffi::OsString;
use std::io::{self, Write as _};

use clap::{CommandFactory as _, Parser as _};

use args::{Arguments, Verb};

/// Done.
const DONE: u8 = 0;
/// The job has problems; nothing was written.
const PROBLEMS: u8 = 1;
/// Could not run: usage, a missing file, the disk.
const COULD_NOT: u8 = 2;

/// Runs the command with these arguments, the program's name first, and gives its exit code: 0 done, 1 the job has
/// problems and nothing was written, 2 could not run.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> u8 {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(refusal) => {
            let _ = refusal.print();
            return if refusal.use_stderr() { COULD_NOT } else { DONE };
        }
    };
    if let Some(shell) = arguments.completions {
        let mut script = Vec::new();
        clap_complete::generate(shell, &mut Arguments::command(), "grainwise", &mut script);
        return answer(&String::from_utf8_lossy(&script));
    }
    if arguments.man {
        let mut page = Vec::new();
        let rendered = clap_mangen::Man::new(Arguments::command()).render(&mut page);
        return if rendered.is_ok() { answer(&String::from_utf8_lossy(&page)) } else { COULD_NOT };
    }
    match arguments.verb {
        Some(Verb::Make(make)) => verbs::make(&make),
        Some(Verb::Check(check)) => verbs::check(&check),
        Some(Verb::Show(show)) => verbs::show(&show),
        Some(Verb::Start(start)) => verbs::start(&start),
        Some(Verb::Prove(prove)) => prove::prove(&prove),
        Some(Verb::Coupon(coupon)) => coupon::coupon(&coupon),
        Some(Verb::Shop(shop)) => shelf::shop(&shop),
        None => answer(&Arguments::command().render_long_help().to_string()),
    }
}

/// Prints an answer. A reader that has gone away (a closed pipe) is no failure.
fn answer(text: &str) -> u8 {
    match io::stdout().write_all(text.as_bytes()).and_then(|()| io::stdout().flush()) {
        Err(e) if e.kind() != io::ErrorKind::BrokenPipe => say(&format!("cannot print: {e}")),
        _ => DONE,
    }
}

/// Says why the command could not run.
fn say(why: &str) -> u8 {
    let _ = writeln!(io::stderr(), "grainwise: {why}");
    COULD_NOT
}
