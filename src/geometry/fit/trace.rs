//! Which straight lines are drawn for their own sake, and which only trace a curve.
//!
//! A traced or flattened curve comes as many short lines. A vertex between two lines is a corner where the line turns
//! there by more than [`CORNER_DEG`], and does so too when seen from [`WINDOW`] tolerances away, so that the jitter of a
//! dense trace makes no corners. A line belongs to a trace where the curve that it stands for, judged by the turns at
//! its ends, would leave it by little more than the tolerance ([`SAGITTA`]), and where it is not far longer than its
//! neighbours ([`LONGER`]). At least [`FEWEST`] such lines in a row are fitted as a curve, and the fit is taken only if
//! it has at most half as many segments. So a polygon of twelve sides keeps its sides whatever its size: it turns by
//! 30 degrees at each corner.

use super::elements::Element;
use crate::geometry::{Segment, Vec2, turn_between};

/// A turn of more than this is a corner: coarser than flattened curves have it, finer than polygons that are meant.
const CORNER_DEG: f64 = 20.0;

/// How far from a vertex its turn is looked at again, in tolerances.
const WINDOW: f64 = 10.0;

/// How many lines to each side at most are looked at for that.
const WINDOW_LINES: usize = 200;

/// How far, in tolerances, a traced curve may leave its lines: a trace that is right to the tolerance at its vertices
/// and between them, with half as much for uneven spacing.
const SAGITTA: f64 = 1.5;

/// A line longer than [`LONG`] tolerances and this many times longer than its neighbours was drawn for its own sake.
const LONGER: f64 = 6.0;

/// See [`LONGER`].
const LONG: f64 = 50.0;

/// Fewer lines than this are no trace.
pub(super) const FEWEST: usize = 8;

/// Lines that run straight on: the vertices between lie within this fraction of the tolerance of the one line.
const STRAIGHT: f64 = 0.1;

/// The neighbour before an element, if there is one.
fn before(elements: &[Element], i: usize, closed: bool) -> Option<usize> {
    let count = elements.len();
    if i > 0 { Some(i - 1) } else { (closed && count > 1).then(|| count - 1) }
}

/// The turn in radians before each element, where it and the one before are lines that may trace a curve.
fn turns(elements: &[Element], tolerance: f64, closed: bool) -> Vec<Option<f64>> {
    let turn = |i: usize| {
        let j = before(elements, i, closed)?;
        let (a, b) = (elements[j].line()?, elements[i].line()?);
        let turn = turn_between(a.chord(), b.chord()).abs();
        let corner = CORNER_DEG.to_radians();
        let smooth = turn <= corner || seen_from_afar(elements, i, tolerance, closed) <= corner;
        smooth.then_some(turn)
    };
    (0..elements.len()).map(turn).collect()
}

/// The turn at the beginning of an element, between the points some way before and after it.
fn seen_from_afar(elements: &[Element], i: usize, tolerance: f64, closed: bool) -> f64 {
    let vertex = elements[i].from();
    let far = |v: Vec2| v.hypot() >= WINDOW * tolerance;
    let count = elements.len();
    let (mut back, mut ahead) = (Vec2::ZERO, Vec2::ZERO);
    let mut j = i;
    for _ in 0..WINDOW_LINES.min(count) {
        let Some(k) = before(elements, j, closed) else { break };
        let Some(line) = elements[k].line() else { break };
        back = vertex - line.from;
        if far(back) {
            break;
        }
        j = k;
    }
    for step in 0..WINDOW_LINES.min(count) {
        let k = i + step;
        let Some(line) = elements.get(if closed { k % count } else { k }).and_then(Element::line) else {
            break;
        };
        ahead = line.to - vertex;
        if far(ahead) {
            break;
        }
    }
    turn_between(back, ahead).abs()
}

/// For each element whether it is a line of a trace, and whether it goes on from the one before it.
pub(super) fn traced(elements: &[Element], tolerance: f64, closed: bool) -> Vec<(bool, bool)> {
    let turns = turns(elements, tolerance, closed);
    let count = elements.len();
    let is_trace = |i: usize| {
        let Some(line) = elements[i].line() else { return false };
        let next = if closed || i + 1 < count { Some((i + 1) % count) } else { None };
        let after = next.and_then(|n| Some((turns[n]?, n)));
        let before = turns[i].and_then(|turn| Some((turn, before(elements, i, closed)?)));
        let sides = [before, after];
        let turn: f64 = sides.iter().flatten().map(|(turn, _)| turn).sum();
        let neighbours = sides.iter().flatten().filter_map(|(_, j)| elements[*j].line());
        let longest = neighbours.map(|l| l.length()).fold(0.0, f64::max);
        let length = line.length();
        // Two ends with the turn w each: a sagitta of length * w / 8.
        longest > 0.0
            && length * turn / 16.0 <= SAGITTA * tolerance
            && (length <= LONG * tolerance || length <= LONGER * longest)
    };
    let trace: Vec<bool> = (0..count).map(is_trace).collect();
    let goes_on =
        |i: usize| turns[i].is_some() && trace[i] && before(elements, i, closed).is_some_and(|j| trace[j]);
    (0..count).map(|i| (trace[i], goes_on(i))).collect()
}

/// Lines that run straight on made one, arcs left as they are.
pub(super) fn straightened(segments: &[Segment], tolerance: f64) -> Vec<Segment> {
    let mut found: Vec<Segment> = Vec::with_capacity(segments.len());
    let mut cone: Option<Cone> = None;
    for &segment in segments {
        if !segment.is_line() {
            cone = None;
            found.push(segment);
            continue;
        }
        let last = found.len().wrapping_sub(1);
        if let Some(wider) = cone.and_then(|cone| cone.with(segment.to, STRAIGHT * tolerance)) {
            found[last].to = segment.to;
            cone = Some(wider);
        } else {
            cone = Cone::new(segment);
            found.push(segment);
        }
    }
    found
}

/// The directions in which a line from one point passes near all points so far.
#[derive(Clone, Copy, Debug)]
struct Cone {
    from: crate::geometry::Point,
    last: Vec2,
    /// Bounds of the direction, to the right and to the left; none at first.
    sides: Option<(Vec2, Vec2)>,
}

impl Cone {
    fn new(line: Segment) -> Option<Self> {
        let last = line.chord();
        (last.hypot2() > 0.0).then_some(Self { from: line.from, last, sides: None })
    }

    /// The cone after the line has gone on to `to`; none where it may not.
    fn with(self, to: crate::geometry::Point, reach: f64) -> Option<Self> {
        let length = self.last.hypot();
        let side = Vec2::new(-self.last.y, self.last.x) * (reach / length);
        let (mut right, mut left) = (self.last - side, self.last + side);
        if let Some((r, l)) = self.sides {
            right = if right.cross(r) > 0.0 { r } else { right };
            left = if left.cross(l) < 0.0 { l } else { left };
        }
        let v = to - self.from;
        let within = right.cross(v) >= 0.0 && left.cross(v) <= 0.0;
        let forward = (v - self.last).dot(self.last) > 0.0;
        (within && forward).then_some(Self { last: v, sides: Some((right, left)), ..self })
    }
}
