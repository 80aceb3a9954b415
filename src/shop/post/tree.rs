//! YAML as a tree whose every key and value knows its line and column, so that problems can point at them, and in which
//! one file overrides another piece by piece.

use std::rc::Rc;

use saphyr_parser::{Event, Parser, ScalarStyle, Span};

/// Deepest nesting of a post: its own grammar needs three levels.
const DEEPEST: usize = 16;

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
    /// Text, a number, true or false: the grammar decides which is meant.
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

/// Why a text is no tree.
#[derive(Debug)]
pub(super) struct NoTree {
    pub(super) place: Place,
    pub(super) message: String,
}

type Events<'t> = Parser<'t, saphyr_parser::StrInput<'t>>;

struct Builder<'t> {
    events: Events<'t>,
    file: Rc<str>,
}

/// Reads one YAML document. Anchors, aliases and tags are refused: a post needs none, and a few aliases can stand for
/// more text than any memory holds.
pub(super) fn read(text: &str, file: &str) -> Result<Node, NoTree> {
    let mut builder = Builder { events: Parser::new_from_str(text), file: file.into() };
    loop {
        match builder.next()? {
            (Event::StreamStart | Event::DocumentStart(_), _) => {}
            (Event::StreamEnd | Event::DocumentEnd, span) => {
                return Err(builder.no(span, "the file is empty"));
            }
            (event, span) => {
                let root = builder.node(event, span, 0)?;
                return builder.alone().map(|()| root);
            }
        }
    }
}

impl<'t> Builder<'t> {
    fn place(&self, span: Span) -> Place {
        Place { file: self.file.clone(), line: span.start.line(), column: span.start.col() + 1 }
    }

    fn no(&self, span: Span, message: &str) -> NoTree {
        NoTree { place: self.place(span), message: message.to_owned() }
    }

    fn next(&mut self) -> Result<(Event<'t>, Span), NoTree> {
        match self.events.next_event() {
            Some(Ok(found)) => Ok(found),
            Some(Err(error)) => {
                let place = Place {
                    file: self.file.clone(),
                    line: error.marker().line(),
                    column: error.marker().col() + 1,
                };
                Err(NoTree { place, message: format!("not YAML: {}", error.info()) })
            }
            None => Ok((Event::StreamEnd, Span::default())),
        }
    }

    /// Nothing may follow the document.
    fn alone(&mut self) -> Result<(), NoTree> {
        loop {
            match self.next()? {
                (Event::StreamEnd, _) => return Ok(()),
                (Event::DocumentEnd, _) => {}
                (_, span) => return Err(self.no(span, "a second document begins here; a post is one")),
            }
        }
    }

    fn node(&mut self, event: Event<'t>, span: Span, depth: usize) -> Result<Node, NoTree> {
        if depth > DEEPEST {
            return Err(self.no(span, "nested too deeply"));
        }
        let place = self.place(span);
        let value = match event {
            Event::Scalar(text, style, anchor, tag) => {
                self.plain_of_extras(span, anchor, tag.is_some())?;
                let empty = style == ScalarStyle::Plain && matches!(&*text, "" | "~" | "null");
                if empty {
                    return Err(self.no(span, "a value is missing here"));
                }
                Value::Scalar(text.into_owned())
            }
            Event::SequenceStart(anchor, tag) => {
                self.plain_of_extras(span, anchor, tag.is_some())?;
                Value::List(self.list(depth)?)
            }
            Event::MappingStart(anchor, tag) => {
                self.plain_of_extras(span, anchor, tag.is_some())?;
                Value::Map(self.map(depth)?)
            }
            _ => return Err(self.no(span, "an alias (*) is not taken in a post; write the value out")),
        };
        Ok(Node { value, place })
    }

    fn plain_of_extras(&self, span: Span, anchor: usize, tagged: bool) -> Result<(), NoTree> {
        if anchor == 0 && !tagged {
            Ok(())
        } else {
            Err(self.no(span, "anchors (&) and tags (!) are not taken in a post"))
        }
    }

    fn list(&mut self, depth: usize) -> Result<Vec<Node>, NoTree> {
        let mut items = Vec::new();
        loop {
            match self.next()? {
                (Event::SequenceEnd, _) => return Ok(items),
                (event, span) => items.push(self.node(event, span, depth + 1)?),
            }
        }
    }

    fn map(&mut self, depth: usize) -> Result<Vec<(Key, Node)>, NoTree> {
        let mut entries: Vec<(Key, Node)> = Vec::new();
        loop {
            let (event, span) = self.next()?;
            let name = match event {
                Event::MappingEnd => return Ok(entries),
                Event::Scalar(name, ..) => name.into_owned(),
                _ => return Err(self.no(span, "a key has to be a plain word")),
            };
            if entries.iter().any(|(key, _)| key.name == name) {
                return Err(self.no(span, &format!("'{name}' is given twice")));
            }
            let key = Key { name, place: self.place(span) };
            let (event, span) = self.next()?;
            entries.push((key, self.node(event, span, depth + 1)?));
        }
    }
}

/// `over` laid over `base`: mappings piece by piece, everything else whole.
pub(super) fn overlay(base: Node, over: Node) -> Node {
    let place = over.place;
    match (base.value, over.value) {
        (Value::Map(mut under), Value::Map(entries)) => {
            for (key, node) in entries {
                match under.iter().position(|(known, _)| known.name == key.name) {
                    Some(at) => {
                        let old = std::mem::replace(&mut under[at].1, node.clone());
                        under[at] = (key, overlay(old, node));
                    }
                    None => under.push((key, node)),
                }
            }
            Node { value: Value::Map(under), place }
        }
        (_, value) => Node { value, place },
    }
}
