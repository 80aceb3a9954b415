//! The last look before a layout leaves the room: true outlines, exact distances. Shares nothing with the search.

use rayon::prelude::*;

use super::{Layout, Placed, Room, Sheet};
use crate::geometry::distance::{SegmentIndex, material_gap};
use crate::geometry::{Outline, Point, Rect, Region};
use crate::problem::{Problem, Problems};
use crate::stages::job::Turn;
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
        let inside = Rect::new(least, least, sheet.length_mm - least, sheet.width_mm - least);
        if inside.union(self.bounds) != inside {
            let message = format!("{} lies too near the edge of sheet {}", self.part.id, sheet.number);
            return Some(self.wrong("off-sheet", message, self.part.at));
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

    fn too_close(&self, other: &Self, room: Room, sheet: &Sheet) -> Option<Problem> {
        let least = room.spacing_mm - SHORT_MM;
        let (distance, at) = if least > 0.0 {
            let gap = material_gap(&self.index, &other.index, least)?;
            (gap.distance, gap.from)
        } else {
            (0.0, self.deep_in(other).or_else(|| other.deep_in(self))?)
        };
        let message = format!(
            "{} and {} are {distance:.3} mm apart on sheet {} where {:.3} mm are needed",
            self.part.id, other.part.id, sheet.number, room.spacing_mm
        );
        Some(self.wrong("overlap", message, self.placed.placement.point_back(at)))
    }

    /// A point of its outlines that lies within the other's material, where touching is allowed.
    fn deep_in(&self, other: &Self) -> Option<Point> {
        let points = self.region.outlines().flat_map(Outline::segments).flat_map(|s| [s.from, s.at(0.5)]);
        points.into_iter().find(|&p| other.index.winding(p) != 0 && other.index.distance(p) > SHORT_MM)
    }

    fn wrong(&self, code: &'static str, message: String, at: Point) -> Problem {
        let hint = "this is a fault in Grainwise, nothing is written: please report it with the job and its drawings";
        Problem::error(code, message).of_part(&self.part.id).on_layer(&self.part.layer).at(at).hint(hint)
    }
}
