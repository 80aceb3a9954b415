//! Woods: name, density, sizes they are sold in. One file in `post/tables/` describes a wood and how it is cut; a person's
//! own file may say only what differs from another wood.

use serde::{Deserialize, Serialize};

use super::table::{self, Tables};
use crate::problem::Problems;
use crate::yaml::{self, Fields, Node, Place, Reader, What};

/// A wood as its file in `post/tables/` describes it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Wood {
    /// Its name, such as `balsa-medium`: the file's name without its ending.
    pub name: String,
    /// Density in kg/m³.
    pub density_kg_m3: f64,
    /// Thicknesses it is sold in, in millimetres.
    pub thicknesses_mm: Vec<f64>,
    /// Where the values come from.
    pub source: String,
}

/// The keys of a wood's file.
pub const KEYS: [&str; 11] = [
    "extends",
    "about",
    "density_kg_m3",
    "source",
    "thicknesses_mm",
    "laser",
    "router",
    "laser_tabs",
    "router_tabs",
    "router_kerf",
    "fits",
];

/// Bounds of a density, kg/m³: the lightest balsa weighs about 60, the heaviest woods sink in water.
pub const DENSITIES: (f64, f64) = (20.0, 1500.0);

/// Bounds of a thickness that wood is sold in, mm.
pub const SOLD: (f64, f64) = (0.1, 100.0);

/// Reads the file of one wood. Everything wrong with it is added to `problems`; none comes back where anything is.
pub fn read(name: &str, text: &str, file: &str, problems: &mut Problems) -> Option<(Wood, Tables)> {
    let node = yaml::parse(text, file, problems)?;
    laid_over(name, node, file, None, problems)
}

/// What a file extends, and where it says so; none where it stands alone.
pub(super) fn extends(node: &Node) -> Option<(String, Place)> {
    let What::Map(entries) = &node.what else { return None };
    let entry = entries.iter().find(|entry| entry.key == "extends")?;
    match &entry.value.what {
        What::Text(name) => Some((name.trim().to_owned(), entry.value.place)),
        _ => None,
    }
}

/// Reads a file, laid over the wood and tables that it extends.
pub(super) fn laid_over(
    name: &str,
    node: Node,
    file: &str,
    base: Option<&(Wood, Tables)>,
    problems: &mut Problems,
) -> Option<(Wood, Tables)> {
    let mut reader = Reader::new(file, problems);
    let before = reader.count();
    let mut fields = reader.map(node, "a wood", &KEYS)?;
    if let Some(node) = fields.take("extends") {
        reader.word(node, "extends");
    }
    let about = match (fields.take("about"), base) {
        (Some(node), _) => reader.word(node, "about").is_some(),
        (None, base) => base.is_some() || fields.need("about", "a wood", &mut reader).is_some(),
    };
    let sold = fields.place_of("thicknesses_mm");
    let wood = wood(name, &mut fields, base.map(|base| &base.0), &mut reader);
    let tables = table::read::tables(&mut fields, base.map(|base| &base.1), &mut reader);
    if let (Some(wood), None, true) = (&wood, base, reader.count() == before) {
        table::read::gaps(&tables, &wood.thicknesses_mm, sold.unwrap_or(fields.place), &mut reader);
    }
    (reader.count() == before && about).then_some((wood?, tables))
}

fn wood(name: &str, fields: &mut Fields, base: Option<&Wood>, reader: &mut Reader) -> Option<Wood> {
    let mut wanted = |key: &str, reader: &mut Reader| match base {
        Some(_) => fields.take(key),
        None => fields.need(key, "a wood", reader),
    };
    let density = wanted("density_kg_m3", reader);
    let density = density.map(|node| reader.number(&node, "density_kg_m3", DENSITIES.0..=DENSITIES.1));
    let source = wanted("source", reader).map(|node| reader.word(node, "source"));
    let sold = wanted("thicknesses_mm", reader).map(|node| {
        let nodes = reader.list(node, "thicknesses_mm").unwrap_or_default();
        nodes.iter().filter_map(|node| reader.number(node, "thicknesses_mm", SOLD.0..=SOLD.1)).collect()
    });
    Some(Wood {
        name: name.to_owned(),
        density_kg_m3: density.unwrap_or_else(|| base.map(|wood| wood.density_kg_m3))?,
        thicknesses_mm: sold.or_else(|| base.map(|wood| wood.thicknesses_mm.clone()))?,
        source: source.unwrap_or_else(|| base.map(|wood| wood.source.clone()))?,
    })
}
