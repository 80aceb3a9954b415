//! Edges and pricked points as knots: points with what runs from each to the next.

use super::rows::Rows;
use super::{Bench, Loop};
use crate::geometry::curve::Curve;
use crate::geometry::{Point, Vec2, trig};
use crate::stages::job::measured::{Corner, Edge, Lead, Prick, Pricks, Way};

/// Ends nearer than this, mm, are one point: rounding of what people write down.
const SAME: f64 = 1e-3;

/// An outline from lengths and angles that misses its beginning by less than this fraction of its length was measured
/// badly rather than left open.
const MISSES: f64 = 0.02;

/// How a knot is joined to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum On {
    /// Straight, or an arc of this rise to the right of the chord.
    Straight(f64),
    /// As part of a fair curve.
    Fair,
}

/// A point of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Knot {
    pub(super) at: Point,
    /// What runs to the next knot.
    pub(super) on: On,
    /// A fair curve breaks here.
    pub(super) corner: bool,
    /// How a curve begins here.
    pub(super) out: Lead,
    /// How a curve ends here.
    pub(super) into: Lead,
    /// What is done to a corner between straights.
    pub(super) treated: Corner,
}

impl Knot {
    fn new(at: Point) -> Self {
        Self {
            at,
            on: On::Straight(0.0),
            corner: true,
            out: Lead::Running,
            into: Lead::Running,
            treated: Corner::Sharp,
        }
    }
}

impl Bench<'_> {
    /// Curves along the edges from a point: closed, or open for a half.
    pub(super) fn walk(&mut self, from: Point, edges: &[Edge], open: bool) -> Option<Loop> {
        let mut knots = vec![Knot::new(from)];
        let mut heading = Vec2::new(1.0, 0.0);
        for edge in edges {
            self.edge(edge, &mut knots, &mut heading)?;
        }
        if !open {
            self.close(&mut knots);
        }
        if knots.len() < 2 || (!open && knots.len() < 3 && knots.iter().all(|k| k.on == On::Straight(0.0))) {
            let hint = "an outline needs three edges, or two where one is curved";
            self.wrong(self.piece.line, "measured-edge", "there are too few edges", hint);
            return None;
        }
        Rows { knots, closed: !open }.curves(self)
    }

    /// A fair curve all round through pricked points.
    pub(super) fn pricked_round(&mut self, pricks: &Pricks, line: (usize, usize)) -> Option<Loop> {
        let mut pricks = self.points_of(pricks, line)?;
        if pricks.len() > 1 && pricks[0].at.distance(pricks[pricks.len() - 1].at) <= SAME {
            pricks.pop();
        }
        if pricks.len() < 3 {
            let hint = "prick every 10 mm or every quarter inch, closer where the curve is tight";
            self.wrong(line, "measured-point", &format!("{} points make no outline", pricks.len()), hint);
            return None;
        }
        let n = pricks.len();
        let mut knots: Vec<Knot> = pricks.iter().map(|prick| pricked(*prick)).collect();
        for i in 0..n {
            let before = pricks[(i + n - 1) % n].straight;
            if before != pricks[i].straight && !pricks[i].corner {
                (knots[i].out, knots[i].into) = (Lead::Tangent, Lead::Tangent);
            }
            knots[i].treated = self.corner;
        }
        Rows { knots, closed: true }.curves(self)
    }

    fn points_of(&mut self, pricks: &Pricks, line: (usize, usize)) -> Option<Vec<Prick>> {
        match pricks {
            Pricks::List(pricks) => Some(pricks.clone()),
            Pricks::File(file, scale) => self.file_points(file, line, *scale),
        }
    }

    fn edge(&mut self, edge: &Edge, knots: &mut Vec<Knot>, heading: &mut Vec2) -> Option<()> {
        let here = knots.last()?.at;
        let (to, rise) = match &edge.way {
            Way::To(to, rise) => (*to, *rise),
            Way::By(by, rise) => (here + *by, *rise),
            Way::Angle(length, degrees) => {
                let onward = super::turn(*degrees) * Point::new(*length, 0.0);
                (here + onward.to_vec2(), 0.0)
            }
            Way::Turn(length, degrees) => {
                let onward = super::turn(*degrees) * heading.to_point();
                (here + onward.to_vec2() * *length, 0.0)
            }
            Way::Curve(pricks, start, end) => {
                return self.curve(edge, (pricks, *start, *end), knots, heading);
            }
        };
        let way = to - here;
        if way.hypot() <= SAME {
            self.wrong(edge.line, "measured-edge", "an edge has no length", "leave it out");
            return None;
        }
        if let Some(last) = knots.last_mut() {
            last.on = On::Straight(rise);
        }
        let bulge = 2.0 * rise / way.hypot();
        *heading = arriving(way / way.hypot(), bulge);
        knots.push(Knot { treated: edge.corner.unwrap_or(self.corner), ..Knot::new(to) });
        Some(())
    }

    fn curve(
        &mut self,
        edge: &Edge,
        (pricks, start, end): (&Pricks, Lead, Lead),
        knots: &mut Vec<Knot>,
        heading: &mut Vec2,
    ) -> Option<()> {
        let mut pricks = self.points_of(pricks, edge.line)?;
        let here = knots.last()?.at;
        if pricks.first().is_some_and(|first| first.at.distance(here) <= SAME) {
            pricks.remove(0);
        }
        let Some(last) = pricks.last().copied() else {
            self.wrong(edge.line, "measured-point", "a curve has no points", "list them, the end too");
            return None;
        };
        if let Some(first) = knots.last_mut() {
            (first.on, first.out) = (On::Fair, start);
        }
        let before = if pricks.len() > 1 { pricks[pricks.len() - 2].at } else { here };
        for (i, prick) in pricks.iter().enumerate() {
            let straight_before = i > 0 && pricks[i - 1].straight;
            let mut knot = pricked(*prick);
            if straight_before != prick.straight && !prick.corner {
                (knot.out, knot.into) = (Lead::Tangent, Lead::Tangent);
            }
            knots.push(knot);
        }
        if let Some(knot) = knots.last_mut() {
            *knot = Knot { into: end, treated: edge.corner.unwrap_or(Corner::Sharp), ..Knot::new(last.at) };
        }
        let way = last.at - before;
        *heading = way / way.hypot().max(f64::MIN_POSITIVE);
        Some(())
    }

    /// Brings an outline back to where it began.
    fn close(&mut self, knots: &mut Vec<Knot>) {
        let (Some(first), Some(last)) = (knots.first().copied(), knots.last().copied()) else { return };
        let gap = first.at.distance(last.at);
        let length: f64 = knots.windows(2).map(|pair| pair[0].at.distance(pair[1].at)).sum();
        if gap <= SAME.max(self.job.join_mm) {
            knots.pop();
            if let Some(first) = knots.first_mut() {
                (first.into, first.treated) = (last.into, last.treated);
            }
        } else {
            if gap < MISSES * length {
                let message =
                    format!("the outline ends {gap:.2} mm from where it began: a straight closes it");
                let hint = "measure again, or end it 'to' its first point";
                self.doubt(self.piece.line, "measured-gap", &message, hint);
            }
            if let Some(first) = knots.first_mut() {
                first.treated = self.corner;
            }
        }
    }
}

fn pricked(prick: Prick) -> Knot {
    let on = if prick.straight { On::Straight(0.0) } else { On::Fair };
    Knot { on, corner: prick.corner, ..Knot::new(prick.at) }
}

/// The direction at the end of an arc with this chord and bulge.
fn arriving(chord: Vec2, bulge: f64) -> Vec2 {
    let (sin, cos) = trig::sin_cos(2.0 * trig::atan(bulge));
    Vec2::new(chord.x * cos - chord.y * sin, chord.x * sin + chord.y * cos)
}

/// A straight or an arc.
pub(super) fn drawn(from: Point, to: Point, rise: f64) -> Curve {
    let chord = from.distance(to);
    Curve::Segment(crate::geometry::Segment::arc(
        from,
        to,
        if chord > 0.0 { 2.0 * rise / chord } else { 0.0 },
    ))
}
