//! Chains of lines and arcs: open ones for what is drawn on a part, closed ones for its outlines.

use super::{Placement, Point, Rect, Segment};

/// A corner of a chain, with the bulge of the segment that leaves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertex {
    /// Where it is, in millimetres.
    pub at: Point,
    /// Bulge of the segment to the next vertex (see [`Segment::bulge`]).
    pub bulge: f64,
}

impl Vertex {
    /// A vertex at (x, y) in millimetres whose next segment has this bulge.
    pub const fn new(x: f64, y: f64, bulge: f64) -> Self {
        Self { at: Point::new(x, y), bulge }
    }
}

/// Why vertices do not make a chain or an outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Malformed {
    /// A closed outline needs two vertices, an open chain too.
    #[error("needs at least two different points")]
    TooFewPoints,
    /// Not a number, infinite, or beyond any drawing.
    #[error("a coordinate is not a finite number")]
    NotFinite,
}

/// An open chain of lines and arcs, in millimetres: at least two vertices; the last one's bulge means nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    vertices: Vec<Vertex>,
}

/// A closed chain of lines and arcs, in millimetres. The last vertex joins the first; the first is not repeated.
/// A full circle is two half circles.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    vertices: Vec<Vertex>,
}

fn checked(vertices: Vec<Vertex>) -> Result<Vec<Vertex>, Malformed> {
    if vertices.len() < 2 {
        return Err(Malformed::TooFewPoints);
    }
    if vertices.iter().any(|v| !(v.at.is_finite() && v.bulge.is_finite())) {
        return Err(Malformed::NotFinite);
    }
    Ok(vertices)
}

impl Chain {
    /// A chain from its vertices.
    ///
    /// # Errors
    /// [`Malformed`] where there are fewer than two vertices or one is not finite.
    pub fn new(vertices: Vec<Vertex>) -> Result<Self, Malformed> {
        checked(vertices).map(|vertices| Self { vertices })
    }

    /// A chain from segments that follow each other.
    ///
    /// # Errors
    /// As [`Chain::new`].
    pub fn from_segments(segments: &[Segment]) -> Result<Self, Malformed> {
        let last = segments.last().ok_or(Malformed::TooFewPoints)?;
        let mut vertices: Vec<Vertex> =
            segments.iter().map(|s| Vertex { at: s.from, bulge: s.bulge }).collect();
        vertices.push(Vertex { at: last.to, bulge: 0.0 });
        Self::new(vertices)
    }

    /// Its vertices in order.
    pub fn vertices(&self) -> &[Vertex] {
        &self.vertices
    }

    /// Its segments in order.
    pub fn segments(&self) -> impl DoubleEndedIterator<Item = Segment> + ExactSizeIterator + Clone {
        self.vertices.windows(2).map(|pair| Segment {
            from: pair[0].at,
            to: pair[1].at,
            bulge: pair[0].bulge,
        })
    }

    /// Length in millimetres.
    pub fn length(&self) -> f64 {
        self.segments().map(|s| s.length()).sum()
    }

    /// The smallest upright rectangle around it.
    pub fn bounds(&self) -> Rect {
        bounds_of(self.segments())
    }

    /// The same chain run backwards.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let segments: Vec<Segment> = self.segments().rev().map(|s| s.reversed()).collect();
        Self::from_segments(&segments).unwrap_or_else(|_| self.clone())
    }

    /// The chain moved to its place.
    #[must_use]
    pub fn placed(&self, placement: &Placement) -> Self {
        Self { vertices: self.vertices.iter().map(|v| placement.vertex(*v)).collect() }
    }
}

impl Outline {
    /// An outline from its vertices, in the direction given.
    ///
    /// # Errors
    /// [`Malformed`] where there are fewer than two vertices or one is not finite.
    pub fn new(vertices: Vec<Vertex>) -> Result<Self, Malformed> {
        checked(vertices).map(|vertices| Self { vertices })
    }

    /// An outline from segments that follow each other and come back to the first.
    ///
    /// # Errors
    /// As [`Outline::new`].
    pub fn from_segments(segments: &[Segment]) -> Result<Self, Malformed> {
        Self::new(segments.iter().map(|s| Vertex { at: s.from, bulge: s.bulge }).collect())
    }

    /// A polygon through the points.
    ///
    /// # Errors
    /// As [`Outline::new`].
    pub fn polygon(points: &[(f64, f64)]) -> Result<Self, Malformed> {
        Self::new(points.iter().map(|&(x, y)| Vertex::new(x, y, 0.0)).collect())
    }

    /// A counter-clockwise rectangle.
    pub fn rectangle(rect: Rect) -> Self {
        let rect = rect.abs();
        let corners = [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)];
        Self { vertices: corners.iter().map(|&(x, y)| Vertex::new(x, y, 0.0)).collect() }
    }

    /// A counter-clockwise circle, as two half circles.
    pub fn circle(centre: Point, radius: f64) -> Self {
        let east = Vertex::new(centre.x + radius, centre.y, 1.0);
        let west = Vertex::new(centre.x - radius, centre.y, 1.0);
        Self { vertices: vec![east, west] }
    }

    /// Its vertices in order.
    pub fn vertices(&self) -> &[Vertex] {
        &self.vertices
    }

    /// Its segments in order; the last one comes back to the first vertex.
    pub fn segments(&self) -> impl DoubleEndedIterator<Item = Segment> + ExactSizeIterator + Clone {
        (0..self.vertices.len()).map(|i| {
            let next = self.vertices[(i + 1) % self.vertices.len()];
            Segment { from: self.vertices[i].at, to: next.at, bulge: self.vertices[i].bulge }
        })
    }

    /// Area in square millimetres: positive where the outline runs counter-clockwise.
    pub fn signed_area(&self) -> f64 {
        // From a corner of its own, so that a small outline far from the origin keeps its digits.
        let near = self.vertices[0].at.to_vec2();
        let shift = |s: Segment| Segment { from: s.from - near, to: s.to - near, bulge: s.bulge };
        self.segments().map(|s| shift(s).twice_area()).sum::<f64>() / 2.0
    }

    /// Area in square millimetres, whichever way it runs.
    pub fn area(&self) -> f64 {
        self.signed_area().abs()
    }

    /// Length around it, in millimetres.
    pub fn perimeter(&self) -> f64 {
        self.segments().map(|s| s.length()).sum()
    }

    /// The smallest upright rectangle around it.
    pub fn bounds(&self) -> Rect {
        bounds_of(self.segments())
    }

    /// Whether it runs counter-clockwise.
    pub fn is_counter_clockwise(&self) -> bool {
        self.signed_area() > 0.0
    }

    /// The same outline run the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let segments: Vec<Segment> = self.segments().rev().map(|s| s.reversed()).collect();
        Self { vertices: segments.iter().map(|s| Vertex { at: s.from, bulge: s.bulge }).collect() }
    }

    /// The same outline, made to run counter-clockwise (`true`) or clockwise.
    #[must_use]
    pub fn wound(self, counter_clockwise: bool) -> Self {
        if self.is_counter_clockwise() == counter_clockwise { self } else { self.reversed() }
    }

    /// The same outline begun at another vertex.
    #[must_use]
    pub fn started_at(&self, vertex: usize) -> Self {
        let mut vertices = self.vertices.clone();
        let count = vertices.len();
        vertices.rotate_left(vertex % count);
        Self { vertices }
    }

    /// The outline moved to its place. A mirrored outline is run backwards, so that its winding stays what it was.
    #[must_use]
    pub fn placed(&self, placement: &Placement) -> Self {
        let moved = Self { vertices: self.vertices.iter().map(|v| placement.vertex(*v)).collect() };
        if placement.mirrored { moved.reversed() } else { moved }
    }

    /// Whether `point` lies inside; on the line itself either answer may come.
    pub fn contains(&self, point: Point) -> bool {
        winding(self.segments(), point) != 0
    }

    /// Distance in millimetres from `point` to the line of the outline.
    pub fn distance(&self, point: Point) -> f64 {
        self.segments().map(|s| s.nearest(point).1).fold(f64::INFINITY, f64::min)
    }
}

fn bounds_of(segments: impl Iterator<Item = Segment>) -> Rect {
    segments.map(|s| s.bounds()).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
}

/// How often the closed chain winds around `point`, counter-clockwise positive.
fn winding(segments: impl Iterator<Item = Segment>, point: Point) -> i32 {
    segments.map(|s| winding_of(s, point)).sum()
}

/// What one segment adds to the winding number around `point`; nothing where `point` lies left, above or below it all.
pub(crate) fn winding_of(segment: Segment, point: Point) -> i32 {
    chord_crossing(segment, point) + cap_crossing(segment, point)
}

/// Crossing of the ray from `point` to the right with the segment's chord: +1 upwards, -1 downwards.
fn chord_crossing(segment: Segment, point: Point) -> i32 {
    let (a, b) = (segment.from, segment.to);
    let side = (b - a).cross(point - a);
    if a.y <= point.y && b.y > point.y && side > 0.0 {
        1
    } else if a.y > point.y && b.y <= point.y && side < 0.0 {
        -1
    } else {
        0
    }
}

/// What the cap between an arc and its chord adds to the winding number of a point that lies within it.
fn cap_crossing(segment: Segment, point: Point) -> i32 {
    let Some(centre) = segment.centre() else { return 0 };
    if centre.distance(point) >= segment.radius() {
        return 0;
    }
    // A point on the chord must fall to the side on which `chord_crossing` counts it: just above, or just right.
    let chord = segment.chord();
    let side = chord.cross(point - segment.from);
    let rises = if chord.y == 0.0 { chord.x < 0.0 } else { chord.y > 0.0 };
    let left = if rises { side > 0.0 } else { side >= 0.0 };
    match (segment.bulge > 0.0, left) {
        (true, false) => 1,
        (false, true) => -1,
        _ => 0,
    }
}
