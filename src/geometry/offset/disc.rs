//! The largest disc that fits beside a point of the source: how wide the place is there.

use super::source::Source;
use crate::geometry::distance::Visit;
use crate::geometry::piece::Piece;
use crate::geometry::{Point, Rect, Vec2};

/// Where a growing disc first meets the source.
#[derive(Clone, Copy, Debug)]
pub(super) struct Contact {
    pub(super) radius: f64,
    pub(super) at: Point,
    pub(super) piece: usize,
}

/// Grows a disc that touches the source at `start`, with its centre in direction `normal` (a unit vector), until it
/// meets another piece, or comes to `limit` and meets none. `own` is the piece that `start` lies inside of.
pub(super) fn grown(
    source: &Source,
    start: Point,
    normal: Vec2,
    own: Option<usize>,
    limit: f64,
) -> Option<Contact> {
    let mut first: Option<Contact> = None;
    let area = Rect::from_center_size(start + normal * limit, (2.0 * limit, 2.0 * limit));
    source.index.visit(area, |which| {
        let piece = &source.pieces()[which];
        let met = if own == Some(which) { across(piece, start, normal) } else { met(piece, start, normal) };
        if let Some((radius, at)) = met
            && radius <= first.map_or(limit, |first| first.radius)
        {
            first = Some(Contact { radius, at, piece: which });
        }
        Visit::Go
    });
    first
}

/// The disc that fills a hollow arc from a point on it, if it meets the arc again on the other side.
fn across(piece: &Piece, start: Point, normal: Vec2) -> Option<(f64, Point)> {
    let circle = piece.circle()?;
    let ray = (start - circle.on) + circle.ray;
    let opposite = start - ray * 2.0;
    (ray.dot(normal) < 0.0 && piece.spans(opposite)).then_some((circle.radius, opposite))
}

/// The radius at which the disc meets a piece, and where.
fn met(piece: &Piece, start: Point, normal: Vec2) -> Option<(f64, Point)> {
    let side = if piece.is_line() { met_line(piece, start, normal) } else { met_arc(piece, start, normal) };
    side.or_else(|| {
        [piece.segment.from, piece.segment.to]
            .into_iter()
            .filter_map(|end| {
                let (q, towards) = (end - start, normal.dot(end - start));
                (towards > 1e-9 * q.hypot()).then(|| (q.hypot2() / (2.0 * towards), end))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
    })
}

fn met_line(piece: &Piece, start: Point, normal: Vec2) -> Option<(f64, Point)> {
    let chord = piece.segment.chord();
    let along = chord / chord.hypot();
    let w = start - piece.segment.from;
    let height = along.cross(w);
    // The line is met where the height above it has shrunk, or grown, to the radius.
    let rise = along.cross(normal) * height.signum();
    if height == 0.0 || rise > 1.0 - 1e-12 {
        return None;
    }
    let radius = height.abs() / (1.0 - rise);
    let foot = (w + normal * radius).dot(along);
    (0.0..=chord.hypot()).contains(&foot).then(|| (radius, piece.segment.from + along * foot))
}

fn met_arc(piece: &Piece, start: Point, normal: Vec2) -> Option<(f64, Point)> {
    let circle = piece.circle()?;
    let ray = (start - circle.on) + circle.ray;
    let outside = (ray.hypot() - circle.radius) * (ray.hypot() + circle.radius);
    let inwards = ray.dot(normal);
    if outside.abs() <= 1e-9 * circle.radius && (inwards.abs() - circle.radius).abs() <= 1e-6 * circle.radius
    {
        // Another arc of the circle that the start lies on.
        return across(piece, start, normal);
    }
    let room = if outside > 0.0 { circle.radius - inwards } else { circle.radius + inwards };
    if room <= 1e-12 * circle.radius {
        return None;
    }
    let radius = outside.abs() / (2.0 * room);
    let to_centre = ray + normal * radius;
    let length = to_centre.hypot();
    let at = start - ray + to_centre * (circle.radius / length);
    (length > 0.0 && piece.spans(at)).then_some((radius, at))
}
