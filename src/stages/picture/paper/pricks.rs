//! Where a pattern is pricked through with a pin, for those who join the dots instead of sticking the paper on.

use super::leaf::Ink;
use super::sketch::Sketch;
use crate::geometry::{Outline, Point, Region, Segment, turn_between};

/// Radius of the ring around a prick, mm: the place itself stays free for the pin.
const RING_MM: f64 = 0.7;

/// Outlines that turn by more than this, degrees, have a corner there.
const CORNER_DEG: f64 = 10.0;

/// Draws a ring at every corner, and in between so that no two are farther apart than this along the outline.
pub(super) fn draw(region: &Region, apart_mm: f64, sketch: &mut Sketch) {
    for at in region.outlines().flat_map(|outline| places(outline, apart_mm)) {
        sketch.closed(Outline::circle(at, RING_MM).segments(), Ink::HAIR);
    }
}

/// The places along one outline.
fn places(outline: &Outline, apart_mm: f64) -> Vec<Point> {
    let segments: Vec<Segment> = outline.segments().filter(|s| s.length() > 0.0).collect();
    let before = |i: usize| segments[(i + segments.len() - 1) % segments.len()];
    let is_corner = |i: usize| {
        turn_between(before(i).tangent(1.0), segments[i].tangent(0.0)).abs().to_degrees() > CORNER_DEG
    };
    let first = (0..segments.len()).find(|i| is_corner(*i)).unwrap_or(0);
    let mut runs: Vec<Vec<Segment>> = Vec::new();
    for i in (first..segments.len()).chain(0..first) {
        match runs.last_mut() {
            Some(run) if !is_corner(i) => run.push(segments[i]),
            _ => runs.push(vec![segments[i]]),
        }
    }
    runs.iter().flat_map(|run| along(run, apart_mm)).collect()
}

/// The beginning of a run, and places that share it evenly; its end is the next one's beginning.
fn along(run: &[Segment], apart_mm: f64) -> Vec<Point> {
    let whole: f64 = run.iter().map(Segment::length).sum();
    let count = (whole / apart_mm).ceil().max(1.0);
    let mut places = Vec::new();
    let mut begin = 0.0;
    for segment in run {
        let length = segment.length();
        while (places.len() as f64) < count && places.len() as f64 * whole / count < begin + length {
            places.push(segment.at((places.len() as f64 * whole / count - begin) / length));
        }
        begin += length;
    }
    places
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop here")]
mod tests {
    use super::*;

    #[test]
    fn every_corner_has_a_prick_and_no_gap_is_too_wide() {
        let places =
            places(&Outline::polygon(&[(0.0, 0.0), (95.0, 0.0), (95.0, 8.0), (0.0, 8.0)]).unwrap(), 10.0);
        for corner in [(0.0, 0.0), (95.0, 0.0), (95.0, 8.0), (0.0, 8.0)] {
            assert!(places.iter().any(|p| p.distance(Point::from(corner)) < 1e-9), "{corner:?} {places:?}");
        }
        assert_eq!(places.len(), 10 + 1 + 10 + 1);
        assert!(places.windows(2).all(|pair| pair[0].distance(pair[1]) < 10.0 + 1e-9));
    }

    #[test]
    fn a_circle_is_pricked_all_around() {
        let places = places(&Outline::circle(Point::new(5.0, 5.0), 20.0), 10.0);
        assert_eq!(places.len(), 13); // 125.7 mm around
        assert!(places.iter().all(|p| (p.distance(Point::new(5.0, 5.0)) - 20.0).abs() < 1e-9));
    }
}
