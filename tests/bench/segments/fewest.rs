//! The fewest lines and arcs that any chain near a curve needs: found by dynamic programming over a dense sampling,
//! with nothing of the fitter's.
//!
//! Two counts. `apart` lets the arcs be free: each has to follow its own stretch of the curve within the tolerance, and
//! need not meet the next. No chain can do with fewer, so it is a true lower bound (to the sampling, and to the
//! twentieth of the tolerance in which the ends of arcs are tried). `joined` asks that each arc begins where the one
//! before ended, anywhere within the tolerance; kinks of any size are allowed. It is what chains can really reach, to
//! an eighth of the tolerance in which joints are tried.

use grainwise::geometry::curve::Curve;
use grainwise::geometry::{Point, Vec2};

/// A curve's points, close enough together that its chords leave it by a sixtieth of the tolerance.
pub(crate) fn dense(curves: &[Curve], tolerance: f64) -> Vec<Point> {
    let mut found = Vec::new();
    for curve in curves {
        let pieces = match curve {
            Curve::Spline(s) => s.breaks().len() * 2,
            _ => 16,
        };
        let cut = |i: usize| i as f64 / pieces as f64;
        (0..pieces).for_each(|i| halve(curve, (cut(i), cut(i + 1)), tolerance / 60.0, &mut found));
    }
    found.extend(curves.last().map(Curve::to));
    found.dedup_by(|a, b| a.distance(*b) < 1e-9);
    found
}

fn halve(curve: &Curve, (a, b): (f64, f64), sagitta: f64, found: &mut Vec<Point>) {
    let at = |t: f64| curve.at(a + (b - a) * t);
    let (from, to) = (at(0.0), at(1.0));
    let off = |t: f64| {
        let v = to - from;
        ((at(t) - from).cross(v) / v.hypot().max(1e-12)).abs()
    };
    if b - a < 1e-7 || (off(0.25).max(off(0.5)).max(off(0.75)) < sagitta && from.distance(to) < 2.0) {
        found.push(from);
    } else {
        let middle = f64::midpoint(a, b);
        halve(curve, (a, middle), sagitta, found);
        halve(curve, (middle, b), sagitta, found);
    }
}

struct Band<'a> {
    points: &'a [Point],
    normals: Vec<Vec2>,
    tolerance: f64,
}

impl Band<'_> {
    fn joint(&self, index: usize, offset: f64) -> Point {
        self.points[index] + self.normals[index] * (offset * self.tolerance)
    }

    /// Whether some arc from one joint to another keeps all points between them within the tolerance. An arc over the
    /// chord from -1 to 1 with the sagitta s on its right is tried against a point by asking for the sagittas with
    /// which it passes the point at the tolerance on one side and the other, by Newton's method on the distance.
    fn feasible(&self, a: (usize, f64), b: (usize, f64)) -> bool {
        let (from, to) = (self.joint(a.0, a.1), self.joint(b.0, b.1));
        let chord = to - from;
        let length = chord.hypot();
        if length < 1e-9 {
            return false;
        }
        let (along, half) = (chord / length, length / 2.0);
        let middle = from.midpoint(to);
        let (mut low, mut high) = (-2.4, 2.4);
        let between = &self.points[a.0 + 1..b.0];
        let stride = between.len() / 5 + 1;
        for p in between.iter().step_by(stride).chain(between) {
            let v = (*p - middle) / half;
            let (x, y) = (v.dot(along), along.cross(v));
            let reach = self.tolerance / half;
            if x.abs() >= 1.0 + reach && y.abs() < 1e-6 {
                return false;
            }
            low = f64::max(low, passing(x, y, reach));
            high = f64::min(high, passing(x, y, -reach));
            if low > high {
                return false;
            }
        }
        true
    }
}

/// The bulge b of the circle over the chord (-1, 0) to (1, 0) that has (x, y) at the distance r on its right: the root,
/// followed from the flat arc, of (y - r) b^2 + (x^2 + y^2 - 1 - r^2) b - (y + r) = 0.
fn passing(x: f64, y: f64, r: f64) -> f64 {
    let (a, q, d) = (y - r, x * x + y * y - 1.0 - r * r, y + r);
    let root = q * q + 4.0 * a * d;
    if root < 0.0 {
        // Within reach of an end of the chord.
        return if r > 0.0 { -9.0 } else { 9.0 };
    }
    if q > 0.0 { -(q + root.sqrt()) / (2.0 * a) } else { 2.0 * d / (q - root.sqrt()) }
}

fn band(points: &[Point], tolerance: f64, ring: bool) -> Band<'_> {
    let n = points.len();
    let normal = |i: usize| {
        let before = if i > 0 {
            i - 1
        } else if ring {
            n - 2
        } else {
            0
        };
        let after = if i + 1 < n {
            i + 1
        } else if ring {
            1
        } else {
            i
        };
        let v = (points[after] - points[before]).normalize();
        Vec2::new(-v.y, v.x)
    };
    Band { points, normals: (0..n).map(normal).collect(), tolerance }
}

/// The farthest index that one arc from `(from, e)` reaches, at offset `f`; at least `least`.
fn farthest(band: &Band<'_>, from: (usize, f64), f: f64, least: usize) -> Option<usize> {
    let last = band.points.len() - 1;
    let try_at = |index: usize| band.feasible(from, (index, f));
    let mut low = least.max(from.0 + 1).min(last);
    if !try_at(low) {
        return None;
    }
    let mut step = 1;
    let mut high = last + 1;
    while low + step < high {
        if try_at(low + step) {
            low += step;
            step *= 2;
        } else {
            high = low + step;
        }
    }
    while high - low > 1 {
        let middle = usize::midpoint(low, high);
        if try_at(middle) { low = middle } else { high = middle }
    }
    Some(low)
}

fn offsets(half: i32) -> Vec<f64> {
    (-half..=half).map(|i| f64::from(i) / f64::from(half) * 0.999).collect()
}

fn apart_from(points: &[Point], tolerance: f64, ring: bool) -> (usize, usize) {
    let band = band(points, tolerance, ring);
    let (mut at, mut count, mut first) = (0, 0, 0);
    while at + 1 < points.len() {
        let mut best = at + 1;
        for e in offsets(10) {
            for f in offsets(10) {
                best = best.max(farthest(&band, (at, e), f, best).unwrap_or(0));
            }
        }
        first = if count == 0 { best } else { first };
        at = best;
        count += 1;
    }
    (count, first)
}

fn joined_from(points: &[Point], tolerance: f64, ring: bool) -> (usize, usize) {
    let band = band(points, tolerance, ring);
    let grid = offsets(8);
    let last = points.len() - 1;
    // Of a ring, the end is the beginning; `None` leaves both free.
    let starts: Vec<Option<usize>> = if ring { (0..grid.len()).map(Some).collect() } else { vec![None] };
    let mut fewest = (usize::MAX, 0);
    for start in starts {
        let mut layer: Vec<Option<usize>> =
            (0..grid.len()).map(|k| start.is_none_or(|s| s == k).then_some(0)).collect();
        let mut first = 0;
        for count in 1.. {
            let ends = |k: &usize| start.is_none_or(|s| s == *k);
            let from = |k: usize| layer[k].map(|i| (i, grid[k]));
            let done = (0..grid.len()).filter_map(from).any(|a| {
                (0..grid.len()).filter(ends).any(|k| a.0 < last && band.feasible(a, (last, grid[k])))
            });
            if done {
                fewest = fewest.min((count, first));
                break;
            }
            let next: Vec<Option<usize>> = grid
                .iter()
                .map(|f| {
                    let mut best = 0;
                    for a in (0..grid.len()).filter_map(from) {
                        best = best.max(farthest(&band, a, *f, best).unwrap_or(0));
                    }
                    (best > 0).then_some(best.min(last - 1))
                })
                .collect();
            layer = next;
            first = if count == 1 { layer.iter().flatten().copied().max().unwrap_or(1) } else { first };
            if count >= fewest.0 {
                break;
            }
        }
    }
    fewest
}

/// The fewest arcs over all beginnings: of a ring, any point of the first arc may be one.
fn over_beginnings(
    points: &[Point],
    tolerance: f64,
    ring: bool,
    beginnings: usize,
    count: impl Fn(&[Point], f64, bool) -> (usize, usize),
) -> usize {
    let (mut fewest, first) = count(points, tolerance, ring);
    if ring {
        for k in 1..beginnings {
            let mut turned = points[..points.len() - 1].to_vec();
            turned.rotate_left(first * k / beginnings);
            turned.push(turned[0]);
            fewest = fewest.min(count(&turned, tolerance, ring).0);
        }
    }
    fewest
}

/// See the head of this file.
pub(crate) fn apart(points: &[Point], tolerance: f64, ring: bool, beginnings: usize) -> usize {
    over_beginnings(points, tolerance, ring, beginnings, apart_from)
}

/// See the head of this file.
pub(crate) fn joined(points: &[Point], tolerance: f64, ring: bool, beginnings: usize) -> usize {
    over_beginnings(points, tolerance, ring, beginnings, joined_from)
}
