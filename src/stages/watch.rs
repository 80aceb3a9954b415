//! Who watches the work, and may stop it.

/// Someone who watches the work and may stop it.
pub trait Watch: Sync {
    /// A step has begun, or got this far: `done` of `total` (0 where the total is not known).
    fn step(&self, name: &str, done: usize, total: usize);
    /// A search goes on, of which so much has gone, 0 to 1: until the next step it may be stopped, and what it found so far,
    /// told in a few words, is kept.
    fn found(&self, _told: &str, _gone: f64) {}
    /// Whether the person asked to stop.
    fn stopped(&self) -> bool;
}

/// Nobody watches.
#[derive(Clone, Copy, Debug)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn step(&self, _name: &str, _done: usize, _total: usize) {}
    fn stopped(&self) -> bool {
        false
    }
}
