//! One record of the file: an entity, a layer, a header; and what can be asked of it.

use super::letters::Letters;
use super::pair::{BadNumber, Pair, shortened};
use crate::problem::Problem;
use crate::stages::drawing::talk::Talk;

/// A name after code 0 and all pairs up to the next.
#[derive(Debug, Default)]
pub(super) struct Record<'a> {
    pub(super) name: String,
    pub(super) place: usize,
    pub(super) fields: Vec<Pair<'a>>,
}

/// Why an entity cannot be used.
#[derive(Debug)]
pub(super) struct Fault {
    pub(super) place: usize,
    pub(super) what: String,
    pub(super) absurd: bool,
}

impl Fault {
    pub(super) fn new(place: usize, what: impl Into<String>) -> Self {
        Self { place, what: what.into(), absurd: false }
    }

    /// A bad number of this code.
    pub(super) fn number(pair: &Pair, bad: &BadNumber) -> Self {
        let code = pair.code;
        let what = match bad {
            BadNumber::Empty => format!("the number of code {code} is missing"),
            BadNumber::Not(text) => format!("'{text}' is no number of code {code}"),
            BadNumber::Absurd(text) => format!("'{text}' is no finite number (code {code})"),
        };
        Self { place: pair.place, what, absurd: matches!(bad, BadNumber::Absurd(_)) }
    }

    /// The problem, for an entity of this kind that is left out.
    pub(super) fn problem(&self, kind: &str) -> Problem {
        let message = format!("a {kind} was left out: {}", self.what);
        if self.absurd {
            Problem::error("absurd-number", message).hint("correct or delete the entity in the drawing")
        } else {
            Problem::warning("broken-entity", message)
                .hint("correct or delete the entity in the drawing; what it draws is missing")
        }
    }
}

impl<'a> Record<'a> {
    /// Drops what belongs to no field that is read: extended data, groups of references, embedded objects.
    pub(super) fn trim(&mut self) {
        let mut end = self.fields.len();
        let mut in_group = false;
        let mut kept = 0;
        for i in 0..self.fields.len() {
            let pair = self.fields[i];
            let xrecord = pair.code == 100 && pair.raw().trim_ascii() == b"AcDbXrecord";
            if pair.code == 101 || pair.code >= 1000 || xrecord {
                end = kept;
                break;
            }
            if pair.code == 102 {
                in_group = pair.raw().trim_ascii().starts_with(b"{");
                continue;
            }
            if !in_group {
                self.fields[kept] = pair;
                kept += 1;
            }
        }
        self.fields.truncate(kept.min(end));
    }

    /// The first field of this code.
    pub(super) fn first(&self, code: i32) -> Option<&Pair<'a>> {
        self.fields.iter().find(|pair| pair.code == code)
    }

    /// The number of this code; none where the field is missing.
    pub(super) fn real(&self, code: i32) -> Result<Option<f64>, Fault> {
        self.first(code).map(|pair| pair.real().map_err(|bad| Fault::number(pair, &bad))).transpose()
    }

    /// The number of this code, which must be there.
    pub(super) fn needed(&self, code: i32) -> Result<f64, Fault> {
        self.real(code)?.ok_or_else(|| Fault::new(self.place, format!("it has no code {code}")))
    }

    /// The integer of this code; one that cannot be read is told and passed over.
    pub(super) fn whole(&self, code: i32, talk: &mut Talk) -> Option<i64> {
        let pair = self.first(code)?;
        match pair.whole() {
            Ok(number) => Some(number),
            Err(bad) => {
                talk.push_at(pair.place, spoilt(&self.name, &Fault::number(pair, &bad).what));
                None
            }
        }
    }

    /// A height or elevation: one that cannot be read is told and taken as 0, as everything that is cut lies flat.
    pub(super) fn level(&self, pair: &Pair, talk: &mut Talk) -> Result<f64, Fault> {
        match pair.real() {
            Ok(number) => Ok(number),
            Err(bad @ BadNumber::Absurd(_)) => Err(Fault::number(pair, &bad)),
            Err(bad) => {
                talk.push_at(pair.place, spoilt(&self.name, &Fault::number(pair, &bad).what));
                Ok(0.0)
            }
        }
    }

    /// The text of this code.
    pub(super) fn text(&self, code: i32, letters: &mut Letters, talk: &mut Talk) -> Option<String> {
        let pair = *self.first(code)?;
        Some(letters.decode(pair.raw(), pair.place, talk))
    }

    /// Tells of fields that stand twice with different values; the first one counts.
    pub(super) fn tell_doubles(&self, codes: &[i32], talk: &mut Talk) {
        for code in codes {
            let mut same = self.fields.iter().filter(|pair| pair.code == *code);
            let first = same.next();
            if let (Some(first), Some(second)) =
                (first, same.find(|pair| Some(pair.value) != first.map(|f| f.value)))
            {
                let message = format!(
                    "a {} has code {code} twice: '{}' counts, not '{}'",
                    self.name,
                    shortened(&first.word()),
                    shortened(&second.word())
                );
                talk.push_at(second.place, Problem::warning("doubled-field", message));
            }
        }
    }
}

fn spoilt(name: &str, what: &str) -> Problem {
    Problem::warning("spoilt-field", format!("a {name} has a spoilt field, which was passed over: {what}"))
        .hint("check the outline at this place against the drawing")
}
