//! Out of where no single change gains: stretches change places, the way around them is mended, and what is no longer
//! than before is kept.

use super::{NOWHERE, Tour};

/// Stretches of up to so many stops change places when the way is shaken anywhere.
const SHAKEN: usize = 50;

/// Stops near each other are so far apart in the order at most when the way is shaken between them.
const FAR: usize = 1000;

/// One shake of so many is anywhere on the way, the others are between stops near each other.
const ANYWHERE: usize = 2;

/// Where the dice begin: any number, the same always.
const SEED: u64 = 0x5EED;

impl Tour<'_> {
    /// Again and again changes places of two stretches that follow each other, mends the way around them, and keeps what
    /// is no longer than before, until so many changes have been looked at.
    pub(in super::super) fn shake(&mut self, tries: usize) {
        let mut dice = Dice(SEED);
        let mut kept = self.visits.clone();
        let last = self.tries + tries;
        while self.tries < last {
            self.tries += 1;
            (self.gained, self.changed) = (0.0, NOWHERE);
            if !self.swap(&mut dice) {
                continue;
            }
            self.improve();
            let range = self.changed.clone();
            if self.gained >= 0.0 {
                kept[range.clone()].copy_from_slice(&self.visits[range]);
            } else {
                self.visits[range.clone()].copy_from_slice(&kept[range.clone()]);
                self.note(range);
            }
        }
    }

    /// Where two stretches that follow each other begin and end: between three stops near each other, or anywhere.
    fn two_stretches(&self, dice: &mut Dice) -> Option<[usize; 3]> {
        let (count, stop) = (self.visits.len(), dice.below(self.stops.len()));
        if dice.below(ANYWHERE) == 0 {
            let first = stop.min(count - 2);
            let middle = first + 1 + dice.below(SHAKEN.min(count - first - 1));
            return Some([first, middle, (middle + 1 + dice.below(SHAKEN)).min(count)]);
        }
        let near = &self.neighbours[stop];
        let one = |dice: &mut Dice| near.get(dice.below(near.len().max(1))).map(|n| self.at[n.1] + 1);
        let mut places = [self.at[stop] + 1, one(dice)?, one(dice)?];
        places.sort_unstable();
        (places[2] - places[0] <= FAR).then_some(places)
    }

    /// Two stretches that follow each other change places, where the rules allow.
    fn swap(&mut self, dice: &mut Dice) -> bool {
        let Some([first, middle, to]) = self.two_stretches(dice) else { return false };
        if first >= middle || middle >= to || !self.may_move(first, middle - 1, to) {
            return false;
        }
        let ends = |tour: &Self, middle: usize| tour.step(first) + tour.step(middle) + tour.step(to);
        let old = ends(self, middle);
        self.shift(first, middle - 1, to);
        let middle = first + to - middle;
        self.gained += old - ends(self, middle);
        self.look_again(&[first, middle, to]);
        true
    }
}

/// Numbers that look like chance and are the same on every machine: Knuth's multiplier (The Art of Computer Programming,
/// volume 2, section 3.3.4, table 1: line 26, from memory).
struct Dice(u64);

impl Dice {
    /// A whole number below `limit`, which is at least 1.
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % limit
    }
}
