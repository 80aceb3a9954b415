//! Parts that are built here instead of drawn, and their journey.

use std::collections::BTreeMap;

use crate::geometry::{Chain, Outline, Point, Region, Vertex, lettering};
use crate::problem::Problems;
use crate::shop::Shop;
use crate::stages::drawing::Drawing;
use crate::stages::job::{Cutting, Job, TabWish};
use crate::stages::part::Part;
use crate::stages::watch::Watch;
use crate::stages::{self, Kit, cut, sheet};
use crate::units::Unit;

/// Height of capitals on a coupon, mm: a size of ISO 3098.
pub(super) const LETTERS_MM: f64 = 2.5;

/// A part of this wood.
pub(super) fn part(id: &str, region: Region, wood: &str, thickness_mm: f64) -> Part {
    let at = region.bounds().center();
    Part {
        id: id.to_owned(),
        drawing: 0,
        layer: String::new(),
        at,
        region,
        scores: Vec::new(),
        marks: Vec::new(),
        note: None,
        recesses: Vec::new(),
        grain_deg: Some(0.0),
        wood: wood.to_owned(),
        thickness_mm,
        copies: 1,
        mirrored: 0,
        tabs: TabWish::Table,
        cutting: Cutting::default(),
        mark: false,
        lying: crate::stages::job::Lying::default(),
        mass_g: 0.0,
    }
}

/// A rectangle with its lower left corner in the origin.
pub(super) fn plate(length_mm: f64, width_mm: f64) -> Outline {
    Outline::rectangle(crate::geometry::Rect::new(0.0, 0.0, length_mm, width_mm))
}

/// A text whose letters stand on `y`, centred on `x`.
pub(super) fn words(text: &str, x: f64, y: f64) -> Vec<Chain> {
    let strokes = lettering::text(text, LETTERS_MM);
    let middle = lettering::bounds(&strokes).map_or(0.0, |bounds| bounds.center().x);
    let moved = |vertex: &Vertex| Vertex {
        at: Point::new(vertex.at.x - middle + x, vertex.at.y + y),
        bulge: vertex.bulge,
    };
    strokes.iter().filter_map(|s| Chain::new(s.vertices().iter().map(moved).collect()).ok()).collect()
}

/// The width of a text, mm.
pub(super) fn width(text: &str) -> f64 {
    lettering::width(text, LETTERS_MM)
}

/// A kit of built parts: they come from no file, so that its only drawing holds nothing.
pub(super) fn kit(name: &str, parts: Vec<Part>) -> Kit {
    let drawing = Drawing {
        file: format!("coupon {name}"),
        units: Unit::Millimetre,
        outlines: Vec::new(),
        recesses: Vec::new(),
        lines: Vec::new(),
        texts: Vec::new(),
        points: Vec::new(),
        used: BTreeMap::new(),
        unused: BTreeMap::new(),
        notes: Vec::new(),
        fair: Vec::new(),
        stretched: None,
    };
    Kit { drawings: vec![drawing], parts, ..Kit::default() }
}

/// The journey from parts on.
pub(super) fn travel(kit: &mut Kit, job: &Job, shop: &Shop, watch: &dyn Watch, problems: &mut Problems) {
    lay(kit, job, shop, problems);
    if !problems.stop() {
        kit.sheets = cut::plan(&kit.layout, &kit.parts, job, shop, watch, problems);
    }
    stages::finish(kit, job, shop, watch, problems);
}

/// The parts on sheets, with their mass.
pub(super) fn lay(kit: &mut Kit, job: &Job, shop: &Shop, problems: &mut Problems) {
    for part in &mut kit.parts {
        let density = shop.wood(&part.wood).map_or(0.0, |wood| wood.density_kg_m3);
        // kg/m³ times mm³ is a millionth of a gram.
        part.mass_g = density * part.region.area() * part.thickness_mm * 1e-6;
    }
    let room = cut::room(&kit.parts, job, shop, problems);
    if !problems.stop() {
        kit.layout = sheet::lay(&kit.parts, job, room, problems);
    }
}
