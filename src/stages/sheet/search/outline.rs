//! Outlines to polygons that cover them: arcs become corners, corners that matter little go, holes open by a slit.

use std::f64::consts::FRAC_PI_2;

use super::convex::turn;
use crate::geometry::{Outline, Point, Region, Segment, Vec2, trig};

/// How far a polygon may stray outwards from an arc, mm: less than a beam's kerf varies.
const ARC_STRAY_MM: f64 = 0.05;

/// How far a corner that is left out may lie from the side that replaces it, mm.
const CORNER_STRAY_MM: f64 = 0.1;

/// By how much a polygon may grow by leaving out corners, as a share of its area: no sheet is lost for so little.
const GROW_SHARE: f64 = 0.004;

/// A simple polygon that covers the region, with the same bounds; with its holes if asked for.
pub(super) fn covering(region: &Region, holes: bool) -> Vec<Point> {
    let mut ring = simple(corners(region.outer()), region.area());
    if !holes {
        return ring;
    }
    for hole in region.holes() {
        let hole = corners(hole);
        if let Some(open) = slit(&ring, &hole) {
            ring = open;
        }
    }
    ring
}

/// The outline's corners, material on the left: arcs that bulge out of it are covered by corners outside, others by chords.
fn corners(outline: &Outline) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    for segment in outline.segments() {
        points.push(segment.from);
        if !segment.is_line() {
            arc(&segment, &mut points);
        }
    }
    points.dedup_by(|a, b| (*a - *b).hypot2() < SAME_MM * SAME_MM);
    while points.len() > 1 && (points[0] - points[points.len() - 1]).hypot2() < SAME_MM * SAME_MM {
        points.pop();
    }
    points
}

/// Corners this close together are one, mm: rounding.
const SAME_MM: f64 = 1e-7;

/// The corners between an arc's ends. It is parted where it runs along or across, so that its bounds stay what they are.
fn arc(segment: &Segment, points: &mut Vec<Point>) {
    let (Some(centre), radius) = (segment.centre(), segment.radius()) else { return };
    let from = segment.from - centre;
    let start = trig::atan2(from.y, from.x);
    let sweep = segment.sweep();
    let end = start + sweep;
    let (low, high) = (start.min(end), start.max(end));
    let first = (low / FRAC_PI_2).ceil() as i64;
    let last = (high / FRAC_PI_2).floor() as i64;
    let mut angles = vec![start];
    let quarters = (first..=last).map(|q| q as f64 * FRAC_PI_2);
    let within: Vec<f64> = quarters.filter(|&a| a > low + 1e-9 && a < high - 1e-9).collect();
    if sweep > 0.0 {
        angles.extend(within);
    } else {
        angles.extend(within.into_iter().rev());
    }
    angles.push(end);
    let half = trig::acos((1.0 - ARC_STRAY_MM / radius).max(0.5));
    let at = |angle: f64, radius: f64| centre + Vec2::new(trig::cos(angle), trig::sin(angle)) * radius;
    for (i, pair) in angles.windows(2).enumerate() {
        if i > 0 {
            points.push(at(pair[0], radius));
        }
        let steps = ((pair[1] - pair[0]).abs() / (2.0 * half)).ceil().max(1.0);
        let step = (pair[1] - pair[0]) / steps;
        for k in 0..steps as usize {
            let k = k as f64;
            if sweep > 0.0 {
                points.push(at(pair[0] + step * (k + 0.5), radius / trig::cos(step / 2.0)));
            } else if k > 0.0 {
                points.push(at(pair[0] + step * k, radius));
            }
        }
    }
}

/// The polygon with fewer corners, covering what it covered, within the same bounds.
fn simple(mut points: Vec<Point>, area: f64) -> Vec<Point> {
    let bounds = super::convex::bounds(&points);
    let mut spare = GROW_SHARE * area;
    let mut cuts: Vec<Option<Cut>> = (0..points.len()).map(|i| Cut::at(&points, i, bounds)).collect();
    while points.len() > 4 {
        let least = cuts.iter().flatten().copied().reduce(|a, b| if b.grows < a.grows { b } else { a });
        let Some(cut) = least.filter(|cut| cut.grows <= spare) else { break };
        // A corner may have moved into its way since it was looked at.
        let corner = cut.corner;
        cuts[corner] = Cut::at(&points, corner, bounds).filter(|now| now.grows <= cut.grows);
        if cuts[corner].is_none() {
            continue;
        }
        spare -= cut.grows;
        cut.apply(&mut points);
        cuts.remove(corner);
        let n = points.len();
        cuts.iter_mut().skip(corner).flatten().for_each(|cut| cut.corner -= 1);
        for near in 0..=5 {
            let i = (corner + n + near - 3) % n;
            cuts[i] = Cut::at(&points, i, bounds);
        }
    }
    points
}

/// A corner left out.
#[derive(Clone, Copy, Debug)]
struct Cut {
    corner: usize,
    /// What replaces it and the corner after it; none where it just goes.
    tip: Option<Point>,
    /// By how much the polygon grows, mm².
    grows: f64,
}

impl Cut {
    /// A corner that may go: one that points inwards, or, with the next, one of two that point outwards and are replaced by
    /// the tip where the sides beside them meet.
    fn at(points: &[Point], corner: usize, bounds: [f64; 4]) -> Option<Self> {
        let n = points.len();
        let p = |k: usize| points[(corner + k) % n];
        let (before, here, next, after) = (p(n - 1), p(0), p(1), p(2));
        let turns = turn(before, here, next);
        if turns <= 0.0 {
            let stray = -turns / (next - before).hypot();
            let cut = Self { corner, tip: None, grows: -turns / 2.0 };
            return (stray <= CORNER_STRAY_MM && clear(points, &[before, next, here])).then_some(cut);
        }
        if turn(here, next, after) <= 0.0 {
            return None;
        }
        let (u, v) = (here - before, next - after);
        let cross = u.cross(v);
        // The sides beside must meet beyond their ends: that is where they turn by less than half a turn together.
        if cross.abs() < 1e-12 || turn(before, here, here - v) <= 0.0 {
            return None;
        }
        let t = (after - before).cross(v) / cross;
        let tip = before + u * t;
        let grows = turn(here, tip, next) / 2.0;
        let stray = 2.0 * grows / (next - here).hypot();
        let [x0, y0, x1, y1] = bounds;
        let inside = tip.x >= x0 && tip.x <= x1 && tip.y >= y0 && tip.y <= y1;
        let good = t >= 1.0 && grows >= 0.0 && stray <= CORNER_STRAY_MM && inside;
        (good && clear(points, &[here, tip, next])).then_some(Self { corner, tip: Some(tip), grows })
    }

    fn apply(self, points: &mut Vec<Point>) {
        if let Some(tip) = self.tip {
            let next = (self.corner + 1) % points.len();
            points[next] = tip;
        }
        points.remove(self.corner);
    }
}

/// Whether no other corner of the polygon lies in the triangle, which turns left.
fn clear(points: &[Point], triangle: &[Point; 3]) -> bool {
    let [a, b, c] = *triangle;
    let inside = |p: &Point| turn(a, b, *p) >= 0.0 && turn(b, c, *p) >= 0.0 && turn(c, a, *p) >= 0.0;
    !points.iter().any(|p| *p != a && *p != b && *p != c && inside(p))
}

/// The ring opened to a hole, both ways along the shortest line between corners of them that crosses no side.
fn slit(ring: &[Point], hole: &[Point]) -> Option<Vec<Point>> {
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for (i, a) in ring.iter().enumerate() {
        pairs.extend(hole.iter().enumerate().map(|(j, b)| ((*a - *b).hypot2(), i, j)));
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let free = |a: Point, b: Point| sides(ring).chain(sides(hole)).all(|(c, d)| !cross(a, b, c, d));
    let &(_, i, j) = pairs.iter().find(|&&(_, i, j)| free(ring[i], hole[j]))?;
    let around = (0..=hole.len()).map(|k| hole[(j + k) % hole.len()]);
    Some(ring[..=i].iter().copied().chain(around).chain(ring[i..].iter().copied()).collect())
}

fn sides(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    ring.iter().enumerate().map(|(i, &p)| (p, ring[(i + 1) % ring.len()]))
}

/// Whether two lines cross or touch, other than at ends that they share.
fn cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    if a == c || a == d || b == c || b == d {
        return false;
    }
    turn(a, b, c) * turn(a, b, d) <= 0.0 && turn(c, d, a) * turn(c, d, b) <= 0.0
}
