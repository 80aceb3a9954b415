//! One sheet of free length, as short as can be.

use super::dice::Dice;
use super::line::{Best, Goal, Proposal, Score};
use super::separate::Patience;
use super::state::{Item, Model, Place, Size, State};

/// The share of the budget in which large steps are taken; the rest squeezes.
const EXPLORE: f64 = 0.8;

/// How much shorter the strip is made once everything found its place.
const STEP: f64 = 0.01;

/// By how much it is squeezed: first, and at last.
const SQUEEZE: (f64, f64) = (0.0005, 0.00001);

/// The share of the strip that the pieces take to begin with.
const LOOSE: f64 = 0.6;

const EXPLORING: Patience = Patience { rounds: 200, strikes: 3 };
const SQUEEZING: Patience = Patience { rounds: 100, strikes: 5 };

/// The shortest strip.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shortest;

impl Goal for Shortest {
    fn score(&self, state: &State) -> Score {
        (0.0, state.reach(0))
    }

    fn propose(&self, best: &Best, _: usize, gone: f64, _: &Model, dice: &mut Dice) -> Option<Proposal> {
        let length = best.score.1;
        let exploring = gone < EXPLORE;
        let late = ((gone - EXPLORE) / (1.0 - EXPLORE)).clamp(0.0, 1.0);
        let step = if exploring { STEP } else { SQUEEZE.0 + (SQUEEZE.1 - SQUEEZE.0) * late };
        let sizes = vec![Size { length: length * (1.0 - step), ..best.sizes[0] }];
        let split = (!exploring).then(|| (0, dice.fraction() * length));
        let (patience, shakes) = if exploring { (EXPLORING, usize::MAX) } else { (SQUEEZING, 0) };
        Some(Proposal { sizes, split, patience, shakes })
    }

    fn enlarge(&self, sizes: &[Size]) -> Vec<Size> {
        vec![Size { length: sizes[0].length * 1.1, ..sizes[0] }]
    }

    fn still(&self, then: f64, now: f64) -> bool {
        (then < EXPLORE) == (now < EXPLORE)
    }
}

/// Pieces strewn over a strip that is long enough.
pub(super) fn strewn(model: &Model, width: f64, dice: &mut Dice) -> State {
    let shape = |item: &Item| &model.shapes[item.ways[0]];
    let area: f64 = model.items.iter().map(|item| shape(item).area).sum();
    let longest = model.shapes.iter().map(|shape| shape.width).fold(0.0, f64::max);
    let length = (area / width / LOOSE).max(longest);
    let place = |item: &Item| {
        let (x, y) = (dice.between(0.0, length), dice.between(0.0, width));
        Place { bin: 0, shape: item.ways[dice.below(item.ways.len())], x, y }
    };
    let places = model.items.iter().map(place).collect();
    State::new(model, vec![Size { length, width, stock: Some(0), zones: 0, quality: 0 }], places)
}
