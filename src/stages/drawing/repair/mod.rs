//! A DXF file of any age and state to one that the strict reader takes whole.
//!
//! Takes the bytes, ASCII or binary. Gives the entities that are read, each with where it came from, in a text with
//! nothing but blocks and entities in proper form; the layers; the unit; and a count of all entities that are not read.
//! What is broken is left out or mended, and told with its line.

mod pair;
mod ascii;
mod binary;
mod letters;
mod record;
mod out;
mod entity;
mod layer;
mod pass;

pub(super) use layer::{Colour, Layers};

use std::collections::BTreeMap;

use super::talk::Talk;

/// Where an entity came from, and what the strict reader does not carry.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Origin {
    /// What the file calls it.
    pub(super) kind: &'static str,
    /// Its line, or byte in a binary file.
    pub(super) place: usize,
    /// Its true colour, where it has one.
    pub(super) rgb: Option<u32>,
    /// Whether it is an attribute that is not to be seen.
    pub(super) hidden: bool,
}

/// A block of the file: its entities are in the order in which the strict reader gives them.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Block {
    /// Its name.
    pub(super) name: String,
    /// Whether it lies in another file.
    pub(super) external: bool,
    /// Its entities.
    pub(super) origins: Vec<Origin>,
    /// Entities that are not read, by kind.
    pub(super) unread: BTreeMap<String, usize>,
}

/// A file in proper form.
#[derive(Debug, Default)]
pub(super) struct Proper {
    /// What the strict reader takes.
    pub(super) text: Vec<u8>,
    /// The entities of the drawing itself, in order.
    pub(super) origins: Vec<Origin>,
    /// Blocks, in order.
    pub(super) blocks: Vec<Block>,
    /// Entities of the drawing itself that are not read, by kind.
    pub(super) unread: BTreeMap<String, usize>,
    /// Layers.
    pub(super) layers: Layers,
    /// `$INSUNITS`, where the header has it.
    pub(super) insunits: Option<i64>,
    /// `$MEASUREMENT`, where the header has it: 0 English, 1 metric.
    pub(super) measurement: Option<i64>,
}

/// Brings a file into proper form. None where there is nothing in it that could be read.
pub(super) fn proper(bytes: &[u8], binary: bool, talk: &mut Talk) -> Option<Proper> {
    talk.in_bytes = binary;
    pass::run(bytes, binary, talk)
}
