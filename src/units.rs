//! Units of length, converted at the edges only: inside, every length is in millimetres.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// A unit of length that drawings and jobs come in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Unit {
    /// Millimetre.
    #[serde(rename = "mm")]
    Millimetre,
    /// Centimetre.
    #[serde(rename = "cm")]
    Centimetre,
    /// Decimetre.
    #[serde(rename = "dm")]
    Decimetre,
    /// Metre.
    #[serde(rename = "m")]
    Metre,
    /// Micrometre.
    #[serde(rename = "um")]
    Micrometre,
    /// Inch.
    #[serde(rename = "inch")]
    Inch,
    /// Thousandth of an inch.
    #[serde(rename = "mil")]
    Mil,
    /// Millionth of an inch.
    #[serde(rename = "microinch")]
    Microinch,
    /// Foot.
    #[serde(rename = "foot")]
    Foot,
    /// Yard.
    #[serde(rename = "yard")]
    Yard,
}

/// A name that is no unit.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("'{0}' is not a unit: use mm, cm, dm, m, um, inch, mil, microinch, foot or yard")]
pub struct UnknownUnit(String);

impl Unit {
    /// Every unit, the usual ones first.
    pub const ALL: [Self; 10] = [
        Self::Millimetre,
        Self::Inch,
        Self::Centimetre,
        Self::Metre,
        Self::Decimetre,
        Self::Micrometre,
        Self::Mil,
        Self::Microinch,
        Self::Foot,
        Self::Yard,
    ];

    /// How many millimetres one of it is (the inch is 25.4 mm by definition).
    pub const fn millimetres(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Decimetre => 100.0,
            Self::Metre => 1000.0,
            Self::Micrometre => 0.001,
            Self::Inch => 25.4,
            Self::Mil => 0.0254,
            Self::Microinch => 25.4e-6,
            Self::Foot => 304.8,
            Self::Yard => 914.4,
        }
    }

    /// Its name on the command line and in files.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Decimetre => "dm",
            Self::Metre => "m",
            Self::Micrometre => "um",
            Self::Inch => "inch",
            Self::Mil => "mil",
            Self::Microinch => "microinch",
            Self::Foot => "foot",
            Self::Yard => "yard",
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Unit {
    type Err = UnknownUnit;

    fn from_str(name: &str) -> Result<Self, UnknownUnit> {
        let lower = name.trim().to_lowercase();
        let known = match lower.as_str() {
            "in" | "inches" => "inch",
            "ft" | "feet" => "foot",
            "yd" | "yards" => "yard",
            "metre" | "meter" => "m",
            "millimetre" | "millimeter" => "mm",
            other => other,
        };
        Self::ALL.into_iter().find(|unit| unit.name() == known).ok_or_else(|| UnknownUnit(name.to_owned()))
    }
}

/// A length for a message: at most three decimals, none that are nothing.
pub(crate) fn millimetres(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
