//! From the net to closed loops: simple ones by following them, and where lines branch, as where parts share an edge,
//! the faces between the lines.

use std::collections::VecDeque;

use super::net::Net;
use crate::geometry::curve::Curve;
use crate::geometry::{Point, trig};

/// Lines that leave a node are put in order by where they are this far from it, in millimetres, or half way along the
/// shortest of them where that is nearer: near enough to tell tangent arcs apart, far enough to be above rounding.
const PROBE: f64 = 1.0;

/// Points at which a free curve is looked at to tell on which side of a face it bends.
const SAMPLES: u32 = 16;

/// One edge, run forwards or backwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Step {
    /// Which edge.
    pub(super) edge: usize,
    /// Whether it is run from its end to its beginning.
    pub(super) backwards: bool,
}

impl Step {
    fn half(self) -> usize {
        2 * self.edge + usize::from(self.backwards)
    }

    fn of_half(half: usize) -> Self {
        Self { edge: half / 2, backwards: half % 2 == 1 }
    }

    fn twin(self) -> Self {
        Self { backwards: !self.backwards, ..self }
    }

    /// The node it leaves.
    pub(super) fn start(self, net: &Net) -> usize {
        net.edges[self.edge].ends[usize::from(self.backwards)]
    }

    /// The node it comes to.
    pub(super) fn end(self, net: &Net) -> usize {
        self.twin().start(net)
    }
}

/// What the net holds.
#[derive(Debug, Default)]
pub(super) struct Walked {
    /// Closed loops.
    pub(super) loops: Vec<Vec<Step>>,
    /// Edges that two loops share.
    pub(super) shared: Vec<usize>,
    /// Edges of no loop.
    pub(super) rest: Vec<usize>,
}

/// Finds the closed loops of a net.
pub(super) fn walk(net: &Net) -> Walked {
    let mut around = Around::new(net);
    around.prune(net);
    let faces = around.faces(net);
    if around.drop_bridges(net, &faces) {
        return finish(net, &mut around, None);
    }
    finish(net, &mut around, Some(faces))
}

fn finish(net: &Net, around: &mut Around, faces: Option<Vec<Vec<Step>>>) -> Walked {
    let faces = faces.unwrap_or_else(|| around.faces(net));
    let mut walked = Walked { loops: around.rings(net), ..Walked::default() };
    let mut uses = vec![0_u8; net.edges.len()];
    for face in faces {
        for ring in simple_rings(net, &face) {
            if twice_area(net, &ring) > 0.0 {
                for step in &ring {
                    uses[step.edge] = uses[step.edge].saturating_add(1);
                }
                walked.loops.push(ring);
            }
        }
    }
    walked.shared = (0..uses.len()).filter(|&edge| uses[edge] > 1).collect();
    walked.rest = (0..net.edges.len()).filter(|&edge| !around.alive[edge]).collect();
    walked.loops.sort_by_key(|steps| steps.iter().map(|s| (net.edges[s.edge].stroke, s.edge)).min());
    walked
}

/// The half edges that leave each node, counter-clockwise where there are more than two.
#[derive(Debug)]
struct Around {
    leaving: Vec<Vec<usize>>,
    /// Where each half edge stands in its node's list.
    slot: Vec<usize>,
    alive: Vec<bool>,
}

impl Around {
    fn new(net: &Net) -> Self {
        let mut leaving = vec![Vec::new(); net.nodes.len()];
        for edge in 0..net.edges.len() {
            for backwards in [false, true] {
                let step = Step { edge, backwards };
                leaving[step.start(net)].push(step.half());
            }
        }
        for (node, halves) in leaving.iter_mut().enumerate() {
            if halves.len() > 2 {
                sort_around(net, node, halves);
            }
        }
        let slot = vec![0; 2 * net.edges.len()];
        let mut around = Self { leaving, slot, alive: vec![true; net.edges.len()] };
        around.forget_dead();
        around
    }

    /// Takes removed edges out of the lists.
    fn forget_dead(&mut self) {
        for halves in &mut self.leaving {
            halves.retain(|half| self.alive[half / 2]);
            halves.iter().enumerate().for_each(|(place, &half)| self.slot[half] = place);
        }
    }

    /// Removes edges that lead nowhere, from their loose ends inwards.
    fn prune(&mut self, net: &Net) {
        let mut degrees: Vec<usize> = self.leaving.iter().map(Vec::len).collect();
        let mut ends: VecDeque<usize> = (0..net.nodes.len()).filter(|&n| degrees[n] == 1).collect();
        while let Some(node) = ends.pop_front() {
            let Some(&half) = self.leaving[node].iter().find(|&&half| self.alive[half / 2]) else { continue };
            let other = Step::of_half(half).end(net);
            self.alive[half / 2] = false;
            degrees[node] -= 1;
            degrees[other] -= 1;
            if degrees[other] == 1 {
                ends.push_back(other);
            }
        }
        self.forget_dead();
    }

    /// The closed loops none of whose nodes branches; what remains branches.
    fn rings(&self, net: &Net) -> Vec<Vec<Step>> {
        let mut seen = vec![false; net.edges.len()];
        let mut rings = Vec::new();
        for edge in 0..net.edges.len() {
            if !self.alive[edge] || seen[edge] {
                continue;
            }
            let (steps, closed) = self.follow(net, Step { edge, backwards: false });
            for step in &steps {
                seen[step.edge] = true;
            }
            if closed {
                rings.push(steps);
            }
        }
        rings
    }

    /// From a step on to the next end or branch, or round to the step itself (`true`).
    fn follow(&self, net: &Net, first: Step) -> (Vec<Step>, bool) {
        let mut steps = vec![first];
        let mut step = first;
        while self.leaving[step.end(net)].len() == 2 {
            step = self.turn(net, step);
            if step == first {
                return (steps, true);
            }
            steps.push(step);
        }
        (steps, false)
    }

    /// The step that follows, keeping to the left: the next one clockwise from the way back.
    fn turn(&self, net: &Net, step: Step) -> Step {
        let halves = &self.leaving[step.end(net)];
        let place = self.slot[step.twin().half()];
        Step::of_half(halves[(place + halves.len() - 1) % halves.len()])
    }

    /// The faces beside the edges of whatever branches.
    fn faces(&self, net: &Net) -> Vec<Vec<Step>> {
        let mut seen = vec![false; 2 * net.edges.len()];
        for ring in self.rings(net) {
            for step in ring {
                (seen[step.half()], seen[step.twin().half()]) = (true, true);
            }
        }
        let mut faces = Vec::new();
        for half in 0..seen.len() {
            if seen[half] || !self.alive[half / 2] {
                continue;
            }
            let mut face = Vec::new();
            let mut step = Step::of_half(half);
            while !seen[step.half()] {
                seen[step.half()] = true;
                face.push(step);
                step = self.turn(net, step);
            }
            faces.push(face);
        }
        faces
    }

    /// Removes edges that have the same face on both sides: they join loops, and bound nothing.
    fn drop_bridges(&mut self, net: &Net, faces: &[Vec<Step>]) -> bool {
        let mut face_of = vec![usize::MAX; 2 * net.edges.len()];
        for (number, face) in faces.iter().enumerate() {
            for step in face {
                face_of[step.half()] = number;
            }
        }
        let bridges: Vec<usize> = (0..net.edges.len())
            .filter(|&e| {
                self.alive[e] && face_of[2 * e] != usize::MAX && face_of[2 * e] == face_of[2 * e + 1]
            })
            .collect();
        for &edge in &bridges {
            self.alive[edge] = false;
        }
        self.forget_dead();
        self.prune(net);
        !bridges.is_empty()
    }
}

/// Puts the half edges that leave a node in counter-clockwise order.
fn sort_around(net: &Net, node: usize, halves: &mut [usize]) {
    let shortest = halves.iter().map(|half| net.edges[half / 2].length).fold(f64::INFINITY, f64::min);
    let reach = PROBE.min(shortest / 2.0);
    let angle = |half: &usize| {
        let step = Step::of_half(*half);
        let edge = &net.edges[step.edge];
        let part = reach / edge.length;
        let ahead = edge.curve.at(if step.backwards { 1.0 - part } else { part });
        let from = if edge.is_loop() { edge.points[usize::from(step.backwards)] } else { net.nodes[node] };
        trig::atan2(ahead.y - from.y, ahead.x - from.x)
    };
    halves.sort_by(|a, b| angle(a).total_cmp(&angle(b)).then(a.cmp(b)));
}

/// A face's walk, parted where it comes through the same node again.
fn simple_rings(net: &Net, face: &[Step]) -> Vec<Vec<Step>> {
    let mut rings = Vec::new();
    let mut open: Vec<Step> = Vec::new();
    let mut place = std::collections::BTreeMap::new();
    for &step in face {
        open.push(step);
        place.insert(step.start(net), open.len() - 1);
        if let Some(&from) = place.get(&step.end(net)) {
            let ring: Vec<Step> = open.drain(from..).collect();
            for s in &ring {
                place.remove(&s.start(net));
            }
            rings.push(ring);
        }
    }
    rings
}

/// Twice the area within some steps, counter-clockwise positive; free curves by samples.
fn twice_area(net: &Net, steps: &[Step]) -> f64 {
    let near = net.edges[steps[0].edge].points[0].to_vec2();
    let area = |step: &Step| {
        let sign = if step.backwards { -1.0 } else { 1.0 };
        sign * twice_area_of(&net.edges[step.edge].curve, near.to_point())
    };
    steps.iter().map(area).sum()
}

fn twice_area_of(curve: &Curve, near: Point) -> f64 {
    if let Curve::Segment(mut segment) = *curve {
        (segment.from, segment.to) = ((segment.from - near).to_point(), (segment.to - near).to_point());
        return segment.twice_area();
    }
    let at = |i: u32| curve.at(f64::from(i) / f64::from(SAMPLES)) - near;
    (0..SAMPLES).map(|i| at(i).cross(at(i + 1))).sum()
}

/// Open runs of lines: from each end or branch to the next, then whatever is closed.
pub(super) fn runs(net: &Net) -> Vec<Vec<Step>> {
    let around = Around::new(net);
    let mut seen = vec![false; net.edges.len()];
    let mut runs = Vec::new();
    for only_from_ends in [true, false] {
        for half in 0..2 * net.edges.len() {
            let first = Step::of_half(half);
            if seen[first.edge] || (only_from_ends && around.leaving[first.start(net)].len() == 2) {
                continue;
            }
            let (steps, _) = around.follow(net, first);
            for step in &steps {
                seen[step.edge] = true;
            }
            runs.push(steps);
        }
    }
    runs.sort_by_key(|steps| steps.iter().map(|s| (net.edges[s.edge].stroke, s.edge)).min());
    runs
}
