//! Layers of a DXF file.

use std::collections::BTreeMap;

use super::letters::Letters;
use super::record::Record;
use crate::stages::drawing::talk::Talk;

/// A colour as an entity or layer has it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::stages::drawing) enum Colour {
    /// A number: 0 by block, 256 by layer.
    Number(i16),
    /// Red, green, blue.
    True(u32),
}

/// One layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::stages::drawing) struct Layer {
    /// Switched off.
    pub(in crate::stages::drawing) off: bool,
    /// Frozen: what is inserted on it is not drawn either.
    pub(in crate::stages::drawing) frozen: bool,
    /// Its colour.
    pub(in crate::stages::drawing) colour: Colour,
}

/// All layers by name, whatever its case.
#[derive(Clone, Debug, Default, PartialEq)]
pub(in crate::stages::drawing) struct Layers(BTreeMap<String, Layer>);

impl Layers {
    /// The layer of this name; one that the file does not list is on, and white.
    pub(in crate::stages::drawing) fn get(&self, name: &str) -> Layer {
        let plain = Layer { off: false, frozen: false, colour: Colour::Number(7) };
        self.0.get(&name.to_uppercase()).copied().unwrap_or(plain)
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.0.len()
    }

    /// Adds a record of the table; of two with one name the first counts.
    pub(super) fn add(&mut self, record: &Record, letters: &mut Letters, talk: &mut Talk) {
        let Some(name) = record.text(2, letters, talk) else { return };
        let number = record.whole(62, talk).unwrap_or(7);
        let flags = record.whole(70, talk).unwrap_or(0);
        let colour = match record.whole(420, talk) {
            Some(rgb) => Colour::True((rgb & 0x00ff_ffff) as u32),
            None => Colour::Number(number.unsigned_abs().min(256) as i16),
        };
        let layer = Layer { off: number < 0, frozen: flags & 1 != 0, colour };
        self.0.entry(name.to_uppercase()).or_insert(layer);
    }
}
