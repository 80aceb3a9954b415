//! Machines: what one can reach, how fast it moves, what it cuts with, what files it takes.

use serde::{Deserialize, Serialize};

pub mod read;

/// A laser or a router, as its YAML file in `post/machines/` describes it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Machine {
    /// Its name, the file's name without its ending.
    pub name: String,
    /// One line about it, with the source of its values.
    pub about: String,
    /// Reach along x, y and z in millimetres; z is 0 for a laser.
    pub reach_mm: [f64; 3],
    /// Fastest travel between cuts, mm/min.
    pub rapid_mm_min: f64,
    /// Acceleration, mm/s².
    pub acceleration_mm_s2: f64,
    /// What it cuts with.
    pub tool: Tool,
    /// Drawing files it takes, in order; none where it takes G-code only.
    pub drawings: Vec<DrawingFormat>,
    /// The post that writes its G-code; none where it takes drawings only.
    pub post: Option<String>,
    /// Names and colours of the layers or groups in its drawing files.
    pub layers: Layers,
    /// Least distance between parts on a sheet, beyond kerf, in millimetres.
    pub spacing_mm: f64,
    /// Least distance from parts to the sheet's edge, in millimetres.
    pub margin_mm: f64,
}

/// What a machine cuts with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Tool {
    /// A laser beam.
    Laser {
        /// Power at the tube or diode, in watts: picks the rows of the laser table.
        power_w: f64,
    },
    /// A spinning cutter.
    Router {
        /// Slowest spindle speed, turns a minute.
        min_rpm: f64,
        /// Fastest spindle speed, turns a minute.
        max_rpm: f64,
        /// Height above the wood at which the cutter travels, in millimetres.
        clearance_mm: f64,
        /// Cutters on the shelf; the first is used unless the job says otherwise.
        cutters: Vec<Cutter>,
    },
}

/// A router cutter.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cutter {
    /// Diameter in millimetres.
    pub diameter_mm: f64,
    /// Number of flutes.
    pub flutes: u32,
    /// Length of the flutes in millimetres: wood thicker than this is refused.
    pub flute_length_mm: f64,
}

/// A kind of drawing file for a laser.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DrawingFormat {
    /// DXF R12 (AC1009).
    DxfR12,
    /// DXF R2000 (AC1015).
    DxfR2000,
    /// SVG in millimetres.
    Svg,
}

/// The layer or group of each operation.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Layers {
    /// Holes.
    pub cut_inside: LayerStyle,
    /// Outer outlines.
    pub cut_outside: LayerStyle,
    /// Lines cut part of the way through.
    pub score: LayerStyle,
    /// Part names and grain arrows.
    pub mark: LayerStyle,
}

/// Name and colour of a layer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LayerStyle {
    /// Name as the machine's software wants it.
    pub name: String,
    /// Colour number in DXF, 1 to 255.
    pub dxf_colour: u8,
    /// Colour in SVG, `#rrggbb`.
    pub svg_colour: String,
}

impl DrawingFormat {
    /// Every kind, with its name in machine files.
    pub const ALL: [(&'static str, Self); 3] =
        [("dxf-r12", Self::DxfR12), ("dxf-r2000", Self::DxfR2000), ("svg", Self::Svg)];
}

impl Default for Layers {
    /// Names that say what they are, and hues of our own that colour-blind people can tell apart by their lightness.
    fn default() -> Self {
        let style = |name: &str, dxf_colour: u8, svg_colour: &str| LayerStyle {
            name: name.to_owned(),
            dxf_colour,
            svg_colour: svg_colour.to_owned(),
        };
        Self {
            cut_inside: style("cut-inside", 30, "#d55e00"),
            cut_outside: style("cut-outside", 94, "#00664b"),
            score: style("score", 201, "#a5518c"),
            mark: style("mark", 141, "#4a9fc9"),
        }
    }
}

impl Machine {
    /// The cutter on the shelf whose diameter this is; where there is none, one of two flutes of that diameter whose
    /// flutes are as long as those of the next smaller one on the shelf (or three diameters). None on a laser.
    pub fn cutter(&self, diameter_mm: f64) -> Option<Cutter> {
        let Tool::Router { cutters, .. } = &self.tool else { return None };
        // A thousandth of a millimetre: closer than cutters are made.
        if let Some(cutter) = cutters.iter().find(|c| (c.diameter_mm - diameter_mm).abs() < 1e-3) {
            return Some(cutter.clone());
        }
        let smaller = cutters.iter().filter(|c| c.diameter_mm < diameter_mm);
        let length =
            smaller.max_by(|a, b| a.diameter_mm.total_cmp(&b.diameter_mm)).map(|c| c.flute_length_mm);
        let flute_length_mm = length.unwrap_or(3.0 * diameter_mm);
        Some(Cutter { diameter_mm, flutes: 2, flute_length_mm })
    }

    /// Whether it is a laser.
    pub const fn is_laser(&self) -> bool {
        matches!(self.tool, Tool::Laser { .. })
    }
}
