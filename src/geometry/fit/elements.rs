//! What a drawn path is made of: segments to be kept as they are, and stretches to be fitted.

use super::samples::{SAME, Sample, samples};
use crate::geometry::curve::Curve;
use crate::geometry::{Point, Segment, Vec2};

/// An ellipse this near to a circle, in millimetres, is one.
const ROUND: f64 = 1e-6;

/// A gap between curves that follow each other, as a fraction of the tolerance, up to which the end is simply moved.
/// A wider one gets a line.
const GAP: f64 = 0.1;

/// One element of a path.
#[derive(Clone, Debug)]
pub(super) enum Element {
    /// A line or arc as drawn.
    Drawn(Segment),
    /// A stretch of a curve, with at least two samples, and whether it begins with a corner of its own.
    Bend(Vec<Sample>, bool),
}

impl Element {
    pub(super) fn from(&self) -> Point {
        match self {
            Self::Drawn(s) => s.from,
            Self::Bend(samples, _) => samples[0].at,
        }
    }

    pub(super) fn to(&self) -> Point {
        match self {
            Self::Drawn(s) => s.to,
            Self::Bend(samples, _) => samples[samples.len() - 1].at,
        }
    }

    /// Direction in which it begins.
    pub(super) fn start(&self) -> Vec2 {
        match self {
            Self::Drawn(s) => s.tangent(0.0),
            Self::Bend(samples, _) => samples[0].along,
        }
    }

    /// Direction in which it ends.
    pub(super) fn end(&self) -> Vec2 {
        match self {
            Self::Drawn(s) => s.tangent(1.0),
            Self::Bend(samples, _) => samples[samples.len() - 1].along,
        }
    }

    /// The segment, where it is a straight line.
    pub(super) fn line(&self) -> Option<Segment> {
        match self {
            Self::Drawn(s) if s.is_line() => Some(*s),
            _ => None,
        }
    }
}

/// The elements of curves that follow each other; curves that are but a point are left out.
pub(super) fn elements(curves: &[Curve], tolerance: f64, closed: bool) -> Vec<Element> {
    let mut found: Vec<Element> = Vec::with_capacity(curves.len());
    for curve in curves {
        match curve {
            Curve::Segment(s) => push_segment(&mut found, *s),
            Curve::Ellipse(e) => match e.round(ROUND) {
                Some(arcs) => arcs.into_iter().for_each(|s| push_segment(&mut found, s)),
                None => push_bends(&mut found, samples(curve, tolerance)),
            },
            Curve::Spline(s) if s.degree() == 1 => {
                let corners: Vec<Point> = s.breaks().into_iter().map(|t| s.at(t)).collect();
                corners.windows(2).for_each(|p| push_segment(&mut found, Segment::line(p[0], p[1])));
            }
            _ => push_bends(&mut found, samples(curve, tolerance)),
        }
    }
    bridged(found, tolerance, closed)
}

fn push_segment(found: &mut Vec<Element>, segment: Segment) {
    if segment.from.distance(segment.to) > SAME {
        found.push(Element::Drawn(segment));
    }
}

/// Adds a curve, cut at its own corners.
fn push_bends(found: &mut Vec<Element>, samples: Vec<Sample>) {
    let mut rest = samples;
    let mut corner = false;
    while rest.len() > 1 {
        let cut = (1..rest.len() - 1).find(|&i| rest[i].corner);
        let Some(cut) = cut else {
            found.push(Element::Bend(rest, corner));
            return;
        };
        let tail = rest.split_off(cut);
        rest.push(tail[0]);
        found.push(Element::Bend(rest, corner));
        (rest, corner) = (tail, true);
    }
}

/// Puts a line into each gap that is too wide to be closed by moving an end.
fn bridged(found: Vec<Element>, tolerance: f64, closed: bool) -> Vec<Element> {
    let mut whole: Vec<Element> = Vec::with_capacity(found.len());
    let gap =
        |a: Point, b: Point| (a.distance(b) > GAP * tolerance).then(|| Element::Drawn(Segment::line(a, b)));
    for element in found {
        if let Some(before) = whole.last() {
            whole.extend(gap(before.to(), element.from()));
        }
        whole.push(element);
    }
    if closed && !whole.is_empty() {
        whole.extend(gap(whole[whole.len() - 1].to(), whole[0].from()));
    }
    whole
}
