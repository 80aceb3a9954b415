//! What a round beam or cutter removes along its paths, and the pieces that come free.
//!
//! Each segment sweeps a band, each corner the wedge that opens on its outer side, each end half a disc. They are unions
//! of polygons on a grid, made by a library that has no part in the offsets (`i_overlay`). The polygons' corners lie on
//! the true edge, and their chords leave it by at most [`CHORD_MM`]; the grid adds at most [`GRID_MM`].

mod band;

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::{IntOverlayOptions, Overlay, ShapeType};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::core::solver::Solver;
use i_overlay::i_float::int::point::IntPoint;
use rayon::prelude::*;
use static_aabb2d_index::StaticAABB2DIndexBuilder;

use crate::geometry::{Point, Rect, Segment};

/// How far a chord may leave the edge that it stands for, mm: half of the two thousandths that a sweep may be wrong by.
pub const CHORD_MM: f64 = 0.001;

/// The coarsest that the grid becomes for paths within a square of four metres, mm.
pub const GRID_MM: f64 = 2e-5;

/// The finest grid, steps in a millimetre: a power of two, so that nothing is lost by scaling.
const STEPS_PER_MM: f64 = 131_072.0;

/// Largest coordinate on the grid: the library holds 32 bits, and squares must not overflow.
const MOST_STEPS: f64 = 268_435_456.0;

/// Material around the paths, mm: wide enough that a frame always stays.
const FRAME_MM: f64 = 1.0;

/// A run of beam or cutter: segments that follow each other, each beginning where the one before ends.
pub type Run = [Segment];

/// A polygon with holes: the outer contour counter-clockwise, then the holes clockwise, in millimetres.
pub type Polygon = Vec<Vec<Point>>;

/// The pieces that come free when a disc of this radius (mm) is swept along the runs. The sheet itself, outside all
/// paths, is not among them.
pub fn islands(runs: &[&Run], radius: f64) -> Vec<Polygon> {
    let clusters = clusters(runs, radius);
    let of_cluster = |cluster: &Cluster| {
        let frame = cluster.bounds.inflate(FRAME_MM, FRAME_MM);
        let left = cluster.overlay(runs, radius, Some(frame), OverlayRule::Difference);
        left.into_iter().filter(|shape| !touches(shape, frame)).collect::<Vec<_>>()
    };
    clusters.par_iter().flat_map_iter(of_cluster).collect()
}

/// All that the disc removes.
pub fn removed(runs: &[&Run], radius: f64) -> Vec<Polygon> {
    let of_cluster = |cluster: &Cluster| cluster.overlay(runs, radius, None, OverlayRule::Clip);
    clusters(runs, radius).par_iter().flat_map_iter(of_cluster).collect()
}

/// Area of a polygon with its holes, mm².
pub fn area(polygon: &Polygon) -> f64 {
    polygon.iter().map(|contour| signed_area(contour)).sum()
}

fn signed_area(contour: &[Point]) -> f64 {
    let Some(&first) = contour.first() else { return 0.0 };
    contour.windows(2).map(|pair| (pair[0] - first).cross(pair[1] - first)).sum::<f64>() / 2.0
}

/// Whether a shape reaches the frame's edge.
fn touches(shape: &Polygon, frame: Rect) -> bool {
    let edge = |p: &Point| p.x <= frame.x0 + FRAME_MM / 2.0 || p.x >= frame.x1 - FRAME_MM / 2.0;
    shape.first().is_some_and(|outer| outer.iter().any(edge))
}

/// Runs whose boxes overlap, with all that lies within the box around them: no two clusters have anything in common.
struct Cluster {
    members: Vec<usize>,
    bounds: Rect,
}

/// The runs in clusters, in the order of their first runs.
fn clusters(runs: &[&Run], radius: f64) -> Vec<Cluster> {
    let single = |(i, run): (usize, &&Run)| Some(Cluster { members: vec![i], bounds: reach(run, radius)? });
    let mut clusters: Vec<Cluster> = runs.iter().enumerate().filter_map(single).collect();
    loop {
        let before = clusters.len();
        clusters = merged(clusters);
        if clusters.len() == before {
            return clusters;
        }
    }
}

/// The clusters with those that overlap made one; what comes of it may overlap again.
fn merged(clusters: Vec<Cluster>) -> Vec<Cluster> {
    let mut builder = StaticAABB2DIndexBuilder::new(clusters.len());
    for Cluster { bounds: b, .. } in &clusters {
        builder.add(b.x0, b.y0, b.x1, b.y1);
    }
    let Ok(index) = builder.build() else { return clusters };
    let mut heads: Vec<usize> = (0..clusters.len()).collect();
    for (i, cluster) in clusters.iter().enumerate() {
        let b = cluster.bounds;
        for other in index.query(b.x0, b.y0, b.x1, b.y1) {
            let (one, two) = (head(&mut heads, i), head(&mut heads, other));
            heads[one.max(two)] = one.min(two);
        }
    }
    let mut places = vec![usize::MAX; clusters.len()];
    let mut merged: Vec<Cluster> = Vec::new();
    for (i, cluster) in clusters.into_iter().enumerate() {
        let head = head(&mut heads, i);
        match merged.get_mut(places[head]) {
            Some(held) => {
                held.bounds = held.bounds.union(cluster.bounds);
                held.members.extend(cluster.members);
            }
            None => {
                places[head] = merged.len();
                merged.push(cluster);
            }
        }
    }
    merged
}

/// The first cluster of those that this one belongs to.
fn head(heads: &mut [usize], mut of: usize) -> usize {
    while heads[of] != of {
        heads[of] = heads[heads[of]];
        of = heads[of];
    }
    of
}

fn reach(run: &Run, radius: f64) -> Option<Rect> {
    let bounds = run.iter().map(Segment::bounds).reduce(|a, b| a.union(b))?;
    Some(bounds.inflate(radius, radius))
}

impl Cluster {
    /// The overlay of the frame, where there is one, with all that the runs sweep.
    fn overlay(&self, runs: &[&Run], radius: f64, frame: Option<Rect>, rule: OverlayRule) -> Vec<Polygon> {
        let grid = Grid::around(self.bounds.inflate(2.0 * FRAME_MM, 2.0 * FRAME_MM));
        let options = IntOverlayOptions::default();
        let mut overlay =
            Overlay::<i32>::new_custom(1 << 10, options, Solver { multithreading: None, ..Solver::AUTO });
        if let Some(frame) = frame {
            let corners =
                [(frame.x0, frame.y0), (frame.x1, frame.y0), (frame.x1, frame.y1), (frame.x0, frame.y1)];
            let corners = corners.map(|(x, y)| grid.to_grid(Point::new(x, y)));
            overlay.add_path_iter(corners.into_iter(), ShapeType::Subject);
        }
        let mut each = |contour: &[Point]| {
            overlay.add_path_iter(contour.iter().map(|p| grid.to_grid(*p)), ShapeType::Clip);
        };
        for &run in &self.members {
            band::sweep(runs[run], radius, CHORD_MM, &mut each);
        }
        let shapes = overlay.overlay(rule, FillRule::NonZero);
        shapes.iter().map(|shape| shape.iter().map(|contour| grid.back(contour)).collect()).collect()
    }
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
