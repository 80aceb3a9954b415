//! B-splines of any degree, rational or not.

use crate::geometry::{Affine, Point, Rect, Vec2};

/// Two knots nearer than this fraction of the whole range are one.
const SAME_KNOT: f64 = 1e-12;

/// The highest degree that is taken: drawing programs stop far below.
const HIGHEST_DEGREE: usize = 25;

/// Why numbers do not make a spline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BadSpline {
    /// The degree is 0 or absurdly high.
    #[error("a spline's degree must lie between 1 and 25, not {0}")]
    Degree(usize),
    /// Fewer control points than the degree asks for.
    #[error("a spline of degree {degree} needs at least {} control points, not {points}", .degree + 1)]
    Points {
        /// Its degree.
        degree: usize,
        /// How many control points came.
        points: usize,
    },
    /// The number of knots is not that of the points plus the degree plus one.
    #[error("a spline with these points needs {needed} knots, not {knots}")]
    Knots {
        /// How many it needs.
        needed: usize,
        /// How many came.
        knots: usize,
    },
    /// Knots decrease, or all are the same.
    #[error("a spline's knots must rise")]
    Order,
    /// A weight is missing, zero or negative.
    #[error("a spline's weights must be positive, one for each control point")]
    Weights,
    /// Not a number or infinite.
    #[error("a number of the spline is not finite")]
    NotFinite,
    /// The curve jumps at a knot.
    #[error("the spline is broken in two at a knot")]
    Broken,
}

/// A B-spline of any degree. Its curve runs over the knots from the one numbered `degree` to the one numbered as many
/// as there are control points, so clamped, unclamped and periodic knots all mean what they say.
#[derive(Clone, Debug, PartialEq)]
pub struct Spline {
    degree: usize,
    points: Vec<Point>,
    weights: Vec<f64>,
    knots: Vec<f64>,
}

/// A control point times its weight, and the weight.
#[derive(Clone, Copy, Debug)]
struct Weighted {
    at: Vec2,
    weight: f64,
}

impl Weighted {
    fn lerp(self, other: Self, t: f64) -> Self {
        Self { at: self.at.lerp(other.at, t), weight: self.weight + (other.weight - self.weight) * t }
    }

    fn point(self) -> Point {
        (self.at / self.weight).to_point()
    }
}

impl Spline {
    /// A spline from control points, weights (none at all where it is not rational) and knots
    /// (`points + degree + 1` of them).
    ///
    /// # Errors
    /// [`BadSpline`] says which of them does not fit.
    pub fn new(
        degree: usize,
        points: Vec<Point>,
        weights: Vec<f64>,
        knots: Vec<f64>,
    ) -> Result<Self, BadSpline> {
        let count = points.len();
        if degree == 0 || degree > HIGHEST_DEGREE {
            return Err(BadSpline::Degree(degree));
        }
        if count <= degree {
            return Err(BadSpline::Points { degree, points: count });
        }
        if knots.len() != count + degree + 1 {
            return Err(BadSpline::Knots { needed: count + degree + 1, knots: knots.len() });
        }
        let weights = if weights.is_empty() { vec![1.0; count] } else { weights };
        if weights.len() != count || weights.iter().any(|&w| w <= 0.0) {
            return Err(BadSpline::Weights);
        }
        let finite = points.iter().all(|p| p.is_finite())
            && weights.iter().all(|w| w.is_finite())
            && knots.iter().all(|k| k.is_finite());
        if !finite {
            return Err(BadSpline::NotFinite);
        }
        if knots.windows(2).any(|pair| pair[0] > pair[1]) || knots[degree] >= knots[count] {
            return Err(BadSpline::Order);
        }
        let spline = Self { degree, points, weights, knots };
        if spline.is_broken() { Err(BadSpline::Broken) } else { Ok(spline) }
    }

    /// A spline with evenly spaced knots: clamped, through its first and last control points; or, where it is closed,
    /// periodic and smooth all round, the points not repeated.
    ///
    /// # Errors
    /// As [`Spline::new`].
    pub fn uniform(degree: usize, points: Vec<Point>, closed: bool) -> Result<Self, BadSpline> {
        let count = points.len();
        if degree == 0 || degree > HIGHEST_DEGREE {
            return Err(BadSpline::Degree(degree));
        }
        if count <= degree {
            return Err(BadSpline::Points { degree, points: count });
        }
        if closed {
            let wrapped: Vec<Point> = points.iter().chain(&points[..degree]).copied().collect();
            let knots = (0..=wrapped.len() + degree).map(|k| k as f64).collect();
            return Self::new(degree, wrapped, Vec::new(), knots);
        }
        let spans = count - degree;
        let knots = (0..=count + degree).map(|k| k.saturating_sub(degree).min(spans) as f64).collect();
        Self::new(degree, points, Vec::new(), knots)
    }

    /// Its degree.
    pub fn degree(&self) -> usize {
        self.degree
    }

    /// Its control points.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Its weights, one per control point; all 1 where it is not rational.
    pub fn weights(&self) -> &[f64] {
        &self.weights
    }

    /// Its knots.
    pub fn knots(&self) -> &[f64] {
        &self.knots
    }

    /// The point at parameter `t`, 0 to 1.
    pub fn at(&self, t: f64) -> Point {
        let (below, above, fraction, _) = self.de_boor(t);
        below.lerp(above, fraction).point()
    }

    /// The derivative by the parameter (0 to 1) at `t`; at a kink the one of the piece that follows.
    pub fn derivative(&self, t: f64) -> Vec2 {
        self.at_with_derivative(t).1
    }

    /// The point and the derivative at `t`.
    pub fn at_with_derivative(&self, t: f64) -> (Point, Vec2) {
        let (below, above, fraction, span) = self.de_boor(t);
        let here = below.lerp(above, fraction);
        let at = here.point();
        let scale = self.degree as f64 / span * self.range();
        let (slope, swell) = ((above.at - below.at) * scale, (above.weight - below.weight) * scale);
        (at, (slope - at.to_vec2() * swell) / here.weight)
    }

    /// The same spline run backwards.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let mut back = self.clone();
        back.points.reverse();
        back.weights.reverse();
        back.knots = self.knots.iter().rev().map(|k| -k).collect();
        back
    }

    /// The spline under an affine map.
    #[must_use]
    pub fn transformed(&self, map: Affine) -> Self {
        Self { points: self.points.iter().map(|p| map * *p).collect(), ..self.clone() }
    }

    /// The upright rectangle around its control points; the curve lies within, as all weights are positive.
    pub fn bounds(&self) -> Rect {
        let first = self.points[0];
        self.points.iter().fold(Rect::from_points(first, first), |rect, p| rect.union_pt(*p))
    }

    /// The parameters, 0 to 1, at which its polynomial pieces meet, with both ends.
    pub fn breaks(&self) -> Vec<f64> {
        let (first, range) = (self.knots[self.degree], self.range());
        let mut breaks = vec![0.0];
        for knot in &self.knots[self.degree..=self.points.len()] {
            let t = (knot - first) / range;
            if t > breaks[breaks.len() - 1] + SAME_KNOT {
                breaks.push(t);
            }
        }
        let last = breaks.len() - 1;
        breaks[last] = 1.0;
        breaks
    }

    /// The parameters strictly between 0 and 1 at which it may have a kink: knots as multiple as its degree. They are
    /// among its [`Spline::breaks`], bit for bit.
    pub fn kinks(&self) -> Vec<f64> {
        let (first, range) = (self.knots[self.degree], self.range());
        let mut found: Vec<(f64, usize)> = Vec::new();
        for knot in &self.knots[self.degree..=self.points.len()] {
            let t = (knot - first) / range;
            match found.last_mut() {
                Some((last, times)) if t <= *last + SAME_KNOT => *times += 1,
                _ => found.push((t, 1)),
            }
        }
        let kinks =
            found.iter().filter(|(t, times)| *times >= self.degree && *t > 0.0 && *t < 1.0 - SAME_KNOT);
        kinks.map(|(t, _)| *t).collect()
    }

    /// The range of the knots that the curve runs over.
    fn range(&self) -> f64 {
        self.knots[self.points.len()] - self.knots[self.degree]
    }

    /// De Boor's algorithm short of its last step (C. de Boor, A Practical Guide to Splines, 1978): the two values, the
    /// fraction between them, and the width of the knot span.
    fn de_boor(&self, t: f64) -> (Weighted, Weighted, f64, f64) {
        match self.degree {
            ..4 => self.de_boor_within::<4>(t),
            4..8 => self.de_boor_within::<8>(t),
            _ => self.de_boor_within::<{ HIGHEST_DEGREE + 1 }>(t),
        }
    }

    /// As [`Spline::de_boor`], with room for that many values.
    fn de_boor_within<const ROOM: usize>(&self, t: f64) -> (Weighted, Weighted, f64, f64) {
        let (p, count) = (self.degree, self.points.len());
        let u = if t >= 1.0 { self.knots[count] } else { self.knots[p] + self.range() * t.max(0.0) };
        // The last knot not beyond u, yet within the range and with a span of some width after it.
        let after = self.knots[p + 1..count].partition_point(|k| *k <= u);
        let mut k = p + after;
        while k > p && self.knots[k] >= self.knots[k + 1] {
            k -= 1;
        }
        while k + 1 < count && self.knots[k] >= self.knots[k + 1] {
            k += 1;
        }
        let mut d = [Weighted { at: Vec2::ZERO, weight: 1.0 }; ROOM];
        for (j, slot) in d[..=p].iter_mut().enumerate() {
            let i = k - p + j;
            *slot = Weighted { at: self.points[i].to_vec2() * self.weights[i], weight: self.weights[i] };
        }
        let fraction = |level: usize, j: usize| {
            let (low, high) = (self.knots[j + k - p], self.knots[j + 1 + k - level]);
            (u - low) / (high - low)
        };
        for level in 1..p {
            for j in (level..=p).rev() {
                d[j] = d[j - 1].lerp(d[j], fraction(level, j));
            }
        }
        (d[p - 1], d[p], fraction(p, p), self.knots[k + 1] - self.knots[k])
    }

    /// Whether it jumps: an inner knot more than `degree` times over, with different points on its sides.
    fn is_broken(&self) -> bool {
        let (p, count) = (self.degree, self.points.len());
        (p + 1..count.saturating_sub(p)).any(|i| {
            let inside = self.knots[i] > self.knots[p] && self.knots[i] < self.knots[count];
            let full = (self.knots[i + p] - self.knots[i]).abs() <= SAME_KNOT * self.range();
            inside && full && self.points[i - 1].distance(self.points[i]) > JUMP
        })
    }
}

/// A gap wider than this, in millimetres, breaks a spline in two.
const JUMP: f64 = 1e-6;
