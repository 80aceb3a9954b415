//! The search's way from one layout to a better one: it takes proposals of smaller sheets from its goal, and takes the
//! pieces apart in them.

use super::dice::Dice;
use super::separate::{Outcome, Patience, Separator};
use super::state::{Model, Place, Size, State};

/// How good a layout is, the less the better: what its sheets cost, then how far the last one is used.
pub(super) type Score = (f64, f64);

/// A layout without overlaps.
#[derive(Clone, Debug)]
pub(super) struct Best {
    pub(super) score: Score,
    pub(super) sizes: Vec<Size>,
    pub(super) places: Vec<Place>,
}

/// Sizes to be tried.
#[derive(Clone, Debug)]
pub(super) struct Proposal {
    pub(super) sizes: Vec<Size>,
    /// A bin, and where in it: what lies beyond is shifted with its end.
    pub(super) split: Option<(usize, f64)>,
    pub(super) patience: Patience,
    /// How often, when stuck, two large pieces are swapped for another try.
    pub(super) shakes: usize,
}

/// What is sought.
pub(super) trait Goal: Sync {
    /// How good a state without overlaps is.
    fn score(&self, state: &State) -> Score;
    /// What to try next, given the best so far, how many proposals failed since it was found, and how much of the budget
    /// has gone; none where there is nothing left to try.
    fn propose(
        &self,
        best: &Best,
        failed: usize,
        gone: f64,
        model: &Model,
        dice: &mut Dice,
    ) -> Option<Proposal>;
    /// Sizes to try where there is no layout yet and these were too small.
    fn enlarge(&self, sizes: &[Size]) -> Vec<Size>;
    /// Whether what was proposed when so much had gone is still worth it now.
    fn still(&self, then: f64, now: f64) -> bool;
}

/// A state that could not be taken apart, and how much overlap was left.
type Stuck = (f64, Vec<Place>);

/// Some of the worst are forgotten beyond so many.
const MOST_STUCK: usize = 64;

/// One line of search.
#[derive(Debug)]
pub(super) struct Line<'m> {
    separator: Separator<'m>,
    pub(super) best: Option<Best>,
    /// What is being tried; none before anything was.
    trying: Option<Proposal>,
    /// How much had gone when it was proposed.
    since: f64,
    stuck: Vec<Stuck>,
    failed: usize,
    /// Whether there is nothing left to try.
    pub(super) done: bool,
}

/// Patience with the first state, before which there is no layout at all.
const FIRST: Patience = Patience { rounds: 200, strikes: 3 };

impl<'m> Line<'m> {
    /// A line that begins with this state, which may have overlaps.
    pub(super) fn new(model: &'m Model, state: State, dice: Dice) -> Self {
        let separator = Separator::new(model, state, dice);
        Self { separator, best: None, trying: None, since: 0.0, stuck: Vec::new(), failed: 0, done: false }
    }

    /// Goes on until so many places have been tried.
    pub(super) fn go_on(&mut self, goal: &dyn Goal, mut allowance: u64, gone: f64) -> u64 {
        let most = allowance;
        if self.trying.is_some() && !goal.still(self.since, gone) {
            self.failed = 0;
            self.next(goal, gone);
        }
        while allowance > 0 && !self.done {
            let patience = self.trying.as_ref().map_or(FIRST, |trying| trying.patience);
            match self.separator.go_on(patience, &mut allowance) {
                Outcome::Paused => break,
                Outcome::Apart => self.keep(goal, gone),
                Outcome::Stuck => self.shake_or_next(goal, gone),
            }
        }
        most - allowance
    }

    fn keep(&mut self, goal: &dyn Goal, gone: f64) {
        let state = &self.separator.state;
        let score = goal.score(state);
        if self.best.as_ref().is_none_or(|best| score < best.score) {
            self.best = Some(Best { score, sizes: state.sizes.clone(), places: state.places.clone() });
            self.failed = 0;
        } else {
            self.failed += 1;
        }
        self.next(goal, gone);
    }

    /// Begins with the next proposal.
    fn next(&mut self, goal: &dyn Goal, gone: f64) {
        self.stuck.clear();
        let Separator { model, state, dice, .. } = &mut self.separator;
        let Some(best) = &self.best else { return };
        let Some(proposal) = goal.propose(best, self.failed, gone, model, dice) else {
            self.done = true;
            return;
        };
        state.sizes.copy_from_slice(&best.sizes);
        state.places.copy_from_slice(&best.places);
        state.resize(&proposal.sizes, proposal.split, model, dice);
        self.trying = Some(proposal);
        self.since = gone;
        self.done = false;
        self.separator.begin();
    }

    fn shake_or_next(&mut self, goal: &dyn Goal, gone: f64) {
        if self.best.is_none() {
            let Separator { model, state, dice, .. } = &mut self.separator;
            let sizes = goal.enlarge(&state.sizes);
            state.resize(&sizes, None, model, dice);
            self.separator.begin();
            return;
        }
        if self.trying.as_ref().is_some_and(|trying| self.stuck.len() < trying.shakes) {
            let overlap = self.separator.state.overlap();
            let at = self.stuck.partition_point(|(other, _)| *other <= overlap);
            self.stuck.insert(at, (overlap, self.separator.state.places.clone()));
            self.stuck.truncate(MOST_STUCK);
            self.shake();
        } else {
            self.failed += 1;
            self.next(goal, gone);
        }
    }

    /// Goes on from one of the stuck states, the better the likelier, with two large pieces swapped.
    fn shake(&mut self) {
        let Separator { model, state, dice, .. } = &mut self.separator;
        let (a, b) = (dice.fraction(), dice.fraction());
        let pick = (a.min(b) * a * self.stuck.len() as f64) as usize;
        state.restore(&self.stuck[pick.min(self.stuck.len() - 1)].1, model);
        if let Some((a, b)) = two_large(model, dice) {
            swap(state, model, a, b);
        }
        self.separator.begin();
    }
}

/// Two different pieces of the largest third.
fn two_large(model: &Model, dice: &mut Dice) -> Option<(usize, usize)> {
    let mut large: Vec<usize> =
        (0..model.items.len()).filter(|&i| !model.items[i].fast && model.items[i].tied.is_none()).collect();
    let heavy = |i: usize| model.shapes[model.items[i].ways[0]].heavy;
    large.sort_by(|&a, &b| heavy(b).total_cmp(&heavy(a)));
    large.truncate((large.len() / 3).max(2));
    let one = *large.get(dice.below(large.len()))?;
    large.retain(|&i| model.items[i].ways[0] != model.items[one].ways[0]);
    Some((one, *large.get(dice.below(large.len()))?))
}

/// Lays each of two pieces where the other lay, middle on middle, as far as they fit there.
fn swap(state: &mut State, model: &Model, a: usize, b: usize) {
    let (at_a, at_b) = (state.places[a], state.places[b]);
    let moved = |own: Place, there: Place| {
        let (shape, other) = (&model.shapes[own.shape], &model.shapes[there.shape]);
        state.sizes[there.bin].play(shape).map_or(own, |_| Place {
            bin: there.bin,
            shape: own.shape,
            x: there.x + (other.width - shape.width) / 2.0,
            y: there.y + (other.height - shape.height) / 2.0,
        })
    };
    (state.places[a], state.places[b]) = (moved(at_a, at_b), moved(at_b, at_a));
    state.rebuild(model);
}
