//! Overlaps taken apart: guided local search. What overlaps is moved to better places, and what goes on overlapping comes
//! to weigh more, until nothing overlaps (C. Voudouris and E. Tsang, "Guided local search", 1999; for cutting: J. Egeblad,
//! B. Nielsen, A. Odgaard, 2007; S. Umetani and others, 2009; J. Gardeyn and others, arXiv 2509.13329).

use rayon::prelude::*;

use super::dice::Dice;
use super::place::{Looking, Pains};
use super::state::{Model, Place, State, Weights};

/// When to give up.
#[derive(Clone, Copy, Debug)]
pub(super) struct Patience {
    /// Rounds without anything better before a strike.
    pub(super) rounds: usize,
    /// Strikes before giving up.
    pub(super) strikes: usize,
}

/// A round that brings the overlap below this share of the least so far is real progress.
const PROGRESS: f64 = 0.98;

/// What has come of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// Nothing overlaps.
    Apart,
    /// Given up; the state is the one with the least overlap that was met.
    Stuck,
    /// The allowance is spent; to be gone on with.
    Paused,
}

/// How many move pieces at once, each by its own dice; the best of what they make goes on. The same on any number of
/// threads.
const WORKERS: usize = 2;

/// One who moves pieces.
#[derive(Debug)]
struct Worker {
    state: State,
    dice: Dice,
    tried: u64,
    /// What all overlap weighs once it has moved what it could.
    left: f64,
}

/// Takes overlaps apart.
#[derive(Debug)]
pub(super) struct Separator<'m> {
    pub(super) model: &'m Model,
    pub(super) state: State,
    pub(super) dice: Dice,
    weights: Weights,
    workers: Vec<Worker>,
    pains: Pains,
    least: f64,
    /// The least overlap when the present stretch began.
    start: f64,
    best: Vec<Place>,
    idle: usize,
    strikes: usize,
}

impl<'m> Separator<'m> {
    pub(super) fn new(model: &'m Model, state: State, mut dice: Dice) -> Self {
        let worker = |_| Worker { state: state.clone(), dice: dice.split(), tried: 0, left: 0.0 };
        let workers = (0..WORKERS).map(worker).collect();
        let weights = Weights::new(model.items.len());
        let pains = Pains { far: 50, near: 25, improved: 3 };
        let (least, best) = (state.overlap(), state.places.clone());
        Self { model, state, dice, weights, workers, pains, least, start: least, best, idle: 0, strikes: 0 }
    }

    /// Begins anew with the state as it is now.
    pub(super) fn begin(&mut self) {
        self.weights.reset();
        self.least = self.state.overlap();
        self.start = self.least;
        self.best.copy_from_slice(&self.state.places);
        (self.idle, self.strikes) = (0, 0);
    }

    /// Moves pieces until nothing overlaps, or until `allowance` has been tried, which it takes off.
    pub(super) fn go_on(&mut self, patience: Patience, allowance: &mut u64) -> Outcome {
        while self.least > 0.0 {
            if *allowance == 0 {
                return Outcome::Paused;
            }
            let tried = self.round(*allowance);
            *allowance = allowance.saturating_sub(tried.max(1));
            self.note();
            if self.idle >= patience.rounds {
                self.strikes =
                    if self.least < self.start * PROGRESS { self.strikes } else { self.strikes + 1 };
                (self.idle, self.start) = (0, self.least);
                self.state.restore(&self.best, self.model);
                if self.strikes >= patience.strikes {
                    return Outcome::Stuck;
                }
            }
        }
        Outcome::Apart
    }

    /// Looks how much overlap is left.
    fn note(&mut self) {
        let overlap = self.state.overlap();
        self.idle = if overlap < self.least * PROGRESS { 0 } else { self.idle + 1 };
        if overlap < self.least {
            self.least = overlap;
            self.best.copy_from_slice(&self.state.places);
        }
        if overlap > 0.0 {
            self.weights.update(&self.state);
        }
    }

    /// Every worker moves all that overlaps once, or until it has tried that much, and the best of what they make of it goes
    /// on; how much was tried.
    fn round(&mut self, most: u64) -> u64 {
        let (model, state, weights, pains) = (self.model, &self.state, &self.weights, self.pains);
        self.workers.par_iter_mut().for_each(|worker| {
            worker.state.clone_from(state);
            worker.round(model, weights, pains, most);
        });
        let least = self.workers.iter().map(|worker| worker.left).fold(f64::INFINITY, f64::min);
        if let Some(best) = self.workers.iter_mut().find(|worker| worker.left <= least) {
            std::mem::swap(&mut self.state, &mut best.state);
        }
        self.workers.iter().map(|worker| worker.tried).sum()
    }
}

impl Worker {
    fn round(&mut self, model: &Model, weights: &Weights, pains: Pains, most: u64) {
        let caught = |i: &usize| self.state.is_caught(*i) && !model.items[*i].fast;
        let mut items: Vec<usize> = (0..model.items.len()).filter(caught).collect();
        self.dice.shuffle(&mut items);
        self.tried = 0;
        for item in items {
            if self.tried >= most {
                break;
            }
            if !self.state.is_caught(item) {
                continue;
            }
            let (state, dice) = (&self.state, &mut self.dice);
            let mut looking = Looking { state, model, weights, dice, item, tried: 0 };
            let found = looking.best(pains);
            self.tried += looking.tried;
            if let Some(found) = found {
                self.state.put(item, found.place, model);
            }
        }
        self.left = self.state.weighted(weights);
    }
}
