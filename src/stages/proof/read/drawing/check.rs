//! Whether a drawing lies on its sheet, within reach of the machine.

use super::bounds_of;
use crate::geometry::{Point, Rect};
use crate::problem::Problem;
use crate::stages::proof::{Limits, Trace};

/// A path may lie this far out, mm: what rounding in files leaves.
const ROUNDING_MM: f64 = 1e-3;

/// The worst place off the sheet and the worst out of reach. In a file that is not ours they are only odd: people put
/// drawings where they like, and lasers have an origin that is set by hand.
pub(super) fn bounds(traces: &[Trace], limits: &Limits, strict: bool) -> Vec<Problem> {
    let new = if strict { Problem::error } else { Problem::warning };
    let half = limits.kerf_mm.unwrap_or(0.0) / 2.0;
    let off =
        limits.sheet_mm.and_then(|[x, y]| worst(traces, Rect::new(0.0, 0.0, x, y).inflate(-half, -half)));
    let out = limits.reach_mm.and_then(|[x, y, _]| worst(traces, Rect::new(0.0, 0.0, x, y)));
    let off = off.map(|(mm, at)| {
        let message = format!("a cut runs {mm:.3} mm over the edge of the sheet");
        new("off-sheet", message)
            .at(at)
            .hint("the sheet is smaller than the layout, or the drawing is shifted")
    });
    let out = out.map(|(mm, at)| {
        let message = format!("a path runs {mm:.3} mm out of the machine's reach");
        new("beyond-reach", message)
            .at(at)
            .hint("move the drawing to the machine's origin, or use a smaller sheet")
    });
    off.into_iter().chain(out).collect()
}

/// The place that lies farthest outside of a rectangle, and how far.
fn worst(traces: &[Trace], within: Rect) -> Option<(f64, Point)> {
    let mut worst: Option<(f64, Point)> = None;
    for trace in traces {
        let all = bounds_of(trace);
        let over = beyond(all, within);
        if over > worst.map_or(ROUNDING_MM, |(mm, _)| mm) {
            let boxes = trace.segments().map(|(segment, _)| segment);
            let farthest =
                boxes.max_by(|a, b| beyond(a.bounds(), within).total_cmp(&beyond(b.bounds(), within)));
            worst = farthest.map(|segment| (over, segment.at(0.5)));
        }
    }
    worst
}

fn beyond(inner: Rect, outer: Rect) -> f64 {
    let sides = [outer.x0 - inner.x0, outer.y0 - inner.y0, inner.x1 - outer.x1, inner.y1 - outer.y1];
    sides.into_iter().fold(f64::NEG_INFINITY, f64::max)
}
