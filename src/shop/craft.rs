//! Workshop craft: what a good operator does beyond feeds and depths. The defaults come from a wood's table (`craft` in
//! its `router` and `laser` sections); a job replaces them for all parts, for one wood, or for one part.
//!
//! Every item is one field here, one wish (a field of the same name that may be left out), and one line where the wish is
//! read: under its name with a unit at the end in a table, without it in a job, where lengths are in the job's own unit.

use std::ops::RangeInclusive;

use serde::{Deserialize, Serialize};

use crate::geometry::relief::Form;
use crate::units::Unit;
use crate::yaml::{Fields, Node, Reader};

/// How a cutter goes about its work.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct RouterCraft {
    /// Whether the cutter climbs: it turns clockwise and has the piece on its right. Else it cuts conventionally.
    pub climb: bool,
    /// Steepest slope down along a path, degrees; 90 plunges.
    pub ramp_deg: f64,
    /// Steepest slope down round a circle, degrees.
    pub helix_deg: f64,
    /// Radius of the arcs by which a path is come to and left, mm; 0 for none.
    pub lead_mm: f64,
    /// How tabs look from the side.
    pub tab_shape: TabShape,
    /// What all passes but the last leave standing around a piece, for the last one to take, mm; 0 where all run alike.
    pub finish_mm: f64,
    /// Whether the last pass climbs, where it takes what the others left standing.
    pub finish_climb: bool,
    /// What all passes but the last leave of the wood's thickness, mm; 0 where they are all as deep.
    pub skin_mm: f64,
    /// How the inside corners are relieved in which a mating part sits; none leaves the cutter's fillet.
    pub relief: Option<Form>,
    /// Slots and notches wider than this take no mating part, mm.
    pub relief_most_mm: f64,
    /// Share of the feed that is left in inside corners.
    pub corner_feed: f64,
    /// Share of the cutter's diameter by which the loops that clear a recess overlap.
    pub overlap: f64,
    /// So many times faster the last pass may be, at most, where it takes little: see [`super::chip`].
    pub thin_feed: f64,
}

/// How inside corners are relieved, by the names that tables and jobs give it.
pub const RELIEFS: [(&str, Option<Form>); 3] =
    [("none", None), ("dogbone", Some(Form::Dogbone)), ("edge", Some(Form::Edge))];

/// How a tab looks from the side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum TabShape {
    /// Upright ends: the most wood, and the cutter plunges behind it.
    Square,
    /// Sloping ends, full height over at least half of the width.
    #[default]
    Ramped,
    /// A hump, full height in the middle only: the least wood to cut and sand.
    Round,
}

impl TabShape {
    /// All of them, by the names that tables and jobs give them.
    pub const ALL: [(&str, Self); 3] =
        [("square", Self::Square), ("ramped", Self::Ramped), ("round", Self::Round)];
}

impl Default for RouterCraft {
    /// Where neither table nor job says anything.
    fn default() -> Self {
        Self {
            climb: true,
            ramp_deg: 5.0,
            helix_deg: 3.0,
            lead_mm: 1.0,
            tab_shape: TabShape::Ramped,
            finish_mm: 0.0,
            finish_climb: true,
            skin_mm: 0.0,
            relief: None,
            relief_most_mm: 12.0,
            corner_feed: 1.0,
            overlap: 0.6,
            thin_feed: 1.0,
        }
    }
}

/// What a table or a job says of a router's craft; none leaves it as it is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RouterWish {
    /// See [`RouterCraft::climb`].
    pub climb: Option<bool>,
    /// See [`RouterCraft::ramp_deg`].
    pub ramp_deg: Option<f64>,
    /// See [`RouterCraft::helix_deg`].
    pub helix_deg: Option<f64>,
    /// See [`RouterCraft::lead_mm`].
    pub lead_mm: Option<f64>,
    /// See [`RouterCraft::tab_shape`].
    pub tab_shape: Option<TabShape>,
    /// Height of tabs as a fraction of the thickness, in place of the tab table's.
    pub tab_height: Option<f64>,
    /// See [`RouterCraft::finish_mm`].
    pub finish_mm: Option<f64>,
    /// See [`RouterCraft::finish_climb`].
    pub finish_climb: Option<bool>,
    /// See [`RouterCraft::skin_mm`].
    pub skin_mm: Option<f64>,
    /// See [`RouterCraft::relief`].
    pub relief: Option<Option<Form>>,
    /// See [`RouterCraft::relief_most_mm`].
    pub relief_most_mm: Option<f64>,
    /// See [`RouterCraft::corner_feed`].
    pub corner_feed: Option<f64>,
    /// See [`RouterCraft::overlap`].
    pub overlap: Option<f64>,
    /// See [`RouterCraft::thin_feed`].
    pub thin_feed: Option<f64>,
}

impl RouterWish {
    /// Keys in a job.
    pub const JOB_KEYS: &[&str] = &[
        "climb",
        "ramp",
        "helix",
        "lead",
        "tab_shape",
        "tab_height",
        "finish",
        "finish_climb",
        "skin",
        "relief",
        "relief_most",
        "corner_feed",
        "overlap",
        "thin_feed",
    ];

    /// Keys in a table.
    pub const TABLE_KEYS: &[&str] = &[
        "climb",
        "ramp_deg",
        "helix_deg",
        "lead_mm",
        "tab_shape",
        "finish_mm",
        "finish_climb",
        "skin_mm",
        "relief",
        "relief_most_mm",
        "corner_feed",
        "overlap",
        "thin_feed",
    ];

    /// Takes the wishes out of a map.
    pub(crate) fn take(taker: &mut Taker) -> Self {
        Self {
            climb: taker.flag("climb"),
            ramp_deg: taker.number("ramp", "_deg", 0.5..=90.0),
            helix_deg: taker.number("helix", "_deg", 0.5..=90.0),
            lead_mm: taker.length("lead", 0.0..=20.0),
            tab_shape: taker.choice("tab_shape", &TabShape::ALL),
            tab_height: taker.number("tab_height", "", 0.05..=1.0),
            finish_mm: taker.length("finish", 0.0..=2.0),
            finish_climb: taker.flag("finish_climb"),
            skin_mm: taker.length("skin", 0.0..=2.0),
            relief: taker.choice("relief", &RELIEFS),
            relief_most_mm: taker.length("relief_most", 0.0..=100.0),
            corner_feed: taker.number("corner_feed", "", 0.1..=1.0),
            // Less than half would leave ridges between the loops.
            overlap: taker.number("overlap", "", 0.5..=0.95),
            thin_feed: taker.number("thin_feed", "", 1.0..=2.5),
        }
    }

    /// These wishes, with `behind` where they say nothing.
    #[must_use]
    pub fn over(self, behind: Self) -> Self {
        Self {
            climb: self.climb.or(behind.climb),
            ramp_deg: self.ramp_deg.or(behind.ramp_deg),
            helix_deg: self.helix_deg.or(behind.helix_deg),
            lead_mm: self.lead_mm.or(behind.lead_mm),
            tab_shape: self.tab_shape.or(behind.tab_shape),
            tab_height: self.tab_height.or(behind.tab_height),
            finish_mm: self.finish_mm.or(behind.finish_mm),
            // Who says how the cutter goes and no more means the last pass, too.
            finish_climb: self.finish_climb.or(self.climb).or(behind.finish_climb),
            skin_mm: self.skin_mm.or(behind.skin_mm),
            relief: self.relief.or(behind.relief),
            relief_most_mm: self.relief_most_mm.or(behind.relief_most_mm),
            corner_feed: self.corner_feed.or(behind.corner_feed),
            overlap: self.overlap.or(behind.overlap),
            thin_feed: self.thin_feed.or(behind.thin_feed),
        }
    }
}

impl RouterCraft {
    /// This with what is wished in its place.
    #[must_use]
    pub fn with(self, wish: RouterWish) -> Self {
        Self {
            climb: wish.climb.unwrap_or(self.climb),
            ramp_deg: wish.ramp_deg.unwrap_or(self.ramp_deg),
            helix_deg: wish.helix_deg.unwrap_or(self.helix_deg),
            lead_mm: wish.lead_mm.unwrap_or(self.lead_mm),
            tab_shape: wish.tab_shape.unwrap_or(self.tab_shape),
            finish_mm: wish.finish_mm.unwrap_or(self.finish_mm),
            finish_climb: wish.finish_climb.or(wish.climb).unwrap_or(self.finish_climb),
            skin_mm: wish.skin_mm.unwrap_or(self.skin_mm),
            relief: wish.relief.unwrap_or(self.relief),
            relief_most_mm: wish.relief_most_mm.unwrap_or(self.relief_most_mm),
            corner_feed: wish.corner_feed.unwrap_or(self.corner_feed),
            overlap: wish.overlap.unwrap_or(self.overlap),
            thin_feed: wish.thin_feed.unwrap_or(self.thin_feed),
        }
    }
}

/// How a beam goes about its work.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct LaserCraft {
    /// To cut right after another what lies nearer to it than this counts as so much more travel: what was just cut is
    /// still warm. 0 for no matter.
    pub apart_mm: f64,
    /// Cuts nearer to each other than so many kerfs come last.
    pub bridge_kerfs: f64,
    /// Radius of the arc by which the beam comes to a closed path from the waste, mm; 0 where it pierces on the path.
    pub lead_mm: f64,
    /// So far past its beginning a closed path is cut, mm.
    pub overcut_mm: f64,
    /// See [`super::LaserSetting::inside_more_mm`].
    pub inside_more_mm: f64,
}

impl Default for LaserCraft {
    /// Where neither table nor job says anything.
    fn default() -> Self {
        Self { apart_mm: 5.0, bridge_kerfs: 4.0, lead_mm: 0.0, overcut_mm: 0.0, inside_more_mm: 0.0 }
    }
}

/// What a table or a job says of a laser's craft; none leaves it as it is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LaserWish {
    /// See [`LaserCraft::apart_mm`].
    pub apart_mm: Option<f64>,
    /// See [`LaserCraft::bridge_kerfs`].
    pub bridge_kerfs: Option<f64>,
    /// See [`LaserCraft::lead_mm`].
    pub lead_mm: Option<f64>,
    /// See [`LaserCraft::overcut_mm`].
    pub overcut_mm: Option<f64>,
    /// See [`LaserCraft::inside_more_mm`]; a job says it by the kerf itself.
    pub inside_more_mm: Option<f64>,
}

impl LaserWish {
    /// Keys in a job.
    pub const JOB_KEYS: &[&str] = &["apart", "bridge", "beam_lead", "overcut"];

    /// Keys in a table.
    pub const TABLE_KEYS: &[&str] =
        &["apart_mm", "bridge_kerfs", "beam_lead_mm", "overcut_mm", "kerf_inside_more_mm"];

    /// Takes the wishes out of a map.
    pub(crate) fn take(taker: &mut Taker) -> Self {
        Self {
            apart_mm: taker.length("apart", 0.0..=200.0),
            bridge_kerfs: taker.number("bridge", "_kerfs", 0.0..=50.0),
            lead_mm: taker.length("beam_lead", 0.0..=20.0),
            overcut_mm: taker.length("overcut", 0.0..=2.0),
            inside_more_mm: taker.length("kerf_inside_more", -0.5..=0.5),
        }
    }

    /// These wishes, with `behind` where they say nothing.
    #[must_use]
    pub fn over(self, behind: Self) -> Self {
        Self {
            apart_mm: self.apart_mm.or(behind.apart_mm),
            bridge_kerfs: self.bridge_kerfs.or(behind.bridge_kerfs),
            lead_mm: self.lead_mm.or(behind.lead_mm),
            overcut_mm: self.overcut_mm.or(behind.overcut_mm),
            inside_more_mm: self.inside_more_mm.or(behind.inside_more_mm),
        }
    }
}

impl LaserCraft {
    /// This with what is wished in its place.
    #[must_use]
    pub fn with(self, wish: LaserWish) -> Self {
        Self {
            apart_mm: wish.apart_mm.unwrap_or(self.apart_mm),
            bridge_kerfs: wish.bridge_kerfs.unwrap_or(self.bridge_kerfs),
            lead_mm: wish.lead_mm.unwrap_or(self.lead_mm),
            overcut_mm: wish.overcut_mm.unwrap_or(self.overcut_mm),
            inside_more_mm: wish.inside_more_mm.unwrap_or(self.inside_more_mm),
        }
    }
}

/// Takes values out of a map of a table (whose keys end in their unit) or of a job (whose lengths have the job's unit).
pub(crate) struct Taker<'t, 'r> {
    fields: &'t mut Fields,
    reader: &'t mut Reader<'r>,
    /// The job's unit; none in a table.
    unit: Option<Unit>,
}

impl<'t, 'r> Taker<'t, 'r> {
    /// Out of a job.
    pub(crate) fn job(fields: &'t mut Fields, unit: Unit, reader: &'t mut Reader<'r>) -> Self {
        Self { fields, reader, unit: Some(unit) }
    }

    /// Out of a table.
    pub(crate) fn table(fields: &'t mut Fields, reader: &'t mut Reader<'r>) -> Self {
        Self { fields, reader, unit: None }
    }

    /// The key as it stands here, with its value.
    fn node(&mut self, key: &str, ending: &str) -> Option<(String, Node)> {
        let key = if self.unit.is_some() { key.to_owned() } else { format!("{key}{ending}") };
        self.fields.take(&key).map(|node| (key, node))
    }

    /// A number.
    pub(crate) fn number(&mut self, key: &str, ending: &str, range: RangeInclusive<f64>) -> Option<f64> {
        let (key, node) = self.node(key, ending)?;
        self.reader.number(&node, &key, range)
    }

    /// One of these words.
    pub(crate) fn choice<T: Copy>(&mut self, key: &str, known: &[(&str, T)]) -> Option<T> {
        let node = self.fields.take(key)?;
        let place = node.place;
        let word = self.reader.word(node, key)?;
        let found = known.iter().find(|(name, _)| *name == word).map(|(_, value)| *value);
        if found.is_none() {
            let names: Vec<&str> = known.iter().map(|(name, _)| *name).collect();
            self.reader.unknown("unknown-word", place, &format!("a {key} that is known"), &word, &names);
        }
        found
    }

    /// A length in millimetres.
    pub(crate) fn length(&mut self, key: &str, range: RangeInclusive<f64>) -> Option<f64> {
        let (key, node) = self.node(key, "_mm")?;
        self.reader.length(&node, &key, self.unit.unwrap_or(Unit::Millimetre), range)
    }

    /// A yes or no.
    pub(crate) fn flag(&mut self, key: &str) -> Option<bool> {
        let node = self.fields.take(key)?;
        self.reader.flag(&node, key)
    }
}

/// What the `craft` map of a wood's `router` section says.
pub(crate) fn of_router_table(node: Node, under: RouterCraft, reader: &mut Reader) -> RouterCraft {
    let wish = reader
        .map(node, "craft", RouterWish::TABLE_KEYS)
        .map(|mut fields| RouterWish::take(&mut Taker::table(&mut fields, reader)));
    under.with(wish.unwrap_or_default())
}

/// What the `craft` map of a wood's `laser` section says.
pub(crate) fn of_laser_table(node: Node, under: LaserCraft, reader: &mut Reader) -> LaserCraft {
    let wish = reader
        .map(node, "craft", LaserWish::TABLE_KEYS)
        .map(|mut fields| LaserWish::take(&mut Taker::table(&mut fields, reader)));
    under.with(wish.unwrap_or_default())
}
