//! Progress on a terminal, and what happens on Ctrl-C.

use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::stages::watch::Watch;

/// Set once files begin to be written: from then on Ctrl-C only asks, and the writer stops at the next safe place. What is
/// left to do after that is short, and must not end with the word that nothing was written.
static WRITING: AtomicBool = AtomicBool::new(false);
static STOPPED: AtomicBool = AtomicBool::new(false);

/// Set while a search goes on that may be stopped for what it found so far.
static SEARCHING: AtomicBool = AtomicBool::new(false);

/// From here on Ctrl-C ends the command with exit code 2; once files are being written, as soon as none is half written. While
/// better sheets are looked for the first one ends only that.
pub(super) fn heed_interrupts() {
    let heeded = ctrlc::set_handler(|| {
        let before = STOPPED.swap(true, Ordering::SeqCst);
        if SEARCHING.load(Ordering::SeqCst) && !before {
            return;
        }
        if !WRITING.load(Ordering::SeqCst) {
            std::process::exit(i32::from(super::say("stopped; nothing was written")));
        }
    });
    // Already set by an earlier run in the same process: nothing to do.
    drop(heeded);
}

/// Runs what writes, with Ctrl-C put off.
pub(super) fn while_writing<T>(write: impl FnOnce() -> T) -> T {
    WRITING.store(true, Ordering::SeqCst);
    write()
}

/// Whether the person asked to stop.
pub(super) fn stopped() -> bool {
    STOPPED.load(Ordering::SeqCst)
}

/// A line on standard error that tells the step at work; silent where that is no terminal.
#[derive(Debug)]
pub(super) struct Progress {
    bar: Mutex<ProgressBar>,
}

impl Progress {
    pub(super) fn new() -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
        bar.enable_steady_tick(Duration::from_millis(120));
        Self { bar: Mutex::new(bar) }
    }

    /// Takes the line away.
    pub(super) fn finish(&self) {
        if let Ok(bar) = self.bar.lock() {
            bar.finish_and_clear();
        }
    }
}

impl Watch for Progress {
    fn step(&self, name: &str, done: usize, total: usize) {
        if SEARCHING.swap(false, Ordering::SeqCst) {
            STOPPED.store(false, Ordering::SeqCst);
        }
        let Ok(bar) = self.bar.lock() else { return };
        if total > 0 {
            if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} {bar:30} {pos}/{len}") {
                bar.set_style(style);
            }
            bar.set_length(total as u64);
            bar.set_position(done as u64);
        } else {
            bar.set_style(ProgressStyle::default_spinner());
        }
        bar.set_message(name.to_owned());
    }

    fn found(&self, told: &str, gone: f64) {
        SEARCHING.store(true, Ordering::SeqCst);
        let Ok(bar) = self.bar.lock() else { return };
        if let Ok(style) =
            ProgressStyle::with_template("{spinner} {msg} {bar:30} Ctrl-C takes the best so far")
        {
            bar.set_style(style);
        }
        bar.set_length(SHARES);
        bar.set_position((gone.clamp(0.0, 1.0) * SHARES as f64) as u64);
        bar.set_message(told.to_owned());
    }

    fn stopped(&self) -> bool {
        stopped()
    }
}

/// Into how many shares a search is divided that tells how much of it has gone.
const SHARES: u64 = 1000;
