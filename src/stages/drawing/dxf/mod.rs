//! DXF to what is drawn in it: repair first, then the strict reader of the `dxf` crate, then a walk over blocks and
//! inserts that puts every curve in its place, in millimetres.

mod frame;
mod shape;
mod spline;
mod unit;
mod walk;
mod words;

use dxf::Drawing;

use super::Found;
use super::repair::{Proper, proper};
use super::role::Roles;
use super::talk::Talk;
use crate::problem::Problem;
use crate::stages::job::DrawingSource;

/// Reads a DXF file.
pub(super) fn read(
    source: &DrawingSource,
    bytes: &[u8],
    binary: bool,
    roles: &Roles,
    talk: &mut Talk,
) -> Option<Found> {
    let mut proper = proper(bytes, binary, talk)?;
    let text = std::mem::take(&mut proper.text);
    let drawing = match Drawing::load(&mut text.as_slice()) {
        Ok(drawing) => drawing,
        Err(error) => {
            talk.push(
                Problem::error("unreadable", format!("the drawing could not be read: {error}"))
                    .hint("export the drawing again as DXF"),
            );
            return None;
        }
    };
    drop(text);
    if !agrees(&proper, &drawing) {
        talk.push(
            Problem::error("miscounted", "the drawing's entities do not add up after reading")
                .hint("export the drawing again as DXF, in ASCII and of another year"),
        );
        return None;
    }
    let unit = unit::of(source, &proper, talk);
    let finds = walk::run(&proper, &drawing, unit.unwrap_or_default(), roles, talk);
    if unit.is_none() {
        talk.push(unit::missing(&proper, &finds));
    }
    Some(finds.into_found(unit.unwrap_or_default().unit))
}

/// Whether the strict reader gave every entity that it was given, and no other.
fn agrees(proper: &Proper, drawing: &Drawing) -> bool {
    let blocks: Vec<usize> = drawing.blocks().map(|block| block.entities.len()).collect();
    drawing.entities().count() == proper.origins.len()
        && blocks == proper.blocks.iter().map(|block| block.origins.len()).collect::<Vec<_>>()
}
