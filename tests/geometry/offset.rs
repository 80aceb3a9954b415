//! Offsets: against Steiner's formula, against a polygon kernel, under turning and mirroring, and on outlines that are
//! known to trip kernels.

use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

use clipper2_rust::{
    EndType, FillRule, JoinType, Path64, Paths64, Point64, difference_64, inflate_paths_64, union_subjects_64,
};
use grainwise::geometry::crossing::region_meeting;
use grainwise::geometry::distance::SegmentIndex;
use grainwise::geometry::offset::{Offset, offset};
use grainwise::geometry::{Outline, Point, Region};
use rayon::prelude::*;

use super::nasty;

/// Chords of the polygons that the polygon kernel gets lie this near to their arcs, in millimetres.
const FLATNESS: f64 = 5e-4;
const GRID: f64 = 1e6;

/// What is exactly as wide as the cutter closes: the offset adds about this much, in millimetres, to any distance.
const NUDGE: f64 = 1.37e-5;

fn flattened(outline: &Outline, origin: Point) -> Path64 {
    let mut path = Path64::new();
    for segment in outline.segments() {
        let step = 2.0 * (1.0 - FLATNESS / segment.radius()).max(0.0).acos();
        let chords =
            if segment.is_line() { 1 } else { (segment.sweep().abs() / step).ceil().max(1.0) as usize };
        for k in 0..chords {
            let at = (segment.at(k as f64 / chords as f64) - origin) * GRID;
            path.push(Point64::new(at.x.round() as i64, at.y.round() as i64));
        }
    }
    path
}

fn polygon_area(path: &Path64) -> f64 {
    let at = |k: usize| (path[k % path.len()].x as f64 / GRID, path[k % path.len()].y as f64 / GRID);
    (0..path.len()).map(|k| at(k).0 * at(k + 1).1 - at(k + 1).0 * at(k).1).sum::<f64>() / 2.0
}

/// Area of the offset by the polygon kernel, and how many of its loops are larger than a crumb.
fn polygon_offset(region: &Region, distance: f64) -> (f64, usize) {
    let origin = region.bounds().center();
    let one = |o: &Outline| union_subjects_64(&vec![flattened(o, origin)], FillRule::NonZero);
    let holes: Paths64 = region.holes().iter().flat_map(one).collect();
    let material = difference_64(&one(region.outer()), &holes, FillRule::NonZero);
    let reach = distance + NUDGE.copysign(distance);
    let found =
        inflate_paths_64(&material, reach * GRID, JoinType::Round, EndType::Polygon, 2.0, FLATNESS * GRID);
    let crumb = |path: &&Path64| polygon_area(path).abs() > 0.02;
    (found.iter().map(polygon_area).sum(), found.iter().filter(crumb).count())
}

fn area(offset: &Offset) -> f64 {
    offset.regions.iter().map(Region::area).sum()
}

fn perimeter(offset: &Offset) -> f64 {
    offset.regions.iter().map(Region::perimeter).sum()
}

/// What is wrong with an offset, if anything: its area, its loops, its distance from the source, crossings. `clean` is
/// the region's material with outlines that do not meet.
fn fault(region: &Region, clean: &Region, distance: f64) -> Option<String> {
    let found = match offset(region, distance) {
        Ok(found) => found,
        Err(refused) => return Some(refused.to_string()),
    };
    let (polygon, loops) = polygon_offset(clean, distance);
    let (exact, length) = (area(&found), perimeter(&found));
    if (exact - polygon).abs() > 1e-3 * polygon.abs() + 2.0 * FLATNESS * (length + clean.perimeter()) {
        return Some(format!("area {exact}, polygons {polygon}"));
    }
    let large = |o: &&Outline| o.area() > 0.02;
    let count = found.regions.iter().flat_map(Region::outlines).filter(large).count();
    // Where all that is left is thinner than the chords are near, the polygon kernel cannot tell its loops.
    let thin = exact < 4.0 * FLATNESS * length;
    if count != loops && !thin {
        return Some(format!("{count} loops, polygons {loops}"));
    }
    found.regions.iter().find_map(|one| off_the_source(clean, one, distance))
}

fn off_the_source(source: &Region, found: &Region, distance: f64) -> Option<String> {
    if let Some(at) = region_meeting(found, 1e-7) {
        return Some(format!("crosses itself at {at:?}"));
    }
    let index = SegmentIndex::of_region(source);
    let samples = found
        .outlines()
        .flat_map(Outline::segments)
        .flat_map(|s| (0..7).map(move |k| s.at(f64::from(k) / 7.0)));
    samples.into_iter().find_map(|at| {
        let off = index.distance(at) - distance.abs();
        (off.abs() > 1e-3).then(|| format!("off by {off} at {at:?}"))
    })
}

#[test]
fn ten_thousand_outlines_grow_and_shrink_without_a_fault() {
    let failed = AtomicUsize::new(0);
    let faults: Vec<String> = (0..10_000usize)
        .into_par_iter()
        .flat_map_iter(|number| {
            let case = nasty::case(number);
            [case.distance, -case.distance].into_iter().filter_map(move |d| {
                fault(&case.region, &case.clean, d).map(|fault| format!("case {number} by {d}: {fault}"))
            })
        })
        .inspect(|_| {
            failed.fetch_add(1, Relaxed);
        })
        .collect();
    let kinds: Vec<&String> = faults.iter().take(40).collect();
    assert!(faults.is_empty(), "{} faults: {kinds:#?}", failed.load(Relaxed));
}
