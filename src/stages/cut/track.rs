//! Lengths along a path: where a point is after so many millimetres, and the piece between two such places.

use crate::geometry::{Chain, Outline, Point, Segment, Vec2};

use super::Path;

/// A piece shorter than this, in millimetres, is no move: a tenth of a millionth of a millimetre is far below what any
/// machine resolves and far above what rounding leaves.
pub(super) const NOTHING_MM: f64 = 1e-7;

/// The segments of a path with the length at which each begins.
#[derive(Clone, Debug)]
pub(super) struct Track {
    segments: Vec<Segment>,
    /// One more than there are segments: the last is the whole length.
    starts: Vec<f64>,
}

impl Track {
    pub(super) fn of_outline(outline: &Outline) -> Self {
        Self::of(outline.segments())
    }

    pub(super) fn of_chain(chain: &Chain) -> Self {
        Self::of(chain.segments())
    }

    pub(super) fn of_path(path: &Path) -> Self {
        match path {
            Path::Closed(outline) => Self::of_outline(outline),
            Path::Open(chain) => Self::of_chain(chain),
        }
    }

    pub(super) fn of(segments: impl Iterator<Item = Segment>) -> Self {
        let segments: Vec<Segment> = segments.collect();
        let mut starts = Vec::with_capacity(segments.len() + 1);
        let mut sum = 0.0;
        for segment in &segments {
            starts.push(sum);
            sum += segment.length();
        }
        starts.push(sum);
        Self { segments, starts }
    }

    /// Length of the path in millimetres.
    pub(super) fn length(&self) -> f64 {
        self.starts.last().copied().unwrap_or(0.0)
    }

    pub(super) fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// Where segment `index` begins, in millimetres along the path.
    pub(super) fn start(&self, index: usize) -> f64 {
        self.starts[index]
    }

    /// The segment at `s` millimetres and the fraction along it.
    pub(super) fn locate(&self, s: f64) -> (usize, f64) {
        let after = self.starts.partition_point(|&start| start <= s);
        let index = after.saturating_sub(1).min(self.segments.len().saturating_sub(1));
        let length = self.starts[index + 1] - self.starts[index];
        (index, if length > 0.0 { ((s - self.starts[index]) / length).clamp(0.0, 1.0) } else { 0.0 })
    }

    /// The point at `s` millimetres.
    pub(super) fn point(&self, s: f64) -> Point {
        let (index, t) = self.locate(s);
        self.segments[index].at(t)
    }

    /// Direction of travel at `s` millimetres, a unit vector.
    pub(super) fn tangent(&self, s: f64) -> Vec2 {
        let (index, t) = self.locate(s);
        self.segments[index].tangent(t)
    }

    /// The pieces between two places, in order; none where they are the same.
    pub(super) fn between(&self, from: f64, to: f64) -> Vec<Segment> {
        let mut pieces = Vec::new();
        let mut index = self.locate(from).0;
        while index < self.segments.len() && self.starts[index] < to - NOTHING_MM {
            let (start, length) = (self.starts[index], self.starts[index + 1] - self.starts[index]);
            let (a, b) = (from.max(start), to.min(start + length));
            if b - a > NOTHING_MM {
                let whole = a <= start + NOTHING_MM && b >= start + length - NOTHING_MM;
                let segment = self.segments[index];
                let part = || segment.between((a - start) / length, (b - start) / length);
                pieces.push(if whole { segment } else { part() });
            }
            index += 1;
        }
        pieces
    }

    /// The place nearest to `point`: millimetres along the path, and the distance.
    pub(super) fn nearest(&self, point: Point) -> (f64, f64) {
        let mut best = (0.0, f64::INFINITY);
        for (segment, &start) in self.segments.iter().zip(&self.starts) {
            let (t, distance) = segment.nearest(point);
            if distance < best.1 {
                best = (start + t * segment.length(), distance);
            }
        }
        best
    }
}
