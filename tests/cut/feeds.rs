//! Feeds along a path.

use grainwise::geometry::{Point, Segment};
use grainwise::shop::RouterWish;
use grainwise::stages::cut::{Move, SheetCuts};
use grainwise::stages::job::Cutting;

use super::support::{job_with, part, planned, polygon, shop, solid};

fn notched(corner_feed: f64) -> SheetCuts {
    let outer = polygon(&[
        (20.0, 20.0),
        (140.0, 20.0),
        (140.0, 60.0),
        (90.0, 60.0),
        (90.0, 40.0),
        (70.0, 40.0),
        (70.0, 60.0),
        (20.0, 60.0),
    ]);
    let router = RouterWish { corner_feed: Some(corner_feed), ..RouterWish::default() };
    let cutting = Cutting { cutter_mm: Some(2.0), tabs: Some(0), router, ..Cutting::default() };
    planned(&[part("A", solid(outer))], &job_with(cutting), &shop("workshop-router"))
}

/// Level cuts with their feed.
fn level(sheet: &SheetCuts) -> Vec<(Segment, f64)> {
    let (mut at, mut height) = (Point::ORIGIN, 5.0);
    let mut found = Vec::new();
    for step in &sheet.moves {
        let (to, z, feed, segment) = match *step {
            Move::Rapid { to, z } => (to, z, None, None),
            Move::Line { to, z, feed } => (to, z, Some(feed), Some(Segment::line(at, to))),
            Move::Arc { to, z, centre, counter_clockwise, feed } => {
                (to, z, Some(feed), Some(Segment::about(at, to, centre, counter_clockwise)))
            }
            _ => continue,
        };
        if let (Some(feed), Some(segment)) = (feed, segment)
            && z < 0.0
            && (z - height).abs() < 1e-9
        {
            found.push((segment, feed));
        }
        (at, height) = (to, z);
    }
    found
}

/// The corners of the cutter's path lie 1 mm inside those of the notch; within a radius of them it goes at half its feed.
#[test]
fn a_cutter_goes_slower_in_inside_corners_only() {
    let sheet = notched(0.5);
    let fastest = level(&sheet).iter().map(|(_, feed)| *feed).fold(0.0, f64::max);
    let corners = [Point::new(89.0, 41.0), Point::new(71.0, 41.0)];
    let (mut slow, mut fast) = (0.0, 0.0);
    for (segment, feed) in level(&sheet) {
        let off = corners.iter().map(|c| c.distance(segment.at(0.5))).fold(f64::INFINITY, f64::min);
        let expected = if off < 1.0 { 0.5 } else { 1.0 };
        assert!((feed / fastest - expected).abs() < 1e-9, "{feed} at {off}");
        if off < 1.0 {
            slow += segment.length();
        } else {
            fast += segment.length();
        }
    }
    let passes = (slow / 4.0_f64).round();
    assert!(passes >= 1.0 && (slow - 4.0 * passes).abs() < 1e-6, "{slow}");
    assert!(fast > 100.0);
}

#[test]
fn a_feed_that_is_the_same_in_corners_changes_nothing() {
    let count = |share: f64| level(&notched(share)).len();
    assert!(count(0.5) > count(1.0));
    assert!(notched(0.5).time_s >= notched(1.0).time_s);
}
