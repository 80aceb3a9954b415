//! Where the grain of a part runs.

use std::collections::BTreeMap;

use super::tree::Tree;
use crate::geometry::{Chain, Outline, Point, Segment, Vec2, trig};
use crate::stages::drawing::{Drawn, Role};

/// Of the grain lines in a part, those at least this fraction of the longest count: the others are arrow heads.
const SHAFT: f64 = 0.5;

/// Grain lines that differ by more than this, in degrees, contradict each other.
const ALIKE: f64 = 5.0;

/// A straight at least this long, as a fraction of the outline's longer side, says where the grain runs.
const STRAIGHT: f64 = 0.25;

/// An outline whose second moments along and across differ by less than this fraction has no direction of its own.
const ROUND: f64 = 0.02;

/// Into how many chords an arc is cut for its second moments: the direction is right to a fraction of a degree.
const CHORDS: u32 = 16;

/// A straight grain line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct GrainLine {
    /// Middle of it.
    pub(super) at: Point,
    /// Its length, mm.
    pub(super) length: f64,
    /// Its direction in degrees, 0 up to 180.
    pub(super) degrees: f64,
}

/// What the grain lines in a part say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Said {
    /// One direction, degrees.
    Degrees(f64),
    /// Two that contradict each other.
    Disagree(GrainLine, GrainLine),
}

/// What the grain lines of the drawing say, for each outer outline; and the lines that lie in no part.
pub(super) fn drawn(tree: &Tree, lines: &[Drawn<Chain>]) -> (BTreeMap<usize, Said>, Vec<Point>) {
    let (mut inside, mut astray): (BTreeMap<usize, Vec<GrainLine>>, _) = (BTreeMap::new(), Vec::new());
    for line in lines.iter().filter(|line| line.role == Role::Grain) {
        let grain = longest(&line.item);
        match tree.at(grain.at) {
            Some(outline) => inside.entry(tree.outer_of(outline)).or_default().push(grain),
            None => astray.push(grain.at),
        }
    }
    (inside.into_iter().filter_map(|(outer, lines)| Some((outer, agreed(&lines)?))).collect(), astray)
}

fn agreed(lines: &[GrainLine]) -> Option<Said> {
    let longest = *lines.iter().reduce(|a, b| if b.length > a.length { b } else { a })?;
    let other = lines
        .iter()
        .find(|l| l.length >= SHAFT * longest.length && between(l.degrees, longest.degrees) > ALIKE);
    Some(other.map_or(Said::Degrees(longest.degrees), |&other| Said::Disagree(longest, other)))
}

/// The longest straight segment of a chain; where it has none, the line between its ends.
fn longest(chain: &Chain) -> GrainLine {
    let straight = chain.segments().filter(Segment::is_line);
    let longest = straight.reduce(|a, b| if b.length() > a.length() { b } else { a });
    let vertices = chain.vertices();
    let (from, to) =
        longest.map_or_else(|| (vertices[0].at, vertices[vertices.len() - 1].at), |s| (s.from, s.to));
    GrainLine { at: from.midpoint(to), length: from.distance(to), degrees: degrees(to - from) }
}

/// The direction of a line in degrees, 0 up to 180, free of rounding in the last digits.
pub(super) fn degrees(along: Vec2) -> f64 {
    within_half_turn(trig::atan2(along.y, along.x).to_degrees())
}

/// An angle in degrees brought to 0 up to 180, free of rounding in the last digits.
pub(super) fn within_half_turn(degrees: f64) -> f64 {
    let rounded = (degrees.rem_euclid(180.0) * 1e9).round() / 1e9;
    if rounded >= 180.0 { 0.0 } else { rounded + 0.0 }
}

/// The angle between two directions, degrees.
fn between(a: f64, b: f64) -> f64 {
    let apart = (a - b).rem_euclid(180.0);
    apart.min(180.0 - apart)
}

/// The grain direction of an outline that has no grain line: along its longest straight, else along itself.
pub(super) fn assumed(outline: &Outline) -> f64 {
    let bounds = outline.bounds();
    let straight = straights(outline)
        .into_iter()
        .reduce(|a, b| if b.hypot() > a.hypot() * (1.0 + 1e-9) { b } else { a });
    match straight {
        Some(along) if along.hypot() >= STRAIGHT * bounds.width().max(bounds.height()) => degrees(along),
        _ => long_way(outline),
    }
}

/// The straight stretches of an outline, lines in line taken together.
fn straights(outline: &Outline) -> Vec<Vec2> {
    let mut found: Vec<Vec2> = Vec::new();
    let mut open = false;
    for segment in outline.segments() {
        let along = segment.chord();
        match found.last_mut() {
            Some(last) if open && segment.is_line() && in_line(*last, along) => *last += along,
            _ if segment.is_line() => found.push(along),
            _ => {}
        }
        open = segment.is_line();
    }
    found
}

fn in_line(a: Vec2, b: Vec2) -> bool {
    a.dot(b) > 0.0 && a.cross(b).abs() <= 1e-6 * a.hypot() * b.hypot()
}

/// The direction of the longer principal axis of an outline's area; 0 where the two are as good as equal.
fn long_way(outline: &Outline) -> f64 {
    let [xx, xy, yy] = second_moments(outline);
    let (half_sum, half_difference) = (f64::midpoint(xx, yy), Vec2::new((xx - yy) / 2.0, xy));
    if half_difference.hypot() <= ROUND * half_sum.abs() {
        return 0.0;
    }
    within_half_turn(trig::atan2(half_difference.y, half_difference.x).to_degrees() / 2.0)
}

/// The second moments of an outline's area about its middle: of x², xy and y². Arcs count as chains of chords.
fn second_moments(outline: &Outline) -> [f64; 3] {
    let near = outline.bounds().center();
    let points: Vec<Vec2> = outline
        .segments()
        .flat_map(|s| {
            let parts = if s.is_line() { 1 } else { CHORDS };
            (0..parts).map(move |i| s.at(f64::from(i) / f64::from(parts)) - near)
        })
        .collect();
    let mut sums = [0.0; 6];
    for (i, a) in points.iter().enumerate() {
        let b = points[(i + 1) % points.len()];
        let cross = a.cross(b);
        let terms = [
            1.0,
            a.x + b.x,
            a.y + b.y,
            a.x * a.x + a.x * b.x + b.x * b.x,
            a.x * b.y + 2.0 * a.x * a.y + 2.0 * b.x * b.y + b.x * a.y,
            a.y * a.y + a.y * b.y + b.y * b.y,
        ];
        sums.iter_mut().zip(terms).for_each(|(sum, term)| *sum += cross * term);
    }
    let area = sums[0] / 2.0;
    let middle = Vec2::new(sums[1], sums[2]) / (6.0 * area);
    let sign = area.signum();
    [
        sign * (sums[3] / 12.0 - area * middle.x * middle.x),
        sign * (sums[4] / 24.0 - area * middle.x * middle.y),
        sign * (sums[5] / 12.0 - area * middle.y * middle.y),
    ]
}
