//! YAML that knows where each of its values stands, so that every problem can name its line and column.
//!
//! What a text means is decided by `serde_yaml`; where it stands is told by `saphyr-parser`, and the two are laid over
//! each other. [`Reader`] then takes the tree apart and collects everything that is wrong with it, not only the first.

use std::collections::BTreeSet;

use saphyr_parser::{Event, Parser};
use serde_yaml::Value;

use crate::problem::{Problem, Problems};

mod reader;

pub use reader::{Fields, Reader};
pub(crate) use reader::{nearest, parse_length};

/// No job, machine, post or table has a reason to be longer; what is longer was not written by a person.
pub const LONGEST: usize = 4 << 20;

/// Deeper than this nothing here nests; `serde_yaml` itself gives up at 128.
const DEEPEST: usize = 64;

/// More values than this, aliases counted as often as they are used, is a trap and no job.
const MOST: usize = 400_000;

/// Line and column, both from 1; 0 where there is none.
pub type Place = (usize, usize);

/// One value and where it begins.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Where it begins.
    pub place: Place,
    /// What it is.
    pub what: What,
}

/// What a value can be.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// Nothing.
    Null,
    /// `true` or `false`.
    Flag(bool),
    /// Any number, it may be infinite or not a number, and how it is written.
    Number(f64, String),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<Node>),
    /// Keys with values, in the order written.
    Map(Vec<Entry>),
}

/// A key with its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The key.
    pub key: String,
    /// Where the key stands.
    pub place: Place,
    /// Its value.
    pub value: Node,
}

/// Where a value begins, and those within it: for a map its keys and values in turn.
#[derive(Debug)]
struct Spot {
    place: Place,
    /// How a plain value is written.
    written: Option<String>,
    map: bool,
    within: Vec<Spot>,
}

impl Spot {
    /// Adds every key that stands a second time in its map.
    fn keys_given_twice(&self, twice: &mut Vec<(String, Place)>) {
        let mut known = BTreeSet::new();
        for (i, spot) in self.within.iter().enumerate() {
            if let (true, Some(key)) = (self.map && i % 2 == 0, &spot.written)
                && !known.insert(key)
            {
                twice.push((key.chars().take(40).collect(), spot.place));
            }
            spot.keys_given_twice(twice);
        }
    }
}

/// Reads a text, or says what keeps it from being YAML.
pub fn parse(text: &str, file: &str, problems: &mut Problems) -> Option<Node> {
    let bad = |message: String| Problem::error("not-yaml", message).in_file(file);
    if text.len() > LONGEST {
        let message = format!("the file is {} bytes long; no more than {LONGEST} are read", text.len());
        problems.push(bad(message).hint("is this the right file?"));
        return None;
    }
    if let Some(place) = too_deep(text) {
        problems.push(
            bad(format!("brackets nest more than {DEEPEST} deep"))
                .at_line(place.0, place.1)
                .hint("no list or map here needs to be more than a few levels deep"),
        );
        return None;
    }
    match serde_yaml::from_str::<Value>(text) {
        Ok(value) => {
            let spots = spots(text);
            let mut room = MOST;
            let node = lay(&value, spots.as_ref(), (1, 1), &mut room);
            if node.is_none() {
                problems.push(
                    bad(format!("the file holds more than {MOST} values")).hint("remove aliases (*name)"),
                );
            }
            node
        }
        Err(error) if error.to_string().contains("duplicate entry") => {
            let mut twice = Vec::new();
            if let Some(spot) = spots(text) {
                spot.keys_given_twice(&mut twice);
            }
            for (key, place) in &twice {
                let problem = Problem::error("duplicate-key", format!("'{key}' stands twice in one map"));
                problems.push(problem.in_file(file).at_line(place.0, place.1).hint("keep one of the two"));
            }
            if twice.is_empty() {
                problems.push(syntax(&error, text, file));
            }
            None
        }
        Err(error) => {
            problems.push(syntax(&error, text, file));
            None
        }
    }
}

/// `over` laid over `base`: maps key by key, everything else whole. What comes from `base` loses its place, which lies in
/// another file; it was read there before.
pub fn overlay(base: Node, over: Node) -> Node {
    let place = over.place;
    match (base.what, over.what) {
        (What::Map(under), What::Map(entries)) => {
            let mut all: Vec<Entry> = under.into_iter().map(Entry::without_place).collect();
            for entry in entries {
                match all.iter().position(|known| known.key == entry.key) {
                    Some(at) => {
                        let old = all.remove(at).value;
                        all.insert(at, Entry { value: overlay(old, entry.value), ..entry });
                    }
                    None => all.push(entry),
                }
            }
            Node { place, what: What::Map(all) }
        }
        (_, what) => Node { place, what },
    }
}

impl Entry {
    fn without_place(self) -> Self {
        Self { place: (0, 0), value: self.value.without_places(), ..self }
    }
}

impl Node {
    /// The same, standing nowhere.
    fn without_places(self) -> Self {
        let what = match self.what {
            What::List(nodes) => What::List(nodes.into_iter().map(Self::without_places).collect()),
            What::Map(entries) => What::Map(entries.into_iter().map(Entry::without_place).collect()),
            plain => plain,
        };
        Self { place: (0, 0), what }
    }
}

/// Where square and curly brackets first nest too deep. Quotes and comments are not looked at: a text that holds so many
/// opening brackets more than closing ones is none of ours either way.
fn too_deep(text: &str) -> Option<Place> {
    let mut depth = 0_usize;
    for (number, line) in text.lines().enumerate() {
        for (column, sign) in line.chars().enumerate() {
            match sign {
                '[' | '{' => depth += 1,
                ']' | '}' => depth = depth.saturating_sub(1),
                _ => {}
            }
            if depth > DEEPEST {
                return Some((number + 1, column + 1));
            }
        }
    }
    None
}

/// The parser's words as a problem.
fn syntax(error: &serde_yaml::Error, text: &str, file: &str) -> Problem {
    let said = error.to_string();
    let plain = said.split(" at line ").next().unwrap_or(&said).to_owned();
    let place = error.location().map(|at| (at.line().max(1), at.column().max(1)));
    let line = place.and_then(|(line, _)| text.lines().nth(line - 1)).unwrap_or("");
    let hint = if line.trim_start_matches(' ').starts_with('\t') {
        "indent with spaces: YAML takes no tabs there"
    } else if plain.contains("recursion limit") || plain.contains("repetition limit") {
        "no list or map here needs aliases or more than a few levels"
    } else {
        "check indentation, colons and quotes here"
    };
    let problem =
        Problem::error("not-yaml", format!("the file is not valid YAML: {plain}")).in_file(file).hint(hint);
    match place {
        Some((line, column)) => problem.at_line(line, column),
        None => problem,
    }
}

/// Lays places over values. None where there are too many values.
fn lay(value: &Value, spot: Option<&Spot>, above: Place, room: &mut usize) -> Option<Node> {
    *room = room.checked_sub(1)?;
    let place = spot.map_or(above, |s| s.place);
    let inner = |i: usize| spot.and_then(|s| s.within.get(i));
    let what = match value {
        Value::Null => What::Null,
        Value::Bool(flag) => What::Flag(*flag),
        Value::Number(number) => {
            let written = spot.and_then(|s| s.written.clone()).unwrap_or_else(|| number.to_string());
            What::Number(number.as_f64().unwrap_or(f64::NAN), written)
        }
        Value::String(text) => What::Text(text.clone()),
        Value::Tagged(tagged) => return lay(&tagged.value, spot, above, room),
        Value::Sequence(list) => {
            let mut nodes = Vec::with_capacity(list.len());
            for (i, value) in list.iter().enumerate() {
                nodes.push(lay(value, inner(i), place, room)?);
            }
            What::List(nodes)
        }
        Value::Mapping(map) => {
            let mut entries = Vec::with_capacity(map.len());
            for (i, (key, value)) in map.iter().enumerate() {
                let key_place = inner(2 * i).map_or(place, |s| s.place);
                let value = lay(value, inner(2 * i + 1), key_place, room)?;
                entries.push(Entry { key: key_text(key), place: key_place, value });
            }
            What::Map(entries)
        }
    };
    Some(Node { place, what })
}

/// A key as text; what is no text keeps the look it has in YAML.
fn key_text(key: &Value) -> String {
    match key {
        Value::String(text) => text.clone(),
        other => serde_yaml::to_string(other).map(|text| text.trim().to_owned()).unwrap_or_default(),
    }
}

/// Where the values of the first document stand. None where the second parser cannot say.
fn spots(text: &str) -> Option<Spot> {
    let mut open: Vec<Spot> = Vec::new();
    for event in Parser::new_from_str(text) {
        let (event, span) = event.ok()?;
        let place = (span.start.line(), span.start.col() + 1);
        let done = match event {
            Event::SequenceStart(..) | Event::MappingStart(..) => {
                let map = matches!(event, Event::MappingStart(..));
                open.push(Spot { place, written: None, map, within: Vec::new() });
                continue;
            }
            Event::SequenceEnd | Event::MappingEnd => open.pop()?,
            Event::Scalar(text, ..) => {
                Spot { place, written: Some(text.into_owned()), map: false, within: Vec::new() }
            }
            Event::Alias(_) => Spot { place, written: None, map: false, within: Vec::new() },
            _ => continue,
        };
        match open.last_mut() {
            Some(outer) => outer.within.push(done),
            None => return Some(done),
        }
    }
    None
}
