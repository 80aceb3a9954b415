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

    /// Whether there is no cell.
    pub(super) fn is_empty(&self) -> bool {
        self.0.iter().all(|&word| word == 0)
    }

    /// The lowest cell.
    pub(super) fn lowest(&self) -> Option<usize> {
        let word = self.0.iter().position(|&word| word != 0)?;
        Some(64 * word + self.0[word].trailing_zeros() as usize)
    }

    /// The column moved down by this many cells.
    fn down(&self, by: usize) -> Self {
        let (words, bits) = (by / 64, by % 64);
        let mut moved = [0; WORDS];
        for (i, word) in moved.iter_mut().enumerate() {
            let low = self.0.get(i + words).copied().unwrap_or(0);
            let high = self.0.get(i + words + 1).copied().unwrap_or(0);
            *word = if bits == 0 { low } else { low >> bits | high << (64 - bits) };
        }
        Self(moved)
    }

    /// Every `y` for which one of the cells from `y + low` up to but without `y + high` is taken.
    pub(super) fn blocked(&self, low: usize, high: usize) -> Self {
        let mut spread = self.down(low);
        let (length, mut done) = (high - low, 1);
        while done < length {
            let step = done.min(length - done);
            spread.add(&spread.down(step));
            done += step;
        }
        spread
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

    /// Length of the longest run of free cells among the first `cells`.
    pub(super) fn longest_free(&self, cells: usize) -> usize {
        let (mut longest, mut low) = (0, 0);
        for (taken, free) in self.runs() {
            longest = longest.max(taken.min(cells).saturating_sub(low));
            low = free;
        }
        longest.max(cells.saturating_sub(low))
    }
}
