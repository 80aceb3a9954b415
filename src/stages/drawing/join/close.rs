//! Closing the gaps: where ends that are one point lie a little apart, they are moved together, and the loop becomes a
//! row of curves each of which begins where the one before ends.

use super::net::Net;
use super::walk::Step;
use crate::geometry::curve::{Curve, Spline};
use crate::geometry::{Point, Segment, trig};

/// Ends nearer than this, in millimetres, are left as they are: it is rounding.
const ROUNDING: f64 = 1e-9;

/// An arc that turns farther than this bulge's half circle is not bent to close a gap: moving an end of an arc that is
/// nearly a full circle would change its radius by far more than the gap.
const BENDS: f64 = 1.0;

/// Moves the ends at every node where more than two meet to one point, so that loops that share the node share the point.
pub(super) fn settle(net: &mut Net) {
    let degrees = net.degrees();
    let mut ends: Vec<(usize, usize, usize)> = Vec::new();
    for (number, edge) in net.edges.iter().enumerate() {
        ends.extend([0, 1].map(|side| (edge.ends[side], number, side)).iter().filter(|e| degrees[e.0] > 2));
    }
    ends.sort_unstable();
    for group in ends.chunk_by(|a, b| a.0 == b.0) {
        let at = shared_point(net, group);
        net.nodes[group[0].0] = at;
        for &(_, edge, side) in group {
            let edge = &mut net.edges[edge];
            if side == 0 {
                set_start(&mut edge.curve, at);
            } else {
                set_end(&mut edge.curve, at);
            }
            edge.points = [edge.curve.from(), edge.curve.to()];
        }
    }
}

/// Where a node is to lie: at an end that cannot be moved, else where most of the ends are.
fn shared_point(net: &Net, group: &[(usize, usize, usize)]) -> Point {
    let point = |&(_, edge, side): &(usize, usize, usize)| net.edges[edge].points[side];
    let stiff = group.iter().find(|end| !bends(&net.edges[end.1].curve));
    // A hundred ends in one point are more than any drawing needs; a hostile one shall not take time for all pairs.
    let some = &group[..group.len().min(100)];
    let votes = |end: &&(usize, usize, usize)| {
        let same = some.iter().filter(|other| point(other).distance(point(end)) <= ROUNDING).count();
        (same, std::cmp::Reverse(end.1))
    };
    stiff.or_else(|| some.iter().max_by_key(votes)).map_or(Point::ZERO, point)
}

/// The curves of a closed loop, gaps closed by moving ends at most `join` millimetres.
pub(super) fn ring(net: &Net, steps: &[Step], join: f64) -> Vec<Curve> {
    let mut curves = whole(net, steps, true);
    let count = curves.len();
    for i in 0..count {
        let next = (i + 1) % count;
        let at = meeting(&curves[i], &curves[next], join);
        set_end(&mut curves[i], at);
        set_start(&mut curves[next], at);
    }
    bridged(curves, true)
}

/// The curves of an open run, gaps closed likewise.
pub(super) fn run(net: &Net, steps: &[Step], join: f64) -> Vec<Curve> {
    let closed = steps.len() > 1 && steps.last().map(|s| s.end(net)) == steps.first().map(|s| s.start(net));
    let mut curves = whole(net, steps, closed);
    let count = curves.len();
    for i in 0..count.saturating_sub(usize::from(!closed)) {
        let next = (i + 1) % count;
        let at = meeting(&curves[i], &curves[next], join);
        set_end(&mut curves[i], at);
        set_start(&mut curves[next], at);
    }
    bridged(curves, closed)
}

/// The curves in the order and direction of the steps, pieces of one line or arc put together again.
fn whole(net: &Net, steps: &[Step], closed: bool) -> Vec<Curve> {
    let mut curves: Vec<(Curve, usize)> = Vec::with_capacity(steps.len());
    for step in steps {
        let edge = &net.edges[step.edge];
        let curve = if step.backwards { edge.curve.reversed() } else { edge.curve.clone() };
        match curves.last_mut().and_then(|(last, origin)| united(last, *origin, &curve, edge.origin)) {
            Some(both) => {
                curves.pop();
                curves.push((both, edge.origin));
            }
            None => curves.push((curve, edge.origin)),
        }
    }
    if closed && curves.len() > 2 {
        let (first, last) = (&curves[0], &curves[curves.len() - 1]);
        if let Some(both) = united(&last.0, last.1, &first.0, first.1) {
            curves[0].0 = both;
            curves.pop();
        }
    }
    curves.into_iter().map(|(curve, _)| curve).collect()
}

/// Two pieces of one line or arc that follow each other, as one.
fn united(a: &Curve, a_origin: usize, b: &Curve, b_origin: usize) -> Option<Curve> {
    let (Curve::Segment(a), Curve::Segment(b)) = (a, b) else { return None };
    if a_origin != b_origin || a.to.distance(b.from) > ROUNDING {
        return None;
    }
    let bulge = if a.is_line() { 0.0 } else { trig::tan((a.sweep() + b.sweep()) / 4.0) };
    Some(Curve::Segment(Segment::arc(a.from, b.to, bulge)))
}

/// Where the end of one curve and the beginning of the next are to meet.
fn meeting(a: &Curve, b: &Curve, join: f64) -> Point {
    let (end, start) = (a.to(), b.from());
    if end.distance(start) <= ROUNDING {
        return end;
    }
    match (bends(a), bends(b)) {
        (false, _) => end,
        (true, false) => start,
        (true, true) => lengthened(a, b, join).unwrap_or_else(|| end.midpoint(start)),
    }
}

/// Whether an end of the curve may be moved without moving the rest of it farther.
fn bends(curve: &Curve) -> bool {
    match curve {
        Curve::Segment(s) => s.bulge.abs() <= BENDS,
        Curve::Cubic(_) => true,
        Curve::Spline(s) => s.points().first() == Some(&s.at(0.0)) && s.points().last() == Some(&s.at(1.0)),
        Curve::Ellipse(_) => false,
    }
}

/// Where two lines meet when they are made a little longer or shorter.
fn lengthened(a: &Curve, b: &Curve, join: f64) -> Option<Point> {
    let (Curve::Segment(a), Curve::Segment(b)) = (a, b) else { return None };
    if !(a.is_line() && b.is_line()) {
        return None;
    }
    let (u, v) = (a.chord(), b.chord());
    let t = (b.from - a.to).cross(v) / u.cross(v);
    let at = a.to + u * t;
    (at.is_finite() && at.distance(a.to) <= join && at.distance(b.from) <= join).then_some(at)
}

fn set_end(curve: &mut Curve, at: Point) {
    if curve.to().distance(at) <= ROUNDING && matches!(curve, Curve::Ellipse(_) | Curve::Spline(_)) {
        return;
    }
    match curve {
        Curve::Segment(s) if s.bulge.abs() <= BENDS || s.to.distance(at) <= ROUNDING => s.to = at,
        Curve::Cubic(c) => {
            c.p2 += at - c.p3;
            c.p3 = at;
        }
        Curve::Spline(s) if bends(&Curve::Spline(s.clone())) => *s = with_end(s, at),
        _ => {}
    }
}

fn set_start(curve: &mut Curve, at: Point) {
    let mut turned = curve.reversed();
    set_end(&mut turned, at);
    *curve = turned.reversed();
}

fn with_end(spline: &Spline, at: Point) -> Spline {
    let mut points = spline.points().to_vec();
    if let Some(last) = points.last_mut() {
        *last = at;
    }
    let moved = Spline::new(spline.degree(), points, spline.weights().to_vec(), spline.knots().to_vec());
    moved.unwrap_or_else(|_| spline.clone())
}

/// The curves with a straight line across each gap that could not be closed by moving an end.
fn bridged(curves: Vec<Curve>, closed: bool) -> Vec<Curve> {
    let mut row: Vec<Curve> = Vec::with_capacity(curves.len());
    let first = curves.first().map(Curve::from);
    for curve in curves {
        if let Some(end) = row.last().map(Curve::to) {
            bridge(&mut row, end, curve.from());
        }
        row.push(curve);
    }
    if closed && let (Some(end), Some(start)) = (row.last().map(Curve::to), first) {
        bridge(&mut row, end, start);
    }
    row
}

fn bridge(row: &mut Vec<Curve>, from: Point, to: Point) {
    // Below a thousandth of the joining distance it is the rounding of the drawing, which the fit takes up.
    if from.distance(to) > 1000.0 * ROUNDING {
        row.push(Curve::line(from, to));
    }
}
