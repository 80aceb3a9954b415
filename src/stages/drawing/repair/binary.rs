//! Group pairs of a binary file.

use super::pair::{Kind, Pair, Value, kind_of};
use crate::problem::Problem;
use crate::stages::drawing::find::BINARY_DXF;
use crate::stages::drawing::talk::Talk;

/// Reads pairs from a binary file.
#[derive(Debug)]
pub(super) struct BinaryPairs<'a> {
    bytes: &'a [u8],
    at: usize,
    /// Codes are two bytes long, as they are from R13 on.
    wide: bool,
    /// Whether the file stopped within a pair, or made no sense.
    pub(super) cut_off: bool,
}

impl<'a> BinaryPairs<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        let at = BINARY_DXF.len().min(bytes.len());
        // The first pair is `0 SECTION` or a comment: with codes of two bytes, its second byte is 0 (or 3 for 999).
        let wide = matches!(bytes.get(at..at + 2), Some([0, 0] | [0xe7, 0x03]));
        Self { bytes, at, wide, cut_off: false }
    }

    /// The next pair; none at the end of the file or where it makes no sense any more.
    pub(super) fn next(&mut self, talk: &mut Talk) -> Option<Pair<'a>> {
        if self.cut_off || self.at >= self.bytes.len() {
            return None;
        }
        let place = self.at;
        let Some(code) = self.code() else {
            self.cut_off = true;
            return None;
        };
        let Some(kind) = kind_of(code) else {
            self.cut_off = true;
            let message = format!("{code} is no group code: the file makes no sense from here on");
            talk.push_at(place, Problem::error("broken-file", message).hint("export the drawing again"));
            return None;
        };
        let value = self.value(kind);
        self.cut_off = value.is_none();
        value.map(|value| Pair { code, value, place })
    }

    fn code(&mut self) -> Option<i32> {
        if self.wide {
            return self.array::<2>().map(|b| i32::from(i16::from_le_bytes(b)));
        }
        let [first] = self.array::<1>()?;
        if first == 255 {
            self.array::<2>().map(|b| i32::from(i16::from_le_bytes(b)))
        } else {
            Some(first.into())
        }
    }

    fn value(&mut self, kind: Kind) -> Option<Value<'a>> {
        Some(match kind {
            Kind::Text => Value::Text(self.text()?),
            Kind::Real => Value::Real(f64::from_le_bytes(self.array()?)),
            Kind::Whole(8) => Value::Whole(i64::from_le_bytes(self.array()?)),
            Kind::Whole(4) => Value::Whole(i32::from_le_bytes(self.array()?).into()),
            Kind::Whole(1) if self.wide => Value::Whole(self.array::<1>()?[0].into()),
            Kind::Whole(_) => Value::Whole(i16::from_le_bytes(self.array()?).into()),
            Kind::Bytes => {
                let [length] = self.array::<1>()?;
                self.take(length.into())?;
                Value::Bytes
            }
        })
    }

    fn text(&mut self) -> Option<&'a [u8]> {
        let length = self.bytes.get(self.at..)?.iter().position(|b| *b == 0)?;
        let text = self.take(length)?;
        self.at += 1;
        Some(text)
    }

    fn array<const N: usize>(&mut self) -> Option<[u8; N]> {
        self.take(N)?.try_into().ok()
    }

    fn take(&mut self, length: usize) -> Option<&'a [u8]> {
        let taken = self.bytes.get(self.at..self.at.checked_add(length)?)?;
        self.at += length;
        Some(taken)
    }
}
