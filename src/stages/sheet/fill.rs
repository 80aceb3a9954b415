//! One sheet after the other: the largest piece that still finds a place goes to the leftmost, lowest one.

use rayon::prelude::*;

use super::Room;
use super::board::{Board, Spot};
use super::kind::{Footprint, Kind};
use super::raster::{self, Grid};
use super::size::Size;
use crate::geometry::{Point, Region};

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
        let mut filled = Self::empty(size, missing);
        for put in puts {
            filled.put(put, &kinds[put.kind]);
        }
        filled
    }

    fn empty(size: usize, missing: bool) -> Self {
        Self { size, missing, puts: Vec::new(), area: 0.0, reach: 0.0 }
    }

    /// Adds a piece, which is of this kind.
    fn put(&mut self, put: Put, kind: &Kind) {
        self.area += kind.area;
        self.reach = self.reach.max(put.corner.x + kind.ways[put.way].bounds.width());
        self.puts.push(put);
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
    /// Kinds that lie on one sheet together.
    groups: Vec<Vec<usize>>,
    /// For each kind the reach of each way, none where that way fits no sheet.
    reaches: Vec<Vec<Option<Footprint>>>,
    /// The lowest column of them all, cells.
    least: usize,
}

/// No more sizes than this are tried by themselves.
const MOST_MIXES: usize = 4;

/// How many kinds in a row may find no place on a sheet before the search skips some: most kits have fewer kinds, and
/// the time that a sheet takes does not grow with the job.
const PATIENCE: u32 = 24;

/// After this many more without a place it skips twice as many.
const DOUBLING: u32 = 6;

/// How far down the list the next kind to try is, after so many in a row without a place.
fn stride(failed: u32) -> usize {
    1 << (failed.saturating_sub(PATIENCE).div_ceil(DOUBLING)).min(16)
}

/// What is left to lay when a sheet is begun.
#[derive(Clone, Copy, Debug)]
struct Next<'a> {
    /// Kinds, in the order in which they are tried.
    order: &'a [usize],
    /// How many pieces of each kind.
    left: &'a [u32],
    /// Which sheet it is, from 1.
    sheet: u32,
}

/// Kinds that lie together, those of one word.
pub(super) fn groups(kinds: &[Kind]) -> Vec<Vec<usize>> {
    let mut groups: Vec<(&str, Vec<usize>)> = Vec::new();
    for (index, kind) in kinds.iter().enumerate() {
        let Some(word) = kind.together.as_deref() else { continue };
        match groups.iter_mut().find(|(other, _)| *other == word) {
            Some((_, group)) => group.push(index),
            None => groups.push((word, vec![index])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
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
        Self { kinds, sizes, room, grid, groups: groups(kinds), reaches, least }
    }

    /// Lays all pieces; the best of a few orders.
    pub(super) fn lay(&self) -> Vec<Filled> {
        let orders = self.orders();
        let mixes = self.mixes();
        let tries: Vec<(&Vec<usize>, Option<usize>)> =
            mixes.into_iter().flat_map(|only| orders.iter().map(move |order| (order, only))).collect();
        let tries: Vec<Vec<Filled>> =
            tries.par_iter().map(|(order, only)| self.lay_in(order, *only)).collect();
        tries.into_iter().reduce(|a, b| if self.cost(&b) < self.cost(&a) { b } else { a }).unwrap_or_default()
    }

    /// Which size is taken as long as there is one: any, or one of several.
    fn mixes(&self) -> Vec<Option<usize>> {
        let one = (0..self.sizes.len()).map(Some).take(MOST_MIXES);
        std::iter::once(None).chain(one.filter(|_| self.sizes.len() > 1)).collect()
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

    /// Fewer missing sheets first, then what counts for less, then a longer rest of the last sheet.
    fn cost(&self, sheets: &[Filled]) -> (usize, f64, f64) {
        let missing = sheets.iter().filter(|sheet| sheet.missing).count();
        let wood = sheets.iter().map(|sheet| self.sizes[sheet.size].counts).sum();
        (missing, wood, sheets.last().map_or(0.0, |sheet| sheet.reach))
    }

    fn lay_in(&self, order: &[usize], only: Option<usize>) -> Vec<Filled> {
        let mut left: Vec<u32> = self.kinds.iter().map(|kind| kind.count).collect();
        let mut stock: Vec<Option<u32>> = self.sizes.iter().map(|size| size.count).collect();
        let mut order = order.to_vec();
        let mut sheets: Vec<Filled> = Vec::new();
        loop {
            order.retain(|&kind| left[kind] > 0);
            let next = Next { order: &order, left: &left, sheet: sheets.len() as u32 + 1 };
            let Some(sheet) = self.next_sheet(&next, &stock, only) else { return sheets };
            sheet.puts.iter().for_each(|put| left[put.kind] -= 1);
            stock[sheet.size].iter_mut().for_each(|count| *count = count.saturating_sub(1));
            sheets.push(sheet);
        }
    }

    /// What the next sheet has to take: what is pinned on it, else the first piece with all that lies with it.
    fn musts(&self, next: &Next<'_>) -> Vec<usize> {
        let pinned: Vec<usize> =
            next.order.iter().copied().filter(|&kind| self.is_pinned(kind, next.sheet)).collect();
        if !pinned.is_empty() {
            return pinned;
        }
        let Some(first) = next.order.iter().copied().find(|&kind| self.kinds[kind].pin.is_none()) else {
            return Vec::new();
        };
        let group = self.groups.iter().find(|group| group.contains(&first));
        group.map_or_else(
            || vec![first],
            |group| group.iter().copied().filter(|&kind| next.left[kind] > 0).collect(),
        )
    }

    /// The sizes that each of these kinds may lie on.
    fn taking(&self, kinds: &[usize]) -> impl Iterator<Item = usize> {
        let takes =
            |&size: &usize| kinds.iter().all(|&kind| self.sizes[size].takes(&self.kinds[kind], self.room));
        (0..self.sizes.len()).filter(takes)
    }

    fn is_pinned(&self, kind: usize, sheet: u32) -> bool {
        self.kinds[kind].pin.is_some_and(|pin| pin.sheet == sheet)
    }

    /// The sheet that suits what is left best: of the sizes in stock that take what must be on it, else of all that do.
    fn next_sheet(&self, next: &Next<'_>, stock: &[Option<u32>], only: Option<usize>) -> Option<Filled> {
        let musts = self.musts(next);
        let all: Vec<usize> = self.taking(&musts).collect();
        let mut there: Vec<usize> = all.iter().copied().filter(|&size| stock[size] != Some(0)).collect();
        if let Some(only) = only.filter(|only| there.contains(only)) {
            there = vec![only];
        }
        let pieces: u64 = next.order.iter().map(|&kind| u64::from(next.left[kind])).sum();
        let best = |sizes: Vec<usize>, missing: bool| {
            let filled = sizes.into_iter().map(|size| self.fill(size, missing, next));
            let filled = filled.filter(|sheet| !sheet.puts.is_empty());
            filled.reduce(|a, b| if self.better(&b, &a, pieces) { b } else { a })
        };
        if musts.is_empty() { None } else { best(there, false).or_else(|| best(all, true)) }
    }

    /// Whether a piece of this kind finds a place on one of the sizes, clear of what is blocked there.
    pub(super) fn holds(&self, kind: usize) -> bool {
        let takes = |size: &&Size| size.takes(&self.kinds[kind], self.room);
        let pinned = self.kinds[kind].pin.is_some();
        self.sizes.iter().filter(takes).any(|size| size.blocked.is_empty() || pinned) || self.hold(&[kind], 1)
    }

    /// The groups of kinds that are to lie on one sheet and find no place on one of any size.
    pub(super) fn torn(&self) -> Vec<&[usize]> {
        self.groups.iter().map(Vec::as_slice).filter(|group| !self.hold(group, u32::MAX)).collect()
    }

    /// Whether so many pieces of each of these kinds, or all there are, find room together on a sheet.
    fn hold(&self, kinds: &[usize], most: u32) -> bool {
        let mut left = vec![0; self.kinds.len()];
        for &kind in kinds {
            left[kind] = self.kinds[kind].count.min(most);
        }
        let pieces: u32 = left.iter().sum();
        let sheet = kinds.iter().find_map(|&kind| self.kinds[kind].pin).map_or(u32::MAX, |pin| pin.sheet);
        let next = Next { order: kinds, left: &left, sheet };
        self.taking(kinds).any(|size| self.fill(size, false, &next).puts.len() as u32 == pieces)
    }

    /// Whether sheet `a` is the better next one than `b`: where both take all that is left, the cheaper; else one that
    /// does; else the one that holds more for its price.
    fn better(&self, a: &Filled, b: &Filled, pieces: u64) -> bool {
        let all = |sheet: &Filled| sheet.puts.len() as u64 == pieces;
        let counts = |sheet: &Filled| self.sizes[sheet.size].counts;
        match (all(a), all(b)) {
            (true, true) => counts(a) < counts(b),
            (false, false) => a.area / counts(a) > b.area / counts(b),
            (a, _) => a,
        }
    }

    /// A board for a sheet of this size, with what is blocked on it.
    fn board(&self, size: usize) -> Board {
        let (length, width) = self.sizes[size].within(self.room);
        let mut board = Board::new(length, width, self.grid, self.least);
        self.sizes[size].blocked.iter().for_each(|region| self.block(region, size, &mut board));
        board
    }

    fn block(&self, region: &Region, size: usize, board: &mut Board) {
        let corner = self.sizes[size].corner(self.room).to_point();
        board.block(&raster::cells(region, true, 0.0, corner, self.grid));
    }

    /// Fills one sheet: what is pinned there, then what lies together, then all the others.
    fn fill(&self, size: usize, missing: bool, next: &Next<'_>) -> Filled {
        let (length, width) = self.sizes[size].within(self.room);
        let mut board = self.board(size);
        let mut filled = Filled::empty(size, missing);
        for &kind in next.order.iter().filter(|&&kind| self.is_pinned(kind, next.sheet)) {
            self.put_pinned(kind, &mut board, &mut filled);
        }
        for group in &self.groups {
            self.put_together(group, next, &mut board, &mut filled);
        }
        let loose = |&&kind: &&usize| {
            let kind = &self.kinds[kind];
            kind.pin.is_none() && kind.together.is_none() && kind.quality <= self.sizes[size].quality
        };
        let order: Vec<usize> = next.order.iter().filter(loose).copied().collect();
        let (mut at, mut failed) = (0, 0_u32);
        while at < order.len() && filled.area < length * width {
            let kind = order[at];
            let all = self.put_copies(kind, next.left[kind], &mut board, &mut filled);
            failed = if all { 0 } else { failed + 1 };
            at += stride(failed);
        }
        filled
    }

    fn put_pinned(&self, kind: usize, board: &mut Board, filled: &mut Filled) {
        let (of, Some(pin)) = (&self.kinds[kind], self.kinds[kind].pin) else { return };
        self.block(&of.ways[0].region_at(pin.at), filled.size, board);
        filled.put(Put { kind, way: 0, corner: pin.at }, of);
    }

    /// Puts all pieces of the group on the board, or none.
    fn put_together(&self, group: &[usize], next: &Next<'_>, board: &mut Board, filled: &mut Filled) {
        let loose = || group.iter().copied().filter(|&kind| self.kinds[kind].pin.is_none());
        // Where one of them is pinned the others lie there.
        let pins = || group.iter().filter_map(|&kind| self.kinds[kind].pin);
        let elsewhere = pins().any(|pin| pin.sheet != next.sheet);
        let good = loose().all(|kind| self.kinds[kind].quality <= self.sizes[filled.size].quality);
        if elsewhere || !good || loose().all(|kind| next.left[kind] == 0) {
            return;
        }
        let (mut new_board, mut new_filled) = (board.clone(), filled.clone());
        let mut largest: Vec<usize> = loose().filter(|&kind| next.left[kind] > 0).collect();
        largest.sort_by(|&a, &b| self.kinds[b].area.total_cmp(&self.kinds[a].area));
        if largest
            .into_iter()
            .all(|kind| self.put_copies(kind, next.left[kind], &mut new_board, &mut new_filled))
        {
            (*board, *filled) = (new_board, new_filled);
        }
    }

    /// Adds pieces to sheets that are laid already, where there is room for them. How many of each of the task's kinds there
    /// are on them already is told by `sheets`, of which the kinds are numbered from `first` on.
    pub(super) fn add_spares(&self, sheets: &mut [Filled], spares: std::ops::Range<usize>) {
        let mut left: Vec<u32> = self.kinds.iter().map(|kind| kind.count).collect();
        let mut largest: Vec<usize> = spares.collect();
        largest.sort_by(|&a, &b| self.kinds[b].area.total_cmp(&self.kinds[a].area));
        for sheet in sheets.iter_mut().filter(|sheet| !sheet.missing) {
            let mut board = self.board(sheet.size);
            for put in &sheet.puts {
                let region = self.kinds[put.kind].ways[put.way].region_at(put.corner);
                self.block(&region, sheet.size, &mut board);
            }
            let fits = |&&kind: &&usize| self.sizes[sheet.size].takes(&self.kinds[kind], self.room);
            let here: Vec<usize> = largest.iter().filter(fits).copied().collect();
            for kind in here {
                let before = sheet.puts.len();
                self.put_copies(kind, left[kind], &mut board, sheet);
                left[kind] -= (sheet.puts.len() - before) as u32;
            }
        }
    }

    /// Puts as many of `count` pieces of a kind on the board as find a place; whether all did.
    fn put_copies(&self, kind: usize, count: u32, board: &mut Board, filled: &mut Filled) -> bool {
        let mut starts = vec![Some(0); self.reaches[kind].len()];
        for _ in 0..count {
            let Some((way, spot)) = self.best_spot(kind, board, &mut starts) else { return false };
            let laid = &self.kinds[kind].ways[way];
            board.take(laid, spot);
            let corner = board.corner(spot) + self.sizes[filled.size].corner(self.room);
            filled.put(Put { kind, way, corner }, &self.kinds[kind]);
        }
        true
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
