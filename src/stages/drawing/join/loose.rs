//! Lines to be cut that belong to no closed outline: told as open or branching outlines, with places, gaps and hints.

use std::collections::BTreeMap;

use static_aabb2d_index::{Control, StaticAABB2DIndex, StaticAABB2DIndexBuilder};

use super::meet::LooseEnd;
use super::net::Net;
use super::{Joining, TOLD, counted, place};
use crate::geometry::Point;
use crate::problem::{Problem, Problems};

/// A gap up to this wide, in millimetres, may be closed by a larger joining distance; a wider one is a line missing.
const WIDEST_HINT: f64 = 1.0;

/// The loose ends of the edges that belong to no loop.
#[derive(Debug)]
pub(super) struct Rest {
    /// Ends that nothing meets.
    pub(super) ends: Vec<LooseEnd>,
}

impl Rest {
    /// The loose ends among some edges.
    pub(super) fn new(net: &Net, edges: &[usize]) -> Self {
        let degrees = net.degrees();
        let mut ends = Vec::new();
        for &edge in edges {
            for side in 0..2 {
                let (node, at) = (net.edges[edge].ends[side], net.edges[edge].points[side]);
                if degrees[node] == 1 {
                    ends.push(LooseEnd { node, edge, at });
                }
            }
        }
        Self { ends }
    }
}

/// A line whose ends lie at least this fraction of its length apart encloses nothing: it is no outline that fails to close.
const STRAIGHT: f64 = 0.9;

/// Tells each group of connected lines that stay open.
pub(super) fn tell(net: &Net, edges: &[usize], layers: &[&str], joining: Joining, problems: &mut Problems) {
    if edges.is_empty() {
        return;
    }
    let ends = Rest::new(net, edges).ends;
    let nearest = NearestEnd::new(&ends);
    let mut ends_of: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    ends.iter().enumerate().for_each(|(number, end)| ends_of.entry(end.edge).or_default().push(number));
    let (mut open, mut branching, mut stray) = (Vec::new(), Vec::new(), Vec::new());
    for group in groups(net, edges) {
        let layer = layers[net.edges[group.edges[0]].stroke];
        let mine: Vec<usize> = group.edges.iter().filter_map(|e| ends_of.get(e)).flatten().copied().collect();
        if let (&[a, b], true) = (mine.as_slice(), group.is_path) {
            let gap = [a, b].map(|end| nearest.to(&ends, end).0).into_iter().fold(f64::INFINITY, f64::min);
            if gap > may_close(joining) && is_straight(net, &group, [ends[a].at, ends[b].at]) {
                stray.push(stray_problem(net, &group, [ends[a].at, ends[b].at]).on_layer(layer));
            } else {
                open.push(open_problem(net, &group, [a, b], &ends, &nearest, joining).on_layer(layer));
            }
        } else {
            branching.push(branching_problem(net, &group, mine.first().map(|&e| ends[e].at)).on_layer(layer));
        }
    }
    problems.extend_counted(open, TOLD);
    problems.extend_counted(branching, TOLD);
    problems.extend_counted(stray, TOLD);
}

fn length_of(net: &Net, group: &Group) -> f64 {
    group.edges.iter().map(|&edge| net.edges[edge].length).sum()
}

fn is_straight(net: &Net, group: &Group, [from, to]: [Point; 2]) -> bool {
    from.distance(to) >= STRAIGHT * length_of(net, group)
}

/// A gap up to this wide may be meant to be closed.
fn may_close(joining: Joining) -> f64 {
    WIDEST_HINT.max(10.0 * joining.join_mm)
}

/// A straight line far from anything that could make an outline of it: a centre line, a cross, a frame.
fn stray_problem(net: &Net, group: &Group, [from, to]: [Point; 2]) -> Problem {
    let length = length_of(net, group);
    let message = format!(
        "a straight line of {length:.2} mm from {} to {} closes nothing and is left out",
        place(from),
        place(to)
    );
    let hint = "put it on a score, mark, grain or ignored layer if it is not to be cut; draw the rest of the outline if it is";
    Problem::warning("stray-line", message).at(from).hint(hint)
}

/// Connected edges that belong to no loop.
struct Group {
    /// In order.
    edges: Vec<usize>,
    /// Whether they follow each other without a branch, and touch no loop.
    is_path: bool,
    /// A node where they branch or touch a loop.
    branch: Option<usize>,
}

fn groups(net: &Net, edges: &[usize]) -> Vec<Group> {
    let degrees = net.degrees();
    let mut at_node: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for &edge in edges {
        net.edges[edge].ends.iter().for_each(|&node| at_node.entry(node).or_default().push(edge));
    }
    let mut seen = std::collections::BTreeSet::new();
    let mut groups = Vec::new();
    for &first in edges {
        if !seen.insert(first) {
            continue;
        }
        let (mut group, mut branch, mut todo) = (Vec::new(), None, vec![first]);
        while let Some(edge) = todo.pop() {
            group.push(edge);
            for node in net.edges[edge].ends {
                if degrees[node] > 2 {
                    branch = branch.or(Some(node));
                }
                // A node where a loop passes parts the lines that end there.
                if degrees[node] == at_node[&node].len() {
                    todo.extend(at_node[&node].iter().filter(|&&other| seen.insert(other)));
                }
            }
        }
        group.sort_unstable();
        groups.push(Group { edges: group, is_path: branch.is_none(), branch });
    }
    groups
}

fn open_problem(
    net: &Net,
    group: &Group,
    [a, b]: [usize; 2],
    ends: &[LooseEnd],
    nearest: &NearestEnd,
    joining: Joining,
) -> Problem {
    let length = length_of(net, group);
    let (from, to) = (ends[a].at, ends[b].at);
    let gaps = [a, b].map(|end| nearest.to(ends, end));
    let (worst, end) = if gaps[0].0 >= gaps[1].0 { (gaps[0], a) } else { (gaps[1], b) };
    let message = format!(
        "an outline stays open: {} of {length:.2} mm from {} to {}; from {} it is {:.3} mm to the nearest other end, at {}",
        counted(group.edges.len(), "line"),
        place(from),
        place(to),
        place(ends[end].at),
        worst.0,
        place(worst.1)
    );
    Problem::error("open-outline", message).at(ends[end].at).hint(gap_hint(worst.0, joining))
}

fn gap_hint(gap: f64, joining: Joining) -> String {
    if gap <= may_close(joining) && gap > joining.join_mm {
        // Rounded up to a hundredth, so that the value told closes the gap.
        let enough = (gap * 100.0 - 1e-6).ceil() / 100.0;
        format!(
            "--join {enough:.2} would close it; else draw the missing line, or put this one on a mark or ignored layer"
        )
    } else {
        "draw what is missing, or put the line on a score, mark, grain or ignored layer".to_owned()
    }
}

fn branching_problem(net: &Net, group: &Group, loose: Option<Point>) -> Problem {
    let length = length_of(net, group);
    let branch = group.branch.map_or_else(|| net.edges[group.edges[0]].points[0], |node| net.nodes[node]);
    let ends = loose
        .map_or_else(|| "between outlines".to_owned(), |at| format!("with a loose end at {}", place(at)));
    let message = format!(
        "lines branch at {}: {} of {length:.2} mm leave an outline there, {ends}",
        place(branch),
        counted(group.edges.len(), "line")
    );
    let hint = "remove the surplus lines, or put them on a score, mark or ignored layer";
    Problem::error("branching-outline", message).at(branch).hint(hint)
}

/// Finds the loose end nearest to another one.
struct NearestEnd(Option<StaticAABB2DIndex<f64>>);

impl NearestEnd {
    fn new(ends: &[LooseEnd]) -> Self {
        let mut builder = StaticAABB2DIndexBuilder::new(ends.len());
        for end in ends {
            builder.add(end.at.x, end.at.y, end.at.x, end.at.y);
        }
        Self(builder.build().ok())
    }

    /// Distance to the nearest other loose end, and where it is.
    fn to(&self, ends: &[LooseEnd], end: usize) -> (f64, Point) {
        let at = ends[end].at;
        let mut found = (f64::INFINITY, at);
        if let Some(index) = &self.0 {
            index.visit_neighbors(at.x, at.y, &mut |other: usize, _: f64| {
                if other == end {
                    return Control::Continue;
                }
                found = (at.distance(ends[other].at), ends[other].at);
                Control::Break(())
            });
        }
        found
    }
}
