//! A sheet while it is being filled: which cells are taken, and the first place where a footprint is free.

use super::bits::{Bits, CELLS};
use super::kind::{Footprint, Way};
use super::raster::{self, Grid};
use crate::geometry::Point;

/// A place on the board: column and row of a piece's lower left corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Spot {
    /// Cells along the grain.
    pub(super) along: usize,
    /// Cells across it.
    pub(super) across: usize,
}

/// The room on a sheet within its margins.
#[derive(Clone, Debug)]
pub(super) struct Board {
    length: f64,
    width: f64,
    grid: Grid,
    /// Columns from the pad on; those beyond the last are free.
    columns: Vec<Bits>,
    /// Longest run of free cells of each column.
    free: Vec<u16>,
}

/// Cells between 0 and `room` mm.
fn whole_cells(room: f64, cell: f64) -> usize {
    (room.max(0.0) / cell + 1e-9).floor() as usize
}

impl Board {
    /// An empty board, `length` by `width` mm.
    pub(super) fn new(length: f64, width: f64, grid: Grid) -> Self {
        Self { length, width, grid, columns: Vec::new(), free: Vec::new() }
    }

    /// Rows in which anything can lie, the pads included.
    fn rows(&self) -> usize {
        (whole_cells(self.width, self.grid.across) + 1 + 2 * self.grid.pad_across).min(CELLS)
    }

    /// The leftmost free place at or after column `from`, and the lowest there.
    pub(super) fn find(&self, way: &Way, reach: &Footprint, from: usize) -> Option<Spot> {
        if !way.fits(self.length, self.width) {
            return None;
        }
        let last = whole_cells(self.length - way.bounds.width(), self.grid.along);
        let top = whole_cells(self.width - way.bounds.height(), self.grid.across);
        let mut along = from;
        while along <= last {
            if let Some(next) = self.core_blocked(reach, along) {
                along = next;
            } else if let Some(across) = self.lowest(reach, along, top) {
                return Some(Spot { along, across });
            } else {
                along += 1;
            }
        }
        None
    }

    /// The next place along the grain that is worth a look, where the footprint's core does not fit at this one because
    /// a column has no run of free cells long enough.
    fn core_blocked(&self, reach: &Footprint, along: usize) -> Option<usize> {
        let (first, end, height) = reach.core;
        let pad = self.grid.pad_along as isize;
        let from = usize::try_from(along as isize + first + pad).ok()?;
        let to = usize::try_from(along as isize + end + pad).ok()?.min(self.free.len());
        let blocked = self.free.get(from..to)?.iter().rposition(|&free| usize::from(free) < height)?;
        Some(along + blocked + 1)
    }

    /// The lowest row, at most `top`, in which the footprint is free.
    fn lowest(&self, reach: &Footprint, along: usize, top: usize) -> Option<usize> {
        let mut open = Bits::run(0, top + 1);
        for (column, runs) in reach.columns() {
            let index = along as isize + column + self.grid.pad_along as isize;
            let Some(taken) = usize::try_from(index).ok().and_then(|i| self.columns.get(i)) else { continue };
            if taken.is_empty() {
                continue;
            }
            for &(low, high) in runs {
                open.remove(&taken.blocked(low.into(), high.into()));
            }
            if open.is_empty() {
                return None;
            }
        }
        open.lowest()
    }

    /// Where the lower left corner of a piece at this place lies, mm from the board's.
    pub(super) fn corner(&self, spot: Spot) -> Point {
        Point::new(spot.along as f64 * self.grid.along, spot.across as f64 * self.grid.across)
    }

    /// Takes the cells of a piece.
    pub(super) fn take(&mut self, way: &Way, spot: Spot) {
        let anchor = way.corner() - self.corner(spot).to_vec2();
        let cells = raster::cells(&way.region, true, 0.0, anchor, self.grid);
        let first = cells.first + self.grid.pad_along as isize;
        let rows = self.rows();
        for (index, taken) in (first..).zip(&cells.columns) {
            let Ok(index) = usize::try_from(index) else { continue };
            if self.columns.len() <= index {
                self.columns.resize(index + 1, Bits::NONE);
                self.free.resize(index + 1, rows as u16);
            }
            self.columns[index].add(taken);
            self.free[index] = self.columns[index].longest_free(rows) as u16;
        }
    }
}
