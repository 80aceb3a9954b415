//! The search from its start to the end of its budget.

use super::budget::Budget;
use super::dice::Dice;
use super::line::{Best, Goal, Line};
use super::state::{Model, State};

/// How much is tried before the budget is looked at again, at most: a tenth of a second or so.
const SPELL: u64 = 200_000;

/// And at most this share of the budget, so that phases begin and end about when they should.
const SPELL_SHARE: f64 = 0.01;

/// Searches until the budget is spent or nothing is left to try; tells how many sheets the best layout so far takes.
pub(super) fn run(
    model: &Model,
    start: &State,
    goal: &dyn Goal,
    budget: &mut Budget<'_>,
    seed: u64,
) -> Option<Best> {
    let mut line = Line::new(model, start.clone(), Dice::new(seed));
    let spell = SPELL.min((budget.most() as f64 * SPELL_SHARE) as u64).max(1);
    while !line.done {
        let gone = budget.gone();
        if gone >= 1.0 {
            break;
        }
        let tried = line.go_on(goal, spell, gone);
        budget.spend(tried.max(1));
        if let Some(best) = &line.best {
            budget.tell(best.sizes.iter().filter(|size| size.stock.is_some()).count(), gone);
        }
    }
    line.best
}
