//! How fast a cutter goes along its path: slower in inside corners, where it has wood around more of its edge than along a
//! straight and its direction changes at once (common practice, no source).
//!
//! The path of a cutter's middle is round at a piece's outward corners: where it has a corner, that is an inside one.

use crate::geometry::turn_between;

use super::super::track::{NOTHING_MM, Track};

/// A path that turns by less at once has no corner there, radians: thirty degrees.
const CORNER: f64 = 0.52;

/// Stretches of a path between two places, each with its feed: `feeds[1]` within `near` millimetres of a corner of a closed
/// path, `feeds[0]` elsewhere.
pub(super) fn along(track: &Track, part: (f64, f64), near: f64, feeds: [f64; 2]) -> Vec<(f64, f64, f64)> {
    let (mut here, to) = part;
    let mut stretches = Vec::new();
    let mut add = |from: f64, to: f64, feed: f64| {
        if to - from > NOTHING_MM {
            stretches.push((from, to, feed));
        }
    };
    if feeds[1] < feeds[0] {
        for corner in corners(track) {
            let (begins, ends) = ((corner - near).max(here), (corner + near).min(to));
            if ends > begins {
                add(here, begins, feeds[0]);
                add(begins, ends, feeds[1]);
                here = ends;
            }
        }
    }
    add(here, to, feeds[0]);
    stretches
}

/// Where a closed path has corners, mm from its beginning; one at the beginning is at the end, too.
fn corners(track: &Track) -> Vec<f64> {
    let segments = track.segments();
    let (Some(first), Some(last)) = (segments.first(), segments.last()) else { return Vec::new() };
    if last.to.distance(first.from) > NOTHING_MM {
        return Vec::new();
    }
    let turns = |i: usize| {
        let (before, ahead) = (segments[(i + segments.len() - 1) % segments.len()], segments[i]);
        turn_between(before.tangent(1.0), ahead.tangent(0.0)).abs() >= CORNER
    };
    let mut places: Vec<f64> = (0..segments.len()).filter(|&i| turns(i)).map(|i| track.start(i)).collect();
    if turns(0) {
        places.push(track.length());
    }
    places
}
