//! Points in square cells, to find those near a place without looking at all of them.

use std::collections::HashMap;

use crate::geometry::Point;

/// Numbered points in cells. Looked up only, never walked through, so that no order of a hash shows.
#[derive(Debug)]
pub(super) struct Grid {
    cell: f64,
    cells: HashMap<(i64, i64), Vec<usize>>,
}

impl Grid {
    /// An empty grid, made to be asked for points within `reach` millimetres.
    pub(super) fn new(reach: f64) -> Self {
        // Twice the reach: a question looks into four cells at most, and cells stay small.
        Self { cell: (2.0 * reach).max(1e-9), cells: HashMap::new() }
    }

    /// One more point.
    pub(super) fn add(&mut self, at: Point, number: usize) {
        self.cells.entry(self.cell_of(at.x, at.y)).or_default().push(number);
    }

    /// The numbers of points that may lie within `reach` of `at`, and others near; in the order they were added, cell by
    /// cell.
    pub(super) fn near(&self, at: Point, reach: f64) -> impl Iterator<Item = usize> {
        let (x0, y0) = self.cell_of(at.x - reach, at.y - reach);
        let (x1, y1) = self.cell_of(at.x + reach, at.y + reach);
        (x0..=x1)
            .flat_map(move |x| (y0..=y1).map(move |y| (x, y)))
            .filter_map(|cell| self.cells.get(&cell))
            .flatten()
            .copied()
    }

    fn cell_of(&self, x: f64, y: f64) -> (i64, i64) {
        ((x / self.cell).floor() as i64, (y / self.cell).floor() as i64)
    }
}
