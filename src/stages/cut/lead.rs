//! Leads: quarter arcs in the waste by which beam or cutter comes to its path and leaves it, tangent to it, so that it
//! leaves no mark where it begins. Never into a piece, its neighbours, or off the sheet: where there is no room they are left out.

use crate::geometry::distance::{SegmentIndex, Visit};
use crate::geometry::{Outline, Point, Rect, Segment, Vec2, trig};
use crate::stages::sheet::Sheet;

use super::track::Track;
use super::{Cut, Lead, Operation, Path};

/// A lead keeps this far from the paths of other cuts, mm: what is left between them need not hold anything.
const CLEAR_MM: f64 = 0.2;

/// A lead with a smaller radius than this is of no use, mm.
const LEAST_MM: f64 = 0.3;

/// Where the path bends towards a lead, so much of the distance that it would have from a straight has to be left.
const OPEN_SHARE: f64 = 0.5;

/// Where a lead is looked at, as fractions of its quarter turn from the path.
const LOOKED_AT: [f64; 4] = [0.25, 0.5, 0.75, 1.0];

/// All the paths of a sheet, to keep clear of.
pub(super) struct Ground {
    paths: SegmentIndex,
    /// Which cut each segment belongs to.
    of: Vec<usize>,
    size_mm: [f64; 2],
    radius_mm: f64,
}

impl Ground {
    pub(super) fn of(cuts: &[Cut], sheet: &Sheet, kerf_mm: f64) -> Self {
        let mut of = Vec::new();
        let mut segments = Vec::new();
        for (i, cut) in cuts.iter().enumerate() {
            if let Path::Closed(outline) = &cut.path {
                segments.extend(outline.segments());
                of.resize(segments.len(), i);
            }
        }
        let size_mm = [sheet.length_mm, sheet.width_mm];
        Self { paths: SegmentIndex::new(segments), of, size_mm, radius_mm: kerf_mm / 2.0 }
    }

    /// The leads of one cut that comes to its path at its beginning and leaves it `overrun_mm` after it, and how many
    /// found no room.
    pub(super) fn leads(&self, which: usize, cut: &Cut, radius: f64, overrun_mm: f64) -> (Lead, u32) {
        if !matches!(cut.path, Path::Closed(_)) || radius < LEAST_MM {
            return (Lead::default(), 0);
        }
        let come = self.come(which, cut, radius);
        let leave = self.lead(which, cut, radius, overrun_mm, true);
        let missing = u32::from(come.is_none()) + u32::from(leave.is_none());
        (Lead { come, leave }, missing)
    }

    /// The lead by which a cut comes to its path at its beginning; none where it finds no room.
    pub(super) fn come(&self, which: usize, cut: &Cut, radius: f64) -> Option<Segment> {
        self.lead(which, cut, radius, 0.0, false).map(|arc| arc.reversed())
    }

    /// An arc from the path outwards at `s`, ahead along it or back, as large as finds room.
    fn lead(&self, which: usize, cut: &Cut, radius: f64, s: f64, ahead: bool) -> Option<Segment> {
        let Path::Closed(outline) = &cut.path else { return None };
        let track = Track::of_outline(outline);
        let waste_left = outline.is_counter_clockwise() == (cut.operation == Operation::CutInside);
        let radii = [radius, radius / 2.0, radius / 4.0].into_iter().filter(|r| *r >= LEAST_MM);
        radii
            .map(|r| quarter(&track, s, r, waste_left, ahead))
            .find(|arc| self.has_room(which, cut.operation, outline, arc))
    }

    /// Whether an arc that leaves a path where it begins stays in the waste: within a hole, outside a piece.
    fn has_room(&self, which: usize, operation: Operation, outline: &Outline, arc: &Segment) -> bool {
        let radius = arc.radius();
        let within = operation == Operation::CutInside;
        LOOKED_AT.iter().all(|&t| {
            let at = arc.at(t);
            let aside = radius * (1.0 - trig::sin_cos_deg(90.0 * t).1);
            self.on_sheet(at)
                && outline.contains(at) == within
                && outline.distance(at) >= OPEN_SHARE * aside
                && self.clear_of_others(which, at)
        })
    }

    fn on_sheet(&self, at: Point) -> bool {
        let within = |value: f64, size: f64| value >= self.radius_mm && value <= size - self.radius_mm;
        within(at.x, self.size_mm[0]) && within(at.y, self.size_mm[1])
    }

    fn clear_of_others(&self, which: usize, at: Point) -> bool {
        let mut clear = true;
        let near = Rect::from_points(at, at).inflate(CLEAR_MM, CLEAR_MM);
        self.paths.visit(near, |segment| {
            clear = self.of[segment] == which || self.paths.segment(segment).nearest(at).1 >= CLEAR_MM;
            if clear { Visit::Go } else { Visit::Stop }
        });
        clear
    }
}

/// A quarter turn that leaves the track at `s`, ahead along it or back.
fn quarter(track: &Track, s: f64, radius: f64, waste_left: bool, ahead: bool) -> Segment {
    let way = track.tangent(s);
    let at = track.point(s);
    let left = Vec2::new(-way.y, way.x);
    let out = if waste_left { left } else { -left };
    let along = if ahead { way } else { -way };
    let centre = at + out * radius;
    Segment::about(at, centre + along * radius, centre, waste_left == ahead)
}
