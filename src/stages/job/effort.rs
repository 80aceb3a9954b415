//! How long better sheets are looked for: `quick`, `normal`, `long`, or a number of seconds.

use std::str::FromStr;

/// How much the search for better sheets may take.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Effort {
    /// A blink: what can be tried without anybody waiting for it, and only where a sheet may be saved.
    #[default]
    Quick,
    /// Some seconds for a usual kit; from here on the last sheet's rest is made as long as can be, too.
    Normal,
    /// Minutes.
    Long,
    /// So many seconds: then the layout may differ from run to run.
    Seconds(f64),
}

impl Effort {
    /// The words for it.
    pub const WORDS: [&str; 3] = ["quick", "normal", "long"];

    /// Seconds that may be asked for: up to a day.
    pub const SECONDS: std::ops::RangeInclusive<f64> = 0.0..=86_400.0;
}

impl FromStr for Effort {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.trim() {
            "quick" => Ok(Self::Quick),
            "normal" => Ok(Self::Normal),
            "long" => Ok(Self::Long),
            other => match other.parse::<f64>() {
                Ok(seconds) if Self::SECONDS.contains(&seconds) => Ok(Self::Seconds(seconds)),
                _ => Err(format!(
                    "'{other}' is none of quick, normal, long, nor a number of seconds up to 86400"
                )),
            },
        }
    }
}
