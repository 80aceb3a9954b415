//! Random numbers that are the same in every run and on every machine.

/// A generator of random numbers: splitmix64 (Steele, Lea, Flood, "Fast splittable pseudorandom number generators",
/// OOPSLA 2014; constants from memory).
#[derive(Clone, Debug)]
pub(super) struct Dice(u64);

impl Dice {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Another generator, whose numbers have nothing to do with this one's.
    pub(super) fn split(&mut self) -> Self {
        Self(self.next())
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number below this one; 0 where there is none.
    pub(super) fn below(&mut self, most: usize) -> usize {
        let wide = u128::from(self.next()) * most as u128;
        (wide >> 64) as usize
    }

    /// From 0 up to but without 1.
    pub(super) fn fraction(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Any number between two.
    pub(super) fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.fraction()
    }

    /// Puts them into a random order.
    pub(super) fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.below(i + 1));
        }
    }
}
