//! Where a ray first meets lines and arcs: how wide a slot is, how broad a part.

use super::{Point, Segment, Vec2};

/// Places nearer to a segment than this lie on it, mm.
const ON: f64 = 1e-7;

/// A ray this close to a parallel of a line never meets it: sine of the angle between them.
const PARALLEL: f64 = 1e-12;

/// How far from a point in a direction of length 1 the nearest of some segments lies, mm, and which it is; none where the
/// ray meets none of them.
pub fn first_met(
    segments: impl IntoIterator<Item = Segment>,
    from: Point,
    way: Vec2,
) -> Option<(f64, Segment)> {
    let met = segments.into_iter().flat_map(|s| meetings(&s, from, way).into_iter().map(move |t| (t, s)));
    met.filter(|(along, _)| *along > 0.0).min_by(|a, b| a.0.total_cmp(&b.0))
}

/// How far along the ray's line it crosses a segment, mm, ahead and behind.
fn meetings(segment: &Segment, from: Point, way: Vec2) -> Vec<f64> {
    let found = match segment.centre() {
        None => on_line(segment, from, way).into_iter().collect(),
        Some(centre) => on_circle(centre, segment.radius(), from, way),
    };
    let on = |along: &f64| segment.nearest(from + way * *along).1 <= ON;
    found.into_iter().filter(on).collect()
}

fn on_line(segment: &Segment, from: Point, way: Vec2) -> Option<f64> {
    let chord = segment.chord();
    let across = way.cross(chord);
    (across.abs() > PARALLEL * chord.hypot()).then(|| (segment.from - from).cross(chord) / across)
}

fn on_circle(centre: Point, radius: f64, from: Point, way: Vec2) -> Vec<f64> {
    let to = centre - from;
    let (ahead, aside) = (to.dot(way), to.cross(way));
    let square = radius * radius - aside * aside;
    if square < 0.0 { Vec::new() } else { vec![ahead - square.sqrt(), ahead + square.sqrt()] }
}
