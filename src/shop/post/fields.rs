//! Takes a tree of YAML apart: each key once, of the right kind and within its range, or a problem that says where.

use std::ops::RangeInclusive;

use super::tree::{Key, Node, Place, Value};
use crate::problem::{Problem, Problems};

/// How near a name must be (Jaro-Winkler, 0 to 1) to be offered as what was meant; below it suggestions are noise.
const NEAR: f64 = 0.7;

/// A mapping being taken apart.
pub(super) struct Fields<'n, 'p> {
    entries: &'n [(Key, Node)],
    place: &'n Place,
    /// Where it stands, such as `line` or `numbers`; empty at the top.
    path: String,
    pub(super) problems: &'p mut Problems,
}

/// The nearest of `known` to `name`, where one is near at all.
pub(super) fn nearest<'k>(name: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let scored =
        known.into_iter().map(|k| (strsim::jaro_winkler(name, k), k)).filter(|(near, _)| *near >= NEAR);
    scored.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, k)| k)
}

/// A problem of a post, at a place.
pub(super) fn problem(code: &'static str, place: &Place, message: impl Into<String>) -> Problem {
    Problem::error(code, message).in_file(&*place.file).at_line(place.line, place.column)
}

impl<'n, 'p> Fields<'n, 'p> {
    /// The mapping `node`, whose keys have to be among `known`.
    pub(super) fn of(node: &'n Node, path: &str, known: &[&str], problems: &'p mut Problems) -> Option<Self> {
        let Value::Map(entries) = &node.value else {
            problems.push(problem("post-value", &node.place, format!("{path} has to hold keys and values")));
            return None;
        };
        for (key, _) in entries {
            if !known.contains(&key.name.as_str()) {
                problems.push(unknown(key, path, known));
            }
        }
        Some(Self { entries, place: &node.place, path: path.to_owned(), problems })
    }

    /// Where the mapping stands.
    pub(super) fn place(&self) -> &'n Place {
        self.place
    }

    fn named(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    /// The value of a key that may be missing.
    pub(super) fn maybe(&self, key: &str) -> Option<&'n Node> {
        self.entries.iter().find(|(known, _)| known.name == key).map(|(_, node)| node)
    }

    /// The value of a key that has to be there.
    pub(super) fn need(&mut self, key: &str) -> Option<&'n Node> {
        let found = self.maybe(key);
        if found.is_none() {
            let message = format!("'{}' is missing", self.named(key));
            let hint = "say it here, or extend a post that does";
            self.problems.push(problem("post-key-missing", self.place, message).hint(hint));
        }
        found
    }

    fn wrong<T>(&mut self, key: &str, place: &Place, wanted: &str) -> Option<T> {
        let message = format!("'{}' has to be {wanted}", self.named(key));
        self.problems.push(problem("post-value", place, message));
        None
    }

    /// Another mapping.
    pub(super) fn inner(&mut self, key: &str, known: &[&str]) -> Option<Fields<'n, '_>> {
        let node = self.need(key)?;
        let path = self.named(key);
        Fields::of(node, &path, known, self.problems)
    }

    fn scalar(&mut self, key: &str) -> Option<(&'n str, &'n Place)> {
        let node = self.need(key)?;
        match &node.value {
            Value::Scalar(text) => Some((text, &node.place)),
            _ => self.wrong(key, &node.place, "one value"),
        }
    }

    /// Text.
    pub(super) fn text(&mut self, key: &str) -> Option<String> {
        self.scalar(key).map(|(text, _)| text.to_owned())
    }

    /// Text that `good` accepts.
    pub(super) fn text_that(
        &mut self,
        key: &str,
        wanted: &str,
        good: impl Fn(&str) -> bool,
    ) -> Option<String> {
        let (text, place) = self.scalar(key)?;
        if good(text) { Some(text.to_owned()) } else { self.wrong(key, place, wanted) }
    }

    /// One of a few words.
    pub(super) fn choice<T: Copy>(&mut self, key: &str, choices: &[(&str, T)]) -> Option<T> {
        let (text, place) = self.scalar(key)?;
        if let Some((_, value)) = choices.iter().find(|(name, _)| *name == text) {
            return Some(*value);
        }
        let names: Vec<&str> = choices.iter().map(|(name, _)| *name).collect();
        self.wrong(key, place, &format!("one of: {}", names.join(", ")))
    }

    /// True or false.
    pub(super) fn truth(&mut self, key: &str) -> Option<bool> {
        self.choice(key, &[("true", true), ("false", false)])
    }

    /// A whole number within a range.
    pub(super) fn whole(&mut self, key: &str, range: RangeInclusive<usize>) -> Option<usize> {
        let (text, place) = self.scalar(key)?;
        match text.parse::<usize>() {
            Ok(value) if range.contains(&value) => Some(value),
            _ => self.wrong(key, place, &format!("a whole number from {} to {}", range.start(), range.end())),
        }
    }

    /// A number within a range.
    pub(super) fn number(&mut self, key: &str, range: RangeInclusive<f64>) -> Option<f64> {
        let (text, place) = self.scalar(key)?;
        match text.parse::<f64>() {
            Ok(value) if range.contains(&value) => Some(value),
            _ => self.wrong(key, place, &format!("a number from {} to {}", range.start(), range.end())),
        }
    }

    /// A list; a single value counts as a list of one.
    pub(super) fn list(&mut self, key: &str) -> Option<&'n [Node]> {
        let node = self.need(key)?;
        Some(match &node.value {
            Value::List(items) => items,
            _ => std::slice::from_ref(node),
        })
    }

    /// A list of texts.
    pub(super) fn texts(&mut self, key: &str) -> Option<Vec<String>> {
        let mut texts = Vec::new();
        for item in self.list(key)? {
            match &item.value {
                Value::Scalar(text) => texts.push(text.clone()),
                _ => return self.wrong(key, &item.place, "a list of plain values"),
            }
        }
        Some(texts)
    }
}

fn unknown(key: &Key, path: &str, known: &[&str]) -> Problem {
    let place = if path.is_empty() { "a post".to_owned() } else { format!("'{path}'") };
    let told = problem("post-key-unknown", &key.place, format!("'{}' is not a key of {place}", key.name));
    match nearest(&key.name, known.iter().copied()) {
        Some(near) => told.hint(format!("did you mean '{near}'?")),
        None => told.hint(format!("it takes: {}", known.join(", "))),
    }
}
