//! Ribs in a job file. The grammar of a set:
//!
//! | key | value |
//! | --- | --- |
//! | `name` | what the ribs are called, before their number |
//! | `section` | `naca 2412`, a file of coordinates, a drawing, or a map of `drawing` and `name` |
//! | `chord`, `twist` | length, and degrees by which the nose is turned up |
//! | `root`, `tip` | maps of `section`, `chord`, `twist`, where the ends differ |
//! | `stations` | a list of places from the root; or `span` and `count` for evenly spaced ones |
//! | `straight`, `sweep` | the fraction of the chord that runs straight (0.25), and how far it runs back |
//! | `planform` | a drawing of the wing from above, in place of chords: one outline, or leading and trailing edge as two lines |
//! | `thickness` | of the ribs |
//! | `leading_edge`, `trailing_edge` | how much of the chord the edges' stock takes |
//! | `sheeting` | a list of maps of `thickness`, `from`, `to` (fractions of the chord) and `side` |
//! | `spars` | a list of maps of `at`, `side`, `width`, `depth`, `fit` |
//! | `holes` | a list of maps of `at`, or `from` and `to`, `web`, `least` |
//! | `feet` | a list of maps of `at`, `width`, `down` |
//! | `lean` | degrees by which the root rib leans |
//! | `block` | a map of `pin`, `pins`, `oversize`: templates and blanks in place of ribs |
//!
//! `at` of a spar or foot is a fraction of the chord, or a list of two: at the root and at the tip. A `side` is `upper`,
//! `lower`, `both` or, of a spar, `through`.

use super::{Block, Covering, End, Foot, Lightening, RibSet, Side, Source, Spar};
use crate::units::Unit;
use crate::yaml::{Fields, Node, Reader, What};

pub(in super::super) const SET: [&str; 21] = [
    "name",
    "section",
    "chord",
    "twist",
    "root",
    "tip",
    "stations",
    "span",
    "count",
    "straight",
    "sweep",
    "planform",
    "thickness",
    "leading_edge",
    "trailing_edge",
    "sheeting",
    "spars",
    "holes",
    "feet",
    "lean",
    "block",
];
pub(in super::super) const END: [&str; 3] = ["section", "chord", "twist"];
pub(in super::super) const SECTION: [&str; 2] = ["drawing", "name"];
pub(in super::super) const COVERING: [&str; 4] = ["thickness", "from", "to", "side"];
pub(in super::super) const SPAR: [&str; 5] = ["at", "side", "width", "depth", "fit"];
pub(in super::super) const HOLE: [&str; 5] = ["at", "from", "to", "web", "least"];
pub(in super::super) const FOOT: [&str; 3] = ["at", "width", "down"];
pub(in super::super) const BLOCK: [&str; 3] = ["pin", "pins", "oversize"];
pub(in super::super) const SIDES: [&str; 4] = ["upper", "lower", "both", "through"];

/// No length of a rib is longer, mm: the longest edge of a sheet.
const LONGEST: f64 = 10_000.0;
/// No length of a rib is shorter, mm: a tenth of the finest beam.
const SHORTEST: f64 = 0.01;
/// More ribs than this no wing has.
const MOST: u32 = 500;
/// Steeper than this, degrees, no model's wing is twisted, and no rib leans.
const STEEPEST: f64 = 45.0;
/// The fraction of the chord that runs straight where nothing is said: where the wing's moment hardly changes.
const QUARTER: f64 = 0.25;
/// Wood left around a hole where nothing is said, mm. Common practice, no source.
const WEB: f64 = 4.0;
/// A hole narrower than this, mm, saves nothing. Common practice, no source.
const LEAST: f64 = 5.0;
/// Pins where nothing is said, mm, and where they stand; and how much larger blanks are. Common practice, no source.
const PIN: f64 = 3.0;
const PINS: (f64, f64) = (0.2, 0.6);
const OVERSIZE: f64 = 2.0;

/// Reads the sets.
pub(in super::super) fn sets(node: Node, unit: Unit, reader: &mut Reader) -> Vec<RibSet> {
    let mut sets: Vec<RibSet> = Vec::new();
    for node in reader.list(node, "ribs").unwrap_or_default() {
        let place = node.place;
        let Some(set) = set(node, &mut Rule { unit, reader }) else { continue };
        if sets.iter().any(|other| other.name == set.name) {
            let message = format!("two sets of ribs are called '{}'", set.name);
            reader.wrong("duplicate-name", place, message, "give each a name of its own");
            continue;
        }
        sets.push(set);
    }
    sets
}

/// Reads values in the job's unit.
struct Rule<'a, 'b> {
    unit: Unit,
    reader: &'a mut Reader<'b>,
}

impl Rule<'_, '_> {
    fn size(&mut self, fields: &mut Fields, name: &str, least: f64) -> Option<f64> {
        let node = fields.take(name)?;
        self.reader.length(&node, name, self.unit, least..=LONGEST)
    }

    fn need(&mut self, fields: &mut Fields, name: &str, what: &str) -> Option<f64> {
        let node = fields.need(name, what, self.reader)?;
        self.reader.length(&node, name, self.unit, SHORTEST..=LONGEST)
    }

    fn degrees(&mut self, fields: &mut Fields, name: &str) -> Option<f64> {
        let node = fields.take(name)?;
        self.reader.number(&node, name, -STEEPEST..=STEEPEST)
    }

    fn fraction(&mut self, fields: &mut Fields, name: &str) -> Option<f64> {
        let node = fields.take(name)?;
        self.reader.number(&node, name, 0.0..=1.0)
    }

    /// One fraction of the chord, or two.
    fn fractions(&mut self, node: Node, name: &str) -> Option<(f64, f64)> {
        let place = node.place;
        if !matches!(node.what, What::List(_)) {
            return self.reader.number(&node, name, 0.0..=1.0).map(|at| (at, at));
        }
        let nodes = self.reader.list(node, name)?;
        let [a, b] = nodes.as_slice() else {
            let message = format!("'{name}' is a fraction of the chord, or two of them");
            self.reader.wrong("wrong-type", place, message, "such as 0.3, or [0.3, 0.35] for root and tip");
            return None;
        };
        let mut one = |node: &Node| self.reader.number(node, name, 0.0..=1.0);
        one(a).zip(one(b))
    }

    fn side(&mut self, fields: &mut Fields, known: &[&str]) -> Side {
        let Some(node) = fields.take("side") else { return Side::Both };
        let place = node.place;
        match self.reader.word(node, "side").as_deref() {
            Some("upper") => Side::Upper,
            Some("lower") => Side::Lower,
            Some("both") | None => Side::Both,
            Some("through") if known.contains(&"through") => Side::Through,
            Some(word) => {
                self.reader.unknown("unknown-side", place, "a side", word, known);
                Side::Both
            }
        }
    }

    fn source(&mut self, node: Node) -> Option<Source> {
        if matches!(node.what, What::Map(_)) {
            let mut fields = self.reader.map(node, "a section", &SECTION)?;
            let drawing = fields.need("drawing", "a section", self.reader);
            let drawing = drawing.and_then(|node| self.reader.word(node, "drawing"));
            let name = fields.take("name").and_then(|node| self.reader.word(node, "name"));
            return Some(Source::Drawn(drawing?, name));
        }
        let word = self.reader.word(node, "section")?;
        let lower = word.to_ascii_lowercase();
        if let Some(number) = lower.strip_prefix("naca")
            && number.trim_start().chars().all(|c| c.is_ascii_digit())
        {
            return Some(Source::Naca(number.trim_start().to_owned()));
        }
        let drawn = [".dxf", ".svg"].iter().any(|end| lower.ends_with(end));
        Some(if drawn { Source::Drawn(word, None) } else { Source::Coordinates(word) })
    }

    /// What an end says, over what is said for both.
    fn end(&mut self, node: Option<Node>, both: &(Option<Source>, Option<f64>, f64), what: &str) -> Said {
        let mut said = both.clone();
        let fields = node.and_then(|node| self.reader.map(node, what, &END));
        if let Some(mut fields) = fields {
            let own = self.said(&mut fields);
            said = (own.0.or(said.0), own.1.or(said.1), if own.2 == 0.0 { said.2 } else { own.2 });
        }
        said
    }

    fn said(&mut self, fields: &mut Fields) -> Said {
        let section = fields.take("section").and_then(|node| self.source(node));
        (section, self.size(fields, "chord", 1.0), self.degrees(fields, "twist").unwrap_or(0.0))
    }

    fn stations(&mut self, fields: &mut Fields, place: (usize, usize)) -> Option<Vec<f64>> {
        let span = self.size(fields, "span", SHORTEST);
        let count = fields.take("count").and_then(|node| self.reader.whole(&node, "count", 1..=MOST));
        if let Some(node) = fields.take("stations") {
            let place = node.place;
            let nodes = self.reader.list(node, "stations")?;
            let mut one = |node: Node| self.reader.length(&node, "stations", self.unit, -LONGEST..=LONGEST);
            let stations: Vec<f64> = nodes.into_iter().filter_map(&mut one).collect();
            if stations.is_empty()
                || stations.len() > MOST as usize
                || stations.windows(2).any(|p| p[1] <= p[0])
            {
                let message = format!("'stations' has to rise, and hold 1 to {MOST} places");
                self.reader.wrong("out-of-range", place, message, "list them from the root to the tip");
                return None;
            }
            return Some(stations);
        }
        match (span, count) {
            (_, Some(1)) => Some(vec![0.0]),
            (Some(span), Some(count)) => {
                let at = |k: u32| span * f64::from(k) / f64::from(count - 1);
                Some((0..count).map(at).collect())
            }
            _ => {
                let hint = "give 'stations: [0, 50, 100]', or 'span' and 'count'";
                self.reader.wrong("missing-key", place, "a set of ribs needs to know where they stand", hint);
                None
            }
        }
    }

    fn covering(&mut self, node: Node) -> Option<Covering> {
        let mut fields = self.reader.map(node, "sheeting", &COVERING)?;
        let thickness_mm = self.need(&mut fields, "thickness", "sheeting")?;
        let from = self.fraction(&mut fields, "from").unwrap_or(0.0);
        let to = self.fraction(&mut fields, "to").unwrap_or(1.0);
        Some(Covering { thickness_mm, from, to, side: self.side(&mut fields, &SIDES[..3]) })
    }

    fn at(&mut self, fields: &mut Fields, what: &str) -> Option<(f64, f64)> {
        let node = fields.need("at", what, self.reader)?;
        self.fractions(node, "at")
    }

    fn spar(&mut self, node: Node) -> Option<Spar> {
        let line = node.place;
        let mut fields = self.reader.map(node, "a spar", &SPAR)?;
        let at = self.at(&mut fields, "a spar");
        let side = self.side(&mut fields, &SIDES);
        let width = self.need(&mut fields, "width", "a spar");
        let depth = self.need(&mut fields, "depth", "a spar");
        // A press fit is tighter than the wood.
        let fit_mm = self.size(&mut fields, "fit", -1.0).unwrap_or(0.0);
        Some(Spar { at: at?, side, width_mm: width?, depth_mm: depth?, fit_mm, line })
    }

    fn hole(&mut self, node: Node) -> Option<Lightening> {
        let line = node.place;
        let mut fields = self.reader.map(node, "a hole", &HOLE)?;
        let at = self.fraction(&mut fields, "at");
        let from = self.fraction(&mut fields, "from");
        let to = self.fraction(&mut fields, "to");
        let span = match (at, from, to) {
            (Some(at), None, None) => (at, at),
            (None, Some(from), Some(to)) if from < to => (from, to),
            _ => {
                let hint = "give 'at' for a round hole, or 'from' and 'to', fractions of the chord";
                self.reader.wrong("missing-key", line, "a hole needs a place", hint);
                return None;
            }
        };
        let web_mm = self.size(&mut fields, "web", 0.1).unwrap_or(WEB);
        let least_mm = self.size(&mut fields, "least", SHORTEST).unwrap_or(LEAST);
        Some(Lightening { span, web_mm, least_mm })
    }

    fn foot(&mut self, node: Node) -> Option<Foot> {
        let line = node.place;
        let mut fields = self.reader.map(node, "a foot", &FOOT)?;
        let at = self.at(&mut fields, "a foot");
        let width = self.need(&mut fields, "width", "a foot");
        let down = self.need(&mut fields, "down", "a foot");
        Some(Foot { at: at?, width_mm: width?, down_mm: down?, line })
    }

    fn block(&mut self, node: Node) -> Option<Block> {
        let mut fields = self.reader.map(node, "a block", &BLOCK)?;
        let pin_mm = self.size(&mut fields, "pin", 0.5).unwrap_or(PIN);
        let pins = fields.take("pins").and_then(|node| self.fractions(node, "pins")).unwrap_or(PINS);
        let oversize_mm = self.size(&mut fields, "oversize", 0.0).unwrap_or(OVERSIZE);
        Some(Block { pin_mm, pins, oversize_mm })
    }
}

/// Section, chord and twist, where they are said.
type Said = (Option<Source>, Option<f64>, f64);

fn set(node: Node, rule: &mut Rule) -> Option<RibSet> {
    let line = node.place;
    let mut fields = rule.reader.map(node, "a set of ribs", &SET)?;
    let name = fields.need("name", "a set of ribs", rule.reader);
    let name = name.and_then(|node| rule.reader.word(node, "name"));
    let both = rule.said(&mut fields);
    let (root, tip) = (fields.take("root"), fields.take("tip"));
    let root = rule.end(root, &both, "root");
    let tip = rule.end(tip, &(root.0.clone(), root.1, both.2), "tip");
    let planform = fields.take("planform").and_then(|node| rule.reader.word(node, "planform"));
    let stations = rule.stations(&mut fields, line);
    let mut list = |name: &str, rule: &mut Rule| {
        fields.take(name).and_then(|node| rule.reader.list(node, name)).unwrap_or_default()
    };
    let coverings =
        list("sheeting", rule).into_iter().filter_map(|node| rule.covering(node)).collect::<Vec<_>>();
    let spars = list("spars", rule).into_iter().filter_map(|node| rule.spar(node)).collect::<Vec<_>>();
    let holes = list("holes", rule).into_iter().filter_map(|node| rule.hole(node)).collect::<Vec<_>>();
    let feet = list("feet", rule).into_iter().filter_map(|node| rule.foot(node)).collect::<Vec<_>>();
    let sized = planform.is_some();
    let mut end = |said: Said, what: &str| {
        let Some(section) = said.0 else {
            let hint = "such as 'section: naca 2412', or a file of coordinates";
            rule.reader.wrong("missing-key", line, format!("the {what} has no 'section'"), hint);
            return None;
        };
        if said.1.is_none() && !sized {
            let hint = "give 'chord', or a 'planform'";
            rule.reader.wrong("missing-key", line, format!("the {what} has no 'chord'"), hint);
            return None;
        }
        Some(End { section, chord_mm: said.1.unwrap_or(0.0), twist_deg: said.2 })
    };
    let (root, tip) = (end(root, "root"), end(tip, "tip"));
    let block = fields.take("block").and_then(|node| rule.block(node));
    Some(RibSet {
        straight: rule.fraction(&mut fields, "straight").unwrap_or(QUARTER),
        sweep_mm: rule.size(&mut fields, "sweep", -LONGEST).unwrap_or(0.0),
        thickness_mm: rule.size(&mut fields, "thickness", 0.0).unwrap_or(0.0),
        leading_edge_mm: rule.size(&mut fields, "leading_edge", 0.0).unwrap_or(0.0),
        trailing_edge_mm: rule.size(&mut fields, "trailing_edge", 0.0).unwrap_or(0.0),
        lean_deg: rule.degrees(&mut fields, "lean").unwrap_or(0.0),
        name: name?,
        root: root?,
        tip: tip?,
        stations: stations?,
        planform,
        coverings,
        spars,
        holes,
        feet,
        block,
        line,
    })
}
