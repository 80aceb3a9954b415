//! A post's YAML as a tree in which every value knows its file, line and column, so that one file can override another
//! piece by piece and every problem still points at the right place.

use std::rc::Rc;

use crate::problem::Problems;
use crate::yaml::{self, What};

/// Where something stands.
#[derive(Clone, Debug)]
pub(super) struct Place {
    /// The file, as the person named it.
    pub(super) file: Rc<str>,
    /// From 1.
    pub(super) line: usize,
    /// From 1.
    pub(super) column: usize,
}

/// One value.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub(super) value: Value,
    pub(super) place: Place,
}

/// What a value is.
#[derive(Clone, Debug)]
pub(super) enum Value {
    /// Text, a number, true or false: the grammar decides which is meant. Empty where nothing is said.
    Scalar(String),
    /// In order.
    List(Vec<Node>),
    /// In order, each key once.
    Map(Vec<(Key, Node)>),
}

/// A key of a mapping.
#[derive(Clone, Debug)]
pub(super) struct Key {
    pub(super) name: String,
    pub(super) place: Place,
}

/// Reads one file.
pub(super) fn read(text: &str, file: &str, problems: &mut Problems) -> Option<Node> {
    yaml::parse(text, file, problems).map(|node| with_file(node, &Rc::from(file)))
}

fn with_file(node: yaml::Node, file: &Rc<str>) -> Node {
    let place = |(line, column)| Place { file: file.clone(), line, column };
    let value = match node.what {
        What::Null => Value::Scalar(String::new()),
        What::Flag(flag) => Value::Scalar(flag.to_string()),
        What::Number(number, _) => Value::Scalar(number.to_string()),
        What::Text(text) => Value::Scalar(text),
        What::List(nodes) => Value::List(nodes.into_iter().map(|node| with_file(node, file)).collect()),
        What::Map(entries) => {
            let entry =
                |e: yaml::Entry| (Key { name: e.key, place: place(e.place) }, with_file(e.value, file));
            Value::Map(entries.into_iter().map(entry).collect())
        }
    };
    Node { value, place: place(node.place) }
}

/// `over` laid over `base`: mappings piece by piece, everything else whole.
pub(super) fn overlay(base: Node, over: Node) -> Node {
    let place = over.place;
    match (base.value, over.value) {
        (Value::Map(mut under), Value::Map(entries)) => {
            for (key, node) in entries {
                match under.iter().position(|(known, _)| known.name == key.name) {
                    Some(at) => {
                        let (_, old) = under.remove(at);
                        under.insert(at, (key, overlay(old, node)));
                    }
                    None => under.push((key, node)),
                }
            }
            Node { value: Value::Map(under), place }
        }
        (_, value) => Node { value, place },
    }
}
