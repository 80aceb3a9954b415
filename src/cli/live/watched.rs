//! Files that may change, and whether one did.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use super::super::progress;
use super::LOOK_EVERY;
use crate::files::{self, Stamp};
use crate::stages::Watch;

/// How deep a shop folder is looked into: its own folders hold no others.
const DEEPEST: usize = 3;

/// Files and folders with what was last known of each.
#[derive(Debug)]
pub(super) struct Watched {
    paths: Vec<PathBuf>,
    known: BTreeMap<PathBuf, Option<Stamp>>,
}

impl Watched {
    /// These files, and all that lies in these folders, as they are now.
    pub(super) fn of(paths: &[PathBuf]) -> Self {
        Self { paths: paths.to_vec(), known: stamps(paths) }
    }

    /// Whether one of them is not as it was.
    fn differs(&self) -> bool {
        stamps(&self.paths) != self.known
    }

    /// Whether one of them is not as it was; from here on they are watched as they are now.
    pub(super) fn changed(&mut self) -> bool {
        let now = stamps(&self.paths);
        let changed = now != self.known;
        self.known = now;
        changed
    }

    /// Whether these are other files; from here on they are watched, as they are now.
    pub(super) fn turned_to(&mut self, paths: &[PathBuf]) -> bool {
        let others = self.paths != paths;
        if others {
            *self = Self::of(paths);
        }
        others
    }
}

/// Stops the work when a file changes, or the person wants to stop.
#[derive(Debug)]
pub(super) struct UntilChanged<'a> {
    watched: &'a Watched,
    looked: Mutex<Instant>,
    stopped: AtomicBool,
}

impl<'a> UntilChanged<'a> {
    pub(super) fn of(watched: &'a Watched) -> Self {
        Self { watched, looked: Mutex::new(Instant::now()), stopped: AtomicBool::new(false) }
    }
}

impl Watch for UntilChanged<'_> {
    fn step(&self, _name: &str, _done: usize, _total: usize) {}

    fn stopped(&self) -> bool {
        if let Ok(mut looked) = self.looked.try_lock()
            && looked.elapsed() >= LOOK_EVERY
        {
            *looked = Instant::now();
            if progress::stopped() || self.watched.differs() {
                self.stopped.store(true, Ordering::SeqCst);
            }
        }
        self.stopped.load(Ordering::SeqCst)
    }
}

fn stamps(paths: &[PathBuf]) -> BTreeMap<PathBuf, Option<Stamp>> {
    let mut all = BTreeMap::new();
    for path in paths {
        add(path, DEEPEST, &mut all);
    }
    all
}

fn add(path: &Path, deep: usize, all: &mut BTreeMap<PathBuf, Option<Stamp>>) {
    if deep > 0 && files::is_folder(path) {
        for (name, _) in files::list(path).unwrap_or_default() {
            add(&path.join(name), deep - 1, all);
        }
    } else {
        all.insert(path.to_owned(), files::stamp(path));
    }
}
