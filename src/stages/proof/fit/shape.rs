//! What is known of an outline before it is laid on another: area, middle, moments, and points along it.

use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Outline, Point, Region, Vec2, trig};

/// About so many points stand for an outline.
pub(super) const SAMPLES: usize = 240;

/// Each contour gets at least so many, so that a small hole counts.
const LEAST_OF_CONTOUR: usize = 8;

/// Arcs are taken as so many chords for their moments: they only decide where to begin.
const CHORDS: u32 = 8;

/// A point on an outline, and the length that it stands for, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sample {
    pub(super) at: Point,
    pub(super) weight: f64,
}

/// Area, middle and direction of a polygon.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moments {
    pub(super) area: f64,
    pub(super) centre: Point,
    /// Direction of its longer axis, radians.
    pub(super) axis: f64,
    /// How much the two axes differ, 0 (round) to 1 (a line).
    pub(super) slender: f64,
}

/// A part made ready to be laid on a piece.
#[derive(Debug)]
pub(super) struct Shape {
    pub(super) index: SegmentIndex,
    pub(super) outer: Moments,
    pub(super) samples: Vec<Sample>,
}

impl Shape {
    pub(super) fn new(region: &Region) -> Self {
        let polygon: Vec<Point> = region
            .outer()
            .segments()
            .flat_map(|segment| {
                let chords = if segment.is_line() { 1 } else { CHORDS };
                (0..chords).map(move |i| segment.at(f64::from(i) / f64::from(chords)))
            })
            .collect();
        let mut outer = Moments::of(&polygon);
        outer.area = region.outer().area();
        let spacing = region.perimeter() / SAMPLES as f64;
        let samples = region.outlines().flat_map(|outline| along(outline, spacing)).collect();
        Self { index: SegmentIndex::of_region(region), outer, samples }
    }
}

/// Points on an outline, its vertices among them, no farther apart than this.
fn along(outline: &Outline, spacing: f64) -> Vec<Sample> {
    let spacing = spacing.min(outline.perimeter() / LEAST_OF_CONTOUR as f64).max(f64::MIN_POSITIVE);
    let of_segment = |segment: crate::geometry::Segment| {
        let length = segment.length();
        let count = (length / spacing).ceil().max(1.0);
        (0..count as usize).map(move |i| Sample { at: segment.at(i as f64 / count), weight: length / count })
    };
    outline.segments().flat_map(of_segment).collect()
}

/// Vertices of polygons, about so many of them, each with the length that it stands for. Between vertices far apart
/// none are added: of a polygon that stands for arcs only the vertices lie on them.
pub(super) fn thinned(contours: &[Vec<Point>], count: usize) -> Vec<Sample> {
    let whole: f64 = contours.iter().map(|contour| length(contour)).sum();
    contours
        .iter()
        .flat_map(|contour| {
            let spacing = (whole / count as f64).min(length(contour) / LEAST_OF_CONTOUR as f64);
            thinned_contour(contour, spacing)
        })
        .collect()
}

fn thinned_contour(contour: &[Point], spacing: f64) -> Vec<Sample> {
    let mut samples: Vec<Sample> = Vec::new();
    let mut since = 0.0;
    for (i, at) in contour.iter().enumerate() {
        let step = at.distance(contour[(i + 1) % contour.len()]);
        if i == 0 || since >= spacing || (step >= spacing && since > 0.0) {
            samples.push(Sample { at: *at, weight: 0.0 });
            since = 0.0;
        }
        // What follows belongs to the vertex before it: half a step of error in a weight is of no account.
        since += step;
        if let Some(last) = samples.last_mut() {
            last.weight += step;
        }
    }
    samples
}

fn length(contour: &[Point]) -> f64 {
    let next = contour.iter().cycle().skip(1);
    contour.iter().zip(next).map(|(a, b)| a.distance(*b)).sum()
}

impl Moments {
    /// Of a closed polygon, whichever way it runs, by Green's theorem.
    pub(super) fn of(polygon: &[Point]) -> Self {
        let origin = polygon.first().copied().unwrap_or_default();
        let [mut area, mut x, mut y, mut xx, mut xy, mut yy] = [0.0; 6];
        for (i, from) in polygon.iter().enumerate() {
            let (a, b) = (*from - origin, polygon[(i + 1) % polygon.len()] - origin);
            let cross = a.cross(b);
            area += cross / 2.0;
            x += cross * (a.x + b.x) / 6.0;
            y += cross * (a.y + b.y) / 6.0;
            xx += cross * (a.x * a.x + a.x * b.x + b.x * b.x) / 12.0;
            yy += cross * (a.y * a.y + a.y * b.y + b.y * b.y) / 12.0;
            xy += cross * (2.0 * a.x * a.y + a.x * b.y + b.x * a.y + 2.0 * b.x * b.y) / 24.0;
        }
        if area == 0.0 {
            return Self { area, centre: origin, axis: 0.0, slender: 0.0 };
        }
        let (x, y) = (x / area, y / area);
        let (xx, xy, yy) = (xx / area - x * x, xy / area - x * y, yy / area - y * y);
        let (sum, difference) = (xx + yy, Vec2::new(xx - yy, 2.0 * xy).hypot());
        Self {
            area: area.abs(),
            centre: Point::new(origin.x + x, origin.y + y),
            axis: trig::atan2(2.0 * xy, xx - yy) / 2.0,
            slender: if sum > 0.0 { difference / sum } else { 0.0 },
        }
    }
}
