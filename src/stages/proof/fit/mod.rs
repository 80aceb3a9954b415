//! Which part a piece is, and where it lies, where nothing says so: by best fit.
//!
//! Parts are tried in the order in which their areas come near the piece's. The moments of the outer outline give the turn
//! of a part, for both hands; where they do not, turns all around are tried. Then the distances between the two outlines
//! are made as small as they get, so that what is wrong in one place does not pull at the rest.

mod align;
mod pose;
mod refine;
mod shape;

use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Placement, Point, Region, Segment};
use align::{Aligned, Piece};
use shape::Shape;

/// What fits no worse than the best by more than this fits as well, mm: half of what a piece may be off.
const AS_WELL_MM: f64 = 0.01;

/// Outlines this near to each other are the same, mm: what refining leaves.
const SAME_MM: f64 = 1e-6;

/// So many parts are tried at most: where the nearest so many by area do not fit, none does.
const MOST_TRIED: usize = 16;

/// The part that fits a piece best.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Which of the parts.
    pub part: usize,
    /// Where the part has to lie to fit the piece.
    pub placement: Placement,
    /// Largest distance between the outlines of the two, either way, mm.
    pub worst_mm: f64,
    /// Root of the mean square of the distances along both, mm.
    pub rms_mm: f64,
    /// Whether the hand is sure.
    pub hand: Hand,
    /// Other parts that fit as well, in order.
    pub others: Vec<usize>,
}

/// Whether a piece can be told from its other hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// Only the hand of the placement fits.
    Sure,
    /// The other hand fits as well: the part is symmetric, or the piece so far off that it cannot be told. The
    /// placement is that of the part as it is drawn.
    Either,
}

impl Fit {
    /// Whether the piece is this part within so many millimetres; where it is not, none of the parts is, and this one
    /// comes nearest.
    pub fn fits(&self, within_mm: f64) -> bool {
        self.worst_mm <= within_mm
    }
}

/// Parts made ready to be looked for.
#[derive(Debug)]
pub struct Shapes(Vec<Shape>);

/// The part that fits a piece best, and its place; see [`Shapes::best`].
pub fn best(piece: &[Vec<Point>], parts: &[Region]) -> Option<Fit> {
    Shapes::new(parts).best(piece)
}

/// A part laid on the piece as well as it goes.
struct Tried {
    part: usize,
    /// The hand that fits best, as drawn where both do.
    best: Aligned,
    hand: Hand,
}

impl Shapes {
    /// Parts in their own drawings' coordinates, mm.
    pub fn new(parts: &[Region]) -> Self {
        Self(parts.iter().map(Shape::new).collect())
    }

    /// The part that fits a piece best, and its place. The piece is a polygon on the sheet: its outer contour,
    /// counter-clockwise, then its holes. None where there are no parts, or the piece has no area.
    pub fn best(&self, piece: &[Vec<Point>]) -> Option<Fit> {
        let piece = Piece::new(piece)?;
        let mut order: Vec<(f64, usize)> =
            self.0.iter().enumerate().map(|(part, shape)| (piece.least_mm(shape), part)).collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut tried: Vec<Tried> = Vec::new();
        let mut least = f64::INFINITY;
        for (bound, part) in order.into_iter().take(MOST_TRIED) {
            if bound > least + AS_WELL_MM {
                break;
            }
            let [drawn, other] = align::both_hands(&piece, &self.0[part], least);
            if let Some((best, hand)) = chosen(drawn, other) {
                least = least.min(best.mean_mm);
                tried.push(Tried { part, best, hand });
            }
        }
        tried.sort_by_key(|tried| tried.part);
        let best = tried.iter().fold(None, |best: Option<&Tried>, tried| match best {
            Some(best) if tried.best.mean_mm >= best.best.mean_mm - SAME_MM => Some(best),
            _ => Some(tried),
        })?;
        let as_well = |other: &&Tried| {
            other.part != best.part
                && other.best.mean_mm <= best.best.mean_mm + AS_WELL_MM
                && other.best.worst_mm <= best.best.worst_mm + AS_WELL_MM
        };
        Some(Fit {
            part: best.part,
            placement: best.best.pose.placement(),
            worst_mm: piece.worst_mm(&self.0[best.part], &best.best.pose).max(best.best.worst_mm),
            rms_mm: best.best.rms_mm,
            hand: best.hand,
            others: tried.iter().filter(as_well).map(|tried| tried.part).collect(),
        })
    }
}

/// The hand that fits best; the one that is drawn where both fit.
fn chosen(drawn: Option<Aligned>, other: Option<Aligned>) -> Option<(Aligned, Hand)> {
    let (Some(drawn), Some(other)) = (drawn, other) else {
        return drawn.or(other).map(|only| (only, Hand::Sure));
    };
    let near = |a: f64, b: f64| (a - b).abs() <= AS_WELL_MM;
    let either = near(drawn.worst_mm, other.worst_mm) && near(drawn.mean_mm, other.mean_mm);
    let best = if either || drawn.mean_mm <= other.mean_mm { drawn } else { other };
    Some((best, if either { Hand::Either } else { Hand::Sure }))
}

/// An index of a polygon's edges.
fn index_of(contours: &[Vec<Point>]) -> SegmentIndex {
    let edges = |contour: &Vec<Point>| -> Vec<Segment> {
        let next = contour.iter().cycle().skip(1);
        contour.iter().zip(next).map(|(a, b)| Segment::line(*a, *b)).filter(|s| s.from != s.to).collect()
    };
    SegmentIndex::new(contours.iter().flat_map(edges))
}
