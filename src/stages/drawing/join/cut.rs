//! The strokes to be cut, to closed outlines.

use std::collections::BTreeSet;

use super::loose::{self, Rest};
use super::net::Net;
use super::outlines::{self, Ring};
use super::spur::{Spurs, without_spurs};
use super::walk::{self, Step};
use super::{Joining, Removed, SAME, Stroke, close, counted, double, is_closed, is_speck, meet, place};
use crate::geometry::curve::Curve;
use crate::geometry::{Outline, Point};
use crate::problem::{Problem, Problems};
use crate::stages::drawing::Drawn;

/// How often closed strokes are taken apart because something ends on them: each time may bring new ends to others.
const ROUNDS: usize = 4;

/// Every closed outline of the strokes, in the order of the file.
pub(super) fn outlines(
    strokes: &[Drawn<Stroke>],
    joining: Joining,
    removed: &mut Removed,
    problems: &mut Problems,
) -> Vec<Drawn<Outline>> {
    let mut apart = BTreeSet::new();
    for _ in 1..ROUNDS {
        let found = attempt(strokes, &apart, joining);
        let touched = touched(&found, strokes, &apart, joining);
        if touched.is_empty() {
            return finish(found, strokes, joining, removed, problems);
        }
        apart.extend(touched);
    }
    finish(attempt(strokes, &apart, joining), strokes, joining, removed, problems)
}

/// What one pass over the strokes gives.
struct Attempt {
    net: Net,
    rings: Vec<Ring>,
    shared: Vec<usize>,
    rest: Vec<usize>,
    doubled: (usize, Option<Point>),
    specks: usize,
    spurs: Spurs,
}

fn attempt(strokes: &[Drawn<Stroke>], apart: &BTreeSet<usize>, joining: Joining) -> Attempt {
    let by_itself = |number: &usize| is_closed(&strokes[*number].item) && !apart.contains(number);
    let (closed, open): (Vec<usize>, Vec<usize>) = (0..strokes.len()).partition(by_itself);
    let mut net =
        Net::new(open.iter().flat_map(|&n| curves_of(&strokes[n].item).into_iter().map(move |c| (c, n))));
    let doubled = double::remove(&mut net, joining.join_mm);
    meet::pair(&mut net, joining.join_mm);
    meet::tee(&mut net, joining.join_mm, joining.tolerance_mm);
    close::settle(&mut net);
    let walked = walk::walk(&net);
    let (mut specks, mut spurs) = (net.specks, Spurs::default());
    let mut rings: Vec<Ring> = Vec::with_capacity(closed.len() + walked.loops.len());
    for number in closed {
        let (ring, dropped) = outlines::closed_stroke(&strokes[number].item, number);
        specks += dropped;
        rings.extend(ring.map(|ring| without_spurs(ring, &mut spurs)));
    }
    rings.extend(walked.loops.iter().map(|steps| ring_of(&net, steps, joining.join_mm)));
    rings.sort_by_key(|ring| ring.stroke);
    Attempt { net, rings, shared: walked.shared, rest: walked.rest, doubled, specks, spurs }
}

/// The curves of a stroke; a closed one whose last curve stops short gets its closing line.
fn curves_of(stroke: &Stroke) -> Vec<Curve> {
    let mut curves = stroke.curves.clone();
    if let (true, Some(first), Some(last)) = (stroke.closed, stroke.curves.first(), stroke.curves.last()) {
        let closing = Curve::line(last.to(), first.from());
        if !is_speck(&closing) {
            curves.push(closing);
        }
    }
    curves
}

fn ring_of(net: &Net, steps: &[Step], join: f64) -> Ring {
    let stroke = steps.iter().map(|step| net.edges[step.edge].stroke).min().unwrap_or(0);
    Ring { curves: close::ring(net, steps, join), stroke }
}

/// The closed strokes on whose line a loose end lies.
fn touched(
    found: &Attempt,
    strokes: &[Drawn<Stroke>],
    apart: &BTreeSet<usize>,
    joining: Joining,
) -> BTreeSet<usize> {
    let rest = Rest::new(&found.net, &found.rest);
    if rest.ends.is_empty() {
        return BTreeSet::new();
    }
    let covered = outlines::Lines::new(&found.rings, joining);
    let mut touched = BTreeSet::new();
    for end in rest.ends.iter().filter(|end| !covered.cover(&found.net.edges[end.edge], joining.join_mm)) {
        touched.extend(covered.strokes_at(end.at, joining.join_mm + SAME));
    }
    touched.retain(|&number| is_closed(&strokes[number].item) && !apart.contains(&number));
    touched
}

fn finish(
    mut found: Attempt,
    strokes: &[Drawn<Stroke>],
    joining: Joining,
    removed: &mut Removed,
    problems: &mut Problems,
) -> Vec<Drawn<Outline>> {
    if !found.rest.is_empty() {
        let lines = outlines::Lines::new(&found.rings, joining);
        let before = found.rest.len();
        let net = &found.net;
        found.rest.retain(|&edge| !lines.cover(&net.edges[edge], joining.join_mm));
        found.doubled.0 += before - found.rest.len();
    }
    let layers: Vec<&str> = strokes.iter().map(|s| s.layer.as_str()).collect();
    let outlines = outlines::finished(&found.rings, &layers, joining, removed, problems);
    loose::tell(&found.net, &found.rest, &layers, joining, problems);
    tell_shared(&found, problems);
    removed.doubled += found.doubled.0;
    removed.specks += found.specks;
    removed.spurs.add(found.spurs);
    removed.at = removed.at.or(found.doubled.1);
    outlines
}

fn tell_shared(found: &Attempt, problems: &mut Problems) {
    let Some(&first) = found.shared.first() else { return };
    let at = found.net.edges[first].curve.at(0.5);
    let message = format!(
        "outlines that share {}, the first near {}, are taken as separate parts",
        counted(found.shared.len(), "line"),
        place(at)
    );
    let hint = "if such a line is not to part them, put it on a score or mark layer";
    problems.push(Problem::warning("shared-edge", message).at(at).hint(hint));
}
