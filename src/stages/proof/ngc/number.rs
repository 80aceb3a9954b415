//! The number of a word: the same value as Rust's own reading of it, most of them without that.

use super::Fault;

/// Powers of ten that a double holds exactly.
const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18,
    1e19, 1e20, 1e21, 1e22,
];

/// So many digits are a whole number that a double holds exactly. That divided by an exact power of ten is rounded once,
/// and so is the double nearest to the decimal (William D. Clinger, "How to Read Floating Point Numbers Accurately",
/// 1990; from memory).
const EXACT_DIGITS: u32 = 15;

/// A number of a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Number {
    pub(super) value: f64,
    /// How many digits it has, where it has nothing else: no sign and no point.
    pub(super) whole: Option<u32>,
}

/// Reads the number at the start of `text`: an optional sign, digits, and at most one point among them; spaces and tabs
/// mean nothing. Gives it with how many bytes it takes; `letter` is for the message.
pub(super) fn read(letter: u8, text: &[u8]) -> Result<(Number, usize), Fault> {
    let (mut mantissa, mut digits, mut significant, mut decimals) = (0_u64, 0_u32, 0_u32, 0_usize);
    let (mut sign, mut points) = (None, 0_u32);
    let mut length = text.len();
    for (i, &byte) in text.iter().enumerate() {
        match byte {
            b'0'..=b'9' => {
                digits += 1;
                significant += u32::from(mantissa > 0 || byte > b'0');
                mantissa = mantissa.wrapping_mul(10).wrapping_add(u64::from(byte - b'0'));
                decimals += usize::from(points > 0);
            }
            b'.' => points += 1,
            b'+' | b'-' if sign.is_none() && digits == 0 && points == 0 => sign = Some(byte),
            b' ' | b'\t' => {}
            _ => {
                length = i;
                break;
            }
        }
    }
    if digits == 0 || points > 1 {
        return Err(bad(letter, &text[..length]));
    }
    let exact = significant <= EXACT_DIGITS && decimals < TENS.len();
    let value = if exact {
        let plain = mantissa as f64 / TENS[decimals];
        if sign == Some(b'-') { -plain } else { plain }
    } else {
        plain_text(&text[..length]).parse().map_err(|_| bad(letter, &text[..length]))?
    };
    Ok((Number { value, whole: (sign.is_none() && points == 0).then_some(digits) }, length))
}

fn plain_text(text: &[u8]) -> String {
    text.iter().filter(|byte| !matches!(byte, b' ' | b'\t')).map(|byte| char::from(*byte)).collect()
}

fn bad(letter: u8, digits: &[u8]) -> Fault {
    let message = format!("'{}{}' is not a letter with a number", char::from(letter), plain_text(digits));
    Fault::new("bad-number", message)
}
