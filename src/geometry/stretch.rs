//! True scale from known lengths and points, by least squares.
//!
//! A print or a scan is stretched evenly over its sheet: what is true comes of what is drawn by an affine map. Lengths
//! decide how it is stretched along x and y and how far it is skewed; only directions and points decide how it is turned.
//!
//! The error that a length has in the result follows from that of one reading, `e`, by the law of propagation of errors:
//! a part of length `l` in the direction `u` is expected to be off by `l e sqrt(g^T (J^T J)^-1 g)`, where the rows of `J`
//! say how each known length changes with what is sought, and `g` how a length of 1 along `u` does. Where all known
//! lengths `L` lie along the part this is `l e / sqrt(sum L^2)`.

use super::{Affine, Point, Vec2, trig};

/// What is sought: stretch along x, along y, skew, turn.
const SOUGHT: usize = 4;

/// Gauss's and Newton's steps: from a stretch near 1 three are enough for all digits.
const STEPS: usize = 12;

/// A model is taken where its expected error is no more than so many times that of one even scale: more, and the lengths
/// lie too much one way for it.
const WORSE: f64 = 6.0;

/// A pivot smaller than this fraction of its column's size is none.
const SINGULAR: f64 = 1e-9;

/// Directions looked at for the worst, over half a turn.
const DIRECTIONS: u32 = 36;

/// A length that is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// As drawn, mm.
    pub drawn: Vec2,
    /// As it truly is, mm.
    pub true_mm: f64,
    /// The direction that it truly has, degrees from the x axis, where that is known.
    pub true_deg: Option<f64>,
}

/// What the known lengths decide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Decided {
    /// One scale for all directions.
    Scale,
    /// A scale along x and one along y.
    AlongAndAcross,
    /// These and a skew.
    Skew,
}

/// A correction, and how well it is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Correction {
    /// From what is drawn to what is true; it leaves the origin where it is.
    pub map: Affine,
    /// What was decided.
    pub decided: Decided,
    /// What is left of each known length, mm: positive where the corrected one is too long; of one with a direction the
    /// distance between its ends.
    pub residuals_mm: Vec<f64>,
    inverse: Vec<Vec<f64>>,
    free: Vec<usize>,
    values: [f64; SOUGHT],
}

impl Correction {
    /// The scales along x and y, the skew and the turn, the last two in degrees.
    pub fn parts(&self) -> (f64, f64, f64, f64) {
        let [x, y, skew, turn] = self.values;
        (x, y, trig::atan(skew / y).to_degrees(), turn.to_degrees())
    }

    /// The error expected of a true length along a direction of the drawing, for this error of one reading.
    pub fn expected_mm(&self, direction_deg: f64, length_mm: f64, reading_mm: f64) -> f64 {
        let (sin, cos) = trig::sin_cos_deg(direction_deg);
        let slope = slope(&self.values, self.decided, Vec2::new(cos, sin));
        let g: Vec<f64> = self.free.iter().map(|&k| slope[k]).collect();
        let square: f64 =
            (0..g.len()).map(|i| (0..g.len()).map(|j| g[i] * self.inverse[i][j] * g[j]).sum::<f64>()).sum();
        length_mm * reading_mm * square.max(0.0).sqrt()
    }

    /// The largest of them over all directions.
    pub fn worst_mm(&self, length_mm: f64, reading_mm: f64) -> f64 {
        let step = 180.0 / f64::from(DIRECTIONS);
        (0..DIRECTIONS)
            .map(|k| self.expected_mm(f64::from(k) * step, length_mm, reading_mm))
            .fold(0.0, f64::max)
    }
}

/// The correction that fits the lengths best, deciding as much as they decide. None where there is none, or one has no
/// length.
pub fn correction(known: &[Known]) -> Option<Correction> {
    if known.iter().any(|k| !(k.drawn.hypot() > 0.0 && k.drawn.is_finite() && k.true_mm > 0.0)) {
        return None;
    }
    let even = solved(known, Decided::Scale)?;
    let bar = WORSE * even.worst_mm(1.0, 1.0);
    let finer = [Decided::Skew, Decided::AlongAndAcross].into_iter().filter_map(|model| solved(known, model));
    finer.into_iter().find(|c| c.worst_mm(1.0, 1.0) <= bar).or(Some(even))
}

/// A length drawn as `v`, under the stretch sought.
fn stretched(p: &[f64; SOUGHT], v: Vec2) -> Vec2 {
    Vec2::new(p[0] * v.x + p[2] * v.y, p[1] * v.y)
}

/// How the length of `v` changes with each value sought, per unit.
fn slope(p: &[f64; SOUGHT], model: Decided, v: Vec2) -> [f64; SOUGHT] {
    let w = stretched(p, v);
    let length = w.hypot();
    let (x, y) = (w.x * v.x / length, w.y * v.y / length);
    match model {
        Decided::Scale => [x + y, 0.0, 0.0, 0.0],
        _ => [x, y, w.x * v.y / length, 0.0],
    }
}

fn solved(known: &[Known], model: Decided) -> Option<Correction> {
    let turned = known.iter().any(|k| k.true_deg.is_some());
    let mut free = match model {
        Decided::Scale => vec![0],
        Decided::AlongAndAcross => vec![0, 1],
        Decided::Skew => vec![0, 1, 2],
    };
    if turned {
        free.push(3);
    }
    let mut p = [1.0, 1.0, 0.0, 0.0];
    if let Some(k) = known.iter().find(|k| k.true_deg.is_some()) {
        let there = k.true_deg.unwrap_or(0.0).to_radians();
        p[3] = there - trig::atan2(k.drawn.y, k.drawn.x);
    }
    let mut inverse = Vec::new();
    for _ in 0..STEPS {
        let rows = rows(known, model, &p);
        if rows.len() < free.len() {
            return None;
        }
        let n = free.len();
        let mut normal = vec![vec![0.0; n]; n];
        let mut right = vec![0.0; n];
        for (slope, off) in &rows {
            for (i, &a) in free.iter().enumerate() {
                right[i] -= slope[a] * off;
                for (j, &b) in free.iter().enumerate() {
                    normal[i][j] += slope[a] * slope[b];
                }
            }
        }
        inverse = inverted(normal)?;
        for (i, &k) in free.iter().enumerate() {
            p[k] += inverse[i].iter().zip(&right).map(|(a, b)| a * b).sum::<f64>();
        }
        if model == Decided::Scale {
            p[1] = p[0];
        }
        if !p.iter().all(|v| v.is_finite()) || p[0] <= 0.0 || p[1] <= 0.0 {
            return None;
        }
    }
    let (sin, cos) = trig::sin_cos(p[3]);
    let map = Affine::new([cos, sin, -sin, cos, 0.0, 0.0]) * Affine::new([p[0], 0.0, p[2], p[1], 0.0, 0.0]);
    let residual = |k: &Known| {
        let there = map * k.drawn.to_point();
        match k.true_deg {
            None => there.to_vec2().hypot() - k.true_mm,
            Some(degrees) => there.distance(target(k, degrees).to_point()),
        }
    };
    let residuals_mm = known.iter().map(residual).collect();
    Some(Correction { map, decided: model, residuals_mm, inverse, free, values: p })
}

fn target(k: &Known, degrees: f64) -> Vec2 {
    let (sin, cos) = trig::sin_cos_deg(degrees);
    Vec2::new(cos, sin) * k.true_mm
}

/// For each equation how it changes with what is sought, and how far it is off.
fn rows(known: &[Known], model: Decided, p: &[f64; SOUGHT]) -> Vec<([f64; SOUGHT], f64)> {
    let mut rows = Vec::new();
    for k in known {
        let w = stretched(p, k.drawn);
        let Some(degrees) = k.true_deg else {
            rows.push((slope(p, model, k.drawn), w.hypot() - k.true_mm));
            continue;
        };
        // The true vector turned back.
        let (sin, cos) = trig::sin_cos(-p[3]);
        let t = target(k, degrees);
        let back = Vec2::new(t.x * cos - t.y * sin, t.x * sin + t.y * cos);
        let (x, y) = (k.drawn.x, k.drawn.y);
        let (of_x, of_y) = match model {
            Decided::Scale => ([x, 0.0, 0.0, -back.y], [y, 0.0, 0.0, back.x]),
            _ => ([x, 0.0, y, -back.y], [0.0, y, 0.0, back.x]),
        };
        rows.push((of_x, w.x - back.x));
        rows.push((of_y, w.y - back.y));
    }
    rows
}

/// The inverse of a small symmetric matrix, by Gauss's and Jordan's elimination; none where it has none.
fn inverted(mut matrix: Vec<Vec<f64>>) -> Option<Vec<Vec<f64>>> {
    let n = matrix.len();
    let sizes: Vec<f64> = (0..n).map(|i| matrix[i][i].abs()).collect();
    let mut inverse: Vec<Vec<f64>> =
        (0..n).map(|i| (0..n).map(|j| if i == j { 1.0 } else { 0.0 }).collect()).collect();
    for i in 0..n {
        let pivot = matrix[i][i];
        if pivot.is_nan() || pivot.abs() <= SINGULAR * sizes[i] {
            return None;
        }
        for j in 0..n {
            matrix[i][j] /= pivot;
            inverse[i][j] /= pivot;
        }
        for k in (0..n).filter(|&k| k != i) {
            let factor = matrix[k][i];
            for j in 0..n {
                matrix[k][j] -= factor * matrix[i][j];
                inverse[k][j] -= factor * inverse[i][j];
            }
        }
    }
    Some(inverse)
}

/// The turn and shift that bring points nearest to others in the mean of the squares; none where they do not tell a turn.
pub fn laid_on(here: &[Point], there: &[Point]) -> Option<Affine> {
    let (a, b) = (middle(here)?, middle(there)?);
    let pairs = || here.iter().zip(there).map(|(p, q)| (*p - a, *q - b));
    let (dot, cross) = pairs().fold((0.0, 0.0), |(d, c), (p, q)| (d + p.dot(q), c + p.cross(q)));
    let size = trig::hypot(dot, cross);
    if here.len() < 2 || size.is_nan() || size <= 0.0 {
        return None;
    }
    let (cos, sin) = (dot / size, cross / size);
    let turn = Affine::new([cos, sin, -sin, cos, 0.0, 0.0]);
    Some(Affine::translate(b.to_vec2()) * turn * Affine::translate(-a.to_vec2()))
}

/// The affine map that brings points nearest to others in the mean of the squares; none where there are fewer than three
/// or they lie on one line.
pub fn affine(here: &[Point], there: &[Point]) -> Option<Affine> {
    let (a, b) = (middle(here)?, middle(there)?);
    let pairs = || here.iter().zip(there).map(|(p, q)| (*p - a, *q - b));
    let sum = |f: &dyn Fn(Vec2, Vec2) -> f64| pairs().map(|(p, q)| f(p, q)).sum::<f64>();
    let (xx, xy, yy) = (sum(&|p, _| p.x * p.x), sum(&|p, _| p.x * p.y), sum(&|p, _| p.y * p.y));
    let inverse = inverted(vec![vec![xx, xy], vec![xy, yy]])?;
    let row = |of: &dyn Fn(Vec2) -> f64| {
        let (x, y) = (sum(&|p, q| p.x * of(q)), sum(&|p, q| p.y * of(q)));
        (inverse[0][0] * x + inverse[0][1] * y, inverse[1][0] * x + inverse[1][1] * y)
    };
    let (x, y) = (row(&|q| q.x), row(&|q| q.y));
    let map = Affine::new([x.0, y.0, x.1, y.1, 0.0, 0.0]);
    (here.len() >= 3).then(|| Affine::translate(b.to_vec2()) * map * Affine::translate(-a.to_vec2()))
}

fn middle(points: &[Point]) -> Option<Point> {
    let sum = points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
    (!points.is_empty() && sum.is_finite()).then(|| (sum / points.len() as f64).to_point())
}
