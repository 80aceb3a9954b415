//! What a round beam or cutter removes along its paths, and the pieces that come free.
//!
//! Each segment sweeps a band, each corner the wedge that opens on its outer side, each end half a disc. Their union is
//! found on a grid, by a library that has no part in the offsets (`i_overlay`). Their corners lie on the true edge, and
//! their chords leave it by at most [`CHORD_MM`]; the grid adds at most [`GRID_MM`].

mod band;
mod cluster;
mod nest;

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::{IntOverlayOptions, Overlay, ShapeType};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::core::solver::Solver;
use i_overlay::i_float::int::point::IntPoint;
use rayon::prelude::*;

use crate::geometry::{Point, Rect, Segment};

/// How far a chord may leave the edge that it stands for, mm: half of the two thousandths that a sweep may be wrong by.
pub const CHORD_MM: f64 = 0.001;

/// The coarsest that the grid becomes for paths within a square of four metres, mm.
pub const GRID_MM: f64 = 2e-5;

/// The finest grid, steps in a millimetre: a power of two, so that nothing is lost by scaling.
const STEPS_PER_MM: f64 = 131_072.0;

/// Largest coordinate on the grid: the library holds 32 bits, and squares must not overflow.
const MOST_STEPS: f64 = 268_435_456.0;

/// A run of beam or cutter: segments that follow each other, each beginning where the one before ends.
pub type Run = [Segment];

/// A polygon with holes: the outer contour counter-clockwise, then the holes clockwise, in millimetres.
pub type Polygon = Vec<Vec<Point>>;

/// The pieces that come free when discs are swept along the runs, each with its radius, mm. The sheet itself, outside all
/// paths, is not among them.
pub fn islands(runs: &[(&Run, f64)]) -> Vec<Polygon> {
    nest::islands(removed(runs))
}

/// All that the discs remove: polygons that have nothing in common.
pub fn removed(runs: &[(&Run, f64)]) -> Vec<Polygon> {
    let clusters = cluster::clusters(runs);
    clusters.par_iter().flat_map_iter(|members| united(members, runs)).collect()
}

/// Area of a polygon with its holes, mm².
pub fn area(polygon: &Polygon) -> f64 {
    polygon.iter().map(|contour| signed_area(contour)).sum()
}

fn signed_area(contour: &[Point]) -> f64 {
    let Some(&first) = contour.first() else { return 0.0 };
    contour.windows(2).map(|pair| (pair[0] - first).cross(pair[1] - first)).sum::<f64>() / 2.0
}

/// The box around a polygon.
pub fn bounds(polygon: &[Vec<Point>]) -> Option<Rect> {
    let (&first, rest) = polygon.first()?.split_first()?;
    Some(rest.iter().fold(Rect::from_points(first, first), |bounds, at| bounds.union_pt(*at)))
}

/// Whether a polygon with holes has a place in its material.
pub fn contains(polygon: &[Vec<Point>], at: Point) -> bool {
    let crossings = polygon.iter().map(|contour| {
        let before = contour.iter().cycle().skip(contour.len().saturating_sub(1));
        contour.iter().zip(before).filter(|(a, b)| crosses(**a, **b, at)).count()
    });
    crossings.sum::<usize>() % 2 == 1
}

/// Whether the ray to the right meets an edge.
fn crosses(a: Point, b: Point, at: Point) -> bool {
    (a.y > at.y) != (b.y > at.y) && at.x < a.x + (at.y - a.y) / (b.y - a.y) * (b.x - a.x)
}

/// What these of the runs sweep together.
fn united(members: &[usize], runs: &[(&Run, f64)]) -> Vec<Polygon> {
    let segments = || members.iter().flat_map(|&run| runs[run].0);
    let radius = members.iter().map(|&run| runs[run].1).fold(0.0, f64::max);
    let Some(bounds) = segments().map(Segment::bounds).reduce(|a, b| a.union(b)) else { return Vec::new() };
    let grid = Grid::around(bounds.inflate(2.0 * radius, 2.0 * radius));
    let one_thread = Solver { multithreading: None, ..Solver::AUTO };
    let mut overlay = Overlay::<i32>::new_custom(1 << 10, IntOverlayOptions::default(), one_thread);
    let mut each = |contour: &[Point]| {
        overlay.add_path_iter(contour.iter().map(|p| grid.to_grid(*p)), ShapeType::Subject);
    };
    for &run in members {
        let (run, radius) = runs[run];
        band::sweep(run, radius, CHORD_MM, &mut each);
    }
    let shapes = overlay.overlay(OverlayRule::Subject, FillRule::NonZero);
    shapes.iter().map(|shape| shape.iter().map(|contour| grid.back(contour)).collect()).collect()
}

/// A grid whose origin lies in the middle of what it holds.
struct Grid {
    origin: Point,
    steps: f64,
}

impl Grid {
    fn around(bounds: Rect) -> Self {
        let half = bounds.width().max(bounds.height()) / 2.0;
        let mut steps = STEPS_PER_MM;
        while half * steps > MOST_STEPS {
            steps /= 2.0;
        }
        Self { origin: bounds.center(), steps }
    }

    fn to_grid(&self, point: Point) -> IntPoint<i32> {
        let at = (point - self.origin) * self.steps;
        IntPoint { x: at.x.round() as i32, y: at.y.round() as i32 }
    }

    fn back(&self, contour: &[IntPoint<i32>]) -> Vec<Point> {
        let point = |p: &IntPoint<i32>| Point::new(f64::from(p.x), f64::from(p.y)).to_vec2() / self.steps;
        contour.iter().map(|p| self.origin + point(p)).collect()
    }
}
