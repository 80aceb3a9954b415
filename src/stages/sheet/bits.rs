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

    /// Adds the cells from `low` up to but without `high`; what lies beyond the column is left out.
    pub(super) fn add_run(&mut self, low: usize, high: usize) {
        let high = high.min(CELLS);
        if low >= high {
            return;
        }
        let (first, last) = (low / 64, (high - 1) / 64);
        for (index, word) in self.0[first..=last].iter_mut().enumerate() {
            let from = if index == 0 { u64::MAX << (low % 64) } else { u64::MAX };
            let to = if first + index == last { u64::MAX >> (63 - (high - 1) % 64) } else { u64::MAX };
            *word |= from & to;
        }
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

    /// Keeps only the cells that are not the other's.
    fn remove(&mut self, other: &Self) {
        self.0.iter_mut().zip(other.0).for_each(|(word, less)| *word &= !less);
    }

    /// Keeps only the cell `low` and those above it.
    fn remove_below(&mut self, low: usize) {
        let word = low / 64;
        self.0[..word.min(WORDS)].fill(0);
        if let Some(word) = self.0.get_mut(word) {
            *word &= u64::MAX << (low % 64);
        }
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
            rest.remove_below(high);
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
                rest.remove_below(next);
                (std::mem::replace(&mut low, next), high)
            })
        })
        .filter(move |&(low, high)| high - low >= least.max(1))
    }
}
