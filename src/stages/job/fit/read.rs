//! The `fit` of a job file: what has to fit together, and what waits until it does.
//!
//! | key | value |
//! | --- | --- |
//! | `name` | what it is called in the table |
//! | `is` | a dimension of the part that has to fit, see below: needed, unless there is a `line` or a `halving` |
//! | `should` | what it has to fit: a dimension, a length, or a list of them that are added up: needed |
//! | `less` | the same, taken off: what lies between |
//! | `play` | how much smaller than that it should be; below 0 for a press fit |
//! | `within` | how far it may be off |
//! | `built` | the dimension as it was measured on what is built: takes the place of `should` |
//! | `holds` | a pattern over part names, or a list: these are not cut before the fit holds |
//! | `until` | `fits` (where it is left out), or `built`: not before it was measured |
//! | `adjust` | `[x, y]`: the part is brought to size by moving all that lies beyond this point, as seen from the beginning of its dimension; `true`, for a slot: its walls are moved |
//! | `line` | in place of `is`: what a straight spar runs through, a list of maps of `part`, `station` (from the root), `slot` or `to` (a point at an edge), `from` and `along` |
//! | `halving` | in place of `is`: two maps of `part` and `slot`, parts that cross and are let into each other |
//!
//! A dimension is a map of `part` with one of
//! - `from` and `to`, two points near its edges: how far apart they are, or how far in a direction where `along` says one;
//! - `slot`, a point in a slot, notch or hole, whose width is meant;
//! - `from` and `slot`: from an edge to the middle of a slot, square to its walls or `along` a direction;
//! - `overall`, a direction: how long the part is that way;
//!
//! or of `wood` and `thickness`: the thickness as it was measured, else as it is sold. Directions are degrees from the
//! drawing's x axis. In a `line` the middle of each slot, or each edge, is measured from its `from`, or from the drawing's
//! origin, `along` a direction (0, along the x axis, where it is left out).

use super::super::stretch::point;
use super::{Adjust, Fit, Kind, Station, Target, Term, WITHIN};
use crate::geometry::{FARTHEST, Point};
use crate::units::Unit;
use crate::yaml::{Fields, Node, Place, Reader, What};

pub(in super::super) const FIT: [&str; 12] = [
    "name", "is", "should", "less", "play", "within", "built", "holds", "until", "adjust", "line", "halving",
];
pub(in super::super) const TERM: [&str; 8] =
    ["part", "from", "to", "slot", "along", "overall", "wood", "thickness"];
pub(in super::super) const STATION: [&str; 6] = ["part", "station", "slot", "to", "from", "along"];
pub(in super::super) const HALF: [&str; 2] = ["part", "slot"];
/// What only makes sense of one dimension.
const OF_ONE: [&str; 5] = ["should", "less", "built", "until", "adjust"];
/// What a part may wait for.
pub(in super::super) const UNTIL: [&str; 2] = ["fits", "built"];

pub(in super::super) fn read(node: Node, unit: Unit, woods: &[&str], reader: &mut Reader) -> Vec<Fit> {
    let nodes = reader.list(node, "fit").unwrap_or_default();
    let mut tape = Tape { unit, woods, reader };
    nodes.into_iter().filter_map(|node| tape.fit(node)).collect()
}

/// Reads values in the job's unit.
struct Tape<'a, 'r> {
    unit: Unit,
    woods: &'a [&'a str],
    reader: &'a mut Reader<'r>,
}

impl Tape<'_, '_> {
    fn fit(&mut self, node: Node) -> Option<Fit> {
        let line = node.place;
        let mut fields = self.reader.map(node, "a fit", &FIT)?;
        let name = fields.take("name").and_then(|node| self.reader.word(node, "name"));
        let is = self.kind(&mut fields, line);
        let built_mm = self.length(&mut fields, "built", 0.0);
        let (should, less) = (self.terms(&mut fields, "should"), self.terms(&mut fields, "less"));
        if should.is_empty() && built_mm.is_none() && matches!(is, Some(Kind::Dimension(_))) {
            let hint = "or 'built', as measured";
            self.reader.wrong("missing-key", line, "a fit needs 'should', what it has to fit", hint);
        }
        let play_mm = self.length(&mut fields, "play", -50.0).unwrap_or(0.0);
        let within_mm = self.length(&mut fields, "within", 0.001).unwrap_or(WITHIN);
        let holds = fields.take("holds").map(|node| self.reader.words(node, "holds")).unwrap_or_default();
        let until_built = fields.take("until").is_some_and(|node| self.until_built(node));
        let adjust = fields.take("adjust").and_then(|node| match node.what {
            What::Flag(flag) => flag.then_some(Adjust::Walls),
            _ => self.point(node, "adjust").map(Adjust::Beyond),
        });
        let is = is?;
        let name = name.unwrap_or_else(|| match &is {
            Kind::Dimension(term) => term.part().unwrap_or("fit").to_owned(),
            Kind::Line(_) => "line".to_owned(),
            Kind::Halving([(one, _), (other, _)]) => format!("{one} across {other}"),
        });
        Some(Fit { name, is, should, less, play_mm, within_mm, built_mm, holds, until_built, adjust, line })
    }

    fn kind(&mut self, fields: &mut Fields, place: Place) -> Option<Kind> {
        let of_several = match (fields.take("line"), fields.take("halving")) {
            (Some(node), None) => self.stations(node).map(Kind::Line),
            (None, Some(node)) => self.halves(node).map(Kind::Halving),
            (None, None) => {
                let node = fields.need("is", "a fit", self.reader)?;
                return self.term(node, "is").map(Kind::Dimension);
            }
            (Some(_), Some(_)) => {
                let hint = "write two fits";
                self.reader.wrong("fit-dimension", place, "a fit is a 'line' or a 'halving', not both", hint);
                None
            }
        };
        for key in ["is"].iter().chain(&OF_ONE) {
            if let Some(node) = fields.take(key) {
                let message = format!("'{key}' is for one dimension, not for a line or a halving");
                self.reader.wrong("fit-dimension", node.place, message, "write a fit of its own for it");
            }
        }
        of_several
    }

    fn stations(&mut self, node: Node) -> Option<Vec<Station>> {
        let place = node.place;
        let nodes = self.reader.list(node, "line")?;
        let stations: Vec<Station> = nodes.into_iter().filter_map(|node| self.station(node)).collect();
        if stations.len() < 3 {
            let hint = "two places always lie in a line";
            self.reader.wrong("fit-line", place, "a line needs three places or more", hint);
            return None;
        }
        Some(stations)
    }

    fn station(&mut self, node: Node) -> Option<Station> {
        let place = node.place;
        let mut fields = self.reader.map(node, "a place in a line", &STATION)?;
        let part = self.part(&mut fields, "a place in a line");
        let station = fields.need("station", "a place in a line", self.reader);
        let station_mm =
            station.and_then(|node| self.reader.length(&node, "station", self.unit, -FARTHEST..=FARTHEST));
        let target = match (self.at(&mut fields, "slot"), self.at(&mut fields, "to")) {
            (Some(slot), None) => Some(Target::Middle(slot)),
            (None, Some(edge)) => Some(Target::Edge(edge)),
            _ => {
                let hint = "give 'slot', a point in a slot, or 'to', a point at an edge";
                self.reader.wrong("fit-dimension", place, "a place in a line is a slot or an edge", hint);
                None
            }
        };
        let from = self.at(&mut fields, "from");
        let along_deg = self.degrees(&mut fields, "along").unwrap_or(0.0);
        Some(Station { part: part?, target: target?, from, along_deg, station_mm: station_mm? })
    }

    fn halves(&mut self, node: Node) -> Option<[(String, Point); 2]> {
        let place = node.place;
        let nodes = self.reader.list(node, "halving")?;
        let halves: Vec<_> = nodes.into_iter().filter_map(|node| self.half(node)).collect();
        let found = halves.try_into().ok();
        if found.is_none() {
            let hint = "such as [{ part: F2, slot: [12, 30] }, { part: KEEL, slot: [90, 4] }]";
            self.reader.wrong(
                "fit-dimension",
                place,
                "two parts are let into each other by a slot each",
                hint,
            );
        }
        found
    }

    fn half(&mut self, node: Node) -> Option<(String, Point)> {
        let mut fields = self.reader.map(node, "a part in a halving", &HALF)?;
        let part = self.part(&mut fields, "a part in a halving");
        let slot = fields.need("slot", "a part in a halving", self.reader);
        part.zip(slot.and_then(|node| self.point(node, "slot")))
    }

    fn terms(&mut self, fields: &mut Fields, key: &str) -> Vec<Term> {
        let nodes = fields.take(key).map(|node| self.reader.one_or_more(node)).unwrap_or_default();
        nodes.into_iter().filter_map(|node| self.term(node, key)).collect()
    }

    fn term(&mut self, node: Node, key: &str) -> Option<Term> {
        let place = node.place;
        if !matches!(node.what, What::Map(_)) {
            return self.reader.length(&node, key, self.unit, 0.0..=10_000.0).map(Term::Length);
        }
        let mut fields = self.reader.map(node, "a dimension", &TERM)?;
        if let Some(node) = fields.take("wood") {
            return self.wood(node, &mut fields);
        }
        let part = self.part(&mut fields, "a dimension")?;
        let along = self.degrees(&mut fields, "along");
        let overall = self.degrees(&mut fields, "overall");
        let [from, to, slot] = ["from", "to", "slot"].map(|key| self.at(&mut fields, key));
        match (from, to, slot, overall) {
            (Some(from), Some(to), None, None) => Some(Term::Between(part, from, Target::Edge(to), along)),
            (Some(from), None, Some(slot), None) => {
                Some(Term::Between(part, from, Target::Middle(slot), along))
            }
            (None, None, Some(slot), None) if along.is_none() => Some(Term::Slot(part, slot)),
            (None, None, None, Some(way)) if along.is_none() => Some(Term::Overall(part, way)),
            _ => {
                let hint = "give 'from' and 'to', two points at its edges; 'slot', a point in a slot; 'from' and 'slot'; or 'overall', a direction";
                self.reader.wrong("fit-dimension", place, "a dimension of a part is between two edges", hint);
                None
            }
        }
    }

    fn wood(&mut self, node: Node, fields: &mut Fields) -> Option<Term> {
        let place = node.place;
        let wood = self.reader.word(node, "wood")?;
        if !self.woods.iter().any(|known| known.eq_ignore_ascii_case(&wood)) {
            self.reader.unknown("unknown-wood", place, "a wood that the shop knows", &wood, self.woods);
        }
        let thickness = fields.need("thickness", "a wood that has to fit", self.reader)?;
        let thickness = self.reader.length(&thickness, "thickness", self.unit, 0.1..=100.0)?;
        Some(Term::Wood(wood, thickness))
    }

    fn until_built(&mut self, node: Node) -> bool {
        let place = node.place;
        let word = self.reader.word(node, "until").unwrap_or_default();
        if !UNTIL.contains(&word.as_str()) {
            self.reader.unknown("fit-until", place, "what parts can wait for", &word, &UNTIL);
        }
        word == "built"
    }

    fn part(&mut self, fields: &mut Fields, what: &str) -> Option<String> {
        let node = fields.need("part", what, self.reader)?;
        self.reader.word(node, "part")
    }

    fn at(&mut self, fields: &mut Fields, key: &str) -> Option<Point> {
        fields.take(key).and_then(|node| self.point(node, key))
    }

    fn degrees(&mut self, fields: &mut Fields, key: &str) -> Option<f64> {
        fields.take(key).and_then(|node| self.reader.number(&node, key, -360.0..=360.0))
    }

    fn length(&mut self, fields: &mut Fields, key: &str, least: f64) -> Option<f64> {
        fields.take(key).and_then(|node| self.reader.length(&node, key, self.unit, least..=10_000.0))
    }

    fn point(&mut self, node: Node, key: &str) -> Option<Point> {
        point(node, key, self.unit, self.reader)
    }
}
