//! Group codes and values of a DXF file, to the letter of the reference: one line each, a number where a number belongs.

/// A group code with its value and the line of the value, from 1.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair<'a> {
    pub(super) code: u16,
    pub(super) value: &'a str,
    pub(super) line: usize,
}

/// A place where a file does not keep to the reference.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Slip {
    pub(super) line: usize,
    pub(super) what: String,
}

impl Slip {
    pub(super) fn new(line: usize, what: impl Into<String>) -> Self {
        Self { line, what: what.into() }
    }
}

/// What the value of a code is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Text,
    Real,
    Whole,
}

/// The kind of value of a group code (DXF reference, "Group Code Value Types"); none for codes that there are not.
fn kind_of(code: u16) -> Option<Kind> {
    Some(match code {
        10..=59 | 110..=149 | 210..=239 | 460..=469 | 1010..=1059 => Kind::Real,
        60..=79
        | 90..=99
        | 160..=179
        | 270..=299
        | 370..=389
        | 400..=409
        | 420..=429
        | 440..=459
        | 1060..=1071 => Kind::Whole,
        0..=9 | 100 | 102 | 105 | 300..=369 | 390..=399 | 410..=419 | 430..=439 | 470..=481 | 999..=1009 => {
            Kind::Text
        }
        _ => return None,
    })
}

/// All pairs of a text, up to and with `EOF`; the first slip where there is one.
pub(super) fn pairs(text: &str) -> Result<Vec<Pair<'_>>, Slip> {
    let mut pairs = Vec::with_capacity(text.len() / 8);
    let mut lines = text.lines().zip(1..);
    while let Some((code, line)) = lines.next() {
        let code = code.trim();
        let slip = || Slip::new(line, format!("'{code}' is no group code"));
        let number = code.parse::<u16>().map_err(|_| slip())?;
        let kind = kind_of(number).ok_or_else(slip)?;
        let Some((value, line)) = lines.next() else {
            return Err(Slip::new(line, "the value of the last group code is missing"));
        };
        let value = value.trim();
        let fits = match kind {
            Kind::Text => true,
            Kind::Real => real(value).is_some(),
            Kind::Whole => whole(value).is_some(),
        };
        if !fits {
            return Err(Slip::new(
                line,
                format!("'{value}' is no number that belongs to group code {number}"),
            ));
        }
        pairs.push(Pair { code: number, value, line });
        if (number, value) == (0, "EOF") {
            return match lines.find(|(rest, _)| !rest.trim().is_empty()) {
                None => Ok(pairs),
                Some((_, line)) => Err(Slip::new(line, "something follows the end of the file")),
            };
        }
    }
    Err(Slip::new(text.lines().count(), "the file ends without EOF"))
}

/// A finite number with digits, a point and an exponent, and nothing else.
pub(super) fn real(value: &str) -> Option<f64> {
    let plain = value.bytes().all(|b| b.is_ascii_digit() || b"+-.eE".contains(&b));
    value.parse::<f64>().ok().filter(|number| plain && number.is_finite())
}

/// An integer.
pub(super) fn whole(value: &str) -> Option<i64> {
    value.parse().ok()
}
