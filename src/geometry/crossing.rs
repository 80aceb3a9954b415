//! Whether outlines cross or touch, themselves or each other, and where.

use super::distance::{SegmentIndex, Visit, gap};
use super::piece::Piece;
use super::{Malformed, Outline, Point, Region, Segment, Vertex};

/// The first place found where two sets of segments come within `tolerance` millimetres of each other: crossing,
/// touching, or sharing a stretch.
pub fn meeting(a: &SegmentIndex, b: &SegmentIndex, tolerance: f64) -> Option<Point> {
    gap(a, b, tolerance.next_up()).map(|gap| gap.from)
}

/// The first place found where an outline crosses or touches itself, within `tolerance` millimetres. Segments that
/// follow each other may meet where they join, and nowhere else.
pub fn self_meeting(outline: &Outline, tolerance: f64) -> Option<Point> {
    let Ok(tidy) = without_repeats(outline, tolerance) else { return Some(outline.vertices()[0].at) };
    let index = SegmentIndex::of_outline(&tidy);
    (0..index.len()).find_map(|which| meets_later(&index, which, tolerance))
}

/// The first place found where any two outlines of a region, or one with itself, come within `tolerance` millimetres.
pub fn region_meeting(region: &Region, tolerance: f64) -> Option<Point> {
    if let Some(at) = region.outlines().find_map(|outline| self_meeting(outline, tolerance)) {
        return Some(at);
    }
    let indexes: Vec<SegmentIndex> = region.outlines().map(SegmentIndex::of_outline).collect();
    let boxes: Vec<_> = indexes.iter().map(|i| i.bounds().inflate(tolerance, tolerance)).collect();
    (0..indexes.len()).find_map(|i| {
        (i + 1..indexes.len())
            .filter(|&j| boxes[i].overlaps(boxes[j]))
            .find_map(|j| meeting(&indexes[i], &indexes[j], tolerance))
    })
}

/// The outline without the vertices that lie within `tolerance` millimetres of the one kept before them.
///
/// # Errors
/// [`Malformed::TooFewPoints`] where fewer than two are left.
pub fn without_repeats(outline: &Outline, tolerance: f64) -> Result<Outline, Malformed> {
    let mut kept: Vec<Vertex> = Vec::with_capacity(outline.vertices().len());
    for segment in outline.segments() {
        // A repeat's position is dropped; the segment that leaves it leaves from the vertex that was kept.
        match kept.last_mut() {
            Some(last) if is_repeat(last, segment.from, tolerance) => last.bulge = segment.bulge,
            _ => kept.push(Vertex { at: segment.from, bulge: segment.bulge }),
        }
    }
    if let (Some(last), Some(first)) = (kept.last(), kept.first())
        && is_repeat(last, first.at, tolerance)
    {
        kept.pop();
    }
    Outline::new(kept)
}

/// Whether the segment from a vertex to a point is no longer than the tolerance.
fn is_repeat(vertex: &Vertex, to: Point, tolerance: f64) -> bool {
    let segment = Segment::arc(vertex.at, to, vertex.bulge);
    segment.chord().hypot() <= tolerance && segment.length() <= tolerance
}

/// Where the piece meets one that comes later in the outline.
fn meets_later(index: &SegmentIndex, which: usize, tolerance: f64) -> Option<Point> {
    let (piece, count) = (index.piece(which), index.len());
    let mut place = None;
    index.visit(piece.bounds().inflate(tolerance, tolerance), |other| {
        if other > which {
            let later = index.piece(other);
            let (follows, closes) = (other == which + 1, which == 0 && other + 1 == count);
            place = if follows || closes {
                meets_neighbour(piece, later, follows, closes, tolerance)
            } else {
                let (distance, at, _) = piece.gap(later);
                (distance <= tolerance).then_some(at)
            };
        }
        if place.is_none() { Visit::Go } else { Visit::Stop }
    });
    place
}

/// Where two pieces meet away from the vertices they share: `follows` where the second begins at the first's end,
/// `closes` where it ends at the first's beginning.
fn meets_neighbour(a: &Piece, b: &Piece, follows: bool, closes: bool, tolerance: f64) -> Option<Point> {
    let shared = |at: Point| {
        let near = |vertex: Point| vertex.distance(at) <= 2.0 * tolerance;
        (follows && near(a.segment.to)) || (closes && near(a.segment.from))
    };
    let ends_on = |point: Point, other: &Piece| !shared(point) && other.distance(point) <= tolerance;
    [
        (a.segment.from, b),
        (a.middle(), b),
        (b.segment.to, a),
        (b.middle(), a),
        (b.segment.from, a),
        (a.segment.to, b),
    ]
    .into_iter()
    .find_map(|(point, other)| ends_on(point, other).then_some(point))
    .or_else(|| a.crossings(b).find(|&at| !shared(at)))
}
