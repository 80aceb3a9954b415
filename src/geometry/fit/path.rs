//! A drawn path cut into what is kept and what is fitted.

use super::elements::{Element, elements};
use super::samples::{Sample, turns_sharply};
use super::{cross, run, trace};
use crate::geometry::curve::Curve;
use crate::geometry::{Segment, Vec2};

/// A stretch of a path.
#[derive(Debug)]
enum Part {
    /// As drawn.
    Drawn(Segment),
    /// To be fitted.
    Run(Run),
}

#[derive(Debug)]
struct Run {
    samples: Vec<Sample>,
    /// The lines that it was drawn as, where it is a trace.
    lines: Vec<Segment>,
    /// Directions to be smooth with.
    leave: Option<Vec2>,
    arrive: Option<Vec2>,
    /// Whether it closes on itself smoothly.
    ring: bool,
}

/// A path, ready to be fitted.
#[derive(Debug)]
pub(super) struct Path {
    parts: Vec<Part>,
    closed: bool,
}

impl Path {
    /// The curves cut at corners, traces found.
    pub(super) fn new(curves: &[Curve], tolerance: f64, closed: bool) -> Self {
        let mut elements = elements(curves, tolerance, closed);
        let Some(start) = beginning(&elements, tolerance, closed) else {
            return Self { parts: vec![Part::Run(Run::of(&elements, tolerance, true))], closed };
        };
        elements.rotate_left(start);
        let soft = softness(&elements, tolerance, closed);
        let mut parts = Vec::new();
        let mut first = 0;
        for i in 1..=elements.len() {
            if i < elements.len() && soft[i].1 {
                continue;
            }
            let group = &elements[first..i];
            let is_run = group.iter().any(|e| matches!(e, Element::Bend(..)))
                || (soft[first].0 && group.len() >= trace::FEWEST);
            if is_run {
                let mut run = Run::of(group, tolerance, false);
                let count = elements.len();
                let before = if first > 0 { Some(first - 1) } else { closed.then(|| count - 1) };
                let after = if i < count { Some(i) } else { closed.then_some(0) };
                run.leave = before.and_then(|j| smooth_with(&elements[j], true, group[0].start()));
                run.arrive =
                    after.and_then(|j| smooth_with(&elements[j], false, group[group.len() - 1].end()));
                parts.push(Part::Run(run));
            } else {
                parts.extend(group.iter().filter_map(|e| match e {
                    Element::Drawn(s) => Some(Part::Drawn(*s)),
                    Element::Bend(..) => None,
                }));
            }
            first = i;
        }
        Self { parts, closed }
    }

    /// Lines and arcs within `tolerance`.
    pub(super) fn fit(&self, tolerance: f64) -> Vec<Segment> {
        let mut found = Vec::new();
        let mut drawn = Vec::new();
        for part in &self.parts {
            match part {
                Part::Drawn(segment) => drawn.push(*segment),
                Part::Run(run) => {
                    found.extend(trace::straightened(&drawn, tolerance));
                    drawn.clear();
                    found.extend(run.fit(tolerance));
                }
            }
        }
        found.extend(trace::straightened(&drawn, tolerance));
        close_gaps(&mut found, self.closed);
        found
    }

    /// Whether anything has to be fitted at all.
    pub(super) fn is_drawn_only(&self) -> bool {
        self.parts.iter().all(|part| matches!(part, Part::Drawn(_)))
    }

    /// Whether what was drawn crosses itself.
    pub(super) fn crosses_itself(&self) -> bool {
        let mut lines = Vec::new();
        for part in &self.parts {
            match part {
                Part::Drawn(segment) => lines.push(*segment),
                Part::Run(run) => {
                    lines.extend(run.samples.windows(2).map(|p| Segment::line(p[0].at, p[1].at)));
                }
            }
        }
        cross::crosses(&lines, self.closed)
    }
}

/// Ends that were not quite on the next beginning are moved there.
fn close_gaps(segments: &mut [Segment], closed: bool) {
    let count = segments.len();
    for i in 0..count {
        if i + 1 < count {
            segments[i].to = segments[i + 1].from;
        } else if closed {
            segments[i].to = segments[0].from;
        }
    }
}

/// The direction that a run has to be smooth with beside a kept segment: none at a corner.
fn smooth_with(neighbour: &Element, before: bool, own: Vec2) -> Option<Vec2> {
    let Element::Drawn(segment) = neighbour else { return None };
    let direction = segment.tangent(if before { 1.0 } else { 0.0 });
    (!turns_sharply(direction, own)).then_some(direction)
}

/// For each element whether it is part of a trace, and whether it goes on smoothly, in one run, from the one before.
fn softness(elements: &[Element], tolerance: f64, closed: bool) -> Vec<(bool, bool)> {
    let mut soft = trace::traced(elements, tolerance, closed);
    let count = elements.len();
    let tiny = |e: &Element| e.line().is_some_and(|l| l.length() < tolerance);
    for i in 0..count {
        let before = if i > 0 { &elements[i - 1] } else { &elements[count - 1] };
        let here = &elements[i];
        let runs = match (before, here) {
            (Element::Bend(..), Element::Bend(_, corner)) => !corner,
            (Element::Bend(..), line) => tiny(line),
            (line, Element::Bend(_, corner)) => !corner && tiny(line),
            _ => continue,
        };
        let alone = i == 0 && !closed;
        soft[i].1 = runs && !alone && !turns_sharply(before.end(), here.start());
    }
    soft
}

/// Where to begin: at the first element of an open path, at the sharpest corner of a closed one; none where a closed
/// one has no place at which anything must stay.
fn beginning(elements: &[Element], tolerance: f64, closed: bool) -> Option<usize> {
    if !closed || elements.is_empty() {
        return Some(0);
    }
    let soft = softness(elements, tolerance, true);
    let count = elements.len();
    let hard = (0..count).filter(|&i| !soft[i].1);
    let sharpness = |i: &usize| -elements[(i + count - 1) % count].end().dot(elements[*i].start());
    // Of equally sharp ones the first.
    hard.max_by(|a, b| sharpness(a).total_cmp(&sharpness(b)).then(b.cmp(a)))
}

impl Run {
    fn of(elements: &[Element], tolerance: f64, ring: bool) -> Self {
        let mut samples: Vec<Sample> = Vec::new();
        let mut lines = Vec::new();
        for element in elements {
            // The next element begins where the one before ended.
            samples.pop();
            match element {
                Element::Drawn(segment) => {
                    lines.push(*segment);
                    samples.extend(along(*segment, tolerance));
                }
                Element::Bend(more, _) => samples.extend(more.iter().copied()),
            }
        }
        if lines.len() < elements.len() {
            lines.clear();
        }
        if ring && let Some(first) = samples.first().copied() {
            let last = samples.len() - 1;
            samples[last].at = first.at;
        }
        Self { samples, lines, leave: None, arrive: None, ring }
    }

    fn fit(&self, tolerance: f64) -> Vec<Segment> {
        if self.samples.len() < 2 {
            return Vec::new();
        }
        let is_trace = !self.lines.is_empty();
        let found = if self.ring {
            run::ring(&self.samples, tolerance, is_trace)
        } else {
            run::open(&self.samples, tolerance, self.leave, self.arrive, is_trace)
        };
        if is_trace && found.len() * 2 > self.lines.len() { self.lines.clone() } else { found }
    }
}

/// A line or arc as samples: ends and middle.
fn along(segment: Segment, tolerance: f64) -> Vec<Sample> {
    let steps = if segment.length() > tolerance { 2_u32 } else { 1 };
    let sample = |i: u32| {
        let t = f64::from(i) / f64::from(steps);
        let half = segment.at(t + 0.5 / f64::from(steps));
        Sample { at: segment.at(t), along: segment.tangent(t), half, corner: false }
    };
    (0..=steps).map(sample).collect()
}
