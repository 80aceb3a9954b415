//! The exact boundary of an offset: all points at the full distance from the source and at no point nearer to it.
//!
//! Each piece of the source has a parallel on its right, each corner that opens to the right an arc about it. Of each of
//! these, what lies nearer than the distance to any piece of the source is cut away; what stays is the boundary, complete
//! and with nothing more: a point off the source by the distance that could be reached only through the source would be
//! nearer to it.

use std::ops::Range;

use super::cut::Cutter;
use super::source::Source;
use crate::geometry::piece::Piece;
use crate::geometry::{Point, Segment, Vec2};

/// A corner arc shorter than this is left out: half a nanometre is below what the coordinates of a drawing mean.
const SHORTEST_CORNER: f64 = 1e-9;

/// What a raw piece was made from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Owner {
    /// A piece of the source.
    Piece(usize),
    /// The corner at the end of a piece, and the piece that follows there.
    Corner(usize, usize),
}

/// A parallel or a corner arc before anything is cut away. It runs no farther than a half circle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Raw {
    pub(super) owner: Owner,
    /// None where the parallel of an arc would have turned inside out: nothing of it can be at the full distance.
    pub(super) piece: Option<Piece>,
}

/// What is left of a raw piece between two places along its chord, 0 to 1.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    pub(super) along: (f64, f64),
    pub(super) segment: Segment,
}

/// All raw pieces in the order of the source, and what is left of them.
#[derive(Debug)]
pub(super) struct Rim {
    pub(super) raws: Vec<Raw>,
    /// The loops of the source, as ranges of `raws`.
    pub(super) loops: Vec<Range<usize>>,
    pub(super) stretches: Vec<Stretch>,
    /// The stretches of each raw piece, as a range.
    pub(super) left: Vec<Range<usize>>,
    /// Raw pieces that another piece of the source comes near to within a hair, without cutting them.
    pub(super) brushed: Vec<bool>,
}

impl Rim {
    /// The boundary of the source's offset to the right by `distance` millimetres.
    pub(super) fn of(source: &Source, distance: f64) -> Self {
        let (raws, loops) = raw_pieces(source, distance);
        let mut cutter = Cutter::new(source, distance);
        let mut stretches = Vec::with_capacity(raws.len());
        let mut left = Vec::with_capacity(raws.len());
        let mut brushed = Vec::with_capacity(raws.len());
        for raw in &raws {
            let first = stretches.len();
            brushed.push(cutter.cut(raw, &mut stretches));
            left.push(first..stretches.len());
        }
        Self { raws, loops, stretches, left, brushed }
    }
}

fn raw_pieces(source: &Source, distance: f64) -> (Vec<Raw>, Vec<Range<usize>>) {
    let mut raws = Vec::with_capacity(source.pieces().len() * 2);
    let mut loops = Vec::new();
    for one in source.loops() {
        let first = raws.len();
        for which in one.clone() {
            let next = if which + 1 == one.end { one.start } else { which + 1 };
            raws.push(Raw { owner: Owner::Piece(which), piece: parallel(source, which, distance) });
            if let Some(piece) = corner(source, which, next, distance) {
                raws.push(Raw { owner: Owner::Corner(which, next), piece: Some(piece) });
            }
        }
        loops.push(first..raws.len());
    }
    (raws, loops)
}

/// The parallel of a piece on its right.
fn parallel(source: &Source, which: usize, distance: f64) -> Option<Piece> {
    let piece = &source.pieces()[which];
    let (leaving, arriving) = source.tangents(which);
    let inside_out = piece.segment.bulge < 0.0 && piece.circle().is_some_and(|c| c.radius <= distance);
    (!inside_out).then(|| {
        let from = piece.segment.from + right_of(leaving) * distance;
        let to = piece.segment.to + right_of(arriving) * distance;
        Piece::new(Segment::arc(from, to, piece.segment.bulge))
    })
}

/// The arc about the corner between two pieces, where it opens to the right.
fn corner(source: &Source, before: usize, after: usize, distance: f64) -> Option<Piece> {
    let (arriving, leaving) = (source.tangents(before).1, source.tangents(after).0);
    let (sin, cos) = (arriving.cross(leaving), arriving.dot(leaving));
    let doubles_back = cos < 0.0 && sin.abs() < 1e-7;
    let opens = if doubles_back { is_left_of(source, after, before) } else { sin > 0.0 };
    if !opens || (cos > 0.0 && sin * distance < SHORTEST_CORNER) {
        return None;
    }
    // The tangent of a quarter of the turn.
    let bulge = if doubles_back { 1.0 } else { sin / ((1.0 + cos) + (2.0 + 2.0 * cos).sqrt()) };
    let at = source.pieces()[after].segment.from;
    let segment = Segment::arc(at + right_of(arriving) * distance, at + right_of(leaving) * distance, bulge);
    Some(Piece::new(segment))
}

/// Whether the middle of one piece lies left of another.
fn is_left_of(source: &Source, which: usize, other: usize) -> bool {
    let (at, piece) = (source.pieces()[which].middle(), &source.pieces()[other]);
    match piece.centre() {
        None => piece.segment.chord().cross(at - piece.segment.from) > 0.0,
        Some(centre) => {
            let inside = centre.distance(at) < centre.distance(piece.segment.from);
            inside == (piece.segment.bulge > 0.0)
        }
    }
}

pub(super) fn right_of(direction: Vec2) -> Vec2 {
    Vec2::new(direction.y, -direction.x)
}

/// The part of a raw piece between two of its points: the bulge from the angle between tangent and chord, so that it
/// holds for arcs of any flatness.
pub(super) fn part(raw: &Piece, from: Point, to: Point) -> Segment {
    let Some(circle) = raw.circle() else { return Segment::line(from, to) };
    let ray = (from - circle.on) + circle.ray;
    let tangent = if raw.segment.bulge > 0.0 { Vec2::new(-ray.y, ray.x) } else { Vec2::new(ray.y, -ray.x) };
    let chord = to - from;
    let (sin, cos) = (tangent.cross(chord), tangent.dot(chord));
    let length = tangent.hypot() * chord.hypot();
    let bulge = if length > 0.0 { sin / (length + cos) } else { 0.0 };
    Segment::arc(from, to, bulge)
}
