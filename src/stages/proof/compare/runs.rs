//! Traces to the runs that are through the wood, and the gaps between them: tabs.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use crate::geometry::{Point, Segment, Vec2};

use crate::stages::cut::Settings;

use super::super::Kind;
use super::super::plan::Plan;
use super::super::program::Trace;
use super::beside;
use super::joined::Others;
use super::kinds::SAME_HEIGHT_MM;

/// A stretch that is cut through without a break.
#[derive(Clone, Debug)]
pub(super) struct Run {
    /// Its segments, each beginning where the one before ends.
    pub(super) segments: Vec<Segment>,
    /// Which trace it began in.
    pub(super) trace: usize,
    /// How often the same is run.
    pub(super) times: u32,
}

/// Wood left between the ends of two runs.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Gap {
    /// The way across: as a cutter is lifted over it, or straight where a beam goes dark.
    pub(super) over: Vec<Segment>,
    /// How far the way across may lie from the path between the runs, mm.
    pub(super) slack: f64,
}

/// All that is through the wood.
#[derive(Debug, Default)]
pub(super) struct Through {
    pub(super) runs: Vec<Run>,
    pub(super) gaps: Vec<Gap>,
    /// Ends that lead nowhere, with the run that they belong to.
    pub(super) loose: Vec<(usize, Point)>,
}

/// Ends nearer than this are one, mm: what two posts' rounding makes of one point.
pub(super) const SAME_END_MM: f64 = 0.006;

/// A gap longer than this is no tab, mm.
pub(super) const LONGEST_TAB_MM: f64 = 30.0;

/// Cosine of the angle that the path may turn by on either side of a gap: 35 degrees, for tabs on tight curves.
const STRAIGHT_ON: f64 = 0.82;

impl Run {
    pub(super) fn begin(&self) -> Point {
        self.segments[0].from
    }

    pub(super) fn end(&self) -> Point {
        self.segments[self.segments.len() - 1].to
    }

    /// Direction in which it would go on at its end.
    fn out(&self) -> Vec2 {
        self.segments[self.segments.len() - 1].tangent(1.0)
    }

    /// How long it is, mm.
    pub(super) fn length(&self) -> f64 {
        self.segments.iter().map(Segment::length).sum()
    }

    /// A place on it that lies beside its outline, whatever leads to it: the middle of its longest segment.
    pub(super) fn middle(&self) -> Point {
        let longest = self.segments.iter().max_by(|a, b| a.length().total_cmp(&b.length()));
        longest.map_or(self.begin(), |segment| segment.at(0.5))
    }

    fn is_closed(&self) -> bool {
        self.begin().distance(self.end()) <= SAME_END_MM
    }
}

impl Gap {
    /// A straight way beside a path that may lie `sag` millimetres away from it in the middle.
    pub(super) fn chord(from: Point, to: Point, sag: f64) -> Self {
        Self { over: vec![Segment::line(from, to)], slack: SAME_END_MM + sag }
    }

    /// A straight way, where the path may have curved: on a circle as small as the gap is long its middle would lie an
    /// eighth of the length away.
    fn straight(from: Point, to: Point) -> Self {
        Self { over: vec![Segment::line(from, to)], slack: SAME_END_MM + from.distance(to) / 8.0 }
    }

    /// The way of a lifted cutter; none where it came down where it went up.
    fn lifted(over: Vec<Segment>) -> Option<Self> {
        let gap = Self { over, slack: SAME_END_MM };
        (!gap.over.is_empty() && gap.length() > SAME_END_MM).then_some(gap)
    }

    pub(super) fn from(&self) -> Point {
        self.over[0].from
    }

    pub(super) fn to(&self) -> Point {
        self.over[self.over.len() - 1].to
    }

    pub(super) fn length(&self) -> f64 {
        self.over.iter().map(Segment::length).sum()
    }

    pub(super) fn middle(&self) -> Point {
        let mut rest = self.length() / 2.0;
        for segment in &self.over {
            let length = segment.length();
            if rest <= length {
                return segment.at(rest / length.max(f64::MIN_POSITIVE));
            }
            rest -= length;
        }
        self.to()
    }

    /// Distance from a point to the way across, mm.
    pub(super) fn distance(&self, point: Point) -> f64 {
        self.over.iter().map(|segment| segment.nearest(point).1).fold(f64::INFINITY, f64::min)
    }
}

/// The runs through the plan's wood, and the gaps between them.
pub(super) fn through(traces: &[Trace], kinds: &[Kind], plan: &Plan) -> Through {
    let mut through = Through::default();
    let (milled, rounds) = match plan.settings {
        Settings::Router(_) => (true, 1),
        Settings::Laser(setting) => (false, setting.passes),
    };
    let bottom = if milled { -plan.thickness_mm + SAME_HEIGHT_MM } else { f64::INFINITY };
    for (i, trace) in traces.iter().enumerate().filter(|(i, _)| kinds[*i] == Kind::Through) {
        of_trace(trace, i, bottom, &mut through);
    }
    let Through { runs, gaps, .. } = through;
    let runs = if rounds > 1 { parted_at_ends(runs) } else { runs };
    let runs = chained(once_each(runs));
    let mut through = Through { runs, gaps: Vec::new(), loose: Vec::new() };
    through.pair(gaps, plan);
    through
}

/// The runs of one trace at or below `bottom`, and its lifts between them.
fn of_trace(trace: &Trace, index: usize, bottom: f64, through: &mut Through) {
    let mut run: Vec<Segment> = Vec::new();
    let mut lift: Option<Vec<Segment>> = None;
    let push = |run: &mut Vec<Segment>, through: &mut Through| {
        if !run.is_empty() {
            through.runs.push(Run { segments: std::mem::take(run), trace: index, times: 1 });
        }
    };
    for (segment, z) in trace.segments() {
        for (piece, deep) in parted(segment, z, bottom) {
            if !deep {
                push(&mut run, through);
                if let Some(lift) = &mut lift {
                    lift.push(piece);
                }
                continue;
            }
            if let Some(over) = lift.take() {
                through.gaps.extend(Gap::lifted(over));
            }
            if piece.chord().hypot() > 0.0 {
                run.push(piece);
                // A loop that comes back to where it began is a run of its own; what follows is another round.
                if run[0].from.distance(piece.to) <= SAME_END_MM && run.len() > 1 {
                    push(&mut run, through);
                }
            }
            lift = Some(Vec::new());
        }
    }
    push(&mut run, through);
}

/// The stretches of a trace at or below a height.
pub(super) fn deep_runs(trace: &Trace, bottom: f64) -> Vec<Vec<Segment>> {
    let (mut runs, mut run) = (Vec::new(), Vec::new());
    for (segment, z) in trace.segments() {
        for (piece, deep) in parted(segment, z, bottom) {
            if deep && piece.chord().hypot() > 0.0 {
                run.push(piece);
            } else if !deep {
                runs.push(std::mem::take(&mut run));
            }
        }
    }
    runs.push(run);
    runs.retain(|run| !run.is_empty());
    runs
}

/// A segment in the pieces that lie above or at the bottom, with whether they are at the bottom.
fn parted(segment: Segment, z: [f64; 2], bottom: f64) -> impl Iterator<Item = (Segment, bool)> {
    let deep = z.map(|z| z <= bottom);
    let pieces = if deep[0] == deep[1] {
        [Some((segment, deep[0])), None]
    } else {
        let t = ((bottom - z[0]) / (z[1] - z[0])).clamp(0.0, 1.0);
        [Some((segment.between(0.0, t), deep[0])), Some((segment.between(t, 1.0), deep[1]))]
    };
    pieces.into_iter().flatten()
}

/// Runs parted where others end: a beam that goes round several times runs through the place where it began.
fn parted_at_ends(runs: Vec<Run>) -> Vec<Run> {
    let ends = Ends::new(runs.iter().flat_map(|run| [run.begin(), run.end()]));
    let mut parted = Vec::with_capacity(runs.len());
    for run in runs {
        let mut segments: Vec<Segment> = Vec::new();
        let last = run.segments.len() - 1;
        for (i, segment) in run.segments.iter().enumerate() {
            segments.push(*segment);
            if i == last || ends.near(segment.to, SAME_END_MM).is_some() {
                parted.push(Run { segments: std::mem::take(&mut segments), ..run });
            }
        }
    }
    parted
}

/// The same run, made several times, once.
fn once_each(runs: Vec<Run>) -> Vec<Run> {
    let mut kept: Vec<Run> = Vec::with_capacity(runs.len());
    let mut seen: BTreeMap<[i64; 6], usize> = BTreeMap::new();
    for run in runs {
        match seen.entry(signature(&run)) {
            Entry::Occupied(at) => kept[*at.get()].times += 1,
            Entry::Vacant(place) => {
                place.insert(kept.len());
                kept.push(run);
            }
        }
    }
    kept
}

/// Length, middle and ends in steps of a hundredth of a millimetre, whichever way it is run.
fn signature(run: &Run) -> [i64; 6] {
    let steps = |value: f64| (value * 100.0).round() as i64;
    let length = run.length();
    let mut centre = run.segments[0].from.to_vec2() * 0.0;
    for segment in &run.segments {
        centre += segment.at(0.5).to_vec2() * (segment.length() / length.max(f64::MIN_POSITIVE));
    }
    let (a, b) = (run.begin(), run.end());
    [
        steps(length),
        steps(centre.x),
        steps(centre.y),
        steps(a.x + b.x),
        steps(a.y + b.y),
        steps(run.segments.len() as f64),
    ]
}

/// Runs whose ends meet, made one: a program may begin anywhere on a path, and a drawing may hold it in pieces.
fn chained(runs: Vec<Run>) -> Vec<Run> {
    let (closed, open): (Vec<Run>, Vec<Run>) = runs.into_iter().partition(Run::is_closed);
    let mut open: Vec<Option<Run>> = open.into_iter().map(Some).collect();
    let mut ends = Ends::new(open.iter().flatten().flat_map(|run| [run.begin(), run.end()]));
    let mut chained = closed;
    for i in 0..open.len() {
        let Some(mut run) = open[i].take() else { continue };
        (0..2).for_each(|end| ends.take(2 * i + end));
        while !run.is_closed() {
            let Some(met) = ends.near(run.end(), SAME_END_MM) else { break };
            let Some(next) = open[met / 2].take() else { break };
            (0..2).for_each(|end| ends.take(met / 2 * 2 + end));
            let forwards = met % 2 == 0;
            run.trace = run.trace.min(next.trace);
            if forwards {
                run.segments.extend(next.segments);
            } else {
                run.segments.extend(next.segments.iter().rev().map(Segment::reversed));
            }
        }
        while !run.is_closed() {
            let Some(met) = ends.near(run.begin(), SAME_END_MM) else { break };
            let Some(before) = open[met / 2].take() else { break };
            (0..2).for_each(|end| ends.take(met / 2 * 2 + end));
            let mut segments = before.segments;
            if met % 2 == 0 {
                segments = segments.iter().rev().map(Segment::reversed).collect();
            }
            segments.append(&mut run.segments);
            run = Run { segments, trace: run.trace.min(before.trace), times: run.times };
        }
        chained.push(run);
    }
    chained.sort_by_key(|run| run.trace);
    chained
}

impl Through {
    /// Pairs the ends of open runs: as the lifts say, then along the outlines of the plan, then the nearest ones.
    fn pair(&mut self, lifts: Vec<Gap>, plan: &Plan) {
        let open: Vec<usize> = (0..self.runs.len()).filter(|&i| !self.runs[i].is_closed()).collect();
        let places: Vec<Point> =
            open.iter().flat_map(|&i| [self.runs[i].begin(), self.runs[i].end()]).collect();
        let mut ends = Ends::new(places.iter().copied());
        let out = |i: &usize| [-self.runs[*i].segments[0].tangent(0.0), self.runs[*i].out()];
        ends.out = open.iter().flat_map(out).collect();
        for gap in lifts {
            let (from, to) = (ends.near(gap.from(), SAME_END_MM), ends.near(gap.to(), SAME_END_MM));
            if let (Some(from), Some(to)) = (from, to)
                && from != to
            {
                self.gaps.push(ends.paired(from, to, gap));
            }
        }
        let others = (!ends.taken.iter().all(|taken| *taken)).then(|| Others::of(&self.runs));
        // A cut that runs on over its own beginning has no gap there; nor does a lead.
        ends.settle(|end| {
            others.as_ref().is_some_and(|others| others.meets(open[end / 2], end % 2 == 1, plan))
        });
        for ([from, to], gap) in beside::gaps(&ends, &open, &self.runs, plan) {
            self.gaps.push(ends.paired(from, to, gap));
        }
        ends.settle(|end| others.as_ref().is_some_and(|o| o.leads(open[end / 2], end % 2 == 1, plan)));
        for [from, to] in ends.nearest_pairs() {
            let gap = Gap::straight(places[from], places[to]);
            self.gaps.push(ends.paired(from, to, gap));
        }
        let loose = (0..places.len()).filter(|&i| !ends.taken[i]);
        self.loose = loose.map(|i| (open[i / 2], places[i])).collect();
    }
}

/// Ends of runs, to be found by where they are: of each run the beginning, then the end.
pub(super) struct Ends {
    pub(super) places: Vec<Point>,
    pub(super) taken: Vec<bool>,
    /// Direction in which each run would go on beyond its end, where that matters.
    out: Vec<Vec2>,
    cells: BTreeMap<(i64, i64), Vec<usize>>,
}

/// Width of a cell, mm.
const CELL_MM: f64 = LONGEST_TAB_MM / 2.0;

impl Ends {
    fn new(places: impl Iterator<Item = Point>) -> Self {
        let places: Vec<Point> = places.collect();
        let mut cells: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
        for (i, place) in places.iter().enumerate() {
            cells.entry(cell(*place)).or_default().push(i);
        }
        Self { taken: vec![false; places.len()], places, out: Vec::new(), cells }
    }

    fn take(&mut self, end: usize) {
        self.taken[end] = true;
    }

    /// Takes the free ends that are settled.
    fn settle(&mut self, settled: impl Fn(usize) -> bool) {
        for end in 0..self.taken.len() {
            if !self.taken[end] && settled(end) {
                self.take(end);
            }
        }
    }

    /// A gap between two ends, which are free no longer.
    fn paired(&mut self, from: usize, to: usize, gap: Gap) -> Gap {
        self.take(from);
        self.take(to);
        gap
    }

    /// Free ends that are nearest to each other, no end twice: first those that lie straight before each other, as the
    /// two sides of a tab do and the edges of two neighbours do not.
    fn nearest_pairs(&self) -> Vec<[usize; 2]> {
        let mut pairs: Vec<(bool, f64, usize, usize)> = Vec::new();
        for (i, &place) in self.places.iter().enumerate().filter(|(i, _)| !self.taken[*i]) {
            let near = self.within(place, LONGEST_TAB_MM).into_iter().filter(|j| *j > i);
            pairs.extend(near.map(|j| (!self.face(i, j), place.distance(self.places[j]), i, j)));
        }
        pairs.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then((a.2, a.3).cmp(&(b.2, b.3))));
        let mut taken = self.taken.clone();
        let free = |&(_, _, i, j): &(bool, f64, usize, usize)| {
            let free = !taken[i] && !taken[j];
            if free {
                (taken[i], taken[j]) = (true, true);
            }
            free
        };
        pairs.into_iter().filter(free).map(|(_, _, i, j)| [i, j]).collect()
    }

    /// Whether each of two ends lies in the direction in which the other's run would go on.
    fn face(&self, one: usize, two: usize) -> bool {
        let Some((out, back)) = self.out.get(one).zip(self.out.get(two)) else { return true };
        let way = self.places[two] - self.places[one];
        let least = way.hypot() * STRAIGHT_ON;
        out.dot(way) >= least && -back.dot(way) >= least
    }

    /// Free ends within a distance, in order.
    fn within(&self, of: Point, distance: f64) -> Vec<usize> {
        let reach = (distance / CELL_MM).ceil() as i64;
        let (x, y) = cell(of);
        let mut found = Vec::new();
        for column in x - reach..=x + reach {
            for (_, held) in self.cells.range((column, y - reach)..=(column, y + reach)) {
                let near = |i: &usize| !self.taken[*i] && self.places[*i].distance(of) <= distance;
                found.extend(held.iter().copied().filter(near));
            }
        }
        found
    }

    /// The nearest free end within a distance.
    fn near(&self, of: Point, distance: f64) -> Option<usize> {
        let off = |i: &usize| self.places[*i].distance(of);
        self.within(of, distance).into_iter().min_by(|a, b| off(a).total_cmp(&off(b)).then(a.cmp(b)))
    }
}

fn cell(place: Point) -> (i64, i64) {
    ((place.x / CELL_MM).floor() as i64, (place.y / CELL_MM).floor() as i64)
}
