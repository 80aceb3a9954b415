//! How deep a single pass goes: the depth of every place on the sheet so far, on a grid.
//!
//! A place counts as cut to the greatest depth that was reached in its cell or the eight around it, so that nothing is
//! told which is right: a way that runs where one ran before always finds it. What goes too deep beside an older cut,
//! nearer than about two cells, can be missed.

use super::{Limits, Way};
use crate::geometry::Point;

/// Least width of a cell, mm.
const CELL_MM: f64 = 1.0;

/// No more cells than about this, so that the grid of a large sheet takes a few megabytes.
const MOST_CELLS: f64 = 1e6;

/// The grid's heights are single precision: they are right to this, mm.
const HELD_MM: f64 = 1e-3;

/// The deepest cut so far, all over the sheet.
#[derive(Debug)]
pub(super) struct Passes {
    pass_mm: f64,
    cell_mm: f64,
    columns: usize,
    rows: usize,
    heights: Vec<f32>,
}

impl Passes {
    /// An uncut sheet; none where its size or the depth of a pass is not known.
    pub(super) fn of(limits: &Limits) -> Option<Self> {
        let ([length, width], pass_mm) = (limits.sheet_mm?, limits.pass_mm?);
        let cell_mm = CELL_MM.max((length * width / MOST_CELLS).sqrt());
        let count = |mm: f64| (mm / cell_mm).ceil().clamp(1.0, MOST_CELLS) as usize;
        let (columns, rows) = (count(length), count(width));
        Some(Self { pass_mm, cell_mm, columns, rows, heights: vec![0.0; columns.checked_mul(rows)?] })
    }

    /// Cuts the part of a way that is in the wood; where it takes more at once than a pass may, the place and how much.
    pub(super) fn cut(&mut self, way: &Way, part: (f64, f64), place_mm: f64) -> Option<(Point, f64)> {
        let most = self.pass_mm + 2.0 * place_mm + HELD_MM;
        let steps = (way.across() * (part.1 - part.0) / (self.cell_mm / 2.0)).ceil().clamp(1.0, MOST_CELLS);
        let sample = |i: u32| {
            let t = part.0 + (part.1 - part.0) * f64::from(i) / steps;
            (way.at(t), way.height(t))
        };
        let mut worst: Option<(Point, f64)> = None;
        if -way.lowest() > most {
            for (at, z) in (0..=steps as u32).map(sample) {
                let takes = self.deepest_around(at) - z;
                if takes > worst.map_or(most, |(_, worst)| worst) {
                    worst = Some((at, takes));
                }
            }
        }
        for (at, z) in (0..=steps as u32).map(sample) {
            if let Some((column, row)) = self.cell(at) {
                let height = &mut self.heights[row * self.columns + column];
                *height = height.min(z as f32);
            }
        }
        worst
    }

    fn cell(&self, at: Point) -> Option<(usize, usize)> {
        let index = |mm: f64, count: usize| {
            let cell = (mm / self.cell_mm).floor();
            (cell >= 0.0 && cell < count as f64).then_some(cell as usize)
        };
        Some((index(at.x, self.columns)?, index(at.y, self.rows)?))
    }

    /// The lowest height of a cell and those around it; of a place off the sheet nothing is known.
    fn deepest_around(&self, at: Point) -> f64 {
        let Some((column, row)) = self.cell(at) else { return f64::NEG_INFINITY };
        let columns = column.saturating_sub(1)..=(column + 1).min(self.columns - 1);
        let rows = row.saturating_sub(1)..=(row + 1).min(self.rows - 1);
        let heights = rows.flat_map(|row| columns.clone().map(move |column| row * self.columns + column));
        f64::from(heights.map(|cell| self.heights[cell]).fold(0.0_f32, f32::min))
    }
}
