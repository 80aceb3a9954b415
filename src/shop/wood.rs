//! Woods: name, density, sizes they are sold in. One file in `post/tables/` describes a wood and how it is cut.

use serde::{Deserialize, Serialize};

use super::table::{self, Tables};
use crate::problem::Problems;
use crate::yaml::{self, Fields, Reader};

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

const KEYS: [&str; 8] =
    ["about", "density_kg_m3", "source", "thicknesses_mm", "laser", "router", "laser_tabs", "router_tabs"];

/// Reads the file of one wood. Everything wrong with it is added to `problems`; none comes back where anything is.
pub fn read(name: &str, text: &str, file: &str, problems: &mut Problems) -> Option<(Wood, Tables)> {
    let node = yaml::parse(text, file, problems)?;
    let mut reader = Reader::new(file, problems);
    let before = reader.count();
    let mut fields = reader.map(node, "a wood", &KEYS)?;
    let about = fields.need("about", "a wood", &mut reader).and_then(|node| reader.word(node, "about"));
    let wood = wood(name, &mut fields, &mut reader);
    let tables = table::read::tables(&mut fields, &mut reader);
    (reader.count() == before && about.is_some()).then_some((wood?, tables))
}

fn wood(name: &str, fields: &mut Fields, reader: &mut Reader) -> Option<Wood> {
    // The lightest balsa weighs about 60 kg/m³, the heaviest woods sink in water.
    let density = fields.need("density_kg_m3", "a wood", reader);
    let density = density.and_then(|node| reader.number(&node, "density_kg_m3", 20.0..=1500.0));
    let source = fields.need("source", "a wood", reader).and_then(|node| reader.word(node, "source"));
    let sold = fields.need("thicknesses_mm", "a wood", reader);
    let sold = sold.and_then(|node| reader.list(node, "thicknesses_mm")).unwrap_or_default();
    let thicknesses_mm =
        sold.iter().filter_map(|node| reader.number(node, "thicknesses_mm", 0.1..=100.0)).collect();
    Some(Wood { name: name.to_owned(), density_kg_m3: density?, thicknesses_mm, source: source? })
}
