//! Workshop craft: what a good operator does beyond feeds and depths. The defaults come from a wood's table (`craft` in
//! its `router` and `laser` sections); a job replaces them for all parts, for one wood, or for one part.
//!
//! Every item is one field here, one wish (a field of the same name that may be left out), and one line where the wish is
//! read.

use serde::{Deserialize, Serialize};

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
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LaserCraft {}

/// What a table or a job says of a laser's craft; none leaves it as it is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LaserWish {}

impl LaserWish {
    /// Keys in a job.
    pub const JOB_KEYS: &[&str] = &[];

    /// Keys in a table.
    pub const TABLE_KEYS: &[&str] = &[];

    /// Takes the wishes out of a map.
    pub(crate) fn take(_taker: &mut Taker) -> Self {
        Self {}
    }

    /// These wishes, with `behind` where they say nothing.
    #[must_use]
    pub fn over(self, _behind: Self) -> Self {
        self
    }
}

impl LaserCraft {
    /// This with what is wished in its place.
    #[must_use]
    pub fn with(self, _wish: LaserWish) -> Self {
        self
    }
}

/// Takes values out of a map of a table or of a job.
pub(crate) struct Taker<'t, 'r> {
    fields: &'t mut Fields,
    reader: &'t mut Reader<'r>,
}

impl<'t, 'r> Taker<'t, 'r> {
    /// Out of these fields.
    pub(crate) fn new(fields: &'t mut Fields, reader: &'t mut Reader<'r>) -> Self {
        Self { fields, reader }
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
        .map(|mut fields| RouterWish::take(&mut Taker::new(&mut fields, reader)));
    under.with(wish.unwrap_or_default())
}

/// What the `craft` map of a wood's `laser` section says.
pub(crate) fn of_laser_table(node: Node, under: LaserCraft, reader: &mut Reader) -> LaserCraft {
    let wish = reader
        .map(node, "craft", LaserWish::TABLE_KEYS)
        .map(|mut fields| LaserWish::take(&mut Taker::new(&mut fields, reader)));
    under.with(wish.unwrap_or_default())
}
