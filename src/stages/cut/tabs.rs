//! Tabs: how many, where, and how they lie on the path.
//!
//! They go on straight stretches, away from corners, notches and curves, on edges along the grain where there is a
//! choice: a knife that trims there runs with the fibres and leaves a clean edge, where across them it tears (common
//! practice, no source). Where straights would leave too much of the part unheld or there are none, the gentlest curve
//! follows; corners and notches come last.

use crate::geometry::{Outline, Point, Vec2, Vertex};
use crate::problem::Problem;
use crate::shop::TabRule;
use crate::stages::job::{Cutting, TabWish};
use crate::stages::part::Part;

use super::Tab;
use super::kerf::Compensated;
use super::means::Means;
use super::pocket::Nest;
use super::spread::{self, Wanted};
use super::stretch::{self, Ask, Interval, Kind};
use super::track::Track;

/// A tab keeps this far from corners and curves where there is room, in millimetres: a knife has to enter beside it.
pub const CLEAR_MM: f64 = 3.0;

/// And at least this far where there is less room.
pub const LEAST_CLEAR_MM: f64 = 1.0;

/// An edge lies along the grain up to this angle to it, in degrees.
pub const ALONG_GRAIN_DEG: f64 = 30.0;

/// Between two tabs at least this much is cut, in millimetres.
const BETWEEN_MM: f64 = 2.0;

/// On a router the waste of a hole that is larger than this, in square millimetres, is held by tabs of its own: a block
/// of 20 by 20 mm that comes loose is caught by the cutter and thrown (common practice; the size is ours).
const LOOSE_WASTE_MM2: f64 = 400.0;

/// Tabs in such a hole.
const HOLE_TABS: usize = 2;

/// A path that never begins inside one of its tabs.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Held {
    pub(super) outline: Outline,
    pub(super) tabs: Vec<Tab>,
    /// Where all passes but the last run; see [`super::Cut::rough`].
    pub(super) rough: Option<Outline>,
}

/// All paths of a part, held.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pattern {
    pub(super) outer: Held,
    pub(super) holes: Vec<Held>,
    /// The ground of its recesses, each with its depth, mm.
    pub(super) recesses: Vec<(Nest, f64)>,
    pub(super) problems: Vec<Problem>,
}

/// Holds a part's paths by tabs; `grain` is the direction of the sheet's grain in the drawing.
pub(super) fn hold(part: &Part, paths: &Compensated, means: &Means, job: &Cutting, grain: Vec2) -> Pattern {
    let wish = job.tabs.map_or_else(|| part.tabs.clone(), TabWish::Count);
    let holder = Holder::new(part, means, grain);
    match &wish {
        TabWish::At(points) => holder.at_points(paths, points),
        TabWish::Count(count) => holder.counted(paths, *count as usize, false),
        TabWish::Table => {
            let count = by_table(&means.tabs, part.region.outer().perimeter());
            holder.counted(paths, count, means.is_router())
        }
    }
}

/// One tab for each `every_mm` of outline begun, within the table's limits.
fn by_table(rule: &TabRule, perimeter_mm: f64) -> usize {
    let count = if rule.every_mm > 0.0 { (perimeter_mm / rule.every_mm).ceil() } else { 0.0 };
    (count as u32).max(rule.least).min(rule.most) as usize
}

/// What all tabs of a part share.
struct Holder<'a> {
    part: &'a Part,
    grain: Vec2,
    /// Length of path that a tab takes: its width, and half a kerf on either side.
    span: f64,
    kerf_mm: f64,
    height_mm: f64,
}

impl<'a> Holder<'a> {
    fn new(part: &'a Part, means: &Means, grain: Vec2) -> Self {
        let share = if means.is_router() { means.tabs.height.clamp(0.0, 1.0) } else { 1.0 };
        let span = means.tabs.width_mm + means.kerf_mm;
        Self { part, grain, span, kerf_mm: means.kerf_mm, height_mm: share * part.thickness_mm }
    }

    /// So many on the outer path, and on a router some in large holes.
    fn counted(&self, paths: &Compensated, count: usize, hold_waste: bool) -> Pattern {
        let centres = self.places(&paths.outer, count, true);
        let mut problems = Vec::new();
        if centres.len() < count {
            problems.push(self.fewer(count, centres.len()));
        }
        let in_hole = |hole: &Outline| {
            let wanted =
                if hold_waste && waste_area(hole, self.kerf_mm) > LOOSE_WASTE_MM2 { HOLE_TABS } else { 0 };
            self.held(hole, &self.places(hole, wanted, false))
        };
        let holes = paths.holes.iter().map(in_hole).collect();
        Pattern { outer: self.held(&paths.outer, &centres), holes, recesses: Vec::new(), problems }
    }

    fn fewer(&self, wanted: usize, got: usize) -> Problem {
        let message = format!("part '{}' has room for {got} of {wanted} tabs", self.part.id);
        Problem::warning("tabs-left-out", message)
            .of_part(&self.part.id)
            .at(self.part.at)
            .hint("ask for fewer or narrower tabs")
    }

    /// The middles of up to `count` tabs.
    fn places(&self, path: &Outline, count: usize, outer: bool) -> Vec<f64> {
        let track = Track::of_outline(path);
        let apart = self.span + BETWEEN_MM;
        let most = (track.length() / apart).floor() as usize;
        let wanted = |count| Wanted { count, length: track.length(), apart };
        let found = (1..=count.min(most)).rev().find_map(|n| self.choose(&track, wanted(n), outer));
        found.unwrap_or_default()
    }

    /// Looks at better places first, and takes worse ones in only where too much would be left unheld.
    fn choose(&self, track: &Track, wanted: Wanted, outer: bool) -> Option<Vec<f64>> {
        let mut allowed: Vec<Interval> = Vec::new();
        for (tier, (ask, most_gap)) in self.tiers(wanted.count).into_iter().enumerate() {
            let ask = Ask { notches: ask.notches || !outer, penalty: 0.15 * tier as f64, ..ask };
            let more = stretch::intervals(track, self.span, ask);
            if more.is_empty() {
                continue;
            }
            allowed.extend(more);
            if let Some(places) = spread::spread(wanted, &allowed)
                && (wanted.count == 1 || spread::largest_gap(&places, wanted.length) <= most_gap)
            {
                return Some(places);
            }
        }
        let anywhere = Interval { from: 0.0, to: wanted.length, penalty: 3.0 };
        spread::spread(wanted, &[allowed, vec![anywhere]].concat())
    }

    /// What is asked of a place, best first, and the largest part of the path that may stay without a tab.
    fn tiers(&self, count: usize) -> Vec<(Ask, f64)> {
        let straight = |within_deg| Kind::Straight { towards: self.grain, within_deg };
        let ask = |kind, clear_mm, notches| Ask { kind, clear_mm, notches, penalty: 0.0 };
        // Along the grain alone only where that spreads them no worse than about half as well as they could be.
        let fair = (2.0 / count as f64).min(STRAIGHT_GAP);
        let mut tiers = vec![
            (ask(straight(ALONG_GRAIN_DEG), CLEAR_MM, false), fair),
            (ask(straight(90.0), CLEAR_MM, false), STRAIGHT_GAP),
            (ask(straight(90.0), LEAST_CLEAR_MM, false), STRAIGHT_GAP),
        ];
        for (radius_mm, join_deg) in CURVES {
            tiers
                .push((ask(Kind::Curve { radius_mm, join_deg }, LEAST_CLEAR_MM, false), fair.max(CURVE_GAP)));
        }
        tiers.push((ask(Kind::Curve { radius_mm: 5.0, join_deg: 20.0 }, 0.0, true), 1.0));
        tiers
    }

    /// Tabs nearest to the points given, on whichever path is nearest.
    fn at_points(&self, paths: &Compensated, points: &[Point]) -> Pattern {
        let outlines: Vec<&Outline> = std::iter::once(&paths.outer).chain(&paths.holes).collect();
        let tracks: Vec<Track> = outlines.iter().map(|o| Track::of_outline(o)).collect();
        let mut centres = vec![Vec::new(); tracks.len()];
        let mut problems = Vec::new();
        for &point in points {
            let near = tracks.iter().enumerate().map(|(i, track)| (i, track.nearest(point)));
            let Some((i, (s, _))) = near.min_by(|a, b| a.1.1.total_cmp(&b.1.1)) else { continue };
            if self.is_free(&centres[i], s, tracks[i].length()) {
                centres[i].push(s);
            } else {
                problems.push(self.no_room(point));
            }
        }
        let mut held = outlines.iter().zip(&centres).map(|(outline, centres)| self.held(outline, centres));
        let outer = held.next().unwrap_or_else(|| Held {
            outline: paths.outer.clone(),
            tabs: Vec::new(),
            rough: None,
        });
        Pattern { outer, holes: held.collect(), recesses: Vec::new(), problems }
    }

    fn is_free(&self, taken: &[f64], s: f64, length: f64) -> bool {
        let clear = |t: &f64| spread::around(*t, s, length) >= self.span + BETWEEN_MM;
        length >= self.span + BETWEEN_MM && taken.iter().all(clear)
    }

    fn no_room(&self, point: Point) -> Problem {
        let message = format!(
            "part '{}' has no room for a tab at ({}, {}): another is too near, or the outline too short",
            self.part.id, point.x, point.y
        );
        Problem::warning("tabs-left-out", message)
            .of_part(&self.part.id)
            .at(point)
            .hint("move the point, or make tabs narrower")
    }

    /// The path with tabs around these middles, begun at a place outside them.
    fn held(&self, path: &Outline, centres: &[f64]) -> Held {
        if centres.is_empty() {
            return Held { outline: path.clone(), tabs: Vec::new(), rough: None };
        }
        let track = Track::of_outline(path);
        let (outline, begin) = self.free_start(path, &track, centres);
        let length = track.length();
        let mut tabs: Vec<Tab> =
            centres.iter().map(|c| self.tab((c - begin).rem_euclid(length), length)).collect();
        tabs.sort_by(|a, b| a.from_mm.total_cmp(&b.from_mm));
        Held { outline, tabs, rough: None }
    }

    fn tab(&self, middle: f64, length: f64) -> Tab {
        let half = self.span / 2.0;
        Tab {
            from_mm: (middle - half).max(0.0),
            to_mm: (middle + half).min(length),
            height_mm: self.height_mm,
        }
    }

    /// The same path begun at its first vertex outside every tab, or else midway between two tabs; and where that was on
    /// the path.
    fn free_start(&self, path: &Outline, track: &Track, centres: &[f64]) -> (Outline, f64) {
        let length = track.length();
        let outside = |s: f64| centres.iter().all(|c| spread::around(*c, s, length) > self.span / 2.0 + 1e-6);
        if let Some(vertex) = (0..path.vertices().len()).find(|&i| outside(track.start(i))) {
            return (path.started_at(vertex), track.start(vertex));
        }
        let begin = middle_of_widest(centres, length);
        (begun_at(path, track, begin), begin)
    }
}

/// Area of what falls out of a hole once its path is cut, roughly: the path's area less the strip along it.
fn waste_area(hole: &Outline, kerf_mm: f64) -> f64 {
    hole.area() - hole.perimeter() * kerf_mm / 2.0
}

/// The middle of the widest gap between the middles of tabs.
fn middle_of_widest(centres: &[f64], length: f64) -> f64 {
    let mut sorted = centres.to_vec();
    sorted.sort_by(f64::total_cmp);
    let gap = |i: usize| sorted.get(i + 1).copied().unwrap_or(sorted[0] + length) - sorted[i];
    let widest = (0..sorted.len()).max_by(|&a, &b| gap(a).total_cmp(&gap(b)).then(b.cmp(&a))).unwrap_or(0);
    (sorted[widest] + gap(widest) / 2.0).rem_euclid(length)
}

/// The same path begun in the middle of a segment. A circle stays two half circles.
pub(super) fn begun_at(path: &Outline, track: &Track, begin: f64) -> Outline {
    let length = track.length();
    let half_circles = path.vertices().len() == 2 && path.vertices().iter().all(|v| is_half_circle(*v));
    let segments = if half_circles {
        let opposite = (begin + length / 2.0).rem_euclid(length);
        let bulge = path.vertices()[0].bulge;
        let vertex = |s| Vertex { at: track.point(s), bulge };
        return Outline::new(vec![vertex(begin), vertex(opposite)]).unwrap_or_else(|_| path.clone());
    } else {
        [track.between(begin, length), track.between(0.0, begin)].concat()
    };
    Outline::from_segments(&segments).unwrap_or_else(|_| path.clone())
}

fn is_half_circle(vertex: Vertex) -> bool {
    (vertex.bulge.abs() - 1.0).abs() < 1e-9
}

/// With tabs on straights alone at most this much of the path may stay without one.
const STRAIGHT_GAP: f64 = 0.7;

/// On gentle curves, at most this much.
const CURVE_GAP: f64 = 0.5;

/// Curves in the order in which they are tried: least radius in millimetres, and the sharpest join in degrees.
const CURVES: [(f64, f64); 5] = [(500.0, 2.0), (200.0, 3.0), (80.0, 5.0), (30.0, 8.0), (12.0, 12.0)];
