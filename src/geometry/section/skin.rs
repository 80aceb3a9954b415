//! A surface of a rib as it is cut: smooth runs from the nose to the tail, which can be moved, thinned and parted.

use super::super::curve::{Curve, Spline};
use super::super::{Affine, Point, Vec2};

/// So many places are looked at on each run before a crossing is narrowed.
const LOOKS: u32 = 400;

/// How often an interval is halved: down to the last bits.
const HALVINGS: u32 = 50;

/// So far beside a step, mm, its depth is asked for: rounding stays far below.
const BESIDE: f64 = 1e-6;

/// Parameters nearer than this are one: a sliver of a run is none.
const SLIVER: f64 = 1e-7;

/// Both surfaces of a section.
#[derive(Clone, Debug)]
pub struct Wing {
    /// The upper surface, from nose to tail.
    pub upper: Skin,
    /// The lower surface, from nose to tail.
    pub lower: Skin,
    /// Whether the nose is round rather than a corner.
    pub round: bool,
}

/// A surface: runs from nose to tail, each beginning where the one before ends, with a corner there.
#[derive(Clone, Debug)]
pub struct Skin {
    runs: Vec<Curve>,
    /// How far along the chord each run is at evenly spaced parameters, so that a crossing is found without asking it.
    looks: Vec<Vec<f64>>,
}

impl Skin {
    fn of(runs: Vec<Curve>) -> Self {
        let along = |run: &Curve| (0..=LOOKS).map(|k| run.at(look(k)).x).collect();
        let looks = runs.iter().map(along).collect();
        Self { runs, looks }
    }

    /// Smooth curves through runs of points; the first leaves in this direction where one is given.
    pub(super) fn through(runs: &[Vec<Point>], nose: Option<Vec2>) -> Self {
        let mut curves = Vec::new();
        for (number, points) in runs.iter().enumerate() {
            let held = if number == 0 { nose } else { None };
            curves.extend(curve(points, (held, None)));
        }
        Self::of(curves)
    }

    /// Its runs.
    pub fn runs(&self) -> &[Curve] {
        &self.runs
    }

    /// The surface under a map.
    #[must_use]
    pub fn transformed(&self, map: Affine) -> Self {
        Self::of(self.runs.iter().map(|run| run.transformed(map)).collect())
    }

    /// Where the surface lies at `x`, as seen from the tail: none where it does not reach.
    pub fn height(&self, x: f64) -> Option<f64> {
        self.place(x).map(|(run, t)| self.runs[run].at(t).y)
    }

    /// The place at `x` nearest to the tail along the surface.
    fn place(&self, x: f64) -> Option<(usize, f64)> {
        for (number, (run, looks)) in self.runs.iter().zip(&self.looks).enumerate().rev() {
            for (k, pair) in (0..LOOKS).zip(looks.windows(2)).rev() {
                if pair[0] > x || pair[1] < x {
                    continue;
                }
                let (mut low, mut high) = (look(k), look(k + 1));
                for _ in 0..HALVINGS {
                    let middle = f64::midpoint(low, high);
                    if run.at(middle).x < x {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                return Some((number, high));
            }
        }
        None
    }

    /// The surface between two places along the chord; none for an end takes the surface to its end there.
    pub fn between(&self, from: Option<f64>, to: Option<f64>) -> Option<Vec<Curve>> {
        let first = from.map_or(Some((0, 0.0)), |x| self.place(x))?;
        let last = to.map_or(Some((self.runs.len() - 1, 1.0)), |x| self.place(x))?;
        let mut parts = Vec::new();
        for (number, run) in self.runs.iter().enumerate() {
            if number < first.0 || number > last.0 {
                continue;
            }
            let t0 = if number == first.0 { first.1 } else { 0.0 };
            let t1 = if number == last.0 { last.1 } else { 1.0 };
            if t1 - t0 > SLIVER {
                parts.push(part(run, t0, t1));
            }
        }
        Some(parts)
    }

    /// The surface moved inwards, to its right where `right`, by so much at each place along the chord.
    #[must_use]
    pub fn thinned(&self, right: bool, steps: &[f64], depth: impl Fn(f64) -> f64) -> Self {
        let mut runs: Vec<Curve> = Vec::new();
        let mut ends = vec![None];
        ends.extend(steps.iter().copied().map(Some));
        ends.push(None);
        for pair in ends.windows(2) {
            let middle = match (pair[0], pair[1]) {
                (Some(a), Some(b)) => f64::midpoint(a, b),
                (Some(a), None) => a + BESIDE,
                (None, Some(b)) => b - BESIDE,
                (None, None) => 0.0,
            };
            let by = depth(middle) * if right { 1.0 } else { -1.0 };
            for run in self.between(pair[0], pair[1]).unwrap_or_default() {
                let moved = if by == 0.0 { Some(run) } else { beside(&run, by) };
                if let (Some(last), Some(moved)) = (runs.last(), &moved)
                    && last.to() != moved.from()
                {
                    runs.push(Curve::line(last.to(), moved.from()));
                }
                runs.extend(moved);
            }
        }
        Self::of(runs)
    }
}

/// One of the parameters at which runs are looked at.
fn look(k: u32) -> f64 {
    f64::from(k) / f64::from(LOOKS)
}

/// A curve through points: straight through two.
fn curve(points: &[Point], held: (Option<Vec2>, Option<Vec2>)) -> Option<Curve> {
    match points {
        [] | [_] => None,
        [a, b] => Some(Curve::line(*a, *b)),
        _ => Spline::through(points, false, held).ok().map(Curve::Spline),
    }
}

/// The places at which a curve is looked at between two parameters: those that it was laid through, and the ends.
fn places(run: &Curve, t0: f64, t1: f64) -> Vec<f64> {
    let mut all = vec![t0];
    if let Curve::Spline(spline) = run {
        let breaks = spline.breaks();
        let apart = (t1 - t0).min(1.0 / breaks.len() as f64) * 0.2;
        all.extend(breaks.into_iter().filter(|t| *t > t0 + apart && *t < t1 - apart));
    }
    all.push(t1);
    all
}

/// The part of a curve between two parameters, with its directions at the ends.
fn part(run: &Curve, t0: f64, t1: f64) -> Curve {
    if t0 <= 0.0 && t1 >= 1.0 {
        return run.clone();
    }
    let points: Vec<Point> = places(run, t0, t1).into_iter().map(|t| run.at(t)).collect();
    let held = (Some(run.derivative(t0)), Some(run.derivative(t1)));
    if let [a, b] = points.as_slice()
        && let Curve::Spline(_) = run
    {
        let middle = run.at(f64::midpoint(t0, t1));
        return curve(&[*a, middle, *b], held).unwrap_or_else(|| Curve::line(*a, *b));
    }
    curve(&points, held).unwrap_or_else(|| Curve::line(run.at(t0), run.at(t1)))
}

/// A curve so far to the right of another.
fn beside(run: &Curve, by: f64) -> Option<Curve> {
    let moved = |t: f64| {
        let (at, onward) = run.at_with_derivative(t);
        let onward = onward / onward.hypot().max(f64::MIN_POSITIVE);
        at + Vec2::new(onward.y, -onward.x) * by
    };
    let points: Vec<Point> = places(run, 0.0, 1.0).into_iter().map(moved).collect();
    let held = match run {
        Curve::Spline(_) => (Some(run.derivative(0.0)), Some(run.derivative(1.0))),
        _ => (None, None),
    };
    curve(&points, held)
}
