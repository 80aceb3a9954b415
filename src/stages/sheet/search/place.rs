//! The best place for one piece, everything else lying where it is: places tried far and near, the best ones improved.

use super::dice::Dice;
use super::state::{Model, Place, State, Weights};

/// How hard a place is looked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pains {
    /// Places tried anywhere.
    pub(super) far: usize,
    /// Places tried near where it lies.
    pub(super) near: usize,
    /// How many of the best are improved.
    pub(super) improved: usize,
}

/// A place and what it costs.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tried {
    pub(super) place: Place,
    pub(super) cost: f64,
}

/// Looks for a place for one item.
pub(super) struct Looking<'a> {
    pub(super) state: &'a State,
    pub(super) model: &'a Model,
    pub(super) weights: &'a Weights,
    pub(super) dice: &'a mut Dice,
    pub(super) item: usize,
    /// What was tried: places, each as often as the piece has convex pieces.
    pub(super) tried: u64,
}

/// Two places that differ by less than this share of the shape's shorter side are one.
const SAME_SHARE: f64 = 0.05;

/// Steps with which a place is improved, as shares of the shape's shorter side: the first, and when it is enough. Roughly
/// for each of the best, then finely for the best of all.
const ROUGH: (f64, f64) = (0.25, 0.02);
const FINE: (f64, f64) = (0.02, 0.0005);

/// How a step changes after it made things better, or did not.
const LONGER: f64 = 1.1;
const SHORTER: f64 = 0.5;

impl Looking<'_> {
    /// The best place found, where it is better than the one it has.
    pub(super) fn best(&mut self, pains: Pains) -> Option<Tried> {
        let now =
            Tried { place: self.state.places[self.item], cost: self.state.cost_now(self.item, self.weights) };
        let mut best: Vec<Tried> = vec![now];
        for n in 0..pains.near + pains.far {
            let place = if n < pains.near { self.near(now.place) } else { self.far() };
            let Some(place) = place else { continue };
            self.consider(place, &mut best, pains.improved + 1);
        }
        for tried in &mut best {
            *tried = self.improve(*tried, ROUGH);
        }
        let least = best.into_iter().reduce(|a, b| if b.cost < a.cost { b } else { a })?;
        let least = self.improve(least, FINE);
        (least.cost < now.cost).then_some(least)
    }

    /// Keeps the place if it is among the best.
    fn consider(&mut self, place: Place, best: &mut Vec<Tried>, most: usize) {
        let worst =
            if best.len() < most { f64::INFINITY } else { best.last().map_or(f64::INFINITY, |t| t.cost) };
        if worst <= 0.0 {
            return;
        }
        let cost = self.cost(place, worst);
        if cost >= worst {
            return;
        }
        let same = self.model.shapes[place.shape].least() * SAME_SHARE;
        let is_same = |t: &Tried| {
            (t.place.bin, t.place.shape) == (place.bin, place.shape)
                && (t.place.x - place.x).abs() < same
                && (t.place.y - place.y).abs() < same
        };
        if let Some(twin) = best.iter().position(is_same) {
            if best[twin].cost <= cost {
                return;
            }
            best.remove(twin);
        }
        let at = best.partition_point(|t| t.cost <= cost);
        best.insert(at, Tried { place, cost });
        best.truncate(most);
    }

    fn cost(&mut self, place: Place, most: f64) -> f64 {
        self.tried += self.model.shapes[place.shape].work();
        self.state.cost(self.item, place, most, self.model, self.weights)
    }

    /// A place anywhere; half of the time in the bin where it lies.
    fn far(&mut self) -> Option<Place> {
        let open = self.state.open();
        let here = self.state.places[self.item].bin;
        let tied = self.model.items[self.item].tied.is_some();
        let bin = if open.len() == 1 || tied || self.dice.below(2) == 0 {
            here
        } else {
            open[self.dice.below(open.len())]
        };
        let shape = self.way();
        let (x, y) = self.state.sizes[bin].play(&self.model.shapes[shape])?;
        Some(Place { bin, shape, x: self.dice.fraction() * x, y: self.dice.fraction() * y })
    }

    /// A place near this one.
    fn near(&mut self, place: Place) -> Option<Place> {
        let shape = self.way();
        let size = &self.model.shapes[shape];
        let (x, y) = self.state.sizes[place.bin].play(size)?;
        let (dx, dy) = (size.width / 2.0, size.height / 2.0);
        let shift = |dice: &mut Dice, at: f64, d: f64, most: f64| {
            let (low, high) = ((at - d).max(0.0), (at + d).min(most));
            dice.between(low.min(most), high.max(0.0))
        };
        let x = shift(self.dice, place.x, dx, x);
        let y = shift(self.dice, place.y, dy, y);
        Some(Place { bin: place.bin, shape, x, y })
    }

    fn way(&mut self) -> usize {
        let ways = &self.model.items[self.item].ways;
        ways[self.dice.below(ways.len())]
    }

    /// Goes downhill from a place by steps along and across, and slanting.
    fn improve(&mut self, from: Tried, steps: (f64, f64)) -> Tried {
        let shape = &self.model.shapes[from.place.shape];
        let Some((most_x, most_y)) = self.state.sizes[from.place.bin].play(shape) else { return from };
        let least = shape.least();
        let (mut step_x, mut step_y) = (least * steps.0, least * steps.0);
        let enough = least * steps.1;
        let mut best = from;
        while best.cost > 0.0 && step_x.max(step_y) >= enough {
            let axis = self.dice.below(4);
            let (dx, dy) = match axis {
                0 => (step_x, 0.0),
                1 => (0.0, step_y),
                2 => (step_x, step_y),
                _ => (step_x, -step_y),
            };
            let before = best.cost;
            for (dx, dy) in [(dx, dy), (-dx, -dy)] {
                let place = Place {
                    x: (best.place.x + dx).clamp(0.0, most_x),
                    y: (best.place.y + dy).clamp(0.0, most_y),
                    ..best.place
                };
                let cost = self.cost(place, best.cost);
                if cost < best.cost {
                    best = Tried { place, cost };
                    break;
                }
            }
            let change = if best.cost < before { LONGER } else { SHORTER };
            if axis != 1 {
                step_x *= change;
            }
            if axis != 0 {
                step_y *= change;
            }
        }
        best
    }
}
