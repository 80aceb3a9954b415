//! Aerofoil sections: two surfaces from a nose to a tail, in a frame whose chord is 1 long, and what lies between two of
//! them.
//!
//! [`Section::through`] lays a curve through given points; [`naca()`] reckons them from a number. [`Section::blend`] gives
//! the points of a section between two, however many points either was given by.

mod naca;
mod skin;

pub use naca::naca;
pub use skin::{Skin, Wing};

use std::f64::consts::PI;

use super::curve::Spline;
use super::{Point, Vec2, turn_between};

/// Fewer points than this tell no section: a nose, a tail and two on each surface.
const FEWEST: usize = 6;

/// Points nearer than this, in chords, are one: files are written to six digits or fewer.
const SAME: f64 = 1e-6;

/// A turn of more than this, in degrees, between neighbours that turn much less is a corner.
const CORNER: f64 = 20.0;

/// So many times as much as at both neighbours a corner turns.
const SHARPER: f64 = 4.0;

/// A turn of more than this, in degrees, is a corner whatever its neighbours do, save near the nose.
const SURELY: f64 = 50.0;

/// At the nose points are few and turn much: only this much, in degrees, is a corner there.
const SHARP_NOSE: f64 = 120.0;

/// Where the nose ends, in chords.
const NOSE: f64 = 0.04;

/// A surface that runs on along the chord by less than this fraction of its way stands upright, as steps do.
const UPRIGHT: f64 = 0.02;

/// Every round nose stands upright so far, in chords.
const UPRIGHT_NOSE: f64 = 0.01;

/// So many places are looked at between two given points.
const LOOKS: u32 = 8;

/// So many points of a blend are taken on each surface, evenly in the square root of the way from the nose: at a chord
/// of a metre a spline through them lies within a thousandth of a millimetre of an aerofoil of four digits.
const POINTS: u32 = 120;

/// Why points make no section.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BadSection {
    /// Too few of them differ.
    #[error("{0} points tell no section")]
    Points(usize),
    /// They enclose nothing.
    #[error("the points enclose nothing")]
    Flat,
    /// A number is not finite.
    #[error("a coordinate is not a finite number")]
    NotFinite,
}

/// A place on a surface.
#[derive(Clone, Copy, Debug)]
struct Station {
    at: Point,
    /// How far from the nose to the tail it lies along the chord, 0 to 1.
    chordwise: f64,
    /// How far along the surface, 0 to 1.
    along: f64,
    run: usize,
    t: f64,
}

/// One surface, from nose to tail: smooth runs that meet in corners.
#[derive(Clone, Debug)]
struct Side {
    runs: Vec<Spline>,
    stations: Vec<Station>,
}

/// A section.
#[derive(Clone, Debug)]
pub struct Section {
    upper: Side,
    lower: Side,
    /// Direction of travel over the nose, from the upper surface to the lower; none where the nose is a corner.
    nose: Option<Vec2>,
}

impl Section {
    /// The section through points that run from the tail along the upper surface to the nose and back along the lower.
    /// Points that repeat are one; the direction is put right where they run the other way.
    ///
    /// # Errors
    /// [`BadSection`] says what is wrong with them.
    pub fn through(points: &[Point]) -> Result<Self, BadSection> {
        let points = tidy(points)?;
        let tail = points[0].midpoint(points[points.len() - 1]);
        let corners = corners(&points, tail);
        let mut runs = Vec::new();
        for pair in corners.windows(2) {
            let run = Spline::through(&points[pair[0]..=pair[1]], false, (None, None));
            runs.push(run.map_err(|_| BadSection::Points(points.len()))?);
        }
        let (run, t) = farthest(&runs, tail);
        let at = runs[run].at(t);
        let inner = t > 0.0 && t < 1.0;
        let nose = inner.then(|| runs[run].derivative(t)).map(|v| v / v.hypot());
        let upper = Side::new(looked(&runs, (0, 0.0), (run, t)), &runs, (at, tail), true);
        let last = (runs.len() - 1, 1.0);
        let lower = Side::new(looked(&runs, (run, t), last), &runs, (at, tail), false);
        Ok(Self { upper, lower, nose })
    }

    /// The section that lies a share (0 to 1) of the way to another, in the frame of both.
    pub fn blend(&self, other: &Self, share: f64) -> Wing {
        let nose = match (self.nose, other.nose) {
            (Some(a), Some(b)) => Some(a.lerp(b, share)),
            _ => None,
        };
        Wing {
            upper: self.upper.blend(&other.upper, share, nose.map(|v| -v)),
            lower: self.lower.blend(&other.lower, share, nose),
            round: nose.is_some(),
        }
    }
}

fn tidy(points: &[Point]) -> Result<Vec<Point>, BadSection> {
    if points.iter().any(|p| !p.is_finite()) {
        return Err(BadSection::NotFinite);
    }
    let mut points = points.to_vec();
    points.dedup_by(|a, b| a.distance(*b) <= SAME);
    if points.len() < FEWEST {
        return Err(BadSection::Points(points.len()));
    }
    let n = points.len();
    let twice: f64 = (0..n).map(|i| points[i].to_vec2().cross(points[(i + 1) % n].to_vec2())).sum();
    if twice.abs() <= SAME {
        return Err(BadSection::Flat);
    }
    if twice < 0.0 {
        points.reverse();
    }
    Ok(points)
}

/// The first and last point and the corners between them.
fn corners(points: &[Point], tail: Point) -> Vec<usize> {
    let last = points.len() - 1;
    let turn = |i: usize| {
        if i == 0 || i >= last {
            return 0.0;
        }
        turn_between(points[i] - points[i - 1], points[i + 1] - points[i]).abs().to_degrees()
    };
    let reach = points.iter().map(|p| p.distance(tail)).fold(0.0, f64::max);
    let is_corner = |i: usize| {
        let (here, beside) = (turn(i), turn(i - 1).max(turn(i + 1)));
        if points[i].distance(tail) > reach * (1.0 - NOSE) {
            return here > SHARP_NOSE;
        }
        here > SURELY || (here > CORNER && here > SHARPER * beside)
    };
    let inner = (1..last).filter(|&i| is_corner(i));
    std::iter::once(0).chain(inner).chain([last]).collect()
}

/// Places on the runs.
type Place = (usize, f64);

fn places(run: &Spline) -> Vec<f64> {
    let breaks = run.breaks();
    let part = |pair: &[f64], k: u32| pair[0] + (pair[1] - pair[0]) * f64::from(k) / f64::from(LOOKS);
    let mut all: Vec<f64> = breaks.windows(2).flat_map(|p| (0..LOOKS).map(|k| part(p, k))).collect();
    all.push(1.0);
    all
}

/// The place farthest from the tail.
fn farthest(runs: &[Spline], tail: Point) -> Place {
    let mut best = (0, 0.0, -1.0);
    let mut step = 0.0;
    for (number, run) in runs.iter().enumerate() {
        let places = places(run);
        for (i, &t) in places.iter().enumerate() {
            let away = run.at(t).distance(tail);
            if away > best.2 {
                best = (number, t, away);
                step = places.get(i + 1).map_or(t - places[i.saturating_sub(1)], |next| next - t);
            }
        }
    }
    let (run, mut t, _) = best;
    // Halved steps to either side, down to the last bits: at the nose the distance has one maximum.
    for _ in 0..50 {
        let away = |t: f64| runs[run].at(t.clamp(0.0, 1.0)).distance(tail);
        let here = away(t);
        if away(t - step) > here {
            t -= step;
        } else if away(t + step) > here {
            t += step;
        } else {
            step /= 2.0;
        }
        t = t.clamp(0.0, 1.0);
    }
    (run, t)
}

/// Places along the runs from one to another.
fn looked(runs: &[Spline], from: Place, to: Place) -> Vec<Place> {
    let mut all = vec![from];
    for (number, run) in runs.iter().enumerate().take(to.0 + 1).skip(from.0) {
        for t in places(run) {
            let after = number > from.0 || t > from.1;
            let before = number < to.0 || t < to.1;
            if after && before {
                all.push((number, t));
            }
        }
    }
    all.push(to);
    all
}

impl Side {
    fn new(mut places: Vec<Place>, runs: &[Spline], (nose, tail): (Point, Point), backwards: bool) -> Self {
        if backwards {
            places.reverse();
        }
        let chord = tail - nose;
        let mut stations: Vec<Station> = Vec::with_capacity(places.len());
        let mut length = 0.0;
        for (run, t) in places {
            let at = runs[run].at(t);
            length += stations.last().map_or(0.0, |last| last.at.distance(at));
            let chordwise = (at - nose).dot(chord) / chord.hypot2();
            stations.push(Station { at, chordwise, along: length, run, t });
        }
        for station in &mut stations {
            station.along /= length;
        }
        Self { runs: runs.to_vec(), stations }
    }

    /// Whether it runs from nose to tail without standing upright or turning back.
    fn runs_on(&self) -> bool {
        self.stations.windows(2).all(|pair| {
            let on = pair[1].chordwise - pair[0].chordwise;
            let nose = pair[0].chordwise < UPRIGHT_NOSE;
            nose || pair[0].run != pair[1].run || on > UPRIGHT * pair[0].at.distance(pair[1].at)
        })
    }

    /// The places, as shares 0 to 1 of the way to the tail, of its corners.
    fn corners(&self, way: fn(&Station) -> f64) -> Vec<f64> {
        let met = self.stations.windows(2).filter(|pair| pair[0].run != pair[1].run);
        let last = self.stations.last().map_or(1.0, way);
        met.map(|pair| (way(&pair[1]) / last).sqrt()).collect()
    }

    /// The point at a share of the way to the tail.
    fn at(&self, share: f64, way: fn(&Station) -> f64) -> Point {
        let last = self.stations.len() - 1;
        let wanted = share * share * way(&self.stations[last]);
        let after = self.stations.partition_point(|station| way(station) < wanted).clamp(1, last);
        let (a, b) = (&self.stations[after - 1], &self.stations[after]);
        // Evenly in the square root, as at a round nose a surface runs.
        let root = |value: f64| value.max(0.0).sqrt();
        let width = root(way(b)) - root(way(a));
        let part = if width > 0.0 { ((root(wanted) - root(way(a))) / width).clamp(0.0, 1.0) } else { 1.0 };
        if a.run != b.run {
            return if part < 1.0 { a.at } else { b.at };
        }
        self.runs[a.run].at(a.t + (b.t - a.t) * part)
    }

    fn blend(&self, other: &Self, share: f64, nose: Option<Vec2>) -> Skin {
        let on = self.runs_on() && other.runs_on();
        let way: fn(&Station) -> f64 = if on { |s| s.chordwise } else { |s| s.along };
        let mut corners = self.corners(way);
        corners.extend(other.corners(way));
        corners.sort_by(f64::total_cmp);
        corners.dedup_by(|a, b| (*a - *b).abs() < SAME);
        let mut shares: Vec<f64> = (0..=POINTS).map(|k| f64::from(k) / f64::from(POINTS)).collect();
        // A point next to a corner would make the curve there sharp.
        let apart = 0.3 / f64::from(POINTS);
        shares.retain(|s| *s <= 0.0 || *s >= 1.0 || corners.iter().all(|c| (c - s).abs() > apart));
        shares.extend(&corners);
        shares.sort_by(f64::total_cmp);
        let mut runs = vec![Vec::new()];
        for s in shares {
            let at = self.at(s, way).lerp(other.at(s, way), share);
            let last = runs.len() - 1;
            runs[last].push(at);
            if corners.contains(&s) {
                runs.push(vec![at]);
            }
        }
        Skin::through(&runs, nose)
    }
}

/// Stations of a surface from 0 to 1, close together at both ends.
fn cosine(count: u32) -> impl DoubleEndedIterator<Item = f64> {
    (0..=count).map(move |k| (1.0 - super::trig::cos(PI * f64::from(k) / f64::from(count))) / 2.0)
}
