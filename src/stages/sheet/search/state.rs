//! Where everything lies while the search is at work: overlaps are allowed, and known.

use super::dice::Dice;
use super::shape::Shape;

/// What is to be laid, unchanged while the search runs.
#[derive(Clone, Debug, Default)]
pub(super) struct Model {
    /// Every shape there is.
    pub(super) shapes: Vec<Shape>,
    /// Every piece, then everything else that lies fast: zones to avoid.
    pub(super) items: Vec<Item>,
}

impl Model {
    /// How many of the items are pieces.
    pub(super) fn pieces(&self) -> usize {
        self.items.partition_point(|item| item.zone_of.is_none())
    }
}

/// One piece.
#[derive(Clone, Debug, Default)]
pub(super) struct Item {
    /// The shapes in which it may lie.
    pub(super) ways: Vec<usize>,
    /// Whether it stays where it is.
    pub(super) fast: bool,
    /// Which of the groups it belongs to whose pieces lie in one bin.
    pub(super) tied: Option<usize>,
    /// Of what is no piece: on which kind of sheet in stock it lies.
    pub(super) zone_of: Option<usize>,
}

/// Where a piece lies: in which bin, as which shape, and where that shape's lower left corner is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Place {
    pub(super) bin: usize,
    pub(super) shape: usize,
    pub(super) x: f64,
    pub(super) y: f64,
}

/// A rectangle to lay pieces in.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Size {
    pub(super) length: f64,
    pub(super) width: f64,
    /// Which of the sheets in stock it is; none where there is no such bin any more.
    pub(super) stock: Option<usize>,
    /// Whose zones lie on it.
    pub(super) zones: usize,
    /// How good it is: what asks for better does not fit it.
    pub(super) quality: u32,
}

impl Size {
    /// How far the corner of this shape may go: none where it does not fit.
    pub(super) fn play(self, shape: &Shape) -> Option<(f64, f64)> {
        self.stock?;
        if shape.quality > self.quality {
            return None;
        }
        let (x, y) = (self.length - shape.width, self.width - shape.height);
        (x >= -PLAY_SLACK && y >= -PLAY_SLACK).then(|| (x.max(0.0), y.max(0.0)))
    }
}

/// A shape this much too long still fits, mm: rounding must not cost a sheet.
const PLAY_SLACK: f64 = 1e-7;

/// The boxes of what lies in one bin.
#[derive(Debug, Default)]
struct Boxes {
    items: Vec<usize>,
    /// Least x, least y, most x, most y.
    sides: Vec<[f64; 4]>,
}

impl Clone for Boxes {
    fn clone(&self) -> Self {
        Self { items: self.items.clone(), sides: self.sides.clone() }
    }

    fn clone_from(&mut self, other: &Self) {
        self.items.clone_from(&other.items);
        self.sides.clone_from(&other.sides);
    }
}

/// How heavily each pair's overlap weighs.
#[derive(Clone, Debug)]
pub(super) struct Weights {
    count: usize,
    weights: Vec<f32>,
}

impl Weights {
    pub(super) fn new(count: usize) -> Self {
        Self { count, weights: vec![1.0; count * count] }
    }

    /// All weights 1 again.
    pub(super) fn reset(&mut self) {
        self.weights.fill(1.0);
    }

    fn of(&self, a: usize) -> &[f32] {
        &self.weights[a * self.count..(a + 1) * self.count]
    }

    /// Makes pairs that overlap weigh more, the deepest most, and lets the others' weights decay.
    pub(super) fn update(&mut self, state: &State) {
        let deepest = state.overlaps.iter().flatten().fold(0.0_f32, |most, &(_, depth)| most.max(depth));
        self.weights.iter_mut().for_each(|weight| *weight = (*weight * DECAY).max(1.0));
        for (a, overlaps) in state.overlaps.iter().enumerate() {
            for &(b, depth) in overlaps {
                let grow = (GROW.0 + (GROW.1 - GROW.0) * depth / deepest) / DECAY;
                let weight = &mut self.weights[a * self.count + b];
                *weight = (*weight * grow).min(MOST_WEIGHT);
            }
        }
    }
}

/// What a weight falls to with each round in which its pair lies apart.
const DECAY: f32 = 0.95;
/// What the weight of a pair that overlaps grows by: at least, and the deepest.
const GROW: (f32, f32) = (1.2, 2.0);
/// No weight grows beyond this, so that sums stay exact enough.
const MOST_WEIGHT: f32 = 1e15;

/// Where everything lies.
#[derive(Debug)]
pub(super) struct State {
    pub(super) places: Vec<Place>,
    pub(super) sizes: Vec<Size>,
    /// The bins that there still are.
    open: Vec<usize>,
    bins: Vec<Boxes>,
    /// For each item, what it overlaps and how deep.
    overlaps: Vec<Vec<(usize, f32)>>,
    /// How many of the items are pieces.
    pieces: usize,
}

impl Clone for State {
    fn clone(&self) -> Self {
        let (places, sizes, open) = (self.places.clone(), self.sizes.clone(), self.open.clone());
        let (bins, overlaps) = (self.bins.clone(), self.overlaps.clone());
        Self { places, sizes, open, bins, overlaps, pieces: self.pieces }
    }

    // Keeps what is allocated: done once in every round.
    fn clone_from(&mut self, other: &Self) {
        self.places.clone_from(&other.places);
        self.sizes.clone_from(&other.sizes);
        self.open.clone_from(&other.open);
        self.bins.clone_from(&other.bins);
        self.overlaps.clone_from(&other.overlaps);
        self.pieces = other.pieces;
    }
}

impl State {
    pub(super) fn new(model: &Model, sizes: Vec<Size>, places: Vec<Place>) -> Self {
        let bins = vec![Boxes::default(); sizes.len()];
        let overlaps = vec![Vec::new(); places.len()];
        let mut state = Self { places, sizes, open: Vec::new(), bins, overlaps, pieces: model.pieces() };
        state.rebuild(model);
        state
    }

    /// Finds everything anew from the places and sizes; what sticks out is pushed in.
    pub(super) fn rebuild(&mut self, model: &Model) {
        self.bins.iter_mut().for_each(|bin| *bin = Boxes::default());
        self.open = (0..self.sizes.len()).filter(|&bin| self.sizes[bin].stock.is_some()).collect();
        let there = |state: &Self, i: usize| {
            let size = state.sizes[state.places[i].bin];
            model.items[i].zone_of.is_none_or(|zones| size.stock.is_some() && size.zones == zones)
        };
        for i in 0..self.places.len() {
            self.push_in(i, model);
            if there(self, i) {
                self.enter(i, model);
            }
        }
        for i in 0..self.places.len() {
            let found = there(self, i).then(|| self.found(i, self.places[i], model));
            self.overlaps[i] = found.unwrap_or_default();
        }
    }

    /// Lays everything as it lay.
    pub(super) fn restore(&mut self, places: &[Place], model: &Model) {
        self.places.copy_from_slice(places);
        self.rebuild(model);
    }

    /// Gives the bins these sizes. What lies beyond `split` in the first bin is shifted by as much as that grew; what does
    /// not fit its bin any more goes anywhere.
    pub(super) fn resize(
        &mut self,
        sizes: &[Size],
        split: Option<(usize, f64)>,
        model: &Model,
        dice: &mut Dice,
    ) {
        if let Some((bin, split)) = split {
            let change = sizes[bin].length - self.sizes[bin].length;
            let beyond = self.places.iter_mut().filter(|place| place.bin == bin && place.x > split);
            beyond.for_each(|place| place.x += change);
        }
        self.sizes.copy_from_slice(sizes);
        self.move_groups(model, dice);
        for i in 0..self.places.len() {
            let place = self.places[i];
            let fits = self.sizes[place.bin].play(&model.shapes[place.shape]).is_some();
            if !fits && !model.items[i].fast {
                self.places[i] = self.anywhere(i, model, dice).unwrap_or(place);
            }
        }
        self.rebuild(model);
    }

    /// Moves each group whose bin does not hold all of it any more to one that may, all of it together.
    fn move_groups(&mut self, model: &Model, dice: &mut Dice) {
        let groups = model.items.iter().filter_map(|item| item.tied).max().map_or(0, |most| most + 1);
        for group in 0..groups {
            let of: Vec<usize> = (0..self.pieces).filter(|&i| model.items[i].tied == Some(group)).collect();
            let fits = |bin: usize| {
                let way = |&way: &usize| self.sizes[bin].play(&model.shapes[way]).is_some();
                of.iter().all(|&i| model.items[i].fast || model.items[i].ways.iter().any(way))
            };
            let Some(&first) = of.first() else { continue };
            if fits(self.places[first].bin) {
                continue;
            }
            let bins: Vec<usize> = (0..self.sizes.len()).filter(|&bin| fits(bin)).collect();
            let Some(&bin) = bins.get(dice.below(bins.len())) else { continue };
            for i in of {
                self.places[i].bin = bin;
            }
        }
    }

    /// A place anywhere where the item fits.
    fn anywhere(&self, i: usize, model: &Model, dice: &mut Dice) -> Option<Place> {
        let ways = &model.items[i].ways;
        let fits = |bin: usize| ways.iter().any(|&way| self.sizes[bin].play(&model.shapes[way]).is_some());
        let home = model.items[i].tied.map(|_| self.places[i].bin);
        let bins: Vec<usize> =
            (0..self.sizes.len()).filter(|&bin| fits(bin) && home.is_none_or(|home| home == bin)).collect();
        let bin = *bins.get(dice.below(bins.len()))?;
        let play = |&way: &usize| Some((way, self.sizes[bin].play(&model.shapes[way])?));
        let plays: Vec<(usize, (f64, f64))> = ways.iter().filter_map(play).collect();
        let (shape, (x, y)) = *plays.get(dice.below(plays.len()))?;
        Some(Place { bin, shape, x: dice.fraction() * x, y: dice.fraction() * y })
    }

    fn push_in(&mut self, i: usize, model: &Model) {
        let place = &mut self.places[i];
        if model.items[i].fast {
            return;
        }
        if let Some((x, y)) = self.sizes[place.bin].play(&model.shapes[place.shape]) {
            (place.x, place.y) = (place.x.clamp(0.0, x), place.y.clamp(0.0, y));
        }
    }

    fn enter(&mut self, i: usize, model: &Model) {
        let place = self.places[i];
        let shape = &model.shapes[place.shape];
        let bin = &mut self.bins[place.bin];
        bin.items.push(i);
        bin.sides.push([place.x, place.y, place.x + shape.width, place.y + shape.height]);
    }

    fn leave(&mut self, i: usize) {
        let bin = &mut self.bins[self.places[i].bin];
        if let Some(slot) = bin.items.iter().position(|&item| item == i) {
            bin.items.swap_remove(slot);
            bin.sides.swap_remove(slot);
        }
    }

    /// Everything that item `i` would overlap at this place, and how deep.
    fn found(&self, i: usize, place: Place, model: &Model) -> Vec<(usize, f32)> {
        let mut found = Vec::new();
        self.meet(i, place, model, |other, depth| {
            found.push((other, depth(f64::INFINITY) as f32));
            true
        });
        found
    }

    /// Tells of everything that item `i` would overlap at this place, as long as it is wanted, and gives the means to ask
    /// how deep.
    fn meet(
        &self,
        i: usize,
        place: Place,
        model: &Model,
        mut wanted: impl FnMut(usize, &dyn Fn(f64) -> f64) -> bool,
    ) {
        let shape = &model.shapes[place.shape];
        let bin = &self.bins[place.bin];
        let (x1, y1) = (place.x + shape.width, place.y + shape.height);
        let fast = model.items[i].fast;
        for (slot, sides) in bin.sides.iter().enumerate() {
            if sides[0] >= x1 || sides[2] <= place.x || sides[1] >= y1 || sides[3] <= place.y {
                continue;
            }
            let other = bin.items[slot];
            if other == i || (fast && model.items[other].fast) {
                continue;
            }
            let there = &model.shapes[self.places[other].shape];
            let (dx, dy) = (sides[0] - place.x, sides[1] - place.y);
            if shape.overlaps(there, dx, dy) && !wanted(other, &|most| shape.depth(there, dx, dy, most)) {
                return;
            }
        }
    }

    /// What item `i` would cost at this place, as weights are; once it is clear that it costs more than `most`, just more.
    pub(super) fn cost(&self, i: usize, place: Place, most: f64, model: &Model, weights: &Weights) -> f64 {
        let (mut cost, weights) = (0.0, weights.of(i));
        self.meet(i, place, model, |other, depth| {
            let weight = f64::from(weights[other]);
            cost += weight * depth((most - cost) / weight);
            cost <= most
        });
        cost
    }

    /// What item `i` costs where it lies.
    pub(super) fn cost_now(&self, i: usize, weights: &Weights) -> f64 {
        let weights = weights.of(i);
        self.overlaps[i].iter().map(|&(other, depth)| f64::from(depth) * f64::from(weights[other])).sum()
    }

    /// Moves item `i`.
    pub(super) fn put(&mut self, i: usize, place: Place, model: &Model) {
        for (other, _) in std::mem::take(&mut self.overlaps[i]) {
            self.overlaps[other].retain(|&(item, _)| item != i);
        }
        self.leave(i);
        self.places[i] = place;
        self.enter(i, model);
        let found = self.found(i, place, model);
        for &(other, depth) in &found {
            self.overlaps[other].push((i, depth));
        }
        self.overlaps[i] = found;
    }

    /// Whether item `i` overlaps anything.
    pub(super) fn is_caught(&self, i: usize) -> bool {
        !self.overlaps[i].is_empty()
    }

    /// All overlap together.
    pub(super) fn overlap(&self) -> f64 {
        self.overlaps.iter().flatten().map(|&(_, depth)| f64::from(depth)).sum::<f64>() / 2.0
    }

    /// All overlap together, as weights are.
    pub(super) fn weighted(&self, weights: &Weights) -> f64 {
        (0..self.places.len()).map(|i| self.cost_now(i, weights)).sum()
    }

    /// The bins that there still are.
    pub(super) fn open(&self) -> &[usize] {
        &self.open
    }

    /// How far along x what lies in this bin reaches.
    pub(super) fn reach(&self, bin: usize) -> f64 {
        let bin = &self.bins[bin];
        let pieces = bin.items.iter().zip(&bin.sides).filter(|(item, _)| **item < self.pieces);
        pieces.fold(0.0, |most, (_, sides)| most.max(sides[2]))
    }
}
