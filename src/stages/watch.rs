//! Who watches the work, and may stop it.

/// Someone who watches the work and may stop it.
pub trait Watch: Sync {
    /// A step has begun, or got this far: `done` of `total` (0 where the total is not known).
    fn step(&self, name: &str, done: usize, total: usize);
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
