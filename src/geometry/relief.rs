//! Relief of inside corners: a round cutter leaves a fillet there, on which a mating part with square corners would stand.
//! A bay as wide as the cutter takes the fillet away, and no more wood than that.
//!
//! Only corners at the end of a slot or a notch are relieved: two square inside corners with a straight between them, no
//! longer than the mating part is thick. Other corners keep their fillet, which is stronger and looks better.

use super::{Outline, Point, Region, Segment, Vertex, trig, turn_between};

/// Where the wood goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Form {
    /// Half of it from either side: the bay lies across the corner.
    Dogbone,
    /// All of it from the longer side: the bay lies along one edge and the other stays whole.
    Edge,
}

/// How corners are relieved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// Radius of the bay, mm: that of the cutter, and a little.
    pub radius_mm: f64,
    /// Which form; where a dogbone finds no room beside another, one along an edge is made.
    pub form: Form,
    /// A slot or notch wider than this takes no mating part, mm.
    pub widest_mm: f64,
    /// So much wood has to be left beyond a bay, mm.
    pub keep_mm: f64,
}

/// A region with its corners relieved.
#[derive(Clone, Debug, PartialEq)]
pub struct Relieved {
    /// The region.
    pub region: Region,
    /// How many corners are.
    pub corners: usize,
    /// Corners that are not, since that would leave too little wood.
    pub left_out: Vec<Point>,
}

/// A corner is square within this angle, radians: two degrees, more than drawings are off and less than a mating part
/// would mind.
const SQUARE: f64 = 0.035;

/// So much of an edge stays straight beside a bay, mm.
const STRAIGHT_MM: f64 = 0.1;

/// The region with its corners relieved as the rule says.
#[must_use]
pub fn relieved(region: &Region, rule: &Rule) -> Relieved {
    let all: Vec<Segment> = region.outlines().flat_map(Outline::segments).collect();
    let (mut corners, mut left_out) = (0, Vec::new());
    let mut relieve = |outline: &Outline| {
        let bays = Bays { segments: outline.segments().collect(), all: &all, rule };
        let vertices = bays.vertices(&mut corners, &mut left_out);
        Outline::new(vertices).unwrap_or_else(|_| outline.clone())
    };
    let outer = relieve(region.outer());
    let holes = region.holes().iter().map(relieve).collect();
    Relieved { region: Region::new(outer, holes), corners, left_out }
}

/// One outline, the material on its left, among all of its region.
struct Bays<'a> {
    segments: Vec<Segment>,
    all: &'a [Segment],
    rule: &'a Rule,
}

impl Bays<'_> {
    /// The segments that meet at a corner, and the angle of the open side between them.
    fn at(&self, corner: usize) -> (Segment, Segment, f64) {
        let count = self.segments.len();
        let (before, ahead) = (self.segments[(corner + count - 1) % count], self.segments[corner % count]);
        let turn = turn_between(before.tangent(1.0), ahead.tangent(0.0));
        (before, ahead, std::f64::consts::PI + turn)
    }

    fn is_square(&self, corner: usize) -> bool {
        let (before, ahead, open) = self.at(corner);
        before.is_line() && ahead.is_line() && (open - std::f64::consts::FRAC_PI_2).abs() <= SQUARE
    }

    /// Whether the segment from a corner on is the end of a slot or notch.
    fn is_end(&self, corner: usize) -> bool {
        self.is_square(corner)
            && self.is_square(corner + 1)
            && self.segments[corner % self.segments.len()].length() <= self.rule.widest_mm
    }

    fn is_wanted(&self, corner: usize) -> bool {
        self.is_end(corner) || self.is_end(corner + self.segments.len() - 1)
    }

    fn vertices(&self, corners: &mut usize, left_out: &mut Vec<Point>) -> Vec<Vertex> {
        let mut vertices = Vec::new();
        for (i, segment) in self.segments.iter().enumerate() {
            let whole = Vertex { at: segment.from, bulge: segment.bulge };
            if !self.is_wanted(i) {
                vertices.push(whole);
                continue;
            }
            if let Some(bay) = self.bay(i) {
                *corners += 1;
                vertices
                    .extend([Vertex { at: bay.from, bulge: bay.bulge }, Vertex { at: bay.to, bulge: 0.0 }]);
            } else {
                left_out.push(segment.from);
                vertices.push(whole);
            }
        }
        vertices
    }

    /// The bay at a corner, as its arc: the first that has room and leaves wood enough.
    fn bay(&self, corner: usize) -> Option<Segment> {
        let (before, ahead, open) = self.at(corner);
        let room = |segment: Segment, other: usize| {
            segment.length() * if self.is_wanted(other) { 0.5 } else { 1.0 } - STRAIGHT_MM
        };
        let [behind, on] = [room(before, corner + self.segments.len() - 1), room(ahead, corner + 1)];
        let (at, radius) = (ahead.from, self.rule.radius_mm);
        let (back, forth) = (-before.tangent(1.0), ahead.tangent(0.0));
        let half = 2.0 * radius * trig::cos(open / 2.0);
        let across = Segment {
            from: at + back * half,
            to: at + forth * half,
            bulge: -trig::tan((std::f64::consts::PI - open) / 2.0),
        };
        let bays = [
            (self.rule.form == Form::Dogbone && behind.min(on) >= half, across),
            (
                behind >= on.max(2.0 * radius),
                Segment { from: at + back * (2.0 * radius), to: at, bulge: -1.0 },
            ),
            (on >= 2.0 * radius, Segment { from: at, to: at + forth * (2.0 * radius), bulge: -1.0 }),
        ];
        let found = bays.into_iter().filter(|(room, _)| *room).map(|(_, bay)| bay);
        let near = |segment: &Segment| *segment == before || *segment == ahead;
        let strong = |bay: &Segment| {
            [0.25, 0.5, 0.75].into_iter().all(|t| {
                let others = self.all.iter().filter(|segment| !near(segment));
                others.fold(f64::INFINITY, |d, segment| d.min(segment.nearest(bay.at(t)).1))
                    >= self.rule.keep_mm
            })
        };
        found.into_iter().find(strong)
    }
}
