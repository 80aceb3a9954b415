//! A polygon cut into convex pieces: between two convex pieces, whether they overlap is told by their sides alone.

use crate::geometry::{Point, Vec2};

/// A convex piece of a shape, counter-clockwise.
#[derive(Clone, Debug)]
pub(super) struct Convex {
    /// Bounds: least x, least y, most x, most y.
    pub(super) bounds: [f64; 4],
    /// Its corners.
    corners: Vec<(f64, f64)>,
    /// Its sides: the unit normal outwards, and how far along it the side lies.
    sides: Vec<(f64, f64, f64)>,
}

/// Overlaps less deep than this are none, mm: rounding, a thousandth of what the last check lets pass.
pub(super) const TOUCH: f64 = 1e-8;

impl Convex {
    pub(super) fn new(points: &[Point]) -> Self {
        let corners: Vec<(f64, f64)> = points.iter().map(|p| (p.x, p.y)).collect();
        let next = |i: usize| points[(i + 1) % points.len()];
        let side = |(i, &p): (usize, &Point)| {
            let along = next(i) - p;
            let length = along.hypot();
            let normal = Vec2::new(along.y, -along.x) / length;
            (length > 0.0).then(|| (normal.x, normal.y, normal.dot(p.to_vec2())))
        };
        let sides = points.iter().enumerate().filter_map(side).collect();
        Self { bounds: bounds(points), corners, sides }
    }

    /// Whether it overlaps the other where that is shifted by (`dx`, `dy`).
    pub(super) fn overlaps(&self, other: &Self, dx: f64, dy: f64) -> bool {
        !self.keeps_out(other, dx, dy) && !other.keeps_out(self, -dx, -dy)
    }

    /// Whether the other, so shifted, lies wholly beyond one of its sides.
    fn keeps_out(&self, other: &Self, dx: f64, dy: f64) -> bool {
        self.sides.iter().any(|&(nx, ny, far)| {
            let least = other.corners.iter().fold(f64::INFINITY, |least, &(x, y)| {
                let along = nx * x + ny * y;
                if along < least { along } else { least }
            });
            least + nx * dx + ny * dy >= far - TOUCH
        })
    }
}

/// Bounds of the points.
pub(super) fn bounds(points: &[Point]) -> [f64; 4] {
    points.iter().fold([f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY], |b, p| {
        [b[0].min(p.x), b[1].min(p.y), b[2].max(p.x), b[3].max(p.y)]
    })
}

/// Twice the area of the triangle, positive where it turns left.
pub(super) fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b - a).cross(c - a)
}

/// Area of a closed polygon, positive where it runs counter-clockwise.
pub(super) fn area(points: &[Point]) -> f64 {
    let next = |i: usize| points[(i + 1) % points.len()];
    points.iter().enumerate().map(|(i, p)| p.to_vec2().cross(next(i).to_vec2())).sum::<f64>() / 2.0
}

/// The polygon run counter-clockwise, whichever way it ran.
pub(super) fn anticlockwise(mut points: Vec<Point>) -> Vec<Point> {
    if area(&points) < 0.0 {
        points.reverse();
    }
    points
}

/// The corners of the points' convex hull, counter-clockwise (A. M. Andrew's monotone chain, 1979).
pub(super) fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for point in points {
            while chain.len() > 1 && turn(chain[chain.len() - 2], chain[chain.len() - 1], point) <= 0.0 {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut lower = half(&mut sorted.iter().copied());
    lower.extend(half(&mut sorted.iter().rev().copied()));
    lower
}

/// How much the pieces' area may differ from the polygon's, as a share: rounding. More means that it was no simple polygon.
const AREA_SHARE: f64 = 1e-6;

/// The simple counter-clockwise polygon in convex pieces: ears are clipped, then pieces joined as long as they stay
/// convex (after S. Hertel and K. Mehlhorn, 1983). What cannot be cut so is replaced by its hull, which covers it.
pub(super) fn pieces(points: &[Point]) -> Vec<Vec<Point>> {
    let triangles = triangles(points);
    let sum: f64 = triangles.iter().map(|t| turn(points[t[0]], points[t[1]], points[t[2]]) / 2.0).sum();
    let whole = area(points);
    if (sum - whole).abs() > AREA_SHARE * whole {
        return vec![hull(points)];
    }
    let mut rings: Vec<Vec<usize>> = triangles.into_iter().map(|t| t.to_vec()).collect();
    while let Some((i, j, joined)) = joinable(&rings, points) {
        rings[i] = joined;
        rings.remove(j);
    }
    rings.into_iter().map(|ring| ring.into_iter().map(|i| points[i]).collect()).collect()
}

fn triangles(points: &[Point]) -> Vec<[usize; 3]> {
    let mut left: Vec<usize> = (0..points.len()).collect();
    let mut triangles = Vec::with_capacity(points.len());
    while left.len() > 3 {
        let Some(ear) = best_ear(&left, points) else { break };
        let n = left.len();
        triangles.push([left[(ear + n - 1) % n], left[ear], left[(ear + 1) % n]]);
        left.remove(ear);
    }
    if left.len() == 3 {
        triangles.push([left[0], left[1], left[2]]);
    }
    triangles
}

/// Of all corners that can be cut off, the one whose cut is shortest; a flat one first.
fn best_ear(left: &[usize], points: &[Point]) -> Option<usize> {
    let n = left.len();
    let corner = |i: usize| (points[left[(i + n - 1) % n]], points[left[i]], points[left[(i + 1) % n]]);
    let mut best: Option<(f64, usize)> = None;
    for i in 0..n {
        let (a, b, c) = corner(i);
        let cut = (c - a).hypot2();
        if turn(a, b, c) < 0.0 || best.is_some_and(|(least, _)| least <= cut) {
            continue;
        }
        let within = |&p: &Point| {
            p != a && p != b && p != c && turn(a, b, p) >= 0.0 && turn(b, c, p) >= 0.0 && turn(c, a, p) >= 0.0
        };
        if !left.iter().map(|&i| &points[i]).any(within) {
            best = Some((cut, i));
        }
    }
    best.map(|(_, i)| i)
}

/// Two rings that share a side and are convex together, and what they make.
fn joinable(rings: &[Vec<usize>], points: &[Point]) -> Option<(usize, usize, Vec<usize>)> {
    for (i, a) in rings.iter().enumerate() {
        for (j, b) in rings.iter().enumerate().skip(i + 1) {
            if let Some(joined) = join(a, b).filter(|ring| is_convex(ring, points)) {
                return Some((i, j, joined));
            }
        }
    }
    None
}

fn join(a: &[usize], b: &[usize]) -> Option<Vec<usize>> {
    for i in 0..a.len() {
        let (from, to) = (a[i], a[(i + 1) % a.len()]);
        let Some(j) = (0..b.len()).find(|&j| b[j] == to && b[(j + 1) % b.len()] == from) else { continue };
        let rest_of_a = (1..a.len()).map(|k| a[(i + k) % a.len()]);
        let rest_of_b = (1..b.len()).map(|k| b[(j + k) % b.len()]);
        return Some(rest_of_a.chain(rest_of_b).collect());
    }
    None
}

fn is_convex(ring: &[usize], points: &[Point]) -> bool {
    let n = ring.len();
    (0..n).all(|i| turn(points[ring[i]], points[ring[(i + 1) % n]], points[ring[(i + 2) % n]]) >= 0.0)
}
