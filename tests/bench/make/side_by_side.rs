//! The command `make` on both jobs of the Fenwren, and `reference.py` on the same drawings, in turn.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

use super::median;

/// Runs of each.
const RUNS: usize = 7;

/// How many times faster than the plain way it has to be.
const WANTED: f64 = 20.0;

/// Prints the table.
pub(super) fn run() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let samples = root.join("samples/fenwren");
    let folder = tempfile::tempdir().unwrap();
    let mut make = Command::new(env!("CARGO_BIN_EXE_grainwise"));
    make.arg("make").args([samples.join("laser.yaml"), samples.join("router.yaml")]);
    make.arg("-o").arg(folder.path().join("ours")).arg("--force");
    println!("the Fenwren's two jobs, whole command, s");
    let Some(mut plain) = plain(root, &folder.path().join("plain")) else {
        return;
    };
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    println!("{:>8} {:>9} {:>9} {:>7}", "run", "grainwise", "plain", "ratio");
    for run in 0..=RUNS {
        let (a, b) = (time(&mut make), time(&mut plain));
        // The first run of each fills the disk's cache and is not counted.
        if run > 0 {
            println!("{run:>8} {a:>9.3} {b:>9.3} {:>7.1}", b / a);
            ours.push(a);
            theirs.push(b);
        }
    }
    let (a, b) = (median(ours), median(theirs));
    println!("{:>8} {a:>9.3} {b:>9.3} {:>7.1} (at least {WANTED} is wanted)", "median", b / a);
}

/// The plain way; none, with a word why, where there is no Python that can run it.
fn plain(root: &Path, out: &Path) -> Option<Command> {
    let own = root.join("tests/.venv/bin/python");
    let python = std::env::var_os("GRAINWISE_PYTHON").map_or(own, Into::into);
    let asked = Command::new(&python).args(["-c", "import ezdxf, shapely, svgelements"]).output();
    if !asked.is_ok_and(|asked| asked.status.success()) {
        println!(
            "  left out: {} does not run ezdxf, shapely and svgelements (GRAINWISE_PYTHON names another)",
            python.display()
        );
        return None;
    }
    let mut command = Command::new(python);
    command.arg(root.join("tests/bench/reference.py")).arg(out);
    Some(command)
}

fn time(command: &mut Command) -> f64 {
    command.stdout(Stdio::null()).stderr(Stdio::piped());
    let started = Instant::now();
    let output = command.output().unwrap();
    let seconds = started.elapsed().as_secs_f64();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    seconds
}
