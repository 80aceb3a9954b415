//! What a reader finds in a file before anything is joined: strokes, texts and points, each with layer and role.

use std::collections::BTreeMap;

use super::{Drawn, Text};
use crate::geometry::Point;
use crate::geometry::curve::Curve;
use crate::units::Unit;

/// One entity's curves, in millimetres, each beginning where the one before ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// The curves in order; never none.
    pub curves: Vec<Curve>,
    /// Whether the file says that it is closed: the last curve ends where the first begins.
    pub closed: bool,
}

/// What a reader found in one file.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The unit the file was drawn in.
    pub units: Unit,
    /// Lines and curves; those to be ignored are left out (and counted as unused, as `KIND (ignored layer)`).
    pub strokes: Vec<Drawn<Stroke>>,
    /// Texts, whatever their layer unless ignored.
    pub texts: Vec<Drawn<Text>>,
    /// Points.
    pub points: Vec<Drawn<Point>>,
    /// Entities used, by kind.
    pub used: BTreeMap<String, usize>,
    /// Entities not used, by kind.
    pub unused: BTreeMap<String, usize>,
}
