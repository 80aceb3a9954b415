//! Pieces that the job writes down, as drawings of their own: see [`Measured`].
//!
//! Edges and pricked points become curves, which go the way of all that is drawn: joined, fitted, checked. Each piece is
//! a drawing with its name as a text in its material, so that every later stage takes it as one.

mod csv;
mod knots;
mod corner;
pub(super) mod label;
mod notch;
mod rows;

use std::collections::BTreeMap;
use std::path::Path;

use super::{Drawing, Drawn, Found, Role, Stroke, Text, join};
use crate::geometry::batten::Comb;
use crate::geometry::curve::Curve;
use crate::geometry::{Affine, Chain, Point, Segment, Vec2, Vertex, trig};
use crate::problem::{Problem, Problems};
use crate::stages::job::measured::{Corner, Form, Hole, Notch};
use crate::stages::job::{Job, Measured};
use crate::units::Unit;

/// Height of the text that carries a piece's name, mm: it is read, not drawn.
const NAME: f64 = 4.0;

/// Farther than this from the centre line, mm, and a hole or notch of a half has a twin on the other side.
const OFF_CENTRE: f64 = 0.01;

/// A fair curve of a piece, for those who want to look at its curvature.
#[derive(Clone, Debug, PartialEq)]
pub struct Fair {
    /// Which piece.
    pub piece: String,
    /// The points as they were given.
    pub pricked: Vec<Point>,
    /// How far the points were moved, the farthest, mm.
    pub moved_mm: f64,
    /// Its curvature.
    pub comb: Comb,
}

/// The drawings of all measured pieces of a job. A piece that cannot be made is a problem, and left out.
pub(super) fn read(job: &Job, problems: &mut Problems) -> Vec<Drawing> {
    job.measured.iter().filter_map(|piece| drawing(piece, job, problems)).collect()
}

/// Where a piece is made, and what there is to say about it.
#[derive(Debug)]
struct Bench<'a> {
    piece: &'a Measured,
    job: &'a Job,
    /// What corners between straights are made where they say nothing else.
    corner: Corner,
    fair: Vec<Fair>,
    problems: &'a mut Problems,
}

/// Curves that follow each other and close, with what is done to the corner at the end of each.
type Loop = Vec<(Curve, Corner)>;

impl<'a> Bench<'a> {
    fn new(piece: &'a Measured, job: &'a Job, problems: &'a mut Problems) -> Self {
        Self { piece, job, corner: piece.corner, fair: Vec::new(), problems }
    }

    /// Notes what is wrong.
    fn wrong(&mut self, line: (usize, usize), code: &'static str, message: &str, hint: &str) {
        let problem = Problem::error(code, format!("'{}': {message}", self.piece.name));
        self.problems.push(self.placed(problem.hint(hint), line));
    }

    /// Notes what is doubtful.
    fn doubt(&mut self, line: (usize, usize), code: &'static str, message: &str, hint: &str) {
        let problem = Problem::warning(code, format!("'{}': {message}", self.piece.name));
        self.problems.push(self.placed(problem.hint(hint), line));
    }

    fn placed(&self, problem: Problem, line: (usize, usize)) -> Problem {
        self.job.placed(problem.of_part(&self.piece.name), line)
    }

    fn folder(&self) -> &Path {
        &self.job.folder
    }

    /// The piece's outline, notches taken out, and its centre line if it is given by a half.
    fn outline(&mut self) -> Option<(Vec<Curve>, Option<Segment>)> {
        let piece = self.piece;
        let (mut edges, centre) = if let (true, Form::Edges(from, edges)) = (piece.half, &piece.form) {
            let half = self.walk(*from, edges, true)?;
            let centre = Segment::line(half.first()?.0.from(), half.last()?.0.to());
            if centre.chord().hypot() <= OFF_CENTRE {
                let hint = "begin on the centre line and come back to it at the other end of the piece";
                self.wrong(piece.line, "measured-half", "the half begins and ends in one point", hint);
                return None;
            }
            (with_other_half(half, centre), Some(centre))
        } else {
            (self.form(&piece.form, piece.line)?, None)
        };
        corner::treat(self, &mut edges)?;
        let mut curves: Vec<Curve> = edges.into_iter().map(|(curve, _)| curve).collect();
        for cut in twins(&piece.notches, centre) {
            curves = notch::taken(self, &curves, &cut)?;
        }
        Some((curves, centre))
    }

    /// A closed form about its own middle, or where it says.
    fn form(&mut self, form: &Form, line: (usize, usize)) -> Option<Loop> {
        match form {
            Form::Rectangle(length, width) => {
                let at = [(0.0, 0.0), (*length, 0.0), (*length, *width), (0.0, *width)].map(Point::from);
                Some((0..4).map(|i| (Curve::line(at[i], at[(i + 1) % 4]), self.corner)).collect())
            }
            Form::Circle(diameter) => Some(round_ended(*diameter, *diameter)),
            Form::Slot(length, width) => Some(round_ended(*length, *width)),
            Form::Edges(from, edges) => self.walk(*from, edges, false),
            Form::Pricked(pricks) => self.pricked_round(pricks, line),
        }
    }

    fn hole(&mut self, hole: &Hole) -> Option<Vec<Vec<Curve>>> {
        self.corner = hole.corner;
        let mut edges = self.form(&hole.form, hole.line)?;
        corner::treat(self, &mut edges)?;
        let middle = match hole.form {
            Form::Rectangle(length, width) => Vec2::new(length / 2.0, width / 2.0),
            _ => Vec2::ZERO,
        };
        let placed = |at: &Point| {
            let map = turn(hole.turn_deg) * Affine::translate(-middle);
            let map = Affine::translate(at.to_vec2()) * map;
            edges.iter().map(|(curve, _)| curve.transformed(map)).collect()
        };
        Some(hole.at.iter().map(placed).collect())
    }
}

/// A turn about the origin; quarter turns are exact.
fn turn(degrees: f64) -> Affine {
    let (sin, cos) = trig::sin_cos_deg(degrees);
    Affine::new([cos, sin, -sin, cos, 0.0, 0.0])
}

/// A slot along x about the origin; a circle where it is as long as wide.
fn round_ended(length: f64, width: f64) -> Loop {
    let (r, half) = (width / 2.0, (length - width) / 2.0);
    let [a, b, c, d] = [(-half, -r), (half, -r), (half, r), (-half, r)].map(Point::from);
    let all = [Segment::line(a, b), Segment::arc(b, c, 1.0), Segment::line(c, d), Segment::arc(d, a, 1.0)];
    let kept = all.into_iter().filter(|s| s.from != s.to);
    kept.map(|s| (Curve::Segment(s), Corner::Sharp)).collect()
}

/// The half and its mirror image across the line.
fn with_other_half(half: Loop, centre: Segment) -> Loop {
    let map = mirror(centre);
    let n = half.len();
    let other: Loop = (0..n)
        .rev()
        .map(|i| {
            // The corner at the end of a curve run backwards is the one at the end of the curve before.
            let before = if i == 0 { Corner::Sharp } else { half[i - 1].1 };
            (half[i].0.transformed(map).reversed(), before)
        })
        .collect();
    half.into_iter().chain(other).collect()
}

fn mirror(centre: Segment) -> Affine {
    let along = centre.chord() / centre.chord().hypot();
    let (c, s) = (along.x * along.x - along.y * along.y, 2.0 * along.x * along.y);
    let about = Affine::translate(centre.from.to_vec2());
    about * Affine::new([c, s, s, -c, 0.0, 0.0]) * about.inverse()
}

/// How far a point lies from the centre line.
fn off(centre: Segment, at: Point) -> f64 {
    (centre.chord().cross(at - centre.from) / centre.chord().hypot()).abs()
}

/// The notches, with their twins on the other side of a centre line.
fn twins(notches: &[Notch], centre: Option<Segment>) -> Vec<Notch> {
    let mut all = Vec::new();
    for notch in notches {
        all.push(*notch);
        if let Some(centre) = centre.filter(|centre| off(*centre, notch.at) > OFF_CENTRE) {
            let map = mirror(centre);
            let along = centre.chord();
            let line_deg = trig::atan2(along.y, along.x).to_degrees();
            let angle_deg = notch.angle_deg.map(|angle| 2.0 * line_deg - angle);
            all.push(Notch { at: map * notch.at, angle_deg, ..*notch });
        }
    }
    all
}

fn drawing(piece: &Measured, job: &Job, problems: &mut Problems) -> Option<Drawing> {
    let mut bench = Bench::new(piece, job, problems);
    let (outline, centre) = bench.outline()?;
    let fair = std::mem::take(&mut bench.fair);
    let mut loops = vec![(outline, Role::Cut)];
    for hole in &piece.holes {
        let role = hole.depth.map_or(Role::Cut, Role::Recess);
        for curves in bench.hole(hole)? {
            if let Some(centre) = centre
                && off(centre, middle(&curves)) > OFF_CENTRE
            {
                let map = mirror(centre);
                let twin = curves.iter().rev().map(|c| c.transformed(map).reversed()).collect();
                loops.push((twin, role));
            }
            loops.push((curves, role));
        }
    }
    let mut used = BTreeMap::from([("outline".to_owned(), 1)]);
    let mut count = |what: &str, number: usize| {
        if number > 0 {
            used.insert(what.to_owned(), number);
        }
    };
    let cut = loops.iter().filter(|(_, role)| *role == Role::Cut).count();
    count("hole", cut - 1);
    count("recess", loops.len() - cut);
    count("line", piece.scores.len() + piece.marks.len());
    let drawn = |item: Stroke, role: Role| Drawn { item, layer: String::new(), role };
    let found = Found {
        units: Unit::Millimetre,
        strokes: loops
            .into_iter()
            .map(|(curves, role)| drawn(Stroke { curves, closed: true }, role))
            .collect(),
        texts: Vec::new(),
        points: Vec::new(),
        used,
        unused: BTreeMap::new(),
    };
    let name = format!("measured {}", piece.name);
    let mut drawing = join::join(found, &name, super::joining(job), bench.problems);
    drawing.fair = fair;
    add_lines(&mut drawing, piece);
    Some(drawing)
}

/// The middle of the bounds of curves.
fn middle(curves: &[Curve]) -> Point {
    let bounds = curves.iter().map(Curve::bounds).reduce(|a, b| a.union(b));
    bounds.map_or(Point::ZERO, |b| b.center())
}

/// Adds lines, the name and the grain.
fn add_lines(drawing: &mut Drawing, piece: &Measured) {
    let layer = String::new;
    let mut line = |points: &[Point], role: Role| {
        let vertices = points.iter().map(|at| Vertex { at: *at, bulge: 0.0 }).collect();
        if let Ok(item) = Chain::new(vertices) {
            drawing.lines.push(Drawn { item, layer: layer(), role });
        }
    };
    piece.scores.iter().for_each(|points| line(points, Role::Score));
    piece.marks.iter().for_each(|points| line(points, Role::Mark));
    let Some((at, room)) = label::place(&drawing.outlines) else { return };
    if let Some(degrees) = piece.grain_deg {
        let (sin, cos) = trig::sin_cos_deg(degrees);
        let reach = Vec2::new(cos, sin) * (room / 2.0);
        line(&[at - reach, at + reach], Role::Grain);
    }
    let text = Text { text: piece.name.clone(), at, height: NAME };
    drawing.texts.push(Drawn { item: text, layer: layer(), role: Role::Mark });
}
