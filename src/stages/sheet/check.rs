//! The last look before a layout leaves the room: true outlines, exact distances. Shares nothing with the search.

use rayon::prelude::*;

use super::{Layout, Placed, Room, Sheet};
use crate::geometry::distance::{SegmentIndex, gap, material_gap};
use crate::geometry::{Outline, Point, Rect, Region};
use crate::problem::{Problem, Problems};
use crate::stages::job::{Clamp, Turn};
use crate::stages::part::Part;

/// How far a distance may fall short, mm: rounding, and nothing that a machine could show.
const SHORT_MM: f64 = 1e-6;

/// How far a grain may lie off the sheet's, degrees: rounding only.
const ASKEW_DEG: f64 = 1e-6;

/// A piece where it lies.
#[derive(Debug)]
struct Piece<'a> {
    part: &'a Part,
    placed: &'a Placed,
    region: Region,
    bounds: Rect,
    index: SegmentIndex,
}

/// Says where pieces lie too close to each other, too close to the edge, or with their grain astray. A sound search
/// leaves nothing to say.
pub fn check(layout: &Layout, parts: &[Part], room: Room, problems: &mut Problems) {
    let found: Vec<Vec<Problem>> =
        layout.sheets.par_iter().map(|sheet| check_sheet(sheet, parts, room)).collect();
    problems.extend(found.into_iter().flatten());
}

fn check_sheet(sheet: &Sheet, parts: &[Part], room: Room) -> Vec<Problem> {
    let mut pieces: Vec<Piece<'_>> = sheet.placed.iter().map(|placed| Piece::new(placed, parts)).collect();
    let mut problems: Vec<Problem> = pieces.iter().filter_map(|piece| piece.astray(sheet, room)).collect();
    pieces.sort_by(|a, b| a.bounds.x0.total_cmp(&b.bounds.x0));
    for (i, a) in pieces.iter().enumerate() {
        let reach = a.bounds.inflate(room.spacing_mm, room.spacing_mm);
        let near = pieces[i + 1..].iter().take_while(|b| b.bounds.x0 <= reach.x1);
        let close = near.filter(|b| b.bounds.overlaps(reach)).filter_map(|b| a.too_close(b, room, sheet));
        problems.extend(close);
    }
    problems
}

impl<'a> Piece<'a> {
    fn new(placed: &'a Placed, parts: &'a [Part]) -> Self {
        let part = &parts[placed.part];
        let region = part.region.placed(&placed.placement);
        let (bounds, index) = (region.bounds(), SegmentIndex::of_region(&region));
        Self { part, placed, region, bounds, index }
    }

    /// What is wrong with it by itself: off the sheet, or across its grain.
    fn astray(&self, sheet: &Sheet, room: Room) -> Option<Problem> {
        let least = room.margin_mm - SHORT_MM;
        let Clamp { left, right, bottom, top } = sheet.blank.clamp;
        let inside = Rect::new(
            least + left,
            least + bottom,
            sheet.length_mm - least - right,
            sheet.width_mm - least - top,
        );
        if inside.union(self.bounds) != inside || self.over_outline(sheet, least) {
            let message = format!("{} lies too near the edge of sheet {}", self.part.id, sheet.number);
            return Some(self.wrong("off-sheet", message, self.part.at));
        }
        if sheet.blank.avoid.iter().any(|zone| self.meets(zone, room)) {
            let message = format!("{} lies where nothing may lie on sheet {}", self.part.id, sheet.number);
            return Some(self.wrong("in-zone", message, self.part.at));
        }
        let lies = self.part.grain_deg.map_or(0.0, |grain| self.placed.placement.grain_deg(grain));
        let allowed = match self.part.lying.turn {
            Turn::Grain => ASKEW_DEG,
            Turn::Within(degrees) => degrees + ASKEW_DEG,
            Turn::Any => f64::INFINITY,
        };
        (lies.min(180.0 - lies) > allowed).then(|| {
            let message =
                format!("{}'s grain lies {lies:.3} degrees off sheet {}'s", self.part.id, sheet.number);
            self.wrong("grain-off", message, self.part.at)
        })
    }

    /// Whether it reaches over the sheet's own outline, or nearer to it than that.
    fn over_outline(&self, sheet: &Sheet, least: f64) -> bool {
        let Some(outline) = &sheet.blank.outline else { return false };
        let edge = SegmentIndex::of_outline(outline);
        let corner = self.region.outer().vertices()[0].at;
        edge.winding(corner) == 0 || (least > 0.0 && gap(&self.index, &edge, least).is_some())
    }

    /// Whether it lies nearer to a zone than its spacing.
    fn meets(&self, zone: &Outline, room: Room) -> bool {
        let index = SegmentIndex::of_outline(zone);
        let least = room.spacing_mm - SHORT_MM;
        if least > 0.0 {
            return material_gap(&self.index, &index, least).is_some();
        }
        deep_in(self.region.outlines(), &index).or_else(|| deep_in([zone], &self.index)).is_some()
    }

    fn too_close(&self, other: &Self, room: Room, sheet: &Sheet) -> Option<Problem> {
        let least = room.spacing_mm - SHORT_MM;
        let (distance, at) = if least > 0.0 {
            let gap = material_gap(&self.index, &other.index, least)?;
            (gap.distance, gap.from)
        } else {
            let deep = deep_in(self.region.outlines(), &other.index);
            (0.0, deep.or_else(|| deep_in(other.region.outlines(), &self.index))?)
        };
        let message = format!(
            "{} and {} are {distance:.3} mm apart on sheet {} where {:.3} mm are needed",
            self.part.id, other.part.id, sheet.number, room.spacing_mm
        );
        let pinned = if self.part.lying.pins.is_empty() { other } else { self };
        Some(pinned.wrong("overlap", message, pinned.placed.placement.point_back(at)))
    }

    fn wrong(&self, code: &'static str, message: String, at: Point) -> Problem {
        let hint = if self.part.lying.pins.is_empty() {
            "this is a fault in Grainwise, nothing is written: please report it with the job and its drawings"
        } else {
            "a piece of it is pinned by hand: move the pin, or turn it along the grain"
        };
        Problem::error(code, message).of_part(&self.part.id).on_layer(&self.part.layer).at(at).hint(hint)
    }
}

/// A point of the outlines that lies within other material, where touching is allowed.
fn deep_in<'o>(outlines: impl IntoIterator<Item = &'o Outline>, other: &SegmentIndex) -> Option<Point> {
    let points = outlines.into_iter().flat_map(Outline::segments).flat_map(|s| [s.from, s.at(0.5)]);
    points.into_iter().find(|&p| other.winding(p) != 0 && other.distance(p) > SHORT_MM)
}
