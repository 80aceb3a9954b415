//! The `slots` of a part: what its slots are made for, and how tightly that goes in.
//!
//! | key | value |
//! | --- | --- |
//! | `for` | the thickness of what goes in as it was measured, or a map of `wood` and `thickness`: needed |
//! | `fit` | `press`, `glue` (where it is left out), `slide`, or how much wider than the wood a slot is |

use crate::units::Unit;
use crate::yaml::{Node, Place, Reader, What};

pub(super) const KEYS: [&str; 2] = ["for", "fit"];
pub(super) const MATE: [&str; 2] = ["wood", "thickness"];
/// How tightly a piece goes into a slot, in words.
pub(super) const FITS: [&str; 3] = ["press", "glue", "slide"];

/// What the slots of a part are made for.
#[derive(Clone, Debug, PartialEq)]
pub struct Slots {
    /// What goes in.
    pub mate: Mate,
    /// How tightly.
    pub fit: SlotFit,
    /// Line and column in the job file.
    pub line: Place,
}

/// What goes into a slot.
#[derive(Clone, Debug, PartialEq)]
pub enum Mate {
    /// A thickness as measured, mm.
    Measured(f64),
    /// A wood of a thickness as it is sold, mm.
    Wood(String, f64),
}

/// How tightly a piece goes into a slot.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum SlotFit {
    /// Pressed in.
    Press,
    /// With room for glue.
    #[default]
    Glue,
    /// To slide.
    Slide,
    /// A slot so much wider than the wood, mm.
    Wider(f64),
}

/// Reads them.
pub(super) fn read(node: Node, unit: Unit, reader: &mut Reader) -> Option<Slots> {
    let line = node.place;
    let mut fields = reader.map(node, "slots", &KEYS)?;
    let mate = fields.need("for", "slots", reader).and_then(|node| mate(node, unit, reader));
    let fit = fields.take("fit").and_then(|node| fit(&node, unit, reader)).unwrap_or_default();
    Some(Slots { mate: mate?, fit, line })
}

fn mate(node: Node, unit: Unit, reader: &mut Reader) -> Option<Mate> {
    if !matches!(node.what, What::Map(_)) {
        return reader.length(&node, "for", unit, 0.1..=100.0).map(Mate::Measured);
    }
    let mut fields = reader.map(node, "what slots are for", &MATE)?;
    let wood = fields.need("wood", "what slots are for", reader);
    let wood = wood.and_then(|node| reader.word(node, "wood"));
    let thickness = fields.need("thickness", "what slots are for", reader);
    let thickness = thickness.and_then(|node| reader.length(&node, "thickness", unit, 0.1..=100.0));
    Some(Mate::Wood(wood?, thickness?))
}

fn fit(node: &Node, unit: Unit, reader: &mut Reader) -> Option<SlotFit> {
    let What::Text(word) = &node.what else {
        return reader.length(node, "fit", unit, -1.0..=2.0).map(SlotFit::Wider);
    };
    match word.trim() {
        "press" => Some(SlotFit::Press),
        "glue" => Some(SlotFit::Glue),
        "slide" => Some(SlotFit::Slide),
        other if other.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '.')) => {
            reader.length(node, "fit", unit, -1.0..=2.0).map(SlotFit::Wider)
        }
        other => {
            reader.unknown("unknown-word", node.place, "a fit that is known", other, &FITS);
            None
        }
    }
}
