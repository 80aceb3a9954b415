//! Where a program goes: within the machine's reach, and on the sheet.

use super::{Sense, Step, Tally, Way, point};
use crate::geometry::{Point, Rect};
use crate::units::millimetres;

/// Farther out than this is beyond, mm: tables and tape measures are no better.
const MEASURED_MM: f64 = 0.01;

impl Sense<'_> {
    /// The end of a motion, travel included.
    pub(super) fn reaches(&mut self, step: &Step, to: [Option<f64>; 3], tally: &mut Tally) {
        let lowest_to_highest = to[2].map(|z| self.span(z));
        let Some(reach) = self.limits.reach_mm else { return };
        let beyond = |axis: usize| to[axis].is_some_and(|mm| outside(mm, reach[axis]));
        if beyond(0) || beyond(1) {
            tell_reach(step, point(to), reach, tally);
        }
        if lowest_to_highest.is_some_and(|(span, grew)| grew && span > reach[2] + MEASURED_MM) {
            tally.error("beyond-reach", step.line, point(to), || {
                format!("the program moves more than {} mm up and down", millimetres(reach[2]))
            });
        }
    }

    /// From the lowest to the highest height so far, and whether this one made it more.
    fn span(&mut self, z: f64) -> (f64, bool) {
        let [low, high] = self.heights.unwrap_or([z, z]);
        self.heights = Some([low.min(z), high.max(z)]);
        self.now = Some(z);
        (high.max(z) - low.min(z), z < low || z > high)
    }

    /// Where the machine is, as far as is known.
    pub(super) fn height(&self) -> Option<f64> {
        self.now
    }

    /// The belly of an arc.
    pub(super) fn within_reach(&self, step: &Step, way: &Way, tally: &mut Tally) {
        let Some(reach) = self.limits.reach_mm else { return };
        if !way.is_round() {
            return;
        }
        let bounds = way.bounds();
        let end = way.at(1.0);
        let told = outside(end.x, reach[0]) || outside(end.y, reach[1]);
        if !told && is_outside(&bounds, [reach[0], reach[1]]) {
            tell_reach(step, Some(end), reach, tally);
        }
    }

    /// What is cut lies on the sheet, with half the kerf around it.
    pub(super) fn on_sheet(&self, step: &Step, way: &Way, part: (f64, f64), tally: &mut Tally) {
        let Some(sheet) = self.limits.sheet_mm else { return };
        let half = self.limits.kerf_mm.unwrap_or(0.0) / 2.0;
        let beyond = |bounds: Rect| is_outside(&bounds.inflate(half, half), sheet);
        // The whole way first: most lie on the sheet.
        if !beyond(way.bounds()) {
            return;
        }
        if let Some((segment, _)) = way.segments(part).find(|(segment, _)| beyond(segment.bounds())) {
            let farthest = farthest(&segment.bounds(), sheet);
            tally.error("off-sheet", step.line, Some(farthest), || {
                let [length, width] = sheet.map(millimetres);
                format!("the cut runs beyond the sheet of {length} x {width} mm")
            });
        }
    }
}

fn outside(mm: f64, most: f64) -> bool {
    !(-MEASURED_MM..=most + MEASURED_MM).contains(&mm)
}

fn is_outside(bounds: &Rect, [x, y]: [f64; 2]) -> bool {
    outside(bounds.x0, x) || outside(bounds.x1, x) || outside(bounds.y0, y) || outside(bounds.y1, y)
}

/// The corner of some bounds that lies farthest out.
fn farthest(bounds: &Rect, [x, y]: [f64; 2]) -> Point {
    let pick = |low: f64, high: f64, most: f64| if -low > high - most { low } else { high };
    Point::new(pick(bounds.x0, bounds.x1, x), pick(bounds.y0, bounds.y1, y))
}

fn tell_reach(step: &Step, at: Option<Point>, reach: [f64; 3], tally: &mut Tally) {
    tally.error("beyond-reach", step.line, at, || {
        let [x, y] = [millimetres(reach[0]), millimetres(reach[1])];
        format!("the program leaves the {x} x {y} mm that the machine reaches")
    });
}
