//! Sheets from stock: the cheapest that hold everything, then the longest rest on one of them.

use super::super::account::FULLEST;
use super::bound;
use super::dice::Dice;
use super::line::{Best, Goal, Proposal, Score};
use super::separate::Patience;
use super::state::{Model, Size, State};

/// Sheets of one kind in stock.
#[derive(Clone, Copy, Debug)]
pub(super) struct InStock {
    /// Room for grown outlines, mm.
    pub(super) length: f64,
    pub(super) width: f64,
    /// What one costs.
    pub(super) price: f64,
    /// How many there are.
    pub(super) count: usize,
    /// Area that pieces may take, mm².
    pub(super) area: f64,
    /// Whose zones lie on it.
    pub(super) zones: usize,
    /// How good it is.
    pub(super) quality: u32,
}

/// The share of the budget in which sheets are saved; the rest squeezes the last one.
const SAVE: f64 = 0.7;

/// By how much the sheet with the longest rest is squeezed, as a share of what is used of it: at first, and the factor after
/// each failure.
const SQUEEZE: (f64, f64) = (0.15, 0.7);

/// After so many failures a sheet is squeezed enough.
const SQUEEZED: usize = 12;

const SAVING: Patience = Patience { rounds: 60, strikes: 2 };
const SQUEEZING: Patience = Patience { rounds: 30, strikes: 2 };

/// Of so many proposals in a row that fail, the last is to do without a sheet at once, the others squeeze one.
const TURNS: usize = 3;

/// How often pieces are swapped before another sheet is tried.
const SHAKES: usize = 6;

/// The fewest sheets.
#[derive(Clone, Debug)]
pub(super) struct Cheapest {
    pub(super) stock: Vec<InStock>,
    /// Area of all outlines, mm².
    pub(super) area: f64,
    /// Whether the last sheet is squeezed, once none can be saved.
    pub(super) squeeze: bool,
}

/// A sheet to do without, or to change for another kind.
#[derive(Clone, Copy, Debug)]
struct Saving {
    saved: f64,
    bin: usize,
    instead: Option<usize>,
}

impl Cheapest {
    pub(super) fn size(&self, stock: usize) -> Size {
        let InStock { length, width, zones, quality, .. } = self.stock[stock];
        Size { length, width, stock: Some(stock), zones, quality }
    }

    /// What may be saved, the most first.
    fn savings(&self, best: &Best, model: &Model) -> Vec<Saving> {
        let open: Vec<(usize, usize)> =
            best.sizes.iter().enumerate().filter_map(|(bin, size)| Some((bin, size.stock?))).collect();
        let pieces = &best.places[..model.pieces()];
        let pinned =
            |bin: usize| pieces.iter().zip(&model.items).any(|(place, item)| item.fast && place.bin == bin);
        let used = |stock: usize| open.iter().filter(|&&(_, other)| other == stock).count();
        let mut filled = vec![0.0; best.sizes.len()];
        for place in pieces {
            filled[place.bin] += model.shapes[place.shape].area;
        }
        let mut savings = Vec::new();
        for stock in 0..self.stock.len() {
            let bins = open.iter().filter(|&&(_, other)| other == stock).map(|&(bin, _)| bin);
            let bins = bins.filter(|&bin| !pinned(bin));
            let Some(bin) = bins.reduce(|a, b| if filled[b] < filled[a] { b } else { a }) else { continue };
            let price = self.stock[stock].price;
            savings.push(Saving { saved: price, bin, instead: None });
            let others = (0..self.stock.len()).filter(|&other| used(other) < self.stock[other].count);
            let cheaper = others.filter(|&other| self.stock[other].price < price);
            savings.extend(cheaper.map(|other| Saving {
                saved: price - self.stock[other].price,
                bin,
                instead: Some(other),
            }));
        }
        savings.retain(|saving| self.may_do(&self.sizes(best, saving), model));
        savings.sort_by(|a, b| b.saved.total_cmp(&a.saved));
        savings
    }

    fn sizes(&self, best: &Best, saving: &Saving) -> Vec<Size> {
        let full = |size: &Size| size.stock.map_or(*size, |stock| self.size(stock));
        let mut sizes: Vec<Size> = best.sizes.iter().map(full).collect();
        sizes[saving.bin] = saving.instead.map_or(Size::default(), |stock| self.size(stock));
        sizes
    }

    /// Whether everything may fit into these.
    fn may_do(&self, sizes: &[Size], model: &Model) -> bool {
        let room = |size: &Size| {
            size.stock.map_or(0.0, |stock| self.stock[stock].area.min(size.length * size.width))
        };
        let fits = |way: &usize| sizes.iter().any(|size| size.play(&model.shapes[*way]).is_some());
        self.area <= FULLEST * sizes.iter().map(room).sum::<f64>()
            && model.items.iter().all(|item| item.fast || item.ways.iter().any(fits))
            && !bound::crowded(sizes, model)
    }

    /// The sheet with the longest rest squeezed, the less the more often that failed.
    fn squeezed(&self, best: &Best, failed: usize, model: &Model) -> Option<Proposal> {
        let (bin, reach) = self.loosest(best, model)?;
        let squeezed = |k: usize| {
            let mut sizes = best.sizes.clone();
            sizes[bin].length = reach * (1.0 - (0..k).fold(SQUEEZE.0, |step, _| step * SQUEEZE.1));
            sizes
        };
        let sizes = (failed..=SQUEEZED).map(squeezed).find(|sizes| self.may_do(sizes, model))?;
        Some(Proposal { sizes, split: None, patience: SQUEEZING, shakes: 0 })
    }

    /// The bin with the longest rest, and how far it is used.
    fn loosest(&self, best: &Best, model: &Model) -> Option<(usize, f64)> {
        let mut reach = vec![0.0_f64; best.sizes.len()];
        for place in &best.places[..model.pieces()] {
            reach[place.bin] = reach[place.bin].max(place.x + model.shapes[place.shape].width);
        }
        let rest = |bin: usize| {
            best.sizes[bin]
                .stock
                .map(|stock| (self.stock[stock].length - reach[bin]) * self.stock[stock].width)
        };
        let bins = (0..best.sizes.len()).filter_map(|bin| Some((rest(bin)?, bin)));
        bins.reduce(|a, b| if b.0 > a.0 { b } else { a }).map(|(_, bin)| (bin, reach[bin]))
    }
}

/// The sizes without a bin that nothing lies in any more; none where every bin holds something.
fn without_empty(best: &Best, model: &Model) -> Option<Vec<Size>> {
    let pieces = &best.places[..model.pieces()];
    let empty = |bin: &usize| !pieces.iter().any(|place| place.bin == *bin);
    let bin = (0..best.sizes.len()).filter(|&bin| best.sizes[bin].stock.is_some()).find(empty)?;
    let mut sizes = best.sizes.clone();
    sizes[bin] = Size::default();
    Some(sizes)
}

impl Goal for Cheapest {
    fn score(&self, state: &State) -> Score {
        let open = || state.open().iter().filter_map(|&bin| Some((bin, self.stock[state.sizes[bin].stock?])));
        let cost = open().map(|(_, stock)| stock.price).sum();
        let rest = open().map(|(bin, stock)| (stock.length - state.reach(bin)) * stock.width);
        (cost, -rest.fold(0.0, f64::max))
    }

    fn propose(
        &self,
        best: &Best,
        failed: usize,
        gone: f64,
        model: &Model,
        _: &mut Dice,
    ) -> Option<Proposal> {
        if let Some(sizes) = without_empty(best, model) {
            return Some(Proposal { sizes, split: None, patience: SAVING, shakes: 0 });
        }
        let savings = if gone < SAVE { self.savings(best, model) } else { Vec::new() };
        // A sheet that holds less is easier to do without: it is squeezed first, and in between.
        if savings.is_empty() || failed % TURNS < TURNS - 1 {
            let k = if savings.is_empty() { failed } else { failed % TURNS + failed / TURNS };
            let squeezed =
                if self.squeeze || !savings.is_empty() { self.squeezed(best, k, model) } else { None };
            if squeezed.is_some() || savings.is_empty() {
                return squeezed;
            }
        }
        let sizes = self.sizes(best, &savings[failed / TURNS % savings.len()]);
        Some(Proposal { sizes, split: None, patience: SAVING, shakes: SHAKES })
    }

    fn enlarge(&self, sizes: &[Size]) -> Vec<Size> {
        sizes.to_vec()
    }

    fn still(&self, then: f64, now: f64) -> bool {
        (then < SAVE) == (now < SAVE)
    }
}
