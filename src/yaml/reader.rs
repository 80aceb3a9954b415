//! Takes a YAML tree apart: every value is asked for by what it should be, and everything wrong is collected.

use std::ops::RangeInclusive;

use super::{Entry, Node, Place, What};
use crate::problem::{Problem, Problems, Severity};
use crate::units::Unit;

/// Reads values and collects what is wrong with them.
#[derive(Debug)]
pub struct Reader<'a> {
    file: &'a str,
    problems: &'a mut Problems,
}

/// The entries of a map, to be taken one by one.
#[derive(Debug)]
pub struct Fields {
    /// Where the map begins.
    pub place: Place,
    entries: Vec<Entry>,
}

impl Fields {
    /// The value of this key, if it is there and not empty; it can be taken once.
    pub fn take(&mut self, key: &str) -> Option<Node> {
        let at = self.entries.iter().position(|entry| entry.key == key)?;
        let value = self.entries.remove(at).value;
        (value.what != What::Null).then_some(value)
    }

    /// The value of this key; that it is missing is a problem.
    pub fn need(&mut self, key: &str, name: &str, reader: &mut Reader) -> Option<Node> {
        let value = self.take(key);
        if value.is_none() {
            reader.wrong("missing-key", self.place, format!("{name} needs '{key}'"), String::new());
        }
        value
    }

    /// Where the key stands, if it is still there.
    pub fn place_of(&self, key: &str) -> Option<Place> {
        self.entries.iter().find(|entry| entry.key == key).map(|entry| entry.place)
    }
}

impl<'a> Reader<'a> {
    /// For this file, as the person named it.
    pub fn new(file: &'a str, problems: &'a mut Problems) -> Self {
        Self { file, problems }
    }

    /// The file, as the person named it.
    pub fn file(&self) -> &'a str {
        self.file
    }

    /// Notes that something is surely meant otherwise, but may be used.
    pub fn doubt(
        &mut self,
        code: &'static str,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        let problem = Problem::warning(code, message).in_file(self.file).hint(hint);
        self.problems.push(if place.0 == 0 { problem } else { problem.at_line(place.0, place.1) });
    }

    /// Notes that something is wrong at a place.
    pub fn wrong(
        &mut self,
        code: &'static str,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        let problem = Problem::error(code, message).in_file(self.file).hint(hint);
        self.problems.push(if place.0 == 0 { problem } else { problem.at_line(place.0, place.1) });
    }

    /// Notes that a word is not among those that are known.
    pub fn unknown(&mut self, code: &'static str, place: Place, what: &str, word: &str, known: &[&str]) {
        self.wrong(code, place, format!("'{}' is not {what}", short(word)), nearest(word, known));
    }

    /// How many errors there are by now, to see whether a reading went well.
    pub fn count(&self) -> usize {
        self.problems.iter().filter(|problem| problem.severity == Severity::Error).count()
    }

    /// Notes that a value is not what it should be.
    pub fn wrong_type(&mut self, node: &Node, name: &str, expected: &str) {
        let message = format!("'{name}' should be {expected}, but here is {}", node.what.described());
        self.wrong("wrong-type", node.place, message, String::new());
    }

    /// A map with these keys and no others.
    pub fn map(&mut self, node: Node, name: &str, known: &[&str]) -> Option<Fields> {
        let What::Map(entries) = node.what else {
            self.wrong_type(&node, name, "a map of keys and values");
            return None;
        };
        for entry in &entries {
            if !known.contains(&entry.key.as_str()) {
                let message = format!("'{}' is no key of {name}", short(&entry.key));
                self.wrong("unknown-key", entry.place, message, nearest(&entry.key, known));
            }
        }
        Some(Fields { place: node.place, entries })
    }

    /// A list.
    pub fn list(&mut self, node: Node, name: &str) -> Option<Vec<Node>> {
        if let What::List(nodes) = node.what {
            return Some(nodes);
        }
        self.wrong_type(&node, name, "a list");
        None
    }

    /// A list, or one value that stands for a list of one.
    pub fn one_or_more(&mut self, node: Node) -> Vec<Node> {
        match node.what {
            What::List(nodes) => nodes,
            _ => vec![node],
        }
    }

    /// A text; a number counts as the text it is written as.
    pub fn text(&mut self, node: Node, name: &str) -> Option<String> {
        match node.what {
            What::Text(text) => Some(text),
            What::Number(_, written) => Some(written),
            _ => {
                self.wrong_type(&node, name, "a text");
                None
            }
        }
    }

    /// A text that is not empty.
    pub fn word(&mut self, node: Node, name: &str) -> Option<String> {
        let place = node.place;
        let text = self.text(node, name)?;
        if text.trim().is_empty() {
            self.wrong("out-of-range", place, format!("'{name}' is empty"), String::new());
            return None;
        }
        Some(text.trim().to_owned())
    }

    /// Texts: a list, or one.
    pub fn words(&mut self, node: Node, name: &str) -> Vec<String> {
        self.one_or_more(node).into_iter().filter_map(|node| self.word(node, name)).collect()
    }

    /// `true` or `false`.
    pub fn flag(&mut self, node: &Node, name: &str) -> Option<bool> {
        if let What::Flag(flag) = node.what {
            return Some(flag);
        }
        self.wrong_type(node, name, "true or false");
        None
    }

    /// A number within a range.
    pub fn number(&mut self, node: &Node, name: &str, range: RangeInclusive<f64>) -> Option<f64> {
        let What::Number(number, _) = node.what else {
            self.wrong_type(node, name, "a number");
            return None;
        };
        self.within(number, node.place, name, &range, "")
    }

    /// A whole number within a range.
    pub fn whole(&mut self, node: &Node, name: &str, range: RangeInclusive<u32>) -> Option<u32> {
        match node.what {
            What::Number(number, _) if number.fract() == 0.0 => {
                let wide = f64::from(*range.start())..=f64::from(*range.end());
                self.within(number, node.place, name, &wide, "").map(|number| number as u32)
            }
            _ => {
                self.wrong_type(node, name, "a whole number");
                None
            }
        }
    }

    /// A length in millimetres within a range: a number in `unit`, or a text such as `3/32 inch` or `2.5 mm`.
    pub fn length(
        &mut self,
        node: &Node,
        name: &str,
        unit: Unit,
        range_mm: RangeInclusive<f64>,
    ) -> Option<f64> {
        let length = match &node.what {
            What::Number(number, _) => millimetres(*number, unit),
            What::Text(text) => {
                let Some(length) = parse_length(text, unit) else {
                    let hint = "write a number, or a number and a unit, such as 2.5, 2.5 mm or 3/32 inch";
                    let message = format!("'{name}' should be a length, but here is '{}'", short(text));
                    self.wrong("wrong-type", node.place, message, hint);
                    return None;
                };
                length
            }
            _ => {
                self.wrong_type(node, name, "a length");
                return None;
            }
        };
        self.within(length, node.place, name, &range_mm, " mm")
    }

    fn within(
        &mut self,
        number: f64,
        place: Place,
        name: &str,
        range: &RangeInclusive<f64>,
        unit: &str,
    ) -> Option<f64> {
        if range.contains(&number) {
            return Some(number);
        }
        let (least, most) = (range.start(), range.end());
        let message = format!("'{name}' is {}{unit}", shown(number));
        let hint = format!("it should be a number from {least} to {most}{unit}");
        self.wrong("out-of-range", place, message, hint);
        None
    }
}

impl What {
    /// What it is, in words that follow "here is".
    fn described(&self) -> String {
        match self {
            Self::Null => "nothing".to_owned(),
            Self::Flag(flag) => format!("'{flag}'"),
            Self::Number(number, _) => format!("the number {}", shown(*number)),
            Self::Text(text) => format!("the text '{}'", short(text)),
            Self::List(_) => "a list".to_owned(),
            Self::Map(_) => "a map of keys and values".to_owned(),
        }
    }
}

/// A number as people write it, also where it is absurd.
fn shown(number: f64) -> String {
    if number.is_nan() {
        "not a number".to_owned()
    } else if number.abs() >= 1e9 {
        format!("{number:e}")
    } else {
        number.to_string()
    }
}

/// No more of a text than a message has room for.
fn short(text: &str) -> String {
    const MOST: usize = 40;
    if text.chars().count() <= MOST {
        return text.to_owned();
    }
    text.chars().take(MOST).chain("…".chars()).collect()
}

/// The hint for a name that is not among the known ones: the nearest, where one is near, else all of them.
pub(crate) fn nearest(name: &str, known: &[&str]) -> String {
    let name: String = name.chars().take(64).flat_map(char::to_lowercase).collect();
    let best = known
        .iter()
        .map(|&word| (strsim::jaro_winkler(&name, word), word))
        .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(a.1)));
    match best {
        Some((likeness, word)) if likeness >= 0.75 => format!("did you mean '{word}'?"),
        _ => format!("known are: {}", known.join(", ")),
    }
}

/// A length such as `2.5`, `2.5 mm`, `3/32 inch` or `1 1/2 inch`, in millimetres; `unit` where the text names none.
pub(crate) fn parse_length(text: &str, unit: Unit) -> Option<f64> {
    let text = text.trim();
    let end = text.find(|c: char| c.is_alphabetic()).unwrap_or(text.len());
    let (number, name) = text.split_at(end);
    let unit = if name.is_empty() { unit } else { name.parse().ok()? };
    let mut words = number.split_whitespace();
    let first = quotient(words.next()?)?;
    let second = match words.next() {
        Some(word) if word.contains('/') && first.fract() == 0.0 => quotient(word)?,
        Some(_) => return None,
        None => 0.0,
    };
    words.next().is_none().then_some(millimetres(first + second, unit))
}

/// A length in millimetres, without the dust of the conversion: 3/16 inch is 4.7625 mm.
fn millimetres(number: f64, unit: Unit) -> f64 {
    const BILLION: f64 = 1e9;
    let length = number * unit.millimetres();
    if length.abs() < 1e6 { (length * BILLION).round() / BILLION } else { length }
}

/// A number, or one number over another.
fn quotient(text: &str) -> Option<f64> {
    match text.split_once('/') {
        Some((over, under)) => Some(over.trim().parse::<f64>().ok()? / under.trim().parse::<f64>().ok()?),
        None => text.parse().ok(),
    }
}
