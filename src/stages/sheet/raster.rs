//! Outlines to cells. Every cell that an outline, grown by a radius, touches is taken: what two footprints say is free
//! is free on the true outlines.

use super::bits::{Bits, CELLS};
use crate::geometry::{Outline, Point, Region};

/// How far the straight pieces that stand for an arc may stray from it, mm; the footprint is grown by as much. Smaller
/// makes no tighter layout, the cells are coarser; larger wastes wood.
const ARC_STRAY_MM: f64 = 0.02;

/// How deep an outline may reach into a cell that is not counted as taken, mm: a part that ends on the cell's edge ends
/// there in spite of rounding. Far below the millionth of a millimetre by which a distance may fall short.
const TOUCH_MM: f64 = 1e-7;

/// The cells of a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Grid {
    /// Length of a cell along the grain, mm.
    pub(super) along: f64,
    /// Width of a cell across the grain, mm.
    pub(super) across: f64,
    /// Empty cells before the first column.
    pub(super) pad_along: usize,
    /// Empty cells below the first row.
    pub(super) pad_across: usize,
}

impl Grid {
    /// Finest cells, mm: along the grain, across it. Finer ones gain less than the wood's own tolerance.
    const FINEST: (f64, f64) = (0.5, 0.2);
    /// No footprint is longer than about this many cells, so that one huge part stays affordable.
    const LONGEST: f64 = 4096.0;
    /// Cells of a column that rounding up may take: two above, two below.
    const SPARE: f64 = 8.0;

    /// Cells for sheets `width` mm wide, parts up to `longest` mm long, and `spacing` mm between them.
    pub(super) fn new(width: f64, longest: f64, spacing: f64) -> Self {
        let across = Self::FINEST.1.max((width + 2.0 * spacing) / (CELLS as f64 - Self::SPARE));
        let along = Self::FINEST.0.max((longest + 2.0 * spacing) / Self::LONGEST);
        let pad = |cell: f64| (spacing / cell).ceil() as usize + 1;
        Self { along, across, pad_along: pad(along), pad_across: pad(across) }
    }
}

/// A straight piece of a boundary, grown by a radius: left end first.
#[derive(Clone, Copy, Debug)]
struct Edge {
    left: Point,
    right: Point,
    radius: f64,
}

impl Edge {
    /// Its top within the columns' stretch from `x0` to `x1`, which it touches: the grown piece is convex, so that its
    /// upper side is highest at its higher end or, where that lies outside the stretch, on the stretch's nearer side.
    fn top(&self, x0: f64, x1: f64) -> f64 {
        let higher = if self.left.y > self.right.y { self.left } else { self.right };
        if x0 <= higher.x && higher.x <= x1 {
            return higher.y + self.radius;
        }
        self.upper(if higher.x < x0 { x0 } else { x1 })
    }

    /// Its lowest point within the stretch.
    fn bottom(&self, x0: f64, x1: f64) -> f64 {
        let flip = |p: Point| Point::new(p.x, -p.y);
        -Self { left: flip(self.left), right: flip(self.right), radius: self.radius }.top(x0, x1)
    }

    /// Height of its upper side at `x`.
    fn upper(&self, x: f64) -> f64 {
        let along = self.right - self.left;
        let length = along.hypot();
        let lean = if length > 0.0 { -along.y / length * self.radius } else { 0.0 };
        let round = |end: Point| {
            let reach = self.radius * self.radius - (x - end.x) * (x - end.x);
            end.y + reach.max(0.0).sqrt()
        };
        if x <= self.left.x + lean {
            round(self.left)
        } else if x >= self.right.x + lean {
            round(self.right)
        } else {
            let rise = along.y / along.x;
            self.left.y + along.x / length * self.radius + (x - self.left.x - lean) * rise
        }
    }
}

/// Cells, column by column.
#[derive(Clone, Debug)]
pub(super) struct Cells {
    /// The first column; the grid's pad lies before the anchor's, so that it is never negative.
    pub(super) first: usize,
    /// The columns; their rows begin with the grid's pad.
    pub(super) columns: Vec<Bits>,
}

/// The cells of the region's material, or of all within its outer outline, grown by `radius` mm. Columns and rows are
/// counted from `anchor`.
pub(super) fn cells(region: &Region, holes: bool, radius: f64, anchor: Point, grid: Grid) -> Cells {
    let bounds = region.bounds();
    let slack = radius + ARC_STRAY_MM;
    let first = column_down(bounds.x0 - slack - anchor.x, grid);
    let last = column_down(bounds.x1 + slack - anchor.x, grid) + 1;
    let mut edges = Vec::new();
    let outlines = if holes { usize::MAX } else { 1 };
    region.outlines().take(outlines).for_each(|outline| flatten(outline, radius, anchor, &mut edges));
    let count = last.saturating_sub(first).max(1);
    let mut inside = Cells { first, columns: vec![Bits::NONE; count] };
    let mut border = inside.clone();
    for edge in &edges {
        inside.toggle_above(edge, grid);
        border.cover(edge, grid);
    }
    inside.columns.iter_mut().zip(&border.columns).for_each(|(column, more)| column.add(more));
    inside
}

/// Straight pieces for the outline, from the anchor.
fn flatten(outline: &Outline, radius: f64, anchor: Point, edges: &mut Vec<Edge>) {
    let mut push = |from: Point, to: Point, radius: f64| {
        let (from, to) = (from - anchor.to_vec2(), to - anchor.to_vec2());
        let (left, right) = if from.x <= to.x { (from, to) } else { (to, from) };
        edges.push(Edge { left, right, radius });
    };
    for segment in outline.segments() {
        if segment.is_line() {
            push(segment.from, segment.to, radius);
            continue;
        }
        let steps = segment.chord_count(ARC_STRAY_MM).clamp(2, MOST_STEPS);
        let point = |i: usize| segment.at(i as f64 / steps as f64);
        (0..steps).for_each(|i| push(point(i), point(i + 1), radius + ARC_STRAY_MM));
    }
}

/// No more straight pieces than this stand for an arc.
const MOST_STEPS: usize = 4096;

impl Cells {
    /// Flips all cells above the edge in each column whose middle it crosses: done for every edge of a closed outline,
    /// what lies within has been flipped once.
    fn toggle_above(&mut self, edge: &Edge, grid: Grid) {
        let along = edge.right - edge.left;
        let middle = |x: f64| column_up(x - grid.along / 2.0, grid);
        for column in middle(edge.left.x)..middle(edge.right.x) {
            let x = column_start(column, grid) + grid.along / 2.0;
            let y = edge.left.y + (x - edge.left.x) * along.y / along.x;
            let above = Bits::from_cell(row_down(y, grid));
            if let Some(bits) = self.column(column) {
                bits.toggle(&above);
            }
        }
    }

    /// Takes every cell that the edge touches.
    fn cover(&mut self, edge: &Edge, grid: Grid) {
        let (x0, x1) = (edge.left.x - edge.radius, edge.right.x + edge.radius);
        let low = column_down(x0 + TOUCH_MM, grid);
        let high = column_up(x1 - TOUCH_MM, grid);
        for column in low..high {
            let (a, b) = (column_start(column, grid), column_start(column + 1, grid));
            let (a, b) = (a.max(x0), b.min(x1).max(x0));
            let (low, high) = (row_down(edge.bottom(a, b), grid), row_up(edge.top(a, b), grid));
            if let Some(bits) = self.column(column) {
                bits.add_run(low, high);
            }
        }
    }

    fn column(&mut self, column: usize) -> Option<&mut Bits> {
        column.checked_sub(self.first).and_then(|i| self.columns.get_mut(i))
    }
}

/// The column that begins at or before `x`.
fn column_down(x: f64, grid: Grid) -> usize {
    floor(x / grid.along + grid.pad_along as f64)
}

/// The column that begins at or after `x`.
fn column_up(x: f64, grid: Grid) -> usize {
    ceil(x / grid.along + grid.pad_along as f64)
}

/// Where a column begins, mm from the anchor.
fn column_start(column: usize, grid: Grid) -> f64 {
    (column as f64 - grid.pad_along as f64) * grid.along
}

/// The row that begins at or below `y`.
fn row_down(y: f64, grid: Grid) -> usize {
    floor((y + TOUCH_MM) / grid.across + grid.pad_across as f64)
}

/// The row that begins at or above `y`.
fn row_up(y: f64, grid: Grid) -> usize {
    ceil((y - TOUCH_MM) / grid.across + grid.pad_across as f64)
}

/// The whole number at or below, 0 for what is negative: without the library call that `f64::floor` is on most machines.
fn floor(value: f64) -> usize {
    value as usize
}

/// The whole number at or above, 0 for what is negative.
fn ceil(value: f64) -> usize {
    let whole = value as usize;
    if (whole as f64) < value { whole + 1 } else { whole }
}
