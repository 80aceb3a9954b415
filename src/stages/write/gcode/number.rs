//! Numbers as a post wants them: rounded once, to a whole count of the last digit, and written from that count. So two
//! positions are the same exactly if their texts are, and there is no minus zero.

use crate::shop::post::Numbers;

/// Beyond this many counts a double no longer holds every whole number with room to spare.
const MOST: f64 = 1.0e14;

/// `value` in counts of its last digit, half away from zero; none where it is not finite or does not fit.
pub(super) fn count(value: f64, decimals: u32) -> Option<i64> {
    let counts = (value * 10f64.powi(decimals.cast_signed())).round();
    (counts.abs() < MOST).then_some(counts as i64)
}

/// As [`count`], but never less than `value`: for heights that nothing may fall below.
pub(super) fn count_up(value: f64, decimals: u32) -> Option<i64> {
    /// A value this near a count is that count, in counts: rounding of the unit's conversion.
    const NEAR: f64 = 1e-6;
    let nearest = count(value, decimals)?;
    let short = value * 10f64.powi(decimals.cast_signed()) - nearest as f64 > NEAR;
    Some(nearest + i64::from(short))
}

/// The value that a count stands for.
pub(super) fn value(count: i64, decimals: u32) -> f64 {
    count as f64 / 10f64.powi(decimals.cast_signed())
}

/// A count as text.
pub(super) fn text(count: i64, decimals: u32, numbers: &Numbers, plus: bool) -> String {
    let scale = 10u64.pow(decimals);
    let (whole, part) = (count.unsigned_abs() / scale, count.unsigned_abs() % scale);
    let mut fraction =
        if decimals == 0 { String::new() } else { format!("{part:0width$}", width = decimals as usize) };
    if !numbers.trailing_zeros {
        fraction.truncate(fraction.trim_end_matches('0').len());
    }
    let sign = match (count < 0, plus) {
        (true, _) => "-",
        (false, true) => "+",
        (false, false) => "",
    };
    let point = if !fraction.is_empty() || (numbers.point && decimals > 0) { "." } else { "" };
    let whole = if whole == 0 && !numbers.leading_zero && !fraction.is_empty() {
        String::new()
    } else {
        whole.to_string()
    };
    format!("{sign}{whole}{point}{fraction}")
}

/// A length for people: millimetres with at most three decimals.
pub(super) fn plain(value: f64) -> String {
    let style = Numbers {
        decimals: 3,
        feed_decimals: 0,
        speed_decimals: 0,
        power_decimals: 0,
        seconds_decimals: 0,
        trailing_zeros: false,
        leading_zero: true,
        point: false,
        plus: false,
    };
    count(value, 3).map_or_else(|| "?".to_owned(), |n| text(n, 3, &style, false))
}
