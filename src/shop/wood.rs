//! Woods: name, density, sizes they are sold in.

use serde::{Deserialize, Serialize};

/// A wood as `post/tables/woods.yaml` describes it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Wood {
    /// Its name, such as `balsa-medium`.
    pub name: String,
    /// Density in kg/m³.
    pub density_kg_m3: f64,
    /// Thicknesses it is sold in, in millimetres.
    pub thicknesses_mm: Vec<f64>,
    /// Where the values come from.
    pub source: String,
}
