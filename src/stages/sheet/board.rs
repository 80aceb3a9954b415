//! A sheet while it is being filled: which cells are taken, and the first place where a footprint is free.

use super::bits::{Bits, CELLS};
use super::kind::{Footprint, Way};
use super::raster::{Cells, Grid};
use crate::geometry::Point;

/// A place on the board: column and row of a piece's lower left corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Spot {
    /// Cells along the grain.
    pub(super) along: usize,
    /// Cells across it.
    pub(super) across: usize,
}

/// A run of cells of a column: from the first up to but without the second.
type Run = (u16, u16);

/// The room on a sheet within its margins.
#[derive(Clone, Debug)]
pub(super) struct Board {
    length: f64,
    width: f64,
    grid: Grid,
    /// Columns from the pad on; those beyond the last are free.
    columns: Vec<Column>,
    /// Free runs shorter than this are of no use to any piece.
    least: usize,
}

/// One column of a board.
#[derive(Clone, Debug)]
struct Column {
    taken: Bits,
    /// Its free runs, in order.
    gaps: Vec<Run>,
    /// Length of the longest of them.
    longest: u16,
}

impl Column {
    fn new(taken: Bits, rows: usize, least: usize) -> Self {
        let gaps: Vec<Run> = taken.gaps(rows, least).map(|(low, high)| (low as u16, high as u16)).collect();
        let longest = gaps.iter().map(|&(low, high)| high - low).max().unwrap_or(0);
        Self { taken, gaps, longest }
    }
}

/// Cells between 0 and `room` mm.
fn whole_cells(room: f64, cell: f64) -> usize {
    (room.max(0.0) / cell + 1e-9).floor() as usize
}

impl Board {
    /// An empty board, `length` by `width` mm, for pieces of which none has a column lower than `least` cells.
    pub(super) fn new(length: f64, width: f64, grid: Grid, least: usize) -> Self {
        Self { length, width, grid, columns: Vec::new(), least }
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
        let mut scratch = (Vec::new(), Vec::new());
        let mut along = from;
        while along <= last {
            if let Some(next) = self.core_blocked(reach, along) {
                along = next;
            } else if let Some(across) = self.lowest(reach, along, top, &mut scratch) {
                return Some(Spot { along, across });
            } else {
                along += 1;
            }
        }
        None
    }

    /// The next place along the grain that is worth a look, where one of the footprint's cores does not fit at this one
    /// because a column has no run of free cells long enough.
    fn core_blocked(&self, reach: &Footprint, along: usize) -> Option<usize> {
        reach.cores.iter().find_map(|core| {
            let to = (along + core.end).min(self.columns.len());
            let columns = self.columns.get(along + core.first..to)?;
            let blocked = columns.iter().rposition(|column| usize::from(column.longest) < core.height)?;
            Some(along + blocked + 1)
        })
    }

    /// The lowest row, at most `top`, in which the footprint is free.
    fn lowest(
        &self,
        reach: &Footprint,
        along: usize,
        top: usize,
        (open, next): &mut (Vec<Run>, Vec<Run>),
    ) -> Option<usize> {
        open.clear();
        open.push((0, top as u16));
        for (column, runs) in reach.columns() {
            let Some(column) = self.columns.get(along + column) else { continue };
            for &run in runs {
                keep_free(open, &column.gaps, run, next);
                std::mem::swap(open, next);
                if open.is_empty() {
                    return None;
                }
            }
        }
        open.first().map(|&(low, _)| low.into())
    }

    /// Where the lower left corner of a piece at this place lies, mm from the board's.
    pub(super) fn corner(&self, spot: Spot) -> Point {
        Point::new(spot.along as f64 * self.grid.along, spot.across as f64 * self.grid.across)
    }

    /// Takes the cells of a piece.
    pub(super) fn take(&mut self, way: &Way, spot: Spot) {
        for (column, runs) in way.body(self.grid).columns() {
            let mut more = Bits::NONE;
            for &(low, high) in runs {
                more.add_run(spot.across + usize::from(low), spot.across + usize::from(high));
            }
            self.add(spot.along + column, &more);
        }
    }

    /// Takes cells of the board itself.
    pub(super) fn block(&mut self, cells: &Cells) {
        let last = whole_cells(self.length, self.grid.along) + 2 * self.grid.pad_along + 1;
        for (index, column) in cells.columns.iter().enumerate().take(last.saturating_sub(cells.first)) {
            self.add(cells.first + index, column);
        }
    }

    fn add(&mut self, index: usize, more: &Bits) {
        let rows = self.rows();
        if self.columns.len() <= index {
            self.columns.resize(index + 1, Column::new(Bits::NONE, rows, self.least));
        }
        let mut taken = self.columns[index].taken;
        taken.add(more);
        self.columns[index] = Column::new(taken, rows, self.least);
    }
}

/// Of the rows `open` (runs with both ends in them), those in which `run` lies in one of the gaps.
fn keep_free(open: &[Run], gaps: &[Run], (low, high): Run, kept: &mut Vec<Run>) {
    kept.clear();
    let mut rest = open;
    for &(from, to) in gaps {
        if to - from < high - low || to < high {
            continue;
        }
        let (first, last) = (from.saturating_sub(low), to - high);
        while let Some(&(a, b)) = rest.first() {
            let (from, to) = (a.max(first), b.min(last));
            if from <= to {
                kept.push((from, to));
            }
            if b > last {
                break;
            }
            rest = &rest[1..];
        }
    }
}
