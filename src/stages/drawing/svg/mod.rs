//! SVG to what is drawn in it.

use super::Found;
use super::role::Roles;
use super::talk::Talk;
use crate::stages::job::DrawingSource;

/// Reads an SVG file.
pub(super) fn read(source: &DrawingSource, text: &str, roles: &Roles, talk: &mut Talk) -> Option<Found> {
    let _ = (source, text, roles, talk);
    None
}
