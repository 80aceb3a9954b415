//! Curves as points close enough together that an arc near the points is near the curve.

use std::f64::consts::FRAC_PI_4;

use crate::geometry::curve::Curve;
use crate::geometry::{Point, Vec2, trig};

/// Between two samples the curve leaves its chord by at most this fraction of the tolerance. An arc that passes both
/// samples within the tolerance bends along with the curve, so that the error left between them is far smaller still;
/// [`super::run`] checks it halfway between.
const SAGITTA: f64 = 0.1;

/// Where the curvature changes at the rate k along the curve, no arc follows it within e for longer than the cube root
/// of 192 e / k, and the turns at the two ends of a chord of length h differ by k h^2 / 6. This bound on that difference
/// times h, in tolerances, makes at least fourteen samples on the longest arc.
const SKEW: f64 = 0.012;

/// The same difference in radians is never larger than this, so that small arcs from sample to sample meet smoothly.
const SKEW_TURN: f64 = 0.008;

/// Between two samples the curve turns by at most this many radians from the chord.
const TURN: f64 = 0.12;

/// Samples no nearer than this fraction of the tolerance: what happens within is a point to the tolerance.
const NEAREST: f64 = 0.02;

/// A turn of more than this (as the cosine of 60 degrees) within a length of one tolerance is a corner: the curve may
/// be smooth there, but no arc of the size of the tolerance is.
const TIGHT: f64 = 0.5;

/// How often a piece may be halved. Beyond it the parameter has no digits left.
const DEEPEST: u32 = 24;

/// A point of a curve.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sample {
    pub(super) at: Point,
    /// Direction of travel, a unit vector.
    pub(super) along: Vec2,
    /// The curve's point halfway (by the parameter) to the next sample.
    pub(super) half: Point,
    /// Whether the curve turns sharply here.
    pub(super) corner: bool,
}

/// The samples of a curve from end to end, and the direction of travel at its ends; none where it is but a point.
pub(super) fn samples(curve: &Curve, tolerance: f64) -> Vec<Sample> {
    let mut sampler = Sampler { curve, tolerance, size: size(curve), found: Vec::new() };
    let breaks = breaks(curve);
    let kinks = if let Curve::Spline(s) = curve { s.kinks() } else { Vec::new() };
    let has_kink = |t: f64| kinks.binary_search_by(|k| k.total_cmp(&t)).is_ok();
    let mut a = sampler.sample(0.0, true);
    for pair in breaks.windows(2) {
        let arriving = sampler.sample(pair[1], pair[1] < 1.0 && !has_kink(pair[1]));
        sampler.between((pair[0], a), (pair[1], arriving), 0);
        a = arriving;
        if has_kink(pair[1]) {
            a = sampler.sample(pair[1], true);
            a.corner = turns_sharply(arriving.along, a.along);
        }
    }
    let last = sampler.sample(1.0, false);
    let mut found = sampler.found;
    found.push(last);
    found.dedup_by(|b, a| b.at.distance(a.at) <= SAME);
    if found.len() < 2 {
        return Vec::new();
    }
    // The very last point counts, whatever was dropped before it.
    let end = found.len() - 1;
    found[end].at = last.at;
    mark_tight_turns(&mut found, tolerance);
    found
}

/// Points nearer than this, in millimetres, are one: far above rounding, far below any tolerance.
pub(super) const SAME: f64 = 1e-9;

/// Where a curve is cut before anything else is asked of it, so that no wave of it falls between samples.
fn breaks(curve: &Curve) -> Vec<f64> {
    let even = |n: usize| (0..=n).map(|i| i as f64 / n as f64).collect();
    match curve {
        Curve::Segment(s) => even(if s.is_line() { 2 } else { 4 }),
        Curve::Ellipse(e) => even((e.sweep.abs() / FRAC_PI_4).ceil().clamp(2.0, 16.0) as usize),
        Curve::Cubic(_) => even(4),
        Curve::Spline(s) => {
            let ends = s.breaks();
            // The slopes at the ends of a cubic piece tell of any wave in it; more freedom hides more.
            if s.degree() <= 3 && ends.len() > 4 {
                return ends;
            }
            let halves = ends.windows(2).flat_map(|p| [p[0], f64::midpoint(p[0], p[1])]);
            halves.chain([1.0]).collect()
        }
    }
}

fn size(curve: &Curve) -> f64 {
    let bounds = curve.bounds();
    bounds.width().max(bounds.height())
}

struct Sampler<'a> {
    curve: &'a Curve,
    tolerance: f64,
    size: f64,
    found: Vec<Sample>,
}

impl Sampler<'_> {
    /// The sample at `t`, with the direction in which the curve goes on (or came).
    fn sample(&self, t: f64, onwards: bool) -> Sample {
        let (at, slope) = self.curve.at_with_derivative(t);
        // At a knot the slope is that of the piece after it: look from just before where the one before is meant.
        let slope = if onwards || t >= 1.0 { slope } else { self.curve.derivative(t - 1e-9) };
        Sample { at, along: direction(self.curve, t, slope, onwards, self.size), half: at, corner: false }
    }

    /// Adds the samples from `a` up to but without `b`.
    fn between(&mut self, a: (f64, Sample), b: (f64, Sample), depth: u32) {
        let middle = f64::midpoint(a.0, b.0);
        let chord = b.1.at - a.1.at;
        let length = chord.hypot();
        if depth >= DEEPEST || self.is_fine(a.1.along, b.1.along, chord, length) {
            let half = self.curve.at(middle);
            // A loop that comes back to where it began has no chord to judge by.
            if depth >= DEEPEST || half.distance(a.1.at) <= length + self.tolerance * NEAREST {
                self.found.push(Sample { half, ..a.1 });
                return;
            }
        }
        let m = self.sample(middle, true);
        self.between(a, (middle, m), depth + 1);
        self.between((middle, m), b, depth + 1);
    }

    fn is_fine(&self, from: Vec2, to: Vec2, chord: Vec2, length: f64) -> bool {
        if length <= self.tolerance * NEAREST {
            return true;
        }
        // A chord of length h under an angle of w to the curve at its ends has a sagitta of h w / 4.
        let (before, after) = (from.cross(chord), chord.cross(to));
        let across = before.abs().max(after.abs());
        let forward = from.dot(chord) > 0.0 && chord.dot(to) > 0.0;
        forward
            && across <= TURN * length
            && across <= 4.0 * SAGITTA * self.tolerance
            && (before - after).abs() <= (SKEW * self.tolerance).min(SKEW_TURN * length)
    }
}

/// The direction of travel at `t`, where the derivative is `slope`; where the curve stands still there, the one in which it goes on (or came).
fn direction(curve: &Curve, t: f64, slope: Vec2, onwards: bool, size: f64) -> Vec2 {
    let speed = slope.hypot();
    if speed > 1e-7 * size {
        return slope / speed;
    }
    let step = if (onwards && t < 1.0) || t <= 0.0 { 1e-4 } else { -1e-4 };
    let there = curve.at(t + step) - curve.at(t);
    let gone = there.hypot();
    if gone > 0.0 { there * (step.signum() / gone) } else { Vec2::new(1.0, 0.0) }
}

/// Whether two directions (unit vectors) differ by more than a smooth join may: [`super::KINK_DEG`].
pub(super) fn turns_sharply(before: Vec2, after: Vec2) -> bool {
    before.dot(after) <= 0.0 || before.cross(after).abs() > trig::sin(super::KINK_DEG.to_radians())
}

/// Marks the samples in the middle of turns too tight for the tolerance, cusps among them.
fn mark_tight_turns(found: &mut [Sample], tolerance: f64) {
    let (mut first, mut length, mut marked) = (0, 0.0, 0);
    for i in 1..found.len() {
        length += found[i].at.distance(found[i - 1].at);
        while length > tolerance && first + 1 < i {
            length -= found[first + 1].at.distance(found[first].at);
            first += 1;
        }
        if length <= tolerance && first >= marked && found[first].along.dot(found[i].along) < TIGHT {
            let middle = usize::midpoint(first, i).max(1);
            found[middle].corner = middle + 1 < found.len();
            marked = i;
        }
    }
}
