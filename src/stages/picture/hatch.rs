//! Slanting lines that fill an outline.

use super::pen::PathData;
use crate::geometry::{Outline, Point, trig};

/// Angle of the lines, degrees.
const SLANT_DEG: f64 = 45.0;

/// How far the chords that stand for an arc may stray, mm: less than a printed line is wide.
const STRAY_MM: f64 = 0.1;

/// Lines so far apart, mm, within the outline.
pub(super) fn hatch(outline: &Outline, gap: f64) -> Vec<[Point; 2]> {
    let (sin, cos) = trig::sin_cos_deg(SLANT_DEG);
    let turned = |p: Point| Point::new(p.x * cos + p.y * sin, p.y * cos - p.x * sin);
    let back = |p: Point| Point::new(p.x * cos - p.y * sin, p.y * cos + p.x * sin);
    let corners: Vec<Point> = outline.segments().flat_map(|s| s.chord_points(STRAY_MM)).map(turned).collect();
    let sides = || corners.iter().zip(corners.iter().cycle().skip(1)).map(|(&a, &b)| (a, b));
    let (low, high) = corners
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p.y), high.max(p.y)));
    let mut lines = Vec::new();
    let mut y = low + gap / 2.0;
    while y < high {
        let crossed = sides().filter(|(a, b)| (a.y <= y) != (b.y <= y));
        let mut at: Vec<f64> = crossed.map(|(a, b)| a.x + (y - a.y) * (b.x - a.x) / (b.y - a.y)).collect();
        at.sort_by(f64::total_cmp);
        lines.extend(
            at.chunks_exact(2).map(|pair| [back(Point::new(pair[0], y)), back(Point::new(pair[1], y))]),
        );
        y += gap;
    }
    lines
}

/// The same as a path.
pub(super) fn hatched(outline: &Outline, gap: f64) -> PathData {
    let mut lines = PathData::default();
    for [from, to] in hatch(outline, gap) {
        lines.begin(from);
        lines.line(to);
    }
    lines
}
