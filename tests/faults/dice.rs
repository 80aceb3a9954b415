//! Random numbers that are the same in every run.

/// A generator of random numbers: splitmix64 (Steele, Lea, Flood, "Fast splittable pseudorandom number generators",
/// OOPSLA 2014; constants from memory).
#[derive(Clone, Debug)]
pub(super) struct Dice(u64);

impl Dice {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number below this one.
    pub(super) fn below(&mut self, most: usize) -> usize {
        usize::try_from(self.next() % most.max(1) as u64).unwrap()
    }

    /// Any number between two.
    pub(super) fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// One or the other.
    pub(super) fn coin(&mut self) -> bool {
        self.next() & 1 == 1
    }

    /// One of them; none where there are none.
    pub(super) fn pick<'a, T>(&mut self, from: &'a [T]) -> Option<&'a T> {
        from.get(self.below(from.len()))
    }

    /// A number of this size or larger, of either sign.
    pub(super) fn shift(&mut self, least: f64, most: f64) -> f64 {
        let size = self.between(least, most);
        if self.coin() { size } else { -size }
    }
}
