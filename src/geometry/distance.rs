//! Distances between outlines, exact for lines and arcs, through an index of boxes.
//!
//! A [`SegmentIndex`] is built once from an outline, a region or any set of segments; [`gap`] then says how near two of
//! them come, and stops early where only a limit matters. [`super::crossing`] says whether they cross or touch.

use static_aabb2d_index::{Control, StaticAABB2DIndex, StaticAABB2DIndexBuilder};

use super::piece::Piece;
use super::{Outline, Point, Rect, Region, Segment};

/// A set of segments that can be asked for its nearest point quickly.
#[derive(Debug)]
pub struct SegmentIndex {
    pieces: Vec<Piece>,
    boxes: StaticAABB2DIndex<f64>,
}

/// The point of a set of segments that is nearest to a given one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// Which segment it lies on, in the order they were given.
    pub segment: usize,
    /// Where it is.
    pub at: Point,
    /// How far away it is, in millimetres.
    pub distance: f64,
}

/// The narrowest place between two sets of segments.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// How wide it is, in millimetres; 0 where they touch or cross.
    pub distance: f64,
    /// Its end on the first set.
    pub from: Point,
    /// Its end on the second set.
    pub to: Point,
}

impl SegmentIndex {
    /// An index of segments, in the order given.
    pub fn new(segments: impl IntoIterator<Item = Segment>) -> Self {
        let pieces: Vec<Piece> = segments.into_iter().map(Piece::new).collect();
        let boxes = boxes_around(&pieces);
        Self { pieces, boxes }
    }

    /// An index of an outline's segments.
    pub fn of_outline(outline: &Outline) -> Self {
        Self::new(outline.segments())
    }

    /// An index of the segments of all outlines of a region: the outer one's, then the holes' in order.
    pub fn of_region(region: &Region) -> Self {
        Self::new(region.outlines().flat_map(Outline::segments))
    }

    /// How many segments it holds.
    pub fn len(&self) -> usize {
        self.pieces.len()
    }

    /// Whether it holds none.
    pub fn is_empty(&self) -> bool {
        self.pieces.is_empty()
    }

    /// One of its segments.
    ///
    /// # Panics
    /// Where there is no such segment.
    pub fn segment(&self, which: usize) -> Segment {
        self.pieces[which].segment
    }

    /// The smallest upright rectangle around it; empty at the origin where it holds nothing.
    pub fn bounds(&self) -> Rect {
        self.boxes.bounds().map_or(Rect::ZERO, |b| Rect::new(b.min_x, b.min_y, b.max_x, b.max_y))
    }

    pub(crate) fn piece(&self, which: usize) -> &Piece {
        &self.pieces[which]
    }

    pub(crate) fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Calls `visit` with each segment whose box meets `area`, until it says to stop.
    pub fn visit(&self, area: Rect, mut visit: impl FnMut(usize) -> Visit) {
        let mut each = |which: usize| match visit(which) {
            Visit::Go => Control::Continue,
            Visit::Stop => Control::Break(()),
        };
        self.boxes.visit_query(area.x0, area.y0, area.x1, area.y1, &mut each);
    }

    /// The nearest point to `point`; none where the index holds nothing.
    pub fn nearest(&self, point: Point) -> Option<Nearest> {
        let mut best: Option<(usize, f64)> = None;
        let mut each = |which: usize, box_square: f64| {
            if best.is_some_and(|(_, distance)| box_square > distance * distance) {
                return Control::Break(());
            }
            let distance = self.pieces[which].distance(point);
            if best.is_none_or(|(held, least)| distance < least || (distance <= least && which < held)) {
                best = Some((which, distance));
            }
            Control::Continue
        };
        self.boxes.visit_neighbors(point.x, point.y, &mut each);
        best.map(|(segment, distance)| Nearest { segment, at: self.pieces[segment].nearest(point), distance })
    }

    /// Distance in millimetres from `point` to the nearest segment; infinite where the index holds nothing.
    pub fn distance(&self, point: Point) -> f64 {
        self.nearest(point).map_or(f64::INFINITY, |nearest| nearest.distance)
    }

    /// Whether any segment comes nearer to `point` than `limit` millimetres.
    pub fn is_nearer(&self, point: Point, limit: f64) -> bool {
        let mut nearer = false;
        self.visit(around(point, limit), |which| {
            nearer = self.pieces[which].distance(point) < limit;
            if nearer { Visit::Stop } else { Visit::Go }
        });
        nearer
    }

    /// How often the closed chains among the segments wind around `point`, counter-clockwise positive: 1 in the
    /// material of a region, 0 in a hole and outside. On a line itself either side's answer may come.
    pub fn winding(&self, point: Point) -> i32 {
        let mut turns = 0;
        let right = Rect::new(point.x, point.y, f64::MAX, point.y);
        self.visit(right, |which| {
            turns += super::outline::winding_of(self.pieces[which].segment, point);
            Visit::Go
        });
        turns
    }
}

/// Whether a visit goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Visit {
    /// To the next one.
    Go,
    /// No farther.
    Stop,
}

/// The narrowest place between two sets of segments, as long as it is narrower than `limit` millimetres
/// (`f64::INFINITY` for no limit). Only the lines count: an outline that lies inside another, clear of its line, has a
/// gap to it.
pub fn gap(a: &SegmentIndex, b: &SegmentIndex, limit: f64) -> Option<Gap> {
    if a.len() > b.len() {
        return gap(b, a, limit).map(|gap| Gap { from: gap.to, to: gap.from, ..gap });
    }
    let bounds = b.bounds();
    let mut narrowest: Option<Gap> = None;
    let mut least = limit;
    if limit.is_infinite()
        && let Some(first) = a.pieces.first()
        && let Some(near) = b.nearest(first.segment.from)
    {
        least = near.distance;
        narrowest = Some(Gap { distance: least, from: first.segment.from, to: near.at });
    }
    for piece in &a.pieces {
        let near = piece.bounds().inflate(least, least);
        if !near.overlaps(bounds) {
            continue;
        }
        b.visit(near, |which| {
            let (distance, from, to) = piece.gap(&b.pieces[which]);
            if distance < least {
                least = distance;
                narrowest = Some(Gap { distance, from, to });
            }
            if least > 0.0 { Visit::Go } else { Visit::Stop }
        });
        if least <= 0.0 {
            break;
        }
    }
    narrowest
}

/// As [`gap`], between two regions' material: 0 also where one lies within the other's material.
pub fn material_gap(a: &SegmentIndex, b: &SegmentIndex, limit: f64) -> Option<Gap> {
    let lines = gap(a, b, limit);
    if lines.is_some_and(|gap| gap.distance <= 0.0) || limit <= 0.0 {
        return lines;
    }
    let within = |inner: &SegmentIndex, outer: &SegmentIndex| {
        let at = inner.pieces.first()?.segment.from;
        (outer.winding(at) != 0).then_some(Gap { distance: 0.0, from: at, to: at })
    };
    within(a, b).or_else(|| within(b, a)).or(lines)
}

/// The square of half width `reach` around a point.
pub(crate) fn around(point: Point, reach: f64) -> Rect {
    Rect::from_center_size(point, (2.0 * reach, 2.0 * reach))
}

fn boxes_around(pieces: &[Piece]) -> StaticAABB2DIndex<f64> {
    let mut builder = StaticAABB2DIndexBuilder::new(pieces.len());
    for piece in pieces {
        let b = piece.bounds();
        builder.add(b.x0, b.y0, b.x1, b.y1);
    }
    // It fails only where fewer boxes were added than promised.
    builder.build().unwrap_or_else(|_| unreachable!("each piece adds one box"))
}
