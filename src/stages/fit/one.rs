//! One dimension against others, and a part brought to it.

use super::bench::Bench;
use super::{Row, Verdict, adjust};
use crate::problem::Problem;
use crate::stages::job::fit::{Adjust, Fit, Target, Term};
use crate::stages::part::Part;

impl Bench<'_> {
    /// A row for every part that the dimension is of.
    pub(super) fn one(&mut self, fit: &Fit, term: &Term) -> Vec<Row> {
        let Some(pattern) = term.part() else {
            self.wrong(fit, "fit-part", "what has to fit is no dimension of a part", "");
            return Vec::new();
        };
        let parts = self.named(&[pattern.to_owned()], fit);
        parts.into_iter().filter_map(|part| self.against(fit, term, part)).collect()
    }

    fn against(&mut self, fit: &Fit, term: &Term, part: usize) -> Option<Row> {
        let is_mm = self.size(term, Some(part), fit)?;
        let should = match fit.built_mm {
            Some(built) => built,
            None => self.sum(&fit.should, fit)?,
        };
        let should_mm = should - self.sum(&fit.less, fit)? - fit.play_mm;
        let mut row = self.row(fit, fit.name.clone(), part, (should_mm, is_mm));
        if row.verdict != Verdict::Fits
            && let Some(how) = fit.adjust
        {
            self.adjust(&mut row, fit, (term, how), part);
        }
        Some(row)
    }

    fn sum(&mut self, terms: &[Term], fit: &Fit) -> Option<f64> {
        terms.iter().try_fold(0.0, |sum, term| Some(sum + self.size(term, None, fit)?))
    }

    /// Brings a part to size; what keeps it from that is told.
    fn adjust(&mut self, row: &mut Row, fit: &Fit, (term, how): (&Term, Adjust), part: usize) {
        let by = row.should_mm - row.is_mm;
        let here = &self.parts[part];
        let moved = match (term, how) {
            (Term::Between(_, from, Target::Edge(to), None), Adjust::Beyond(point)) => {
                adjust::moved(here, (*from, *to), point, by)
            }
            (Term::Slot(_, at), Adjust::Walls) => adjust::widened(here, *at, by),
            _ => Err("a point beyond which all moves is for two edges, 'true' for a slot"),
        };
        match moved {
            Ok(moved) => {
                // A slot made to the wood is what the plan means; a part of another size is not, and says so.
                let id = match how {
                    Adjust::Beyond(_) => format!("{} {by:+.2}", here.id),
                    Adjust::Walls => here.id.clone(),
                };
                let message = format!(
                    "'{}': part '{}' is brought from {:.2} to {:.2} mm and marked '{id}'",
                    fit.name, here.id, row.is_mm, row.should_mm
                );
                let told = Problem::note("fit-adjusted", message).of_part(&here.id);
                self.problems.push(self.job.placed(told, fit.line));
                self.parts[part] = Part { id, ..moved };
                row.verdict = Verdict::Adjusted;
            }
            Err(why) => {
                let message = format!("part '{}' cannot be brought to size: {why}", here.id);
                let hint = "only straight edges that run along the dimension can grow or shrink";
                self.wrong_with(fit, part, "fit-adjust", &message, hint);
            }
        }
    }
}
