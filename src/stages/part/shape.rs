//! The outlines of one drawing, sorted into shapes: material with its holes, its text, its grain, the lines drawn on it.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::clash::{Clash, clashes};
use super::grain::{self, Said};
use super::inside::point_inside;
use super::recess::{self, Sunk};
use super::tree::Tree;
use super::{TOLD, drawn, name};
use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Chain, Point, Region};
use crate::problem::{Problem, Problems};
use crate::stages::drawing::{Drawing, Drawn, Note, Role};

/// What could be a part.
#[derive(Debug)]
pub(super) struct Shape {
    /// Which drawing it is in.
    pub(super) drawing: usize,
    /// Layer of its outer outline.
    pub(super) layer: String,
    /// Its material.
    pub(super) region: Region,
    /// A point in it.
    pub(super) at: Point,
    /// The text in it.
    pub(super) name: Option<String>,
    /// What its grain lines say; none where it has none.
    pub(super) grain: Option<Said>,
    /// Lines to be scored.
    pub(super) scores: Vec<Chain>,
    /// Lines to be marked.
    pub(super) marks: Vec<Chain>,
    /// What is written beside its name.
    pub(super) note: Option<Note>,
    /// What is milled away.
    pub(super) recesses: Vec<Sunk>,
}

/// The shapes of a drawing in reading order; with `leave_out` without those whose outlines cross or touch others.
pub(super) fn shapes(
    drawing: &Drawing,
    number: usize,
    leave_out: bool,
    problems: &mut Problems,
) -> Vec<Shape> {
    let mut mine = Problems::new();
    let tree = Tree::new(&drawing.outlines);
    let clashes = clashes(&tree);
    tell_clashes(drawing, &clashes, &tree, &mut mine);
    let mut regions = regions(drawing, &tree);
    if leave_out {
        for clash in &clashes {
            regions.remove(&tree.outer_of(clash.a));
            regions.remove(&tree.outer_of(clash.b));
        }
    }
    let texts = name::texts(&tree, &drawing.texts);
    tell_texts(drawing, &texts.unused, &mut mine);
    let (mut grain, astray) = grain::drawn(&tree, &drawing.lines);
    tell_astray(&astray, &mut mine);
    let mut lines = lines_on(drawing, &regions, &mut mine);
    let (mut recesses, astray) = recess::drawn(drawing, &regions);
    mine.extend_counted(astray, TOLD);
    tell_points(drawing, &mut mine);
    problems.extend(mine.into_iter().map(|p| p.in_file(&drawing.file)));

    let mut shapes: Vec<Option<Shape>> = Vec::with_capacity(regions.len());
    for (outer, (region, _, at)) in regions {
        let (scores, marks) = lines.remove(&outer).unwrap_or_default();
        let note = drawing.notes.iter().find(|(at, _)| region.contains(*at)).map(|(_, note)| note.clone());
        shapes.push(Some(Shape {
            drawing: number,
            layer: drawing.outlines[outer].layer.clone(),
            region,
            at,
            name: texts.names.get(&outer).cloned(),
            grain: grain.remove(&outer),
            scores,
            marks,
            note,
            recesses: recesses.remove(&outer).unwrap_or_default(),
        }));
    }
    let boxes: Vec<_> = shapes.iter().flatten().map(|shape| shape.region.bounds()).collect();
    name::reading_order(&boxes).into_iter().filter_map(|i| shapes[i].take()).collect()
}

/// A region with its lines and a point in it.
pub(super) type Material = (Region, SegmentIndex, Point);

/// The material of each outer outline: without its holes, with a point in it.
fn regions(drawing: &Drawing, tree: &Tree) -> BTreeMap<usize, Material> {
    let mut holes: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for outline in 0..drawing.outlines.len() {
        let held = holes.entry(tree.outer_of(outline)).or_default();
        if tree.is_hole(outline) {
            held.push(outline);
        }
    }
    let material = |(outer, holes): (usize, Vec<usize>)| {
        let item = |&i: &usize| drawing.outlines[i].item.clone();
        let region = Region::new(item(&outer), holes.iter().map(item).collect());
        let index = SegmentIndex::of_region(&region);
        let at = point_inside(&index).unwrap_or(tree.nodes[outer].inside);
        (outer, (region, index, at))
    };
    holes.into_par_iter().map(material).collect()
}

fn tell_clashes(drawing: &Drawing, clashes: &[Clash], tree: &Tree, problems: &mut Problems) {
    let (mut crossing, mut touching) = (Vec::new(), Vec::new());
    for clash in clashes {
        let layer = &drawing.outlines[clash.b].layer;
        let of_one_part = tree.outer_of(clash.a) == tree.outer_of(clash.b);
        let place = format!("({:.2}, {:.2})", clash.at.x, clash.at.y);
        if clash.crosses {
            let message = if of_one_part {
                format!("two outlines of one part cross at {place}")
            } else {
                format!("the outlines of two parts cross near {place}")
            };
            let hint = "move them apart, or put one of them on a score, mark or ignored layer";
            crossing.push(Problem::error("crossing-parts", message).at(clash.at).on_layer(layer).hint(hint));
        } else {
            let message =
                format!("two outlines of one part touch at {place}: no material is left between them");
            let hint = "join a hole that opens to the edge into the outline, or move the two apart";
            touching
                .push(Problem::error("touching-outlines", message).at(clash.at).on_layer(layer).hint(hint));
        }
    }
    problems.extend_counted(crossing, TOLD);
    problems.extend_counted(touching, TOLD);
}

fn tell_texts(drawing: &Drawing, unused: &[usize], problems: &mut Problems) {
    let told = unused.iter().map(|&number| {
        let text = &drawing.texts[number];
        let start: String =
            text.item.text.split_whitespace().collect::<Vec<_>>().join(" ").chars().take(40).collect();
        Problem::note("unused-text", format!("the text '{start}' names no part"))
            .at(text.item.at)
            .on_layer(&text.layer)
    });
    problems.extend_counted(told.collect(), TOLD);
}

fn tell_astray(astray: &[Point], problems: &mut Problems) {
    let told = astray.iter().map(|&at| {
        Problem::warning("unused-grain", "a grain line lies in no part")
            .at(at)
            .hint("its middle must lie inside the outline that it is for")
    });
    problems.extend_counted(told.collect(), TOLD);
}

fn tell_points(drawing: &Drawing, problems: &mut Problems) {
    if let Some(first) = drawing.points.first() {
        let count = drawing.points.len();
        let message = format!("{count} {} not used", if count == 1 { "point is" } else { "points are" });
        problems.push(Problem::note("unused-points", message).at(first.item).on_layer(&first.layer));
    }
}

type Lines = (Vec<Chain>, Vec<Chain>);

/// The lines to be scored and marked on each shape.
fn lines_on(
    drawing: &Drawing,
    regions: &BTreeMap<usize, Material>,
    problems: &mut Problems,
) -> BTreeMap<usize, Lines> {
    let lines: Vec<&Drawn<Chain>> = drawing.lines.iter().filter(|line| line.role != Role::Grain).collect();
    let materials: Vec<(&Region, &SegmentIndex)> =
        regions.values().map(|(region, index, _)| (region, index)).collect();
    let shares = drawn::shares(&materials, &lines);
    tell_outside(&lines, &shares.outside, problems);
    let mut found: BTreeMap<usize, Lines> = BTreeMap::new();
    for (&outer, pieces) in regions.keys().zip(shares.pieces) {
        let (scores, marks) = found.entry(outer).or_default();
        for (line, piece) in pieces {
            if lines[line].role == Role::Score { scores.push(piece) } else { marks.push(piece) }
        }
    }
    found
}

fn tell_outside(lines: &[&Drawn<Chain>], outside: &[f64], problems: &mut Problems) {
    let told = lines.iter().zip(outside).filter(|(_, left)| **left > 0.0).map(|(line, left)| {
        let at = line.item.vertices()[0].at;
        let length = line.item.length();
        let message = if *left < 0.999 * length {
            format!("{left:.2} mm of a line of {length:.2} mm lie outside the material and are left out")
        } else {
            format!("a line of {length:.2} mm lies in no part and is left out")
        };
        Problem::warning("outside-parts", message)
            .at(at)
            .on_layer(&line.layer)
            .hint("lines to be scored or marked are drawn within a part; put others on an ignored layer")
    });
    problems.extend_counted(told.collect(), TOLD);
}
