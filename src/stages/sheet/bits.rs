//! A column of a sheet as bits: which of its cells, counted across the grain, are taken.

/// Words in a column.
const WORDS: usize = 8;

/// How many cells a column has.
pub(super) const CELLS: usize = 64 * WORDS;

/// One bit per cell, the lowest cell first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Bits([u64; WORDS]);

impl Bits {
    /// No cell.
    pub(super) const NONE: Self = Self([0; WORDS]);

    /// The cells from `low` up to but without `high`; what lies beyond the column is left out.
    pub(super) fn run(low: usize, high: usize) -> Self {
        let (mut low_part, high_part) = (Self::from_cell(low), Self::from_cell(high));
        for (word, other) in low_part.0.iter_mut().zip(high_part.0) {
            *word &= !other;
        }
        low_part
    }

    /// The cell `low` and all above it.
    pub(super) fn from_cell(low: usize) -> Self {
        let mut bits = [0; WORDS];
        let word = low / 64;
        if word < WORDS {
            bits[word] = u64::MAX << (low % 64);
            bits[word + 1..].fill(u64::MAX);
        }
        Self(bits)
    }

    /// Adds the other's cells.
    pub(super) fn add(&mut self, other: &Self) {
        self.0.iter_mut().zip(other.0).for_each(|(word, more)| *word |= more);
    }

    /// Takes the other's cells away.
    pub(super) fn remove(&mut self, other: &Self) {
        self.0.iter_mut().zip(other.0).for_each(|(word, less)| *word &= !less);
    }

    /// Adds the other's cells that are missing and takes away those that are there.
    pub(super) fn toggle(&mut self, other: &Self) {
        self.0.iter_mut().zip(other.0).for_each(|(word, flip)| *word ^= flip);
    }

    /// The lowest cell.
    pub(super) fn lowest(&self) -> Option<usize> {
        let word = self.0.iter().position(|&word| word != 0)?;
        Some(64 * word + self.0[word].trailing_zeros() as usize)
    }

    /// The runs of cells that are taken, in order, each up to but without its second number.
    pub(super) fn runs(&self) -> impl Iterator<Item = (usize, usize)> {
        let mut rest = *self;
        std::iter::from_fn(move || {
            let low = rest.lowest()?;
            let high = rest.next_free(low);
            rest.remove(&Self::run(low, high));
            Some((low, high))
        })
    }

    /// The first free cell at or above `from`.
    fn next_free(&self, from: usize) -> usize {
        let mut free = Self::from_cell(from);
        free.remove(self);
        free.lowest().unwrap_or(CELLS)
    }

    /// The runs of at least `least` free cells among the first `cells`, in order.
    pub(super) fn gaps(&self, cells: usize, least: usize) -> impl Iterator<Item = (usize, usize)> {
        let mut rest = *self;
        rest.add(&Self::from_cell(cells));
        let mut low = 0;
        std::iter::from_fn(move || {
            (low < CELLS).then(|| {
                let high = rest.lowest().unwrap_or(CELLS);
                let next = rest.next_free(high);
                rest.remove(&Self::run(high, next));
                (std::mem::replace(&mut low, next), high)
            })
        })
        .filter(move |&(low, high)| high - low >= least.max(1))
    }
}
