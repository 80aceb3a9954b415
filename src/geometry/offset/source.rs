//! The outlines that an offset starts from, in the form that the working files share.

use crate::geometry::distance::SegmentIndex;
use crate::geometry::piece::Piece;
use crate::geometry::{Segment, Vec2};

/// Closed chains of pieces with the side to be offset on their right. No piece runs farther than a half circle.
#[derive(Debug)]
pub(super) struct Source {
    pub(super) index: SegmentIndex,
    /// Where each loop ends in the list of pieces; it begins where the one before it ends.
    ends: Vec<usize>,
    /// Unit vectors of travel at each piece's first and last point.
    tangents: Vec<(Vec2, Vec2)>,
}

impl Source {
    /// From loops of segments that follow each other.
    pub(super) fn new(loops: &[Vec<Segment>]) -> Self {
        let mut segments = Vec::with_capacity(loops.iter().map(Vec::len).sum());
        let mut ends = Vec::with_capacity(loops.len());
        for one in loops {
            for &segment in one {
                halves(segment, &mut segments);
            }
            ends.push(segments.len());
        }
        let index = SegmentIndex::new(segments);
        let unit = |vector: Vec2| vector / vector.hypot();
        let tangents = index.pieces().iter().map(|p| (unit(p.leaving()), unit(p.arriving()))).collect();
        Self { index, ends, tangents }
    }

    pub(super) fn pieces(&self) -> &[Piece] {
        self.index.pieces()
    }

    /// Direction of travel at the first and at the last point of a piece.
    pub(super) fn tangents(&self, piece: usize) -> (Vec2, Vec2) {
        self.tangents[piece]
    }

    /// The loops, as ranges of pieces.
    pub(super) fn loops(&self) -> impl Iterator<Item = std::ops::Range<usize>> + '_ {
        let starts = std::iter::once(0).chain(self.ends.iter().copied());
        starts.zip(&self.ends).map(|(start, &end)| start..end)
    }
}

/// The segment, cut in two where it runs farther than a half circle.
fn halves(segment: Segment, into: &mut Vec<Segment>) {
    if segment.bulge.abs() <= 1.0 {
        into.push(segment);
    } else {
        into.push(segment.between(0.0, 0.5));
        into.push(Segment { from: segment.at(0.5), ..segment.between(0.5, 1.0) });
    }
}
