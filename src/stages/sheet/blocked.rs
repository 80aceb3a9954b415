//! What pieces keep clear of on a sheet that is no whole rectangle of good wood.

use super::Room;
use crate::geometry::{Outline, Rect, Region, offset};
use crate::stages::job::Blank;

/// How far beyond the sheet what is not there of it reaches, mm: far enough to tell a piece that lies in it which way is
/// out.
const BEYOND_MM: f64 = 30.0;

/// All that pieces on a sheet of this size keep their spacing from: zones to avoid, and what lies beyond a remnant's
/// outline, grown so that the margin is kept there. None where that cannot be reckoned.
pub(super) fn blocked(blank: &Blank, (length, width): (f64, f64), room: Room) -> Option<Vec<Region>> {
    let mut blocked: Vec<Region> =
        blank.avoid.iter().map(|zone| Region::new(zone.clone(), Vec::new())).collect();
    if let Some(outline) = &blank.outline {
        let beyond = BEYOND_MM + 2.0 * room.spacing_mm;
        let around = Rect::new(0.0, 0.0, length, width).inflate(beyond, beyond);
        let outside = Region::new(Outline::rectangle(around), vec![outline.clone()]);
        blocked.extend(offset::offset(&outside, room.margin_mm - room.spacing_mm).ok()?.regions);
    }
    Some(blocked)
}
