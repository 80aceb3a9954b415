//! What is drawn on a rib: its station, and which side is up.

use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Chain, Placement, Point, Rect, Vec2, Vertex, lettering};

/// Heights of letters, mm, the larger first: the smallest two of ISO 3098.
const HEIGHTS: [f64; 2] = [2.5, 1.8];

/// Marks keep this far from every edge, mm: what a beam chars and a little more.
const CLEAR: f64 = 0.8;

/// So many places along the rib are tried.
const PLACES: u32 = 120;

/// The station in millimetres and an arrow upwards, where the material has room for both; else nothing.
pub(super) fn station(station: f64, bounds: Rect, index: &SegmentIndex, kept: Rect) -> Vec<Chain> {
    let rounded = (station * 10.0).round() / 10.0;
    let text = format!("{rounded}");
    for height in HEIGHTS {
        let letters = lettering::text(&text, height);
        let wide = lettering::width(&text, height);
        let arrow = up(wide + height, height);
        let size = Vec2::new(wide + 1.5 * height, height);
        for k in 0..PLACES {
            // From the tail on: ahead of the spar there is little room.
            let x = bounds.x1 - (bounds.width() - size.x) * f64::from(k) / f64::from(PLACES - 1) - size.x;
            let Some(middle) = middle(x + size.x / 2.0, bounds, index) else { continue };
            let at = Point::new(x, middle - height / 2.0);
            let area = Rect::from_points(at, at + size);
            if area.overlaps(kept) || !is_clear(area, index) {
                continue;
            }
            let placed = Placement { shift: at.to_vec2(), ..Placement::HERE };
            return letters.iter().chain(&arrow).map(|chain| chain.placed(&placed)).collect();
        }
    }
    Vec::new()
}

/// An arrow upwards with its foot on the line.
fn up(x: f64, height: f64) -> Vec<Chain> {
    let head = 0.3 * height;
    let chain = |points: &[(f64, f64)]| {
        Chain::new(points.iter().map(|&(x, y)| Vertex::new(x, y, 0.0)).collect()).ok()
    };
    let shaft = chain(&[(x, 0.0), (x, height)]);
    let tip = chain(&[(x - head, height - head), (x, height), (x + head, height - head)]);
    shaft.into_iter().chain(tip).collect()
}

/// The middle of the widest stretch of material on an upright.
fn middle(x: f64, bounds: Rect, index: &SegmentIndex) -> Option<f64> {
    let steps = 60;
    let place = |k: u32| bounds.y0 + bounds.height() * (f64::from(k) + 0.5) / f64::from(steps);
    let mut best = (0, 0);
    let mut run = 0;
    for k in 0..steps {
        run = if index.winding(Point::new(x, place(k))) == 0 { 0 } else { run + 1 };
        if run > best.0 {
            best = (run, k);
        }
    }
    (best.0 > 0).then(|| f64::midpoint(place(best.1), place(best.1 + 1 - best.0)))
}

fn is_clear(area: Rect, index: &SegmentIndex) -> bool {
    (0..=6).all(|i| {
        (0..=2).all(|j| {
            let at = Point::new(
                area.x0 + area.width() * f64::from(i) / 6.0,
                area.y0 + area.height() * f64::from(j) / 2.0,
            );
            index.winding(at) != 0 && index.distance(at) >= CLEAR
        })
    })
}
