//! The size of a sheet as people write it: `1000x100`, `36 x 4 inch`.

use std::ops::RangeInclusive;

use crate::units::Unit;
use crate::yaml;

/// A text that is no size of a sheet.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "'{0}' is not the size of a sheet: write LENGTHxWIDTH with the grain along LENGTH, such as 1000x100 or 36x4 inch"
)]
pub struct BadSize(String);

/// Shortest and longest edge of a sheet, mm.
const EDGES: RangeInclusive<f64> = 5.0..=10_000.0;

/// Length along the grain and width across it, in millimetres. A unit at the end holds for both numbers that have none of
/// their own; `unit` holds where there is none.
///
/// # Errors
/// [`BadSize`] where the text is not two lengths with an `x` between them, or an edge is below 5 mm or above 10 m.
pub fn parse_sheet(text: &str, unit: Unit) -> Result<(f64, f64), BadSize> {
    let bad = || BadSize(text.chars().take(40).collect());
    let (length, width) = text.split_once(['x', 'X', '×']).ok_or_else(bad)?;
    let end = width.find(char::is_alphabetic).map(|at| &width[at..]).unwrap_or_default();
    let both = if end.is_empty() { unit } else { end.parse().map_err(|_| bad())? };
    let edge = |text: &str| yaml::parse_length(text, both);
    edge(length).zip(edge(width)).filter(|size| is_possible(*size)).ok_or_else(bad)
}

/// Whether a sheet may be so long and wide, mm.
pub fn is_possible((length, width): (f64, f64)) -> bool {
    EDGES.contains(&length) && EDGES.contains(&width)
}
