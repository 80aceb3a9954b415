//! Workshop craft: what a good operator does beyond feeds and depths. The defaults come from a wood's table (`craft` in
//! its `router` and `laser` sections); a job replaces them for all parts, for one wood, or for one part.
//!
//! Every item is one field here, one wish (a field of the same name that may be left out), and one line where the wish is
//! read: under its name with a unit at the end in a table, without it in a job, where lengths are in the job's own unit.

use std::ops::RangeInclusive;

use serde::{Deserialize, Serialize};

use crate::units::Unit;
use crate::yaml::{Fields, Node, Reader};

/// How a cutter goes about its work.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct RouterCraft {
    /// Whether the cutter climbs: it turns clockwise and has the piece on its right. Else it cuts conventionally.
    pub climb: bool,
}

impl Default for RouterCraft {
    /// Where neither table nor job says anything.
    fn default() -> Self {
        Self { climb: true }
    }
}

/// What a table or a job says of a router's craft; none leaves it as it is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RouterWish {
    /// See [`RouterCraft::climb`].
    pub climb: Option<bool>,
}

impl RouterWish {
    /// Keys in a job.
    pub const JOB_KEYS: &[&str] = &["climb"];

    /// Keys in a table.
    pub const TABLE_KEYS: &[&str] = &["climb"];

    /// Takes the wishes out of a map.
    pub(crate) fn take(taker: &mut Taker) -> Self {
        Self { climb: taker.flag("climb") }
    }

    /// These wishes, with `behind` where they say nothing.
    #[must_use]
    pub fn over(self, behind: Self) -> Self {
        Self { climb: self.climb.or(behind.climb) }
    }
}

impl RouterCraft {
    /// This with what is wished in its place.
    #[must_use]
    pub fn with(self, wish: RouterWish) -> Self {
        Self { climb: wish.climb.unwrap_or(self.climb) }
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
}

impl Default for LaserCraft {
    /// Where neither table nor job says anything.
    fn default() -> Self {
        Self { apart_mm: 5.0, bridge_kerfs: 4.0 }
    }
}

/// What a table or a job says of a laser's craft; none leaves it as it is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LaserWish {
    /// See [`LaserCraft::apart_mm`].
    pub apart_mm: Option<f64>,
    /// See [`LaserCraft::bridge_kerfs`].
    pub bridge_kerfs: Option<f64>,
}

impl LaserWish {
    /// Keys in a job.
    pub const JOB_KEYS: &[&str] = &["apart", "bridge"];

    /// Keys in a table.
    pub const TABLE_KEYS: &[&str] = &["apart_mm", "bridge_kerfs"];

    /// Takes the wishes out of a map.
    pub(crate) fn take(taker: &mut Taker) -> Self {
        Self {
            apart_mm: taker.length("apart", 0.0..=200.0),
            bridge_kerfs: taker.number("bridge", "_kerfs", 0.0..=50.0),
        }
    }

    /// These wishes, with `behind` where they say nothing.
    #[must_use]
    pub fn over(self, behind: Self) -> Self {
        Self {
            apart_mm: self.apart_mm.or(behind.apart_mm),
            bridge_kerfs: self.bridge_kerfs.or(behind.bridge_kerfs),
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
