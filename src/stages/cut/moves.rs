//! Cuts to moves: what the machine does, step by step.
//!
//! The moves begin with the machine anywhere, the beam off or the cutter above the wood: a post's first lines see to
//! that. They end with the beam off or the cutter at clearance height.

use crate::geometry::{Point, Segment};

use super::means::Means;
use super::{Cut, Move, Settings, laser, router};

/// An arc is written in pieces of at most this angle, in degrees: well below a half circle, where the radius form of an
/// arc loses its centre (RS-274/NGC, section 3.5.3.1, advises against arcs near 180 or 360 degrees).
const LONGEST_ARC_DEG: f64 = 120.0;

/// All moves of a sheet's cuts; `of` gives the name of the part that a cut belongs to, and how it is cut.
pub(super) fn moves(
    cuts: &[Cut],
    means: &Means,
    thickness_mm: f64,
    of: impl Fn(usize) -> (String, Means),
) -> Vec<Move> {
    match means.settings {
        Settings::Laser(setting) => laser::moves(cuts, &setting, of),
        Settings::Router(setting) => router::moves(cuts, &setting, means, thickness_mm, of),
    }
}

/// Along a segment from height `z0` to `z1`, in one move or, for a long arc, several.
pub(super) fn along(segment: Segment, z0: f64, z1: f64, feed: f64, moves: &mut Vec<Move>) {
    let Some(centre) = segment.centre() else {
        moves.push(Move::Line { to: segment.to, z: z1, feed });
        return;
    };
    let pieces = (segment.sweep().abs().to_degrees() / LONGEST_ARC_DEG - 1e-9).ceil().max(1.0);
    let counter_clockwise = segment.bulge > 0.0;
    for i in 1..=pieces as u32 {
        let share = f64::from(i) / pieces;
        let to: Point = segment.at(share);
        moves.push(Move::Arc { to, z: z0 + (z1 - z0) * share, centre, counter_clockwise, feed });
    }
}
