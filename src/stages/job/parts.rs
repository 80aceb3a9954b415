//! The `parts` of a job file: a list of rules, of which the first that matches an outline's name counts.
//!
//! | key | value |
//! | --- | --- |
//! | `name` | a pattern over part names (`*`, `?`, `{a,b}`), or a list of them: needed |
//! | `drawing` | only outlines of this drawing, as it is written under `drawings` |
//! | `wood`, `thickness` | what it is cut from |
//! | `copies`, `mirrored` | pieces as drawn, and more of the other hand |
//! | `pairs` | one of each hand, so many times; in place of `copies` and `mirrored` |
//! | `grain` | `along` (as drawn, else along the longest straight), `free`, or degrees from the drawing's x axis |
//! | `turn` | how many degrees off the grain will do, or `any` |
//! | `flip` | `true` where it may lie on either face |
//! | `quality` | the least quality of its sheet, 1 to 9 |
//! | `together` | a word: all parts with the same lie on one sheet |
//! | `pin` | where its first pieces lie: a map of `sheet` (which of its wood, from 1), `at` (where the lower left corner of its bounds lies) and `turn` (degrees from the drawing), or a list of them |
//! | `spares` | so many more pieces at most, where sheets that are used anyway have room |
//! | `tabs` | how many, or a list of points `[x, y]` of the drawing in the job's unit |
//! | `mark` | `false` leaves name and grain arrow off |
//! | `slots` | what its slots are made for, see [`super::slots`] |
//! | `cutting` | what replaces the shop's values for these parts, see [`super::cutting`] |
//! | `skip` | `true` leaves the outline out |

use super::{Cutting, DrawingSource, GrainWish, PartRule, TabWish, cutting, lying, slots};
use crate::geometry::{FARTHEST, Point};
use crate::units::Unit;
use crate::yaml::{Fields, Node, Place, Reader, What};

pub(super) const KEYS: [&str; 19] = [
    "name",
    "drawing",
    "wood",
    "thickness",
    "copies",
    "mirrored",
    "pairs",
    "grain",
    "turn",
    "flip",
    "quality",
    "together",
    "pin",
    "spares",
    "tabs",
    "mark",
    "slots",
    "cutting",
    "skip",
];

/// More pieces than this of one part no workshop cuts in one job.
const MOST_PIECES: u32 = 10_000;

/// More tabs than this on one part hold it no better.
const MOST_TABS: u32 = 200;

/// Reads the rules; one with several names becomes several rules.
pub(super) fn rules(
    node: Node,
    unit: Unit,
    drawings: &[DrawingSource],
    reader: &mut Reader,
) -> Vec<PartRule> {
    let mut rules = Vec::new();
    for node in reader.list(node, "parts").unwrap_or_default() {
        rules.extend(rule(node, unit, drawings, reader));
    }
    rules
}

fn rule(node: Node, unit: Unit, drawings: &[DrawingSource], reader: &mut Reader) -> Vec<PartRule> {
    let line = node.place;
    let Some(mut fields) = reader.map(node, "a part", &KEYS) else { return Vec::new() };
    let names = names(&mut fields, reader);
    let (copies, mirrored) = pieces(&mut fields, reader);
    let slots = fields.take("slots").and_then(|node| slots::read(node, unit, reader));
    let rule = PartRule {
        name: String::new(),
        drawing: drawing(&mut fields, drawings, reader),
        wood: fields.take("wood").and_then(|node| reader.word(node, "wood")),
        thickness_mm: fields
            .take("thickness")
            .and_then(|node| reader.length(&node, "thickness", unit, 0.1..=100.0)),
        copies,
        mirrored,
        grain: fields.take("grain").and_then(|node| grain(&node, reader)).unwrap_or_default(),
        lying: lying::read(&mut fields, unit, reader),
        tabs: fields.take("tabs").and_then(|node| tabs(node, unit, reader)).unwrap_or_default(),
        mark: fields.take("mark").and_then(|node| reader.flag(&node, "mark")),
        cutting: Cutting {
            slots,
            ..fields.take("cutting").map(|node| cutting::of_part(node, unit, reader)).unwrap_or_default()
        },
        skip: fields.take("skip").and_then(|node| reader.flag(&node, "skip")).unwrap_or(false),
        line,
    };
    names.into_iter().map(|(name, line)| PartRule { name, line, ..rule.clone() }).collect()
}

fn names(fields: &mut Fields, reader: &mut Reader) -> Vec<(String, Place)> {
    let Some(node) = fields.need("name", "a part", reader) else { return Vec::new() };
    let mut names = Vec::new();
    for node in reader.one_or_more(node) {
        let place = node.place;
        names.extend(reader.word(node, "name").map(|name| (name, place)));
    }
    names
}

fn pieces(fields: &mut Fields, reader: &mut Reader) -> (Option<u32>, Option<u32>) {
    let both = fields
        .place_of("pairs")
        .filter(|_| fields.place_of("copies").is_some() || fields.place_of("mirrored").is_some());
    let mut count = |key: &str| {
        let node = fields.take(key)?;
        reader.whole(&node, key, 0..=MOST_PIECES)
    };
    let (pairs, copies, mirrored) = (count("pairs"), count("copies"), count("mirrored"));
    if let Some(place) = both {
        let hint = "a pair is one piece of each hand: say either 'pairs', or 'copies' and 'mirrored'";
        reader.wrong("conflicting-keys", place, "'pairs' stands beside 'copies' or 'mirrored'", hint);
    }
    match pairs {
        Some(pairs) => (Some(pairs), Some(pairs)),
        None => (copies, mirrored),
    }
}

fn drawing(fields: &mut Fields, drawings: &[DrawingSource], reader: &mut Reader) -> Option<String> {
    let node = fields.take("drawing")?;
    let place = node.place;
    let word = reader.word(node, "drawing")?;
    if !drawings.iter().any(|source| source.file == word) {
        let known: Vec<&str> = drawings.iter().map(|source| source.file.as_str()).collect();
        reader.unknown("unknown-drawing", place, "one of the job's drawings", &word, &known);
    }
    Some(word)
}

fn grain(node: &Node, reader: &mut Reader) -> Option<GrainWish> {
    match &node.what {
        What::Text(word) if word == "along" => Some(GrainWish::Drawn),
        What::Text(word) if word == "free" => Some(GrainWish::Free),
        What::Number(..) => {
            let degrees = reader.number(node, "grain", -360.0..=360.0)?;
            Some(GrainWish::Degrees(degrees.rem_euclid(180.0)))
        }
        _ => {
            reader.wrong_type(node, "grain", "'along', 'free' or a number of degrees");
            None
        }
    }
}

fn tabs(node: Node, unit: Unit, reader: &mut Reader) -> Option<TabWish> {
    match node.what {
        What::Number(..) => reader.whole(&node, "tabs", 0..=MOST_TABS).map(TabWish::Count),
        What::List(nodes) => {
            let points: Vec<Point> =
                nodes.into_iter().filter_map(|node| tab_point(node, unit, reader)).collect();
            Some(TabWish::At(points))
        }
        _ => {
            reader.wrong_type(&node, "tabs", "a number of tabs or a list of points");
            None
        }
    }
}

fn tab_point(node: Node, unit: Unit, reader: &mut Reader) -> Option<Point> {
    let place = node.place;
    let nodes = reader.list(node, "a tab's place")?;
    if nodes.len() != 2 {
        let hint = "give x and y of a point of the drawing, such as [10, 25.5]";
        reader.wrong("wrong-type", place, "a tab's place has two coordinates", hint);
        return None;
    }
    let x = reader.length(&nodes[0], "x", unit, -FARTHEST..=FARTHEST);
    let y = reader.length(&nodes[1], "y", unit, -FARTHEST..=FARTHEST);
    Some(Point::new(x?, y?))
}
