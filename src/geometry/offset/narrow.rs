//! Finds the places of a source that its offset can no longer follow: holes, slots and necks too small for it.
//!
//! What is cut away from the raw pieces shows where the source is out of reach. At an ordinary inside corner that is so
//! too, so a place counts only where two sides face each other: where the largest disc that fits there touches them
//! nearly opposite each other.

use super::disc::{Contact, grown};
use super::rim::{Owner, Raw, Rim, part, right_of};
use super::source::Source;
use super::{Closed, Narrow};
use crate::geometry::distance::{Visit, around};
use crate::geometry::piece::Piece;
use crate::geometry::{Outline, Point, Segment, Vec2};

/// A place counts as too narrow up to this much wider than twice the distance, in millimetres: as wide as the cutter is
/// too narrow, and no rounding decides.
pub(super) const AS_WIDE: f64 = 1e-3;

/// Cosine of the angle between two sides, seen from the disc between them, from which on they face each other: 160
/// degrees. Sides that close at 20 degrees or less are a slot, wider ones a corner.
const FACING: f64 = -0.939_692_620_785_908_4;

/// Sides shorter than this, in millimetres, are a roughness of the line, not a slot.
const SHALLOWEST: f64 = 0.05;

/// A part of a raw piece that is out of reach, between two of its points; of an arc turned inside out, the source's own.
#[derive(Clone, Copy, Debug)]
struct Gap {
    raw: usize,
    ends: (Point, Point),
    /// Begins and ends with the raw piece.
    whole: (bool, bool),
    loop_index: usize,
}

/// Two sides that face each other, or the width of a hole that is gone.
#[derive(Clone, Copy, Debug)]
struct Place {
    gap: usize,
    /// The piece on the other side.
    contact: usize,
    at: Point,
    width: f64,
    facing: bool,
}

/// The places that close up.
pub(super) fn closed(source: &Source, rim: &Rim, distance: f64, grows: bool) -> Vec<Closed> {
    let gaps = gaps(rim);
    if gaps.is_empty() {
        return Vec::new();
    }
    let finder = Finder { source, rim, distance, limit: distance + AS_WIDE / 2.0 };
    let places: Vec<Place> =
        gaps.iter().enumerate().flat_map(|(which, gap)| finder.places(which, gap)).collect();
    report(source, rim, &gaps, &places, grows)
}

/// All parts of raw pieces that are out of reach, in order.
fn gaps(rim: &Rim) -> Vec<Gap> {
    let mut gaps = Vec::new();
    for (loop_index, one) in rim.loops.iter().enumerate() {
        for raw in one.clone() {
            gaps_of(rim, raw, loop_index, &mut gaps);
        }
    }
    gaps
}

fn gaps_of(rim: &Rim, raw: usize, loop_index: usize, into: &mut Vec<Gap>) {
    let left = &rim.stretches[rim.left[raw].clone()];
    let Some(piece) = rim.raws[raw].piece else {
        into.push(Gap { raw, ends: (Point::ZERO, Point::ZERO), whole: (true, true), loop_index });
        return;
    };
    let (from, to) = (piece.segment.from, piece.segment.to);
    let untouched = left.len() == 1 && left[0].along.0 <= 0.0 && left[0].along.1 >= 1.0;
    if rim.brushed[raw] && untouched {
        into.push(Gap { raw, ends: (from, to), whole: (true, true), loop_index });
        return;
    }
    let mut before = (0.0, from);
    for stretch in left {
        if stretch.along.0 > before.0 {
            let whole = (before.0 <= 0.0, false);
            into.push(Gap { raw, ends: (before.1, stretch.segment.from), whole, loop_index });
        }
        before = (stretch.along.1, stretch.segment.to);
    }
    if before.0 < 1.0 {
        into.push(Gap { raw, ends: (before.1, to), whole: (before.0 <= 0.0, true), loop_index });
    }
}

struct Finder<'a> {
    source: &'a Source,
    rim: &'a Rim,
    distance: f64,
    limit: f64,
}

impl Finder<'_> {
    fn places(&self, which: usize, gap: &Gap) -> Vec<Place> {
        let raw = &self.rim.raws[gap.raw];
        match raw.owner {
            Owner::Piece(own) => self.beside_piece(which, gap, raw, own),
            Owner::Corner(_, after) => self.beside_corner(which, raw, after),
        }
    }

    /// Discs beside points of a piece: in the middle of what is out of reach, and left and right of it where that is long.
    fn beside_piece(&self, which: usize, gap: &Gap, raw: &Raw, own: usize) -> Vec<Place> {
        let piece = &self.source.pieces()[own];
        let (leaving, _) = self.source.tangents(own);
        let out_of_reach = match raw.piece {
            Some(raw) => Piece::new(part(&raw, gap.ends.0, gap.ends.1)),
            None => *piece,
        };
        let long = out_of_reach.segment.chord().hypot() > 1.2 * self.distance;
        let fractions: &[f64] = if long { &[0.5, 0.15, 0.85] } else { &[0.5] };
        let mut places = Vec::new();
        for &t in fractions {
            let start = piece.nearest(out_of_reach.segment.at(t));
            let normal = right_normal(piece, leaving, start);
            if let Some(contact) = grown(self.source, start, normal, Some(own), self.limit) {
                places.push(place(which, start, normal, &contact));
                places.extend(self.narrowest(which, own, &contact));
            }
            if out_of_reach.segment.chord().hypot() >= SHALLOWEST {
                places.extend(self.straight_across(which, start, normal));
            }
        }
        places
    }

    /// From a point of a piece straight across to what it faces.
    fn straight_across(&self, which: usize, start: Point, normal: Vec2) -> Option<Place> {
        let ray = Piece::new(Segment::line(start + normal * 1e-6, start + normal * (2.0 * self.limit)));
        let mut nearest: Option<(f64, usize)> = None;
        self.source.index.visit(ray.bounds(), |other| {
            for at in ray.crossings(&self.source.pieces()[other]) {
                let width = at.distance(start);
                if nearest.is_none_or(|(held, _)| width < held) {
                    nearest = Some((width, other));
                }
            }
            Visit::Go
        });
        let (width, other) = nearest?;
        let at = start + normal * width;
        let across = right_normal(&self.source.pieces()[other], self.source.tangents(other).0, at);
        let facing = across.dot(normal) <= FACING;
        facing.then(|| Place { gap: which, contact: other, at: start.midpoint(at), width, facing })
    }

    /// The narrowest place between a piece and the one that a disc beside it met, where the two face each other there.
    fn narrowest(&self, which: usize, own: usize, contact: &Contact) -> Option<Place> {
        let (piece, other) = (&self.source.pieces()[own], &self.source.pieces()[contact.piece]);
        if own == contact.piece || (piece.is_line() && other.is_line()) {
            return None;
        }
        let (width, a, b) = piece.gap(other);
        if width <= 1e-6 || width > 2.0 * self.limit {
            return None;
        }
        let normal = (b - a) / width;
        let square = normal.dot(right_normal(piece, self.source.tangents(own).0, a)) >= -FACING;
        let free = || grown(self.source, a, normal, Some(own), width * 0.4999).is_none();
        (square && free()).then(|| Place {
            gap: which,
            contact: contact.piece,
            at: a.midpoint(b),
            width,
            facing: true,
        })
    }

    /// From a corner straight to each piece that it faces.
    fn beside_corner(&self, which: usize, raw: &Raw, after: usize) -> Vec<Place> {
        let corner = self.source.pieces()[after].segment.from;
        let Some(arc) = raw.piece else { return Vec::new() };
        let mut places = Vec::new();
        self.source.index.visit(around(corner, 2.0 * self.limit), |other| {
            let at = self.source.pieces()[other].nearest(corner);
            let width = at.distance(corner);
            if width > 1e-6 && width <= 2.0 * self.limit {
                let normal = (at - corner) / width;
                if arc.spans(corner + normal * self.distance)
                    && grown(self.source, corner, normal, None, width * 0.4999).is_none()
                {
                    let middle = corner.midpoint(at);
                    places.push(Place { gap: which, contact: other, at: middle, width, facing: true });
                }
            }
            Visit::Go
        });
        places
    }
}

fn place(which: usize, start: Point, normal: Vec2, contact: &Contact) -> Place {
    let centre = start + normal * contact.radius;
    let facing = (contact.at - centre).dot(-normal) <= FACING * contact.radius;
    Place { gap: which, contact: contact.piece, at: centre, width: 2.0 * contact.radius, facing }
}

/// The unit vector to the right of a piece at one of its points.
fn right_normal(piece: &Piece, leaving: Vec2, at: Point) -> Vec2 {
    match piece.centre() {
        None => right_of(leaving),
        Some(centre) => {
            let outwards = (at - centre) / (at - centre).hypot();
            if piece.segment.bulge > 0.0 { outwards } else { -outwards }
        }
    }
}

/// A gap beside each piece of the source, or at one of its ends.
fn gap_beside(source: &Source, rim: &Rim, gaps: &[Gap]) -> Vec<Option<usize>> {
    let mut beside = vec![None; source.pieces().len()];
    for (which, gap) in gaps.iter().enumerate() {
        match rim.raws[gap.raw].owner {
            Owner::Piece(own) => beside[own] = Some(which),
            Owner::Corner(before, after) => {
                for own in [before, after] {
                    beside[own] = beside[own].or(Some(which));
                }
            }
        }
    }
    beside
}

/// One report for each place: the narrowest of the sides that face each other, or a hole that is gone.
fn report(source: &Source, rim: &Rim, gaps: &[Gap], places: &[Place], grows: bool) -> Vec<Closed> {
    let gone = loops_gone(source, rim, gaps);
    let mut groups = Groups::new(gaps.len());
    join_neighbours(rim, gaps, &gone, &mut groups);
    let beside = gap_beside(source, rim, gaps);
    for place in places.iter().filter(|place| place.facing) {
        if let Some(contact) = beside[place.contact] {
            groups.join(place.gap, contact);
        }
    }
    let mut found: Vec<Option<Closed>> = vec![None; gaps.len()];
    let hollow = if grows { Narrow::Slot } else { Narrow::Neck };
    for place in places {
        let whole = gone[gaps[place.gap].loop_index];
        if !place.facing && !whole {
            continue;
        }
        let what = if whole && grows { Narrow::Hole } else { hollow };
        let group = groups.of(place.gap);
        let better = found[group]
            .is_none_or(|held| if whole { place.width > held.width } else { place.width < held.width });
        if better {
            found[group] = Some(Closed { at: place.at, width: place.width, what });
        }
    }
    found.into_iter().flatten().collect()
}

/// Which loops enclose what is offset and have nothing of it left.
fn loops_gone(source: &Source, rim: &Rim, gaps: &[Gap]) -> Vec<bool> {
    let mut whole = vec![0; rim.loops.len()];
    for gap in gaps.iter().filter(|gap| gap.whole == (true, true)) {
        whole[gap.loop_index] += 1;
    }
    source
        .loops()
        .zip(&rim.loops)
        .zip(whole)
        .map(|((pieces, raws), whole)| {
            whole == raws.len()
                && Outline::from_segments(
                    &source.pieces()[pieces].iter().map(|p| p.segment).collect::<Vec<_>>(),
                )
                .is_ok_and(|outline| outline.signed_area() < 0.0)
        })
        .collect()
}

/// Joins the gaps that follow each other without a break, and all gaps of a loop that is gone.
fn join_neighbours(rim: &Rim, gaps: &[Gap], gone: &[bool], groups: &mut Groups) {
    let mut first = 0;
    for which in 0..gaps.len() {
        let this = &gaps[which];
        if this.loop_index != gaps[first].loop_index {
            first = which;
        }
        let ends_loop = which + 1 == gaps.len() || gaps[which + 1].loop_index != this.loop_index;
        let next = if ends_loop { first } else { which + 1 };
        let raws = &rim.loops[this.loop_index];
        let after = if this.raw + 1 == raws.end { raws.start } else { this.raw + 1 };
        let follows = gaps[next].raw == after && this.whole.1 && gaps[next].whole.0;
        if follows || gone[this.loop_index] {
            groups.join(which, next);
        }
    }
}

/// Sets that are joined one after the other; each is named by its first member.
struct Groups(Vec<usize>);

impl Groups {
    fn new(count: usize) -> Self {
        Self((0..count).collect())
    }

    fn of(&mut self, mut member: usize) -> usize {
        while self.0[member] != member {
            self.0[member] = self.0[self.0[member]];
            member = self.0[member];
        }
        member
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.of(a), self.of(b));
        self.0[a.max(b)] = a.min(b);
    }
}
