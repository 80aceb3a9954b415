//! Numbers in drawing files: a fixed number of decimals, a point whatever the locale, and no minus zero.

/// Decimals of coordinates: a thousandth of a micrometre, so that nothing is lost.
const PLACES: u32 = 6;

/// Decimals of bulges: along a chord of a metre an arc moves by less than a micrometre.
const BULGE_PLACES: u32 = 9;

/// No coordinate is larger than this, mm, ten times the farthest that drawings may have.
const MOST: f64 = 1e8;

fn fixed(value: f64, places: u32) -> String {
    let scale = 10i64.pow(places);
    let counts = (value * scale as f64).round() as i64;
    let (whole, part) =
        (counts.unsigned_abs() / scale.unsigned_abs(), counts.unsigned_abs() % scale.unsigned_abs());
    let sign = if counts < 0 { "-" } else { "" };
    format!("{sign}{whole}.{part:0width$}", width = places as usize)
}

/// A length in millimetres.
pub(super) fn length(value: f64) -> String {
    fixed(value, PLACES)
}

/// A bulge.
pub(super) fn bulge(value: f64) -> String {
    fixed(value, BULGE_PLACES)
}

/// A length without the zeros at its end, for files that people read.
pub(super) fn short(value: f64) -> String {
    let text = length(value);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Whether a coordinate can be written.
pub(super) fn fits(value: f64) -> bool {
    value.abs() < MOST
}

/// Whether two coordinates are written alike.
pub(super) fn alike(a: f64, b: f64) -> bool {
    let scale = 10f64.powi(PLACES.cast_signed());
    ((a * scale).round() as i64) == ((b * scale).round() as i64)
}
