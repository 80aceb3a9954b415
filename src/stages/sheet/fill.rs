//! One sheet after the other: the largest piece that still finds a place goes to the leftmost, lowest one.

use rayon::prelude::*;

use super::Room;
use super::blocked::blocked;
use super::board::{Board, Spot};
use super::kind::{Footprint, Kind};
use super::raster::{self, Grid};
use crate::geometry::{Outline, Point, Rect, Region, Vec2};
use crate::stages::job::{Blank, Clamp, Stock};

/// Sheets of one size.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Size {
    /// Length along the grain, mm.
    pub(super) length: f64,
    /// Width across it, mm.
    pub(super) width: f64,
    /// How many there are; none for as many as it takes.
    pub(super) count: Option<u32>,
    /// What pieces keep their spacing from as if it were a piece, in the sheet's coordinates: what is not there of the
    /// rectangle, what is to be avoided.
    pub(super) blocked: Vec<Region>,
    /// What it is like.
    pub(super) blank: Blank,
    /// What one sheet costs; its area where nobody said.
    pub(super) price: Option<f64>,
    /// How good it is.
    pub(super) quality: u32,
}

impl Size {
    /// The size of the stock.
    pub(super) fn of(stock: &Stock, room: Room) -> Self {
        let (length, width) = (stock.length_mm, stock.width_mm);
        let whole = || vec![Region::new(Outline::rectangle(Rect::new(0.0, 0.0, length, width)), Vec::new())];
        Self {
            length,
            width,
            count: stock.count,
            // What cannot be reckoned is not used.
            blocked: blocked(&stock.blank, (length, width), room).unwrap_or_else(whole),
            blank: stock.blank.clone(),
            price: stock.price,
            quality: stock.quality,
        }
    }

    /// Room within the margins and clear of the clamps, mm: along, across.
    pub(super) fn within(&self, room: Room) -> (f64, f64) {
        let Clamp { left, right, bottom, top } = self.blank.clamp;
        let margins = 2.0 * room.margin_mm;
        (self.length - margins - left - right, self.width - margins - bottom - top)
    }

    /// Where that room begins on the sheet.
    pub(super) fn corner(&self, room: Room) -> Vec2 {
        Vec2::new(room.margin_mm + self.blank.clamp.left, room.margin_mm + self.blank.clamp.bottom)
    }

    /// Area that pieces may take, mm², with half of the spacing around them.
    pub(super) fn free_area(&self, room: Room) -> f64 {
        let (length, width) = self.within(room);
        let within = (length + room.spacing_mm) * (width + room.spacing_mm);
        self.blank.outline.as_ref().map_or(within, |outline| within.min(outline.area()))
    }

    fn area(&self) -> f64 {
        self.blank.outline.as_ref().map_or(self.length * self.width, Outline::area)
    }

    /// What one sheet costs: where nothing says so, its area.
    pub(super) fn price(&self) -> f64 {
        self.area()
    }
}

/// One piece on a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Put {
    /// Which kind.
    pub(super) kind: usize,
    /// Which way of it.
    pub(super) way: usize,
    /// Its lower left corner, mm on the sheet.
    pub(super) corner: Point,
}

/// One sheet, filled.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Filled {
    /// Which of the sizes.
    pub(super) size: usize,
    /// Whether stock has no such sheet any more.
    pub(super) missing: bool,
    /// The pieces.
    pub(super) puts: Vec<Put>,
    /// Area of material on it, mm².
    area: f64,
    /// How far along the sheet its pieces reach, mm.
    reach: f64,
}

impl Filled {
    /// A sheet of this size with these pieces on it.
    pub(super) fn of(size: usize, missing: bool, puts: Vec<Put>, kinds: &[Kind]) -> Self {
        let area = puts.iter().map(|put| kinds[put.kind].area).sum();
        let end = |put: &Put| put.corner.x + kinds[put.kind].ways[put.way].bounds.width();
        let reach = puts.iter().map(end).fold(0.0, f64::max);
        Self { size, missing, puts, area, reach }
    }

    /// Area of material on it, mm².
    pub(super) fn area(&self) -> f64 {
        self.area
    }

    /// How far along the sheet its pieces reach, mm.
    pub(super) fn reach(&self) -> f64 {
        self.reach
    }
}

/// What is to be laid on sheets of one wood and thickness.
#[derive(Debug)]
pub(super) struct Task<'a> {
    kinds: &'a [Kind],
    sizes: &'a [Size],
    room: Room,
    grid: Grid,
    /// For each kind the reach of each way, none where that way fits no sheet.
    reaches: Vec<Vec<Option<Footprint>>>,
    /// The lowest column of them all, cells.
    least: usize,
}

/// How many kinds in a row may find no place on a sheet before the search skips some: most kits have fewer kinds, and
/// the time that a sheet takes does not grow with the job.
const PATIENCE: u32 = 24;

/// After this many more without a place it skips twice as many.
const DOUBLING: u32 = 6;

/// How far down the list the next kind to try is, after so many in a row without a place.
fn stride(failed: u32) -> usize {
    1 << (failed.saturating_sub(PATIENCE).div_ceil(DOUBLING)).min(16)
}

impl<'a> Task<'a> {
    /// A task; every kind fits one of the sizes.
    pub(super) fn new(kinds: &'a [Kind], sizes: &'a [Size], room: Room) -> Self {
        let most = |values: &mut dyn Iterator<Item = f64>| values.fold(0.0, f64::max);
        let width = most(&mut sizes.iter().map(|size| size.within(room).1));
        let longest = most(&mut kinds.iter().map(Kind::longest));
        let grid = Grid::new(width, longest, room.spacing_mm);
        let fits = |way: &super::kind::Way| {
            sizes.iter().map(|size| size.within(room)).any(|(length, width)| way.fits(length, width))
        };
        let reaches: Vec<Vec<Option<Footprint>>> = kinds
            .par_iter()
            .map(|kind| kind.ways.iter().map(|w| fits(w).then(|| w.reach(room.spacing_mm, grid))).collect())
            .collect();
        let least = reaches.iter().flatten().flatten().map(|reach| reach.least).min().unwrap_or(0);
        Self { kinds, sizes, room, grid, reaches, least }
    }

    /// Lays all pieces; the best of a few orders.
    pub(super) fn lay(&self) -> Vec<Filled> {
        let orders = self.orders();
        let tries: Vec<Vec<Filled>> = orders.par_iter().map(|order| self.lay_in(order)).collect();
        tries.into_iter().reduce(|a, b| if self.cost(&b) < self.cost(&a) { b } else { a }).unwrap_or_default()
    }

    /// Orders worth trying, each largest first by another measure.
    fn orders(&self) -> Vec<Vec<usize>> {
        let bounds = |kind: &Kind| kind.ways[0].bounds;
        let measures: [&dyn Fn(&Kind) -> f64; 3] =
            [&|kind| bounds(kind).area(), &|kind| kind.longest(), &|kind| {
                bounds(kind).height().min(bounds(kind).width())
            }];
        measures.iter().map(|measure| self.largest_first(measure)).collect()
    }

    fn largest_first(&self, measure: &dyn Fn(&Kind) -> f64) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.kinds.len()).collect();
        let size = |&i: &usize| (measure(&self.kinds[i]), self.kinds[i].longest(), self.kinds[i].area);
        order.sort_by(|a, b| size(b).partial_cmp(&size(a)).unwrap_or(std::cmp::Ordering::Equal));
        order
    }

    /// Fewer missing sheets first, then less wood, then a longer rest of the last sheet.
    fn cost(&self, sheets: &[Filled]) -> (usize, f64, f64) {
        let missing = sheets.iter().filter(|sheet| sheet.missing).count();
        let wood = sheets.iter().map(|sheet| self.sizes[sheet.size].area()).sum();
        (missing, wood, sheets.last().map_or(0.0, |sheet| sheet.reach))
    }

    fn lay_in(&self, order: &[usize]) -> Vec<Filled> {
        let mut left: Vec<u32> = self.kinds.iter().map(|kind| kind.count).collect();
        let mut stock: Vec<Option<u32>> = self.sizes.iter().map(|size| size.count).collect();
        let mut order = order.to_vec();
        let mut sheets = Vec::new();
        loop {
            order.retain(|&kind| left[kind] > 0);
            let Some(&first) = order.first() else { return sheets };
            let Some(sheet) = self.next_sheet(first, &order, &left, &stock) else { return sheets };
            sheet.puts.iter().for_each(|put| left[put.kind] -= 1);
            stock[sheet.size].iter_mut().for_each(|count| *count = count.saturating_sub(1));
            sheets.push(sheet);
        }
    }

    /// The sheet that suits what is left best: of the sizes in stock that take the first piece, else of all that do.
    fn next_sheet(
        &self,
        first: usize,
        order: &[usize],
        left: &[u32],
        stock: &[Option<u32>],
    ) -> Option<Filled> {
        let takes = |&size: &usize| {
            let (length, width) = self.sizes[size].within(self.room);
            self.kinds[first].fits(length, width)
        };
        let all: Vec<usize> = (0..self.sizes.len()).filter(takes).collect();
        let there: Vec<usize> = all.iter().copied().filter(|&size| stock[size] != Some(0)).collect();
        let pieces: u64 = order.iter().map(|&kind| u64::from(left[kind])).sum();
        let best = |sizes: Vec<usize>, missing: bool| {
            let filled = sizes.into_iter().map(|size| self.fill(size, missing, order, left));
            let filled = filled.filter(|sheet| !sheet.puts.is_empty());
            filled.reduce(|a, b| if self.better(&b, &a, pieces) { b } else { a })
        };
        best(there, false).or_else(|| best(all, true))
    }

    /// Whether a piece of this kind finds a place on one of the sizes, clear of what is blocked there.
    pub(super) fn holds(&self, kind: usize) -> bool {
        let mut one = vec![0; self.kinds.len()];
        one[kind] = 1;
        let fits = |size: &Size| {
            let (length, width) = size.within(self.room);
            self.kinds[kind].fits(length, width)
        };
        let sizes = || (0..self.sizes.len()).filter(|&size| fits(&self.sizes[size]));
        sizes().any(|size| self.sizes[size].blocked.is_empty())
            || sizes().any(|size| !self.fill(size, false, &[kind], &one).puts.is_empty())
    }

    /// Whether sheet `a` is the better next one than `b`: where both take all that is left, the smaller; else one that
    /// does; else the fuller.
    fn better(&self, a: &Filled, b: &Filled, pieces: u64) -> bool {
        let all = |sheet: &Filled| sheet.puts.len() as u64 == pieces;
        let area = |sheet: &Filled| self.sizes[sheet.size].area();
        match (all(a), all(b)) {
            (true, true) => area(a) < area(b),
            (false, false) => a.area / area(a) > b.area / area(b),
            (a, _) => a,
        }
    }

    /// Fills one sheet.
    fn fill(&self, size: usize, missing: bool, order: &[usize], left: &[u32]) -> Filled {
        let (length, width) = self.sizes[size].within(self.room);
        let mut board = Board::new(length, width, self.grid, self.least);
        let corner = self.sizes[size].corner(self.room).to_point();
        for region in &self.sizes[size].blocked {
            board.block(&raster::cells(region, true, 0.0, corner, self.grid));
        }
        let mut filled = Filled { size, missing, puts: Vec::new(), area: 0.0, reach: 0.0 };
        let (mut next, mut failed) = (0, 0_u32);
        while next < order.len() && filled.area < length * width {
            let kind = order[next];
            let before = filled.puts.len();
            self.put_copies(kind, left[kind], &mut board, &mut filled);
            let all = filled.puts.len() - before == left[kind] as usize;
            failed = if all { 0 } else { failed + 1 };
            next += stride(failed);
        }
        filled
    }

    /// Puts as many of `count` pieces of a kind on the board as find a place.
    fn put_copies(&self, kind: usize, count: u32, board: &mut Board, filled: &mut Filled) {
        let mut starts = vec![Some(0); self.reaches[kind].len()];
        for _ in 0..count {
            let Some((way, spot)) = self.best_spot(kind, board, &mut starts) else { return };
            let laid = &self.kinds[kind].ways[way];
            board.take(laid, spot);
            let corner = board.corner(spot) + self.sizes[filled.size].corner(self.room);
            filled.puts.push(Put { kind, way, corner });
            filled.area += self.kinds[kind].area;
            filled.reach = filled.reach.max(corner.x + laid.bounds.width());
        }
    }

    /// The place whose right end lies farthest left, then lowest, over all ways of the kind. `starts` remembers for each
    /// way where its search got to: a board only fills up, what was taken stays taken.
    fn best_spot(&self, kind: usize, board: &Board, starts: &mut [Option<usize>]) -> Option<(usize, Spot)> {
        let mut best: Option<(f64, usize, usize, Spot)> = None;
        for (way, start) in starts.iter_mut().enumerate() {
            let (Some(reach), Some(from)) = (&self.reaches[kind][way], *start) else { continue };
            let laid = &self.kinds[kind].ways[way];
            let spot = board.find(laid, reach, from);
            *start = spot.map(|spot| spot.along);
            let Some(spot) = spot else { continue };
            let end = board.corner(spot).x + laid.bounds.width();
            let rank = |end: f64, across: usize| (end, across);
            if best.is_none_or(|(other, across, ..)| rank(end, spot.across) < rank(other, across)) {
                best = Some((end, spot.across, way, spot));
            }
        }
        best.map(|(_, _, way, spot)| (way, spot))
    }
}
