//! Files that may change, and whether one did.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::files::{self, Stamp};

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

    /// Whether one of them is not as it was; from here on these are watched, as they are now.
    pub(super) fn changed(&mut self, paths: &[PathBuf]) -> bool {
        let now = stamps(&self.paths);
        let changed = now != self.known;
        self.known = if self.paths == paths { now } else { stamps(paths) };
        self.paths = paths.to_vec();
        changed
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
