//! Group codes and the values that follow them.

/// What kind of value follows a group code (DXF reference, "Group code value types").
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A string, names and handles included.
    Text,
    /// A floating-point number.
    Real,
    /// An integer of this many bytes in a binary file.
    Whole(u8),
    /// A chunk of bytes.
    Bytes,
}

/// The kind of value that follows a code; none for a code that the reference does not know.
pub(super) fn kind_of(code: i32) -> Option<Kind> {
    match code {
        1004 | 310..=319 => Some(Kind::Bytes),
        0..=9 | 100..=102 | 105 | 300..=309 | 320..=369 | 390..=399 | 410..=419 | 430..=439 => {
            Some(Kind::Text)
        }
        470..=481 | 999..=1009 => Some(Kind::Text),
        10..=59 | 110..=149 | 210..=239 | 460..=469 | 1010..=1059 => Some(Kind::Real),
        60..=79 | 170..=179 | 270..=289 | 370..=389 | 400..=409 | 1060..=1070 => Some(Kind::Whole(2)),
        90..=99 | 420..=429 | 440..=459 | 1071 => Some(Kind::Whole(4)),
        160..=169 => Some(Kind::Whole(8)),
        290..=299 => Some(Kind::Whole(1)),
        _ => None,
    }
}

/// A value as the file holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Value<'a> {
    /// A line of text, not looked into yet; numbers of an ASCII file too.
    Text(&'a [u8]),
    /// A number of a binary file.
    Real(f64),
    /// An integer of a binary file.
    Whole(i64),
    /// Bytes, which nothing that is cut needs.
    Bytes,
}

/// A group code with its value, and the line of the code (from 1) or its byte.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pair<'a> {
    pub(super) code: i32,
    pub(super) value: Value<'a>,
    pub(super) place: usize,
}

/// Why a value is no number.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum BadNumber {
    /// There is nothing where it should stand.
    Empty,
    /// Something else stands there.
    Not(String),
    /// Not a number, or infinite.
    Absurd(String),
}

impl<'a> Pair<'a> {
    /// The value as text, as it stands.
    pub(super) fn raw(&self) -> &'a [u8] {
        match self.value {
            Value::Text(text) => text,
            _ => b"",
        }
    }

    /// The value as a word: names of entities and sections.
    pub(super) fn word(&self) -> String {
        String::from_utf8_lossy(self.raw().trim_ascii()).into_owned()
    }

    /// The value as a finite number.
    pub(super) fn real(&self) -> Result<f64, BadNumber> {
        let number = match self.value {
            Value::Real(number) => number,
            Value::Whole(number) => number as f64,
            Value::Text(text) => parsed(text)?,
            Value::Bytes => return Err(BadNumber::Empty),
        };
        if number.is_finite() { Ok(number) } else { Err(BadNumber::Absurd(number.to_string())) }
    }

    /// The value as an integer; some writers put integers as `2.0`.
    pub(super) fn whole(&self) -> Result<i64, BadNumber> {
        if let Value::Whole(number) = self.value {
            return Ok(number);
        }
        let number = self.real()?;
        if number.fract() == 0.0 && number.abs() < 1e15 {
            Ok(number as i64)
        } else {
            Err(BadNumber::Not(number.to_string()))
        }
    }
}

/// A number as writers put it, a decimal comma or an exponent with `D` included.
fn parsed(text: &[u8]) -> Result<f64, BadNumber> {
    let text = String::from_utf8_lossy(text.trim_ascii());
    if text.is_empty() {
        return Err(BadNumber::Empty);
    }
    if let Ok(number) = text.parse::<f64>() {
        return Ok(number);
    }
    let lower = text.to_ascii_lowercase();
    if ["nan", "#ind", "#qnan", "#snan", "#inf"].iter().any(|word| lower.contains(word)) {
        return Err(BadNumber::Absurd(text.into_owned()));
    }
    let plain = lower.replacen(',', ".", 1).replacen('d', "e", 1);
    plain.parse::<f64>().map_err(|_| BadNumber::Not(shortened(&text)))
}

/// At most forty letters of a text, for a message.
pub(super) fn shortened(text: &str) -> String {
    let visible: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    if visible.chars().count() <= 40 {
        return visible;
    }
    visible.chars().take(40).chain("...".chars()).collect()
}
