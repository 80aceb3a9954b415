//! Each kind of change tried at many places, and what became of it.

use std::collections::BTreeSet;
use std::fmt;

use grainwise::problem::Severity;
use rayon::prelude::*;

use super::dice::Dice;
use super::kit::{self, Change, Good};

/// So many different changes of a kind are tried, over all files, where there are as many.
const TRIES: usize = 40;

/// So many throws of the dice a file gets for them.
const THROWS: u64 = 60;

/// A kind of change.
#[derive(Clone, Copy)]
pub(super) struct Kind {
    /// What it does.
    pub(super) name: &'static str,
    /// Whether the machine then does what it should not, or may; everything else has to pass.
    pub(super) harmful: bool,
    /// Makes one; none where it does not apply to the file, or not at the place that the dice chose.
    pub(super) make: fn(&Good, &mut Dice) -> Option<Change>,
}

impl Kind {
    pub(super) const fn harmful(name: &'static str, make: fn(&Good, &mut Dice) -> Option<Change>) -> Self {
        Self { name, harmful: true, make }
    }

    pub(super) const fn harmless(name: &'static str, make: fn(&Good, &mut Dice) -> Option<Change>) -> Self {
        Self { name, harmful: false, make }
    }
}

/// What became of a kind.
pub(super) struct Row {
    pub(super) kind: Kind,
    /// Files that it applies to.
    pub(super) files: usize,
    pub(super) tries: usize,
    /// Changes that the proof took wrongly.
    pub(super) wrong: Vec<String>,
}

impl fmt::Display for Row {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (is, became) = if self.kind.harmful { ("harmful", "caught") } else { ("harmless", "passed") };
        let right = self.tries - self.wrong.len();
        write!(
            f,
            "{:44} {is:8} {:2} files {:3} tries {right:3} {became}",
            self.kind.name, self.files, self.tries
        )
    }
}

/// Tries one kind on all files.
pub(super) fn tried(kind: Kind) -> Row {
    let changes = changes(kind);
    let files: BTreeSet<&str> = changes.iter().map(|(good, ..)| good.name.as_str()).collect();
    let wrong =
        changes.par_iter().filter_map(|(good, seed, change)| wrong(kind, good, *seed, change)).collect();
    Row { kind, files: files.len(), tries: changes.len(), wrong }
}

/// The changes that are tried: throw after throw over all files, none twice, until there are enough.
fn changes(kind: Kind) -> Vec<(&'static Good, u64, Change)> {
    let mut changes: Vec<(&Good, u64, Change)> = Vec::new();
    for seed in 0..THROWS {
        if changes.len() >= TRIES {
            break;
        }
        let of_throw: Vec<_> = kit::all()
            .par_iter()
            .filter_map(|good| (kind.make)(good, &mut Dice::new(seed)).map(|change| (good, seed, change)))
            .collect();
        for made in of_throw {
            assert_ne!(
                made.2.bytes,
                made.0.text.as_bytes(),
                "{} changes nothing: {}",
                kind.name,
                made.2.what
            );
            if !changes.iter().any(|known| known.0.name == made.0.name && known.2.bytes == made.2.bytes) {
                changes.push(made);
            }
        }
    }
    changes
}

fn wrong(kind: Kind, good: &Good, seed: u64, change: &Change) -> Option<String> {
    let proof = good.proved(&change.bytes);
    if proof.ok() != kind.harmful {
        return None;
    }
    let errors = proof.problems.iter().filter(|p| p.severity == Severity::Error);
    let said: Vec<String> = errors.take(3).map(|p| format!("{}: {}", p.code, p.message)).collect();
    Some(format!("{}, seed {seed}, {}: {} {}", good.name, kind.name, change.what, said.join(" | ")))
}
