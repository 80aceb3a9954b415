//! What a layer or group is for: by the names in the machine's file, as a file can hold them, else by their meaning.

use std::collections::BTreeSet;

use crate::problem::Problem;
use crate::shop::{Layers, Machine};
use crate::stages::cut::Operation;
use crate::stages::proof::{Does, Trace};

/// Longest name of a layer in DXF R12 (DXF reference).
const LONGEST_R12: usize = 31;

/// Longest name of a layer in DXF from R2000 on (DXF reference).
const LONGEST: usize = 255;

/// The names that say what is done.
#[derive(Debug)]
pub(super) struct Names {
    /// Operations with their names, from the one that does most to the wood to the one that does least: where several
    /// share a name, the worst counts.
    by_harm: [(Operation, String); 4],
    svg: bool,
    by_machine: bool,
}

impl Names {
    /// The machine's names, or the usual ones where there is none, in an SVG or a DXF.
    pub(super) fn new(machine: Option<&Machine>, svg: bool) -> Self {
        let usual = Layers::default();
        let layers = machine.map_or(&usual, |machine| &machine.layers);
        let name = |operation, style: &crate::shop::LayerStyle| (operation, style.name.clone());
        Self {
            by_harm: [
                name(Operation::CutOutside, &layers.cut_outside),
                name(Operation::CutInside, &layers.cut_inside),
                name(Operation::Score, &layers.score),
                name(Operation::Mark, &layers.mark),
            ],
            svg,
            by_machine: machine.is_some(),
        }
    }

    /// What is done on a layer.
    pub(super) fn does(&self, layer: &str) -> Does {
        let by_meaning = || if self.by_machine { None } else { by_meaning(layer) };
        let said = self.named(layer).or_else(by_meaning);
        said.map_or_else(|| Does::Unsaid(layer.to_owned()), Does::Says)
    }

    /// The operation that has this name: as it stands, else as a file of this kind can hold it.
    fn named(&self, layer: &str) -> Option<Operation> {
        let first = |is: &dyn Fn(&str) -> bool| {
            self.by_harm.iter().find(|(_, name)| is(name)).map(|(operation, _)| *operation)
        };
        if self.svg {
            return first(&|name| name == layer)
                .or_else(|| first(&|name| id(name) == layer))
                .or_else(|| first(&|name| is_numbered(layer, &id(name))))
                .or_else(|| first(&|name| name.eq_ignore_ascii_case(layer)));
        }
        // Letters' case means nothing in a layer's name.
        first(&|name| name.eq_ignore_ascii_case(layer)).or_else(|| first(&|name| holds(name, layer)))
    }

    /// A problem for each layer that the machine does not name.
    pub(super) fn unknown(&self, traces: &[Trace], strict: bool) -> Vec<Problem> {
        if !(self.by_machine || strict) {
            return Vec::new();
        }
        let unsaid: BTreeSet<&str> = traces
            .iter()
            .filter_map(
                |trace| if let Does::Unsaid(layer) = &trace.does { Some(layer.as_str()) } else { None },
            )
            .collect();
        unsaid.into_iter().map(|layer| unknown(layer, strict)).collect()
    }
}

fn unknown(layer: &str, strict: bool) -> Problem {
    let message = if layer.is_empty() {
        "something is drawn in no group that has a name".to_owned()
    } else {
        format!("the machine's file has no layer '{layer}'")
    };
    let new = if strict { Problem::error } else { Problem::warning };
    new("unknown-layer", message)
        .on_layer(layer)
        .hint("name it in the machine's file, or move what is drawn on it")
}

/// What a name means by itself: the patterns that stand for roles where a job names none.
fn by_meaning(layer: &str) -> Option<Operation> {
    let lower = layer.to_lowercase();
    if lower.contains("mark") || lower.contains("engrave") {
        Some(Operation::Mark)
    } else if lower.contains("score") {
        Some(Operation::Score)
    } else {
        None
    }
}

/// A name as an XML id can hold it: letters, digits, `-`, `_` and `.`, with `_` for all else, begun by a letter.
fn id(name: &str) -> String {
    let kept = |c: char| c.is_ascii_alphanumeric() || "-_.".contains(c);
    let held: String = name.chars().map(|c| if kept(c) { c } else { '_' }).collect();
    let begun = held.chars().next().is_some_and(|c| c.is_ascii_alphabetic());
    if begun { held } else { format!("layer-{held}") }
}

/// Whether an id is another one with a number behind it, which tells groups of one name apart.
fn is_numbered(layer: &str, id: &str) -> bool {
    let number = layer.strip_prefix(id).and_then(|rest| rest.strip_prefix('-'));
    number.and_then(|n| n.parse::<u8>().ok()).is_some_and(|n| (2..=4).contains(&n))
}

/// Whether a layer of a DXF is this name with `_` in the place of characters that a layer's name may not have, and cut off
/// at the longest.
fn holds(name: &str, layer: &str) -> bool {
    let alike = |(written, meant): (char, char)| {
        let plain = meant.is_ascii_alphanumeric() || "$-_".contains(meant);
        written.eq_ignore_ascii_case(&meant) || (!plain && matches!(written, '_' | ' '))
    };
    let (held, whole) = (layer.chars().count(), name.chars().count());
    let cut_off = held < whole && (held == LONGEST_R12 || held == LONGEST);
    if whole == 0 {
        return layer == "0";
    }
    (held == whole || cut_off) && layer.chars().zip(name.chars()).all(alike)
}

/// Whether a file that is a drawing is an SVG: what begins with `<`, whatever its encoding.
pub(super) fn is_svg(bytes: &[u8]) -> bool {
    let head = &bytes[..bytes.len().min(4096)];
    head.iter().find(|b| b.is_ascii_graphic()) == Some(&b'<')
}
