//! Recesses: which part each is milled into, and how deep.

use std::collections::BTreeMap;

use super::Recess;
use super::inside::point_inside;
use super::rule::Settled;
use super::shape::Material;
use super::tree::Tree;
use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Outline, Point, Region};
use crate::problem::Problem;
use crate::stages::drawing::{Drawing, Drawn, Role};
use crate::stages::job::{Depth, Job, Stock};
use crate::units::millimetres;

/// A recess reaches into a part where a point of its edge lies this far within the material, mm: less is only touching.
const WITHIN_MM: f64 = 0.05;

/// Less wood than this is no floor, mm (common practice, no source).
const LEAST_FLOOR_MM: f64 = 0.2;

/// A recess as it is drawn.
#[derive(Clone, Debug)]
pub(super) struct Sunk {
    pub(super) region: Region,
    pub(super) depth: Depth,
}

/// The recesses of each material, by its outer outline; and those that reach into none, as problems.
pub(super) fn drawn(
    drawing: &Drawing,
    materials: &BTreeMap<usize, Material>,
) -> (BTreeMap<usize, Vec<Sunk>>, Vec<Problem>) {
    let mut by_role: BTreeMap<Role, Vec<Drawn<Outline>>> = BTreeMap::new();
    for outline in &drawing.recesses {
        by_role.entry(outline.role).or_default().push(outline.clone());
    }
    let mut found: BTreeMap<usize, Vec<Sunk>> = BTreeMap::new();
    let mut astray = Vec::new();
    for (role, outlines) in by_role {
        let Role::Recess(depth) = role else { continue };
        for (region, layer) in regions(&outlines) {
            let index = SegmentIndex::of_region(&region);
            let mut held = false;
            for (outer, (_, material, at)) in materials {
                if reaches(&region, &index, material, *at) {
                    held = true;
                    found.entry(*outer).or_default().push(Sunk { region: region.clone(), depth });
                }
            }
            if !held {
                let at = region.outer().vertices()[0].at;
                let hint =
                    "a recess is drawn on the part that it is milled into; put others on an ignored layer";
                astray.push(
                    Problem::warning("outside-parts", "a recess lies in no part and is left out")
                        .at(at)
                        .on_layer(&layer)
                        .hint(hint),
                );
            }
        }
    }
    (found, astray)
}

/// The outlines as regions with their islands, each with its layer.
fn regions(outlines: &[Drawn<Outline>]) -> Vec<(Region, String)> {
    let tree = Tree::new(outlines);
    let outer = (0..outlines.len()).filter(|&i| !tree.is_hole(i));
    outer
        .map(|i| {
            let islands = (0..outlines.len()).filter(|&j| tree.is_hole(j) && tree.outer_of(j) == i);
            let islands = islands.map(|j| outlines[j].item.clone()).collect();
            (Region::new(outlines[i].item.clone(), islands), outlines[i].layer.clone())
        })
        .collect()
}

/// Whether the two have more than an edge in common: an edge of one runs within the other, or one lies in the other.
fn reaches(recess: &Region, own: &SegmentIndex, material: &SegmentIndex, in_material: Point) -> bool {
    let within = |at: Point| material.winding(at) != 0 && !material.is_nearer(at, WITHIN_MM);
    let edge = recess.outlines().flat_map(Outline::segments);
    let mut places = edge.flat_map(|segment| [0.0, 0.25, 0.5, 0.75].map(|t| segment.at(t)));
    places.any(within) || point_inside(own).is_some_and(within) || own.winding(in_material) != 0
}

/// The recesses of a part in wood of this thickness, and what is wrong with them.
pub(super) fn settled(sunk: Vec<Sunk>, settled: &Settled, job: &Job) -> (Vec<Recess>, Option<Problem>) {
    let nominal = settled.thickness_mm.unwrap_or(0.0);
    let wood = settled.wood.as_deref().unwrap_or_default();
    let thickness = Stock::measured_or(&job.stock, wood, nominal);
    // Nearer wins: what the part says, then its wood, then the job.
    let asked = settled.cutting.recess.or(job.cutting.for_wood(wood).recess);
    let recess = |sunk: Sunk| Recess { depth_mm: sunk.depth.mm(asked, thickness), region: sunk.region };
    let recesses: Vec<Recess> = sunk.into_iter().map(recess).collect();
    let deep = recesses.iter().find(|recess| nominal > 0.0 && recess.depth_mm > nominal - LEAST_FLOOR_MM);
    let problem = deep.map(|recess| {
        let message = format!(
            "a recess of {} mm leaves no floor in wood of {nominal} mm",
            millimetres(recess.depth_mm)
        );
        let hint = "make it less deep ('depth' of its layer, 'recess' in cutting), or cut it through";
        Problem::error("recess-too-deep", message).at(recess.region.outer().vertices()[0].at).hint(hint)
    });
    (recesses, problem)
}
