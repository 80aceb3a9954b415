//! The unit of a DXF drawing.

use std::fmt::Write as _;

use crate::geometry::Rect;
use crate::problem::Problem;
use crate::stages::drawing::repair::Proper;
use crate::stages::drawing::talk::{Finds, Talk};
use crate::stages::job::DrawingSource;
use crate::units::Unit;

/// A unit with its length.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    /// The nearest unit that has a name here.
    pub(super) unit: Unit,
    /// Millimetres of one unit of the drawing.
    pub(super) millimetres: f64,
}

impl Default for Scale {
    fn default() -> Self {
        Self::from(Unit::Millimetre)
    }
}

impl From<Unit> for Scale {
    fn from(unit: Unit) -> Self {
        Self { unit, millimetres: unit.millimetres() }
    }
}

/// The unit by `$INSUNITS` (DXF reference, header variables); none for 0 and for what nobody cuts.
fn by_number(number: i64) -> Option<Scale> {
    Some(match number {
        1 => Unit::Inch.into(),
        2 => Unit::Foot.into(),
        4 => Unit::Millimetre.into(),
        5 => Unit::Centimetre.into(),
        6 => Unit::Metre.into(),
        8 => Unit::Microinch.into(),
        9 => Unit::Mil.into(),
        10 => Unit::Yard.into(),
        13 => Unit::Micrometre.into(),
        14 => Unit::Decimetre.into(),
        // The foot of the United States survey is 1200/3937 m by definition.
        21 => Scale { unit: Unit::Foot, millimetres: 1_200_000.0 / 3937.0 },
        _ => return None,
    })
}

/// The unit that the job says, else that of the file; none where neither does.
pub(super) fn of(source: &DrawingSource, proper: &Proper, talk: &mut Talk) -> Option<Scale> {
    let by_file = proper.insunits.and_then(by_number);
    let Some(said) = source.units else { return by_file };
    if let Some(file) = by_file.filter(|file| file.unit != said) {
        let message =
            format!("the file says that it is drawn in {}; it was read in {said}, as asked", file.unit);
        talk.push(Problem::note("units-overridden", message));
    }
    Some(said.into())
}

/// The problem of a drawing that does not say its unit, with the size that each guess would give.
pub(super) fn missing(proper: &Proper, finds: &Finds) -> Problem {
    let why = match proper.insunits {
        None | Some(0) => "the file does not say in what unit it is drawn".to_owned(),
        Some(number) => format!("the file names a unit that is of no use here ($INSUNITS {number})"),
    };
    let bounds = finds
        .strokes
        .iter()
        .flat_map(|stroke| &stroke.item.curves)
        .map(crate::geometry::curve::Curve::bounds)
        .reduce(|a, b| a.union(b));
    let hint = match bounds {
        Some(bounds) => guesses(proper, bounds),
        None => "say the unit: --units mm, or units: mm beside the drawing in the job".to_owned(),
    };
    Problem::error("units-missing", why).hint(hint)
}

fn guesses(proper: &Proper, bounds: Rect) -> String {
    let mut hint = "say which of these is right with --units, or units: in the job:".to_owned();
    for unit in [Unit::Millimetre, Unit::Inch, Unit::Centimetre, Unit::Metre, Unit::Foot] {
        let (width, height) = (bounds.width() * unit.millimetres(), bounds.height() * unit.millimetres());
        // Writing to memory does not fail.
        let _ = write!(hint, " {unit} gives {} x {} mm,", rounded(width), rounded(height));
    }
    hint.pop();
    match proper.measurement {
        Some(0) => hint.push_str(" ($MEASUREMENT hints at inches)"),
        Some(1) => hint.push_str(" ($MEASUREMENT hints at metric units)"),
        _ => {}
    }
    hint
}

/// Three digits or so are enough to know a size by.
fn rounded(size: f64) -> String {
    let digits = if size >= 100.0 {
        0
    } else if size >= 10.0 {
        1
    } else {
        3
    };
    format!("{size:.digits$}")
}
