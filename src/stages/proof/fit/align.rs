//! A part laid on a piece: where to begin, and which of the beginnings ends best.

use std::f64::consts::{PI, TAU};

use super::index_of;
use super::pose::Pose;
use super::refine::refined;
use super::shape::{Moments, SAMPLES, Sample, Shape, thinned};
use crate::geometry::Point;
use crate::geometry::distance::SegmentIndex;

/// An outline whose axes differ less than this is round: which way it lies cannot be told by them. Where only one of piece
/// and part is round, they are not the same anyway.
const ROUND: f64 = 0.1;

/// So many turns all around are tried for a round part.
const TURNS: u32 = 72;

/// So many of them are gone on with.
const BEST_TURNS: usize = 3;

/// About so many points are enough to choose where to begin.
const FEW: usize = 40;

/// So many steps from each beginning, and so many at the end.
const FIRST_STEPS: usize = 6;
const LAST_STEPS: usize = 25;

/// What begins more than so many times, and so much, farther off than another one is not gone on with: the last steps halve
/// a distance at most, save where it becomes nothing, and then it begins below the second.
const HOPELESS: f64 = 3.0;
const HOPELESS_MM: f64 = 0.05;

/// Less than this between two beginnings is no difference, mm: the first one counts.
const SAME_MM: f64 = 1e-6;

/// A piece made ready to have parts laid on it.
pub(super) struct Piece<'a> {
    contours: &'a [Vec<Point>],
    index: SegmentIndex,
    outer: Moments,
    length: f64,
    samples: Vec<Sample>,
    few: Vec<Sample>,
    /// How far it reaches from its middle, mm.
    reach: f64,
}

/// A part laid on the piece.
#[derive(Clone, Copy, Debug)]
pub(super) struct Aligned {
    pub(super) pose: Pose,
    pub(super) mean_mm: f64,
    pub(super) rms_mm: f64,
    pub(super) worst_mm: f64,
}

impl<'a> Piece<'a> {
    /// None where it has no area.
    pub(super) fn new(contours: &'a [Vec<Point>]) -> Option<Self> {
        let first = contours.first()?;
        let outer = Moments::of(first);
        if !(outer.area > 0.0 && outer.centre.is_finite()) {
            return None;
        }
        let reach = first.iter().map(|p| p.distance(outer.centre)).fold(0.0, f64::max);
        let index = index_of(contours);
        let samples = thinned(contours, SAMPLES);
        let length = samples.iter().map(|sample| sample.weight).sum();
        Some(Self { contours, index, outer, length, few: thinned(contours, FEW), samples, reach })
    }

    /// The least that the mean distance to a part can be, about, mm: areas that differ by so much over this length.
    pub(super) fn least_mm(&self, shape: &Shape) -> f64 {
        // Half of it, as lengths differ too, and holes count into the mean.
        (self.outer.area - shape.outer.area).abs() / self.length / 2.0
    }

    /// The largest distance from any of its corners to a part.
    pub(super) fn worst_mm(&self, shape: &Shape, pose: &Pose) -> f64 {
        let all = self.contours.iter().flatten();
        all.map(|p| shape.index.distance(pose.back(*p))).fold(0.0, f64::max)
    }
}

/// The part laid on the piece as it is drawn, and mirrored, each as well as it goes; none for a hand that begins much worse
/// than the other, or than another part ended (`least_mm` on the mean).
pub(super) fn both_hands(piece: &Piece, shape: &Shape, least_mm: f64) -> [Option<Aligned>; 2] {
    let begin = [false, true].map(|mirrored| beginning(piece, shape, mirrored));
    let least_mm = least_mm.min(begin[0].0).min(begin[1].0);
    begin.map(|(begun_mm, pose)| {
        let about = (piece.outer.centre, piece.reach);
        let hopeful = begun_mm <= HOPELESS * least_mm + HOPELESS_MM;
        hopeful.then(|| measured(piece, shape, refined(shape, &piece.samples, pose, about, LAST_STEPS)))
    })
}

/// The best place to begin for one hand, with the mean distance there, mm.
fn beginning(piece: &Piece, shape: &Shape, mirrored: bool) -> (f64, Pose) {
    let over = |turn| Pose::over(mirrored, turn, shape.outer.centre, piece.outer.centre);
    let about = (piece.outer.centre, piece.reach);
    let mut best = (f64::INFINITY, over(0.0));
    for turn in turns(piece, shape, mirrored) {
        let pose = refined(shape, &piece.few, over(turn), about, FIRST_STEPS);
        let off = mean(piece, shape, &pose);
        if off < best.0 - SAME_MM {
            best = (off, pose);
        }
    }
    best
}

/// Turns to begin with.
fn turns(piece: &Piece, shape: &Shape, mirrored: bool) -> Vec<f64> {
    if piece.outer.slender.max(shape.outer.slender) >= ROUND {
        let axis = if mirrored { PI - shape.outer.axis } else { shape.outer.axis };
        let turn = piece.outer.axis - axis;
        return vec![turn, turn + PI];
    }
    let mut all: Vec<(f64, f64)> = (0..TURNS)
        .map(|i| {
            let turn = TAU * f64::from(i) / f64::from(TURNS);
            let pose = Pose::over(mirrored, turn, shape.outer.centre, piece.outer.centre);
            (mean(piece, shape, &pose), turn)
        })
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    all.into_iter().take(BEST_TURNS).map(|(_, turn)| turn).collect()
}

/// Mean distance from a few of the piece's points to the part.
fn mean(piece: &Piece, shape: &Shape, pose: &Pose) -> f64 {
    let off = |sample: &Sample| sample.weight * shape.index.distance(pose.back(sample.at));
    piece.few.iter().map(off).sum::<f64>() / piece.length
}

/// The distances between piece and part, both ways: a hole that is missing shows only from the part.
fn measured(piece: &Piece, shape: &Shape, pose: Pose) -> Aligned {
    let of_piece = piece.samples.iter().map(|s| (shape.index.distance(pose.back(s.at)), s.weight));
    let of_part = shape.samples.iter().map(|s| (piece.index.distance(pose.point(s.at)), s.weight));
    let [mut length, mut sum, mut squares, mut worst_mm] = [0.0, 0.0, 0.0, 0.0_f64];
    for (distance, weight) in of_piece.chain(of_part) {
        length += weight;
        sum += weight * distance;
        squares += weight * distance * distance;
        worst_mm = worst_mm.max(distance);
    }
    Aligned { pose, mean_mm: sum / length, rms_mm: (squares / length).sqrt(), worst_mm }
}
