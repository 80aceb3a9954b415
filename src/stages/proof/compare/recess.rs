//! Recesses: where the wood should be gone down to a floor, whether it is, and nothing beside it.
//!
//! At the height of a floor the piece should be what is drawn without its recesses. All that is cut at that height or below it is
//! held against the walls: places on the edges of recesses that lie within the piece. What stands on the floor shows as a
//! piece of its own among what the sweep leaves.

use rayon::prelude::*;

use crate::geometry::distance::{SegmentIndex, Visit, gap};
use crate::geometry::{Outline, Point, Region, Segment, Vec2};
use crate::problem::Problem;
use crate::stages::cut::Settings;
use crate::stages::part::Recess;
use crate::units::millimetres;

use super::super::Kind;
use super::super::plan::{Plan, Wanted};
use super::super::program::Trace;
use super::super::sweep::{self, Polygon};
use super::kinds::{DEPTH_MM, SAME_HEIGHT_MM};
use super::runs::{Through, deep_runs};
use super::{CRUMB_MM2, WITHIN_MM, wrong};

/// What runs out over a recess, or begins beside it, does not go farther from it than so many radii of the cutter.
const OUT_RADII: f64 = 1.1;

/// Two edges nearer to each other than this run together, mm: what a drawing's rounding leaves.
const SAME_EDGE_MM: f64 = 0.01;

/// Places on a wall are looked at no farther apart than this, mm.
const STEP_MM: f64 = 0.5;

/// A place on a wall is told where it is this much farther from a cut than the cutter's radius, mm; at corners that a
/// round cutter does not reach, farther from where it could be.
const SLACK_MM: f64 = WITHIN_MM;

/// The recesses of a plan with the lines around them; what stays within them is held against the plan later.
pub(super) struct Sunk<'a> {
    all: Vec<(&'a Recess, SegmentIndex)>,
    out_mm: f64,
}

impl<'a> Sunk<'a> {
    pub(super) fn of(plan: &'a Plan) -> Self {
        let recesses = plan.pieces.iter().flat_map(|piece| &piece.recesses);
        Self {
            all: recesses.map(|recess| (recess, SegmentIndex::of_outline(recess.region.outer()))).collect(),
            out_mm: OUT_RADII * plan.kerf_mm / 2.0,
        }
    }

    /// That a cut clears a recess, and what is wrong with its depth: it runs over one, and goes neither as deep as what
    /// is cut through nor as little as a mark.
    pub(super) fn over(
        &self,
        trace: &Trace,
        thickness_mm: f64,
        mark_mm: f64,
    ) -> Option<(Kind, Option<String>)> {
        let lowest = trace.lowest();
        if self.all.is_empty() || lowest <= -thickness_mm + SAME_HEIGHT_MM {
            return None;
        }
        let places: Vec<Point> =
            trace.segments().flat_map(|(segment, _)| [0.0, 0.5, 1.0].map(|t| segment.at(t))).collect();
        let inside = |index: &SegmentIndex| {
            places.iter().all(|at| index.winding(*at) != 0 || index.is_nearer(*at, self.out_mm))
        };
        let (recess, _) = self.all.iter().find(|(_, index)| inside(index))?;
        let deeper = -lowest - recess.depth_mm;
        if (lowest + mark_mm).abs() <= DEPTH_MM && deeper.abs() > DEPTH_MM {
            return None;
        }
        let message = format!(
            "a recess is cleared to {:.3} mm below the wood's face, {} mm are asked for",
            -lowest,
            millimetres(recess.depth_mm)
        );
        Some((Kind::Recess, (deeper > DEPTH_MM).then_some(message)))
    }
}

/// Holds what is cut down to the floors of recesses against the plan.
pub(super) fn check(
    traces: &[Trace],
    kinds: &[Kind],
    through: &Through,
    plan: &Plan,
    problems: &mut Vec<Problem>,
) {
    if !matches!(plan.settings, Settings::Router(_)) {
        return;
    }
    let recesses = plan.pieces.iter().flat_map(|piece| &piece.recesses);
    let mut depths: Vec<f64> = recesses.map(|recess| recess.depth_mm).collect();
    depths.sort_by(f64::total_cmp);
    depths.dedup_by(|a, b| (*a - *b).abs() <= DEPTH_MM);
    for depth in depths {
        let level = Level::new(traces, kinds, through, plan, depth);
        let found = plan.pieces.par_iter().flat_map_iter(|piece| level.check(piece));
        problems.extend(found.collect::<Vec<_>>());
    }
}

/// All that is cut at one height or below.
struct Level<'a> {
    traces: &'a [Trace],
    kinds: &'a [Kind],
    depth: f64,
    radius: f64,
    /// What clears recesses.
    cleared: SegmentIndex,
    left: Vec<Polygon>,
}

impl<'a> Level<'a> {
    fn new(traces: &'a [Trace], kinds: &'a [Kind], through: &Through, plan: &Plan, depth: f64) -> Self {
        let bottom = -depth + DEPTH_MM;
        let radius = plan.kerf_mm / 2.0;
        let clearing = || traces.iter().zip(kinds).filter(|(_, kind)| **kind == Kind::Recess);
        let runs: Vec<Vec<Segment>> = clearing().flat_map(|(trace, _)| deep_runs(trace, bottom)).collect();
        let outlines = through.runs.iter().map(|run| run.segments.as_slice());
        let gaps = through.gaps.iter().map(|gap| gap.over.as_slice());
        let swept: Vec<(&[Segment], f64)> =
            runs.iter().map(Vec::as_slice).chain(outlines).chain(gaps).map(|run| (run, radius)).collect();
        Self {
            traces,
            kinds,
            depth,
            radius,
            left: sweep::islands(&swept),
            cleared: SegmentIndex::new(runs.into_iter().flatten()),
        }
    }

    /// What is wrong with the recesses of one piece that are as deep as this.
    fn check(&self, piece: &Wanted) -> Vec<Problem> {
        let here = |recess: &&Recess| (recess.depth_mm - self.depth).abs() <= DEPTH_MM;
        if !piece.recesses.iter().any(|recess| here(&recess)) {
            return Vec::new();
        }
        let stays = Stays::new(piece, self.depth);
        let mut problems: Vec<Problem> = Vec::new();
        for recess in piece.recesses.iter().filter(here) {
            let walls = stays.walls_of(&recess.region);
            problems.extend(
                self.missing(piece, recess, &walls).or_else(|| self.too_small(piece, &stays, &walls)),
            );
        }
        problems.extend(self.on_floor(piece, &stays));
        problems.extend(self.too_large(piece, &stays));
        problems
    }

    /// A recess of which nothing is cleared, or not as deep as it should be.
    fn missing(&self, piece: &Wanted, recess: &Recess, walls: &[Segment]) -> Option<Problem> {
        let index = SegmentIndex::of_region(&recess.region);
        let mut cleared = false;
        self.cleared.visit(recess.region.bounds(), |which| {
            cleared = index.winding(self.cleared.segment(which).at(0.5)) != 0;
            if cleared { Visit::Stop } else { Visit::Go }
        });
        if cleared {
            return None;
        }
        let over = self.traces.iter().zip(self.kinds).filter(|(trace, kind)| {
            **kind == Kind::Recess && trace.segments().all(|(s, _)| index.winding(s.at(0.5)) != 0)
        });
        let deepest = over.map(|(trace, _)| -trace.lowest()).fold(0.0, f64::max);
        let at = walls.first().map_or(piece.at, |wall| wall.at(0.5));
        let name = format!("part '{}', piece {}", piece.id, piece.copy);
        let asked = millimetres(recess.depth_mm);
        Some(if deepest > 0.0 {
            let message = format!("{name}: a recess is {deepest:.3} mm deep, {asked} mm are asked for");
            wrong("recess-shallow", message, piece, at)
        } else {
            wrong("recess-missing", format!("{name}, lacks a recess of {asked} mm"), piece, at)
        })
    }

    /// Wood that is left before a wall.
    fn too_small(&self, piece: &Wanted, stays: &Stays, walls: &[Segment]) -> Option<Problem> {
        let mut worst = (SLACK_MM, None);
        for wall in walls {
            let count = (wall.length() / STEP_MM).ceil().max(1.0);
            for i in 0..=count as usize {
                let at = wall.at(i as f64 / count);
                let off = self.cleared.nearest(at).map_or(f64::INFINITY, |near| near.distance) - self.radius;
                if off > worst.0 {
                    let tangent = wall.tangent(i as f64 / count);
                    let best = stays.clear_place(at, tangent, self.radius).map_or(0.0, |d| d - self.radius);
                    if off - best.max(0.0) > worst.0 {
                        worst = (off - best.max(0.0), Some(at));
                    }
                }
            }
        }
        let message = format!(
            "part '{}', piece {}: {:.3} mm of wood stands before the wall of a recess",
            piece.id, piece.copy, worst.0
        );
        worst.1.map(|at| wrong("recess-small", message, piece, at))
    }

    /// Wood that stands on the floor.
    fn on_floor(&self, piece: &Wanted, stays: &Stays) -> Option<Problem> {
        let bounds = piece.region.bounds();
        let stands = self.left.iter().find_map(|left| {
            let near = sweep::bounds(left).is_some_and(|b| b.overlaps(bounds));
            let edge = left.first().filter(|_| near)?;
            let stands = edge.iter().all(|at| stays.on_floor(*at));
            (stands && sweep::area(left) > CRUMB_MM2 * FLOOR_CRUMB).then_some(edge[0])
        })?;
        let message =
            format!("part '{}', piece {}: wood is left on the floor of a recess", piece.id, piece.copy);
        Some(wrong("recess-floor", message, piece, stands))
    }

    /// What is cut of the wood beside the recesses.
    fn too_large(&self, piece: &Wanted, stays: &Stays) -> Option<Problem> {
        let edge = SegmentIndex::new(stays.edge.iter().copied());
        let area = piece.region.bounds().inflate(self.radius, self.radius);
        let mut near: Vec<Segment> = Vec::new();
        self.cleared.visit(area, |which| {
            near.push(self.cleared.segment(which));
            Visit::Go
        });
        let within = near.iter().flat_map(|s| [s.from, s.at(0.5)]).find(|at| stays.holds(*at));
        let near = SegmentIndex::new(near);
        let (mm, at) = match (within, gap(&edge, &near, self.radius)) {
            (Some(at), _) => (self.radius + edge.distance(at), at),
            (None, Some(gap)) => (self.radius - gap.distance, gap.from),
            (None, None) => return None,
        };
        let message = format!(
            "part '{}', piece {}: a recess goes {mm:.3} mm into the wood beside it",
            piece.id, piece.copy
        );
        (mm > WITHIN_MM).then(|| wrong("recess-large", message, piece, at))
    }
}

/// Of crumbs on a floor a tenth of what counts as a piece is told: they stand in the joint.
const FLOOR_CRUMB: f64 = 0.1;

/// What should stay of a piece at the height of a floor.
struct Stays {
    region: Region,
    index: SegmentIndex,
    recesses: Vec<(Region, SegmentIndex)>,
    /// Edges of recesses within the piece, and the edges of the piece beside recesses.
    edge: Vec<Segment>,
    all: SegmentIndex,
}

impl Stays {
    fn new(piece: &Wanted, depth: f64) -> Self {
        let deep = piece.recesses.iter().filter(|recess| recess.depth_mm >= depth - DEPTH_MM);
        let recesses: Vec<(Region, SegmentIndex)> =
            deep.map(|recess| (recess.region.clone(), SegmentIndex::of_region(&recess.region))).collect();
        let index = SegmentIndex::of_region(&piece.region);
        let mut stays = Self {
            region: piece.region.clone(),
            index,
            recesses,
            edge: Vec::new(),
            all: SegmentIndex::new([]),
        };
        let walls: Vec<Segment> =
            stays.recesses.iter().flat_map(|(region, _)| stays.walls_of(region)).collect();
        let outer = stays.region.outlines().flat_map(Outline::segments);
        let outer = outer.flat_map(|segment| stays.parted(segment));
        let outer = outer.filter(|piece| {
            let at = piece.at(0.5);
            stays
                .recesses
                .iter()
                .all(|(_, index)| index.winding(at) == 0 && !index.is_nearer(at, SAME_EDGE_MM))
        });
        let edge: Vec<Segment> = walls.into_iter().chain(outer).collect();
        stays.all = SegmentIndex::new(edge.iter().copied());
        stays.edge = edge;
        stays
    }

    /// The parts of a recess's edge that are walls: within the piece, and in no other recess.
    fn walls_of(&self, recess: &Region) -> Vec<Segment> {
        let edge = recess.outlines().flat_map(Outline::segments);
        let wall = |piece: &Segment| {
            let at = piece.at(0.5);
            let within = |index: &SegmentIndex| index.winding(at) != 0 && !index.is_nearer(at, SAME_EDGE_MM);
            within(&self.index) && !self.recesses.iter().any(|(_, index)| within(index))
        };
        edge.flat_map(|segment| self.parted(segment)).filter(wall).collect()
    }

    /// A segment cut where it meets edges of the piece or of recesses.
    fn parted(&self, segment: Segment) -> Vec<Segment> {
        let mut stops = vec![0.0, 1.0];
        let alone = SegmentIndex::new([segment]);
        for index in std::iter::once(&self.index).chain(self.recesses.iter().map(|(_, index)| index)) {
            index.visit(segment.bounds().inflate(SAME_EDGE_MM, SAME_EDGE_MM), |which| {
                let other = index.segment(which);
                // Where they run together, the ends of the one part the other.
                let ends =
                    [other.from, other.to].into_iter().filter(|end| segment.nearest(*end).1 <= SAME_EDGE_MM);
                let crossings = alone.piece(0).crossings(index.piece(which));
                stops.extend(crossings.chain(ends).map(|at| segment.nearest(at).0));
                Visit::Go
            });
        }
        stops.sort_by(f64::total_cmp);
        let length = segment.length();
        let pairs = stops.windows(2).filter(|pair| (pair[1] - pair[0]) * length > SAME_EDGE_MM);
        pairs.map(|pair| segment.between(pair[0], pair[1])).collect()
    }

    /// Whether a place lies in the wood that stays, clear of its edges.
    fn holds(&self, at: Point) -> bool {
        self.index.winding(at) != 0
            && !self.all.is_nearer(at, SAME_EDGE_MM)
            && !self.index.is_nearer(at, SAME_EDGE_MM)
            && self.recesses.iter().all(|(_, index)| index.winding(at) == 0)
    }

    /// Whether a place lies over a floor.
    fn on_floor(&self, at: Point) -> bool {
        let over = |index: &SegmentIndex| index.winding(at) != 0;
        over(&self.index) && self.recesses.iter().any(|(_, index)| over(index))
    }

    /// How far from a place on a wall the middle of the cutter comes at the least if it touches nothing that stays.
    fn clear_place(&self, at: Point, tangent: Vec2, radius: f64) -> Option<f64> {
        // Away from the wood: to whichever side of the wall it does not lie.
        let right = Vec2::new(tangent.y, -tangent.x);
        let out = if self.holds(at + right * (2.0 * SAME_EDGE_MM)) { -right } else { right };
        let mut place = at + out * radius;
        for _ in 0..STEPS {
            let near = self.all.nearest(place)?;
            if near.distance >= radius - CLEAR_MM {
                return Some(place.distance(at));
            }
            let away = place - near.at;
            let way = if near.distance > CLEAR_MM { away / near.distance } else { out };
            place = near.at + way * radius;
        }
        None
    }
}

/// Steps towards a clear place at the most.
const STEPS: usize = 80;

/// Clear within this, mm.
const CLEAR_MM: f64 = 1e-6;
