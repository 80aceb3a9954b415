//! What a reader found, joined: strokes to closed outlines and open lines, repaired where that is safe.
//!
//! In this order: strokes that are closed by themselves are loops, without what runs out of them and back. Of the others, lines drawn twice and stretches that
//! lie on other lines are removed; ends that are one point are joined, the smallest gap first; ends on the middle of a
//! line cut it there. What then closes is a loop; where lines branch, as where two parts share an edge that is drawn
//! once, the faces between the lines are loops. A loose end on a closed stroke takes that stroke apart into its lines and
//! the whole begins again. Loops that repeat another are removed. Everything removed is counted; everything that does
//! not close is a problem with its place.

mod close;
mod cut;
mod double;
mod grid;
mod loose;
mod lines;
mod meet;
mod net;
mod outlines;
mod spur;
mod walk;

use std::collections::BTreeMap;

use super::{Drawing, Drawn, Found, Role, Stroke};
use crate::geometry::curve::Curve;
use crate::geometry::{Outline, Point};
use crate::problem::{Problem, Problems};

/// Ends within a micrometre, in millimetres, are one point whatever is asked for: drawing programs write as few as six
/// digits, and no machine here tells a micrometre.
const SAME: f64 = 1e-3;

/// A gap that is as wide as the joining distance to the last digit is joined, whatever its own last bits say.
const ROUNDING: f64 = 1e-7;

/// Of a kind of problem, no more than this many are told one by one; the rest is counted.
const TOLD: usize = 50;

/// How far apart ends may be, and how far curves may stray, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joining {
    /// Ends this far apart are one point.
    pub join_mm: f64,
    /// How far curves may stray when they become lines and arcs.
    pub tolerance_mm: f64,
}

/// What was removed, and where the first of it lay.
#[derive(Clone, Copy, Debug, Default)]
struct Removed {
    doubled: usize,
    loops: usize,
    specks: usize,
    spurs: spur::Spurs,
    at: Option<Point>,
}

/// Joins what was found in a file into outlines and lines.
pub fn join(found: Found, file: &str, joining: Joining, problems: &mut Problems) -> Drawing {
    let mut mine = Problems::new();
    let joining = Joining { join_mm: joining.join_mm + ROUNDING, ..joining };
    let mut removed = Removed::default();
    let (cut, drawn): (Vec<_>, Vec<_>) = found.strokes.into_iter().partition(|s| s.role == Role::Cut);
    let outlines = cut::outlines(&cut, joining, &mut removed, &mut mine);
    let (sunk, drawn): (Vec<_>, Vec<_>) = drawn.into_iter().partition(|s| matches!(s.role, Role::Recess(_)));
    let recesses = recesses(sunk, joining, &mut removed, &mut mine);
    let mut lines = Vec::new();
    for role in [Role::Score, Role::Mark, Role::Grain] {
        let of_role: Vec<_> = drawn.iter().filter(|s| s.role == role).collect();
        lines.extend(lines::lines(&of_role, joining, &mut removed));
    }
    tell_removed(removed, &mut mine);
    problems.extend(mine.into_iter().map(|p| p.in_file(file)));
    Drawing {
        file: file.to_owned(),
        units: found.units,
        outlines,
        recesses,
        lines,
        texts: found.texts,
        notes: Vec::new(),
        points: found.points,
        used: found.used,
        unused: found.unused,
        fair: Vec::new(),
        stretched: None,
    }
}

/// The outlines of recesses, those of one depth joined with each other alone.
fn recesses(
    strokes: Vec<Drawn<Stroke>>,
    joining: Joining,
    removed: &mut Removed,
    problems: &mut Problems,
) -> Vec<Drawn<Outline>> {
    let mut by_role: BTreeMap<Role, Vec<Drawn<Stroke>>> = BTreeMap::new();
    for stroke in strokes {
        by_role.entry(stroke.role).or_default().push(stroke);
    }
    let mut found = Vec::new();
    for (role, strokes) in by_role {
        let outlines = cut::outlines(&strokes, joining, removed, problems);
        found.extend(outlines.into_iter().map(|outline| Drawn { role, ..outline }));
    }
    found
}

fn tell_removed(removed: Removed, problems: &mut Problems) {
    let placed = |problem: Problem| removed.at.map_or(problem.clone(), |at| problem.at(at));
    if removed.doubled + removed.loops > 0 {
        let told = match (removed.doubled, removed.loops) {
            (lines, 0) => counted(lines, "line"),
            (0, loops) => counted(loops, "whole outline"),
            (lines, loops) => format!("{} and {}", counted(lines, "line"), counted(loops, "whole outline")),
        };
        let message = format!("{told} drawn twice or over others: each is cut once");
        let hint = "nothing needs to be done; remove the doubles from the drawing if a part is missing";
        problems.push(placed(Problem::warning("doubled-lines", message)).hint(hint));
    }
    if removed.specks > 0 {
        let message = format!("{} of no length left out", counted(removed.specks, "line"));
        problems.push(Problem::note("zero-length", message));
    }
    if let Some((at, length)) = removed.spurs.first {
        let message = format!(
            "{} out of an outline and back over itself left out, the first of {length:.2} mm to {}",
            counted(removed.spurs.count, "run"),
            place(at)
        );
        let hint =
            "it encloses nothing: draw it as a slot, or as a line on a score layer, if it is to be cut";
        problems.push(Problem::warning("out-and-back", message).at(at).hint(hint));
    }
}

/// A number and what is counted.
fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

/// A point as people read it.
fn place(at: Point) -> String {
    format!("({:.2}, {:.2})", at.x, at.y)
}

/// Whether a stroke is a loop by itself: because the file says so, or because it ends where it begins.
fn is_closed(stroke: &Stroke) -> bool {
    let (Some(first), Some(last)) = (stroke.curves.first(), stroke.curves.last()) else { return false };
    stroke.closed || (first.from().distance(last.to()) <= SAME && stroke.curves.iter().any(|c| !is_speck(c)))
}

/// Whether a curve has no length to speak of.
fn is_speck(curve: &Curve) -> bool {
    curve.length() <= SAME
}

/// The layer of a stroke.
fn layer_of(strokes: &[&Drawn<Stroke>], stroke: usize) -> String {
    strokes[stroke].layer.clone()
}
