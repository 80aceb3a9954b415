//! The second witness: the offset of the same outlines, flattened, by a polygon kernel on a grid of whole numbers.

use clipper2_rust::{
    EndType, FillRule, JoinType, Path64, Paths64, Point64, difference_64, inflate_paths_64, union_subjects_64,
};

use crate::geometry::{Outline, Point, Region, Segment};

/// How far a chord may lie from its arc, in millimetres.
pub(super) const FLATNESS: f64 = 1e-3;

/// Grid steps in a millimetre.
pub(super) const GRID: f64 = 1e5;

/// A polygon's outline has no more points than this for one arc.
const MOST_CHORDS: usize = 10_000;

/// What the polygon kernel found.
#[derive(Clone, Copy, Debug)]
pub(super) struct Measure {
    /// Square millimetres.
    pub(super) area: f64,
    /// Millimetres of outline.
    pub(super) length: f64,
    /// How many outer outlines and how many holes are wider than a line.
    pub(super) loops: (usize, usize),
}

/// The offset of clean loops that have the material on their left, measured.
pub(super) fn offset(loops: &[Vec<Segment>], distance: f64) -> Measure {
    let origin = loops[0][0].from;
    let paths: Paths64 = loops.iter().map(|one| path(one.iter().copied(), origin)).collect();
    measure(&inflate_paths_64(
        &paths,
        distance * GRID,
        JoinType::Round,
        EndType::Polygon,
        2.0,
        FLATNESS * GRID,
    ))
}

/// Area of a region's material in square millimetres. Its outlines may cross, touch and overlap.
pub(super) fn material_area(region: &Region) -> f64 {
    let origin = region.outer().vertices()[0].at;
    let one =
        |outline: &Outline| union_subjects_64(&vec![path(outline.segments(), origin)], FillRule::NonZero);
    let holes: Paths64 = region.holes().iter().flat_map(one).collect();
    measure(&difference_64(&one(region.outer()), &holes, FillRule::NonZero)).area
}

fn measure(paths: &Paths64) -> Measure {
    let mut measure = Measure { area: 0.0, length: 0.0, loops: (0, 0) };
    for path in paths {
        let (area, length) = area_and_length(path);
        measure.area += area;
        measure.length += length;
        if area.abs() > FLATNESS * length {
            if area > 0.0 { measure.loops.0 += 1 } else { measure.loops.1 += 1 }
        }
    }
    measure
}

/// Signed area, mm², and length, mm.
pub(super) fn area_and_length(path: &Path64) -> (f64, f64) {
    let at = |k: usize| {
        let p = &path[k % path.len()];
        (p.x as f64 / GRID, p.y as f64 / GRID)
    };
    let (x0, y0) = at(0);
    (0..path.len()).map(|k| (at(k), at(k + 1))).fold((0.0, 0.0), |(area, length), (a, b)| {
        let cross = (a.0 - x0) * (b.1 - y0) - (a.1 - y0) * (b.0 - x0);
        (area + cross / 2.0, length + crate::geometry::trig::hypot(b.0 - a.0, b.1 - a.1))
    })
}

pub(super) fn path(segments: impl Iterator<Item = Segment>, origin: Point) -> Path64 {
    let mut path = Path64::new();
    for segment in segments {
        let chords = segment.chord_count(FLATNESS).min(MOST_CHORDS);
        for k in 0..chords {
            let at = (segment.at(k as f64 / chords as f64) - origin) * GRID;
            path.push(Point64::new(at.x.round() as i64, at.y.round() as i64));
        }
    }
    path
}
