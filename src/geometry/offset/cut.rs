//! Cuts away from a raw piece of an offset what lies nearer to the source than the distance.

use super::narrow::AS_WIDE;
use super::rim::{Owner, Raw, Stretch, part};
use super::source::Source;
use crate::geometry::distance::Visit;
use crate::geometry::piece::{Circle, Piece};
use crate::geometry::{Point, Vec2};

/// How much nearer than the distance a point must be to be cut away, in millimetres: more than rounding makes of points
/// that are exactly at the distance, far less than is ever seen.
pub(super) const SLACK: f64 = 1e-9;

/// Coordinates this much larger than a millimetre carry this much more rounding.
const ROUNDING: f64 = 64.0 * f64::EPSILON;

/// A place along the chord of a raw piece, 0 to 1, and the point there. On an arc of up to a half circle the place along
/// the chord grows with the angle.
type Place = (f64, Point);

/// Cuts one raw piece after the other, with the same working memory.
#[derive(Debug)]
pub(super) struct Cutter<'a> {
    source: &'a Source,
    distance: f64,
    reach: f64,
    free: Vec<(Place, Place)>,
    spare: Vec<(Place, Place)>,
    cuts: Vec<Place>,
}

impl<'a> Cutter<'a> {
    pub(super) fn new(source: &'a Source, distance: f64) -> Self {
        let bounds = source.index.bounds();
        let largest =
            [bounds.x0, bounds.y0, bounds.x1, bounds.y1].map(f64::abs).into_iter().fold(distance, f64::max);
        let reach = distance - SLACK.max(largest * ROUNDING);
        Self { source, distance, reach, free: Vec::new(), spare: Vec::new(), cuts: Vec::new() }
    }

    /// Adds what is left of a raw piece, and says whether anything brushes it.
    pub(super) fn cut(&mut self, raw: &Raw, into: &mut Vec<Stretch>) -> bool {
        let Some(piece) = raw.piece else { return false };
        self.free.clear();
        self.free.push(((0.0, piece.segment.from), (1.0, piece.segment.to)));
        let area = piece.bounds().inflate(self.distance + AS_WIDE, self.distance + AS_WIDE);
        // An inside fillet or a hole that is hardly wider than the cutter brushes itself.
        let tight = |circle: Circle| piece.segment.bulge < 0.0 && circle.radius < AS_WIDE / 2.0;
        let (source, mut brushed) = (self.source, piece.circle().is_some_and(tight));
        source.index.visit(area, |other| {
            if !self.never_cuts(raw.owner, other) {
                let near = &source.pieces()[other];
                self.take_away(&piece, near);
                brushed |= !neighbours(source, raw.owner, other) && self.brushes(&piece, raw.owner, near);
            }
            if self.free.is_empty() { Visit::Stop } else { Visit::Go }
        });
        into.extend(self.free.iter().map(|&(from, to)| {
            let whole = from.0 <= 0.0 && to.0 >= 1.0;
            let segment = if whole { piece.segment } else { part(&piece, from.1, to.1) };
            Stretch { along: (from.0, to.0), segment }
        }));
        brushed
    }

    /// Whether a piece cannot come nearer to a raw piece than the distance, by what they are to each other.
    fn never_cuts(&self, owner: Owner, other: usize) -> bool {
        match owner {
            Owner::Piece(own) => own == other,
            Owner::Corner(before, after) => {
                (other == before || other == after) && self.source.pieces()[other].is_line()
            }
        }
    }

    /// Whether a piece comes near to a raw piece from the side that its owner does not lie on: then what is between the
    /// two is as wide as the cutter, or hardly wider.
    fn brushes(&self, raw: &Piece, owner: Owner, near: &Piece) -> bool {
        [raw.segment.from, raw.middle(), raw.segment.to].into_iter().any(|at| {
            let towards = near.nearest(at) - at;
            let own = match owner {
                Owner::Piece(own) => self.source.pieces()[own].nearest(at),
                Owner::Corner(_, after) => self.source.pieces()[after].segment.from,
            };
            let length = towards.hypot();
            length < self.distance + AS_WIDE && towards.dot(at - own) > 0.9 * length * self.distance
        })
    }

    /// Takes away from what is free of a raw piece what lies within reach of a piece of the source.
    fn take_away(&mut self, raw: &Piece, near: &Piece) {
        self.find_cuts(raw, near);
        self.cuts.push((1.0, raw.segment.to));
        let mut before = (0.0, raw.segment.from);
        for k in 0..self.cuts.len() {
            let after = self.cuts[k];
            let middle = Piece::new(part(raw, before.1, after.1)).middle();
            if near.distance(middle) < self.reach {
                self.remove(before, after);
            }
            before = after;
        }
    }

    fn remove(&mut self, from: Place, to: Place) {
        self.spare.clear();
        for &(start, end) in &self.free {
            if start.0 < from.0 {
                self.spare.push((start, if end.0 <= from.0 { end } else { from }));
            }
            if end.0 > to.0 {
                self.spare.push((if start.0 >= to.0 { start } else { to }, end));
            }
        }
        std::mem::swap(&mut self.free, &mut self.spare);
    }

    /// The places, in order, where a raw piece may come within reach of a piece of the source or leave it.
    fn find_cuts(&mut self, raw: &Piece, near: &Piece) {
        self.cuts.clear();
        let reach = self.reach;
        let ends = [near.segment.from, near.segment.to].map(|end| Circle::about(end, reach));
        for circle in &ends {
            self.cut_by_circle(raw, circle);
        }
        if let Some(circle) = near.circle() {
            for radius in [circle.radius + reach, (circle.radius - reach).abs()] {
                let shift = circle.ray * ((radius - circle.radius) / circle.radius);
                self.cut_by_circle(raw, &Circle { on: circle.on + shift, ray: circle.ray + shift, radius });
            }
        } else {
            let chord = near.segment.chord();
            let aside = Vec2::new(-chord.y, chord.x) * (reach / chord.hypot());
            self.cut_by_line(raw, near.segment.from + aside, chord);
            self.cut_by_line(raw, near.segment.from - aside, chord);
        }
        self.cuts.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    }

    fn cut_by_circle(&mut self, raw: &Piece, circle: &Circle) {
        let (from, chord) = (raw.segment.from, raw.segment.chord());
        match raw.circle() {
            None => circle
                .meets_line(from, chord)
                .into_iter()
                .flatten()
                .for_each(|t| self.cut_at(t, from + chord * t)),
            Some(own) => own.meets(circle).into_iter().flatten().for_each(|at| self.cut_on(raw, at)),
        }
    }

    fn cut_by_line(&mut self, raw: &Piece, from: Point, along: Vec2) {
        match raw.circle() {
            None => {
                let chord = raw.segment.chord();
                let turn = chord.cross(along);
                if turn != 0.0 {
                    let t = (from - raw.segment.from).cross(along) / turn;
                    self.cut_at(t, raw.segment.from + chord * t);
                }
            }
            Some(own) => {
                own.meets_line(from, along)
                    .into_iter()
                    .flatten()
                    .for_each(|t| self.cut_on(raw, from + along * t));
            }
        }
    }

    fn cut_on(&mut self, raw: &Piece, at: Point) {
        if raw.spans(at) {
            let chord = raw.segment.chord();
            self.cut_at((at - raw.segment.from).dot(chord) / chord.hypot2(), at);
        }
    }

    fn cut_at(&mut self, t: f64, at: Point) {
        if t > 0.0 && t < 1.0 {
            self.cuts.push((t, at));
        }
    }
}

/// Whether a piece of the source is the owner of a raw piece or joins it.
fn neighbours(source: &Source, owner: Owner, other: usize) -> bool {
    match owner {
        Owner::Corner(before, after) => other == before || other == after,
        Owner::Piece(own) => {
            let (a, b) = (&source.pieces()[own].segment, &source.pieces()[other].segment);
            a.to == b.from || a.from == b.to
        }
    }
}
