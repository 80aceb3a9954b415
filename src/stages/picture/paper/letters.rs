//! The letters of the paper: a typeface that goes into the file, and how wide its words are.

use krilla::text::Font;
use ttf_parser::Face;

/// The typeface, with Latin, Greek and Cyrillic letters; its licence stands in LICENSE-NOTICES.md.
const TYPEFACE: &[u8] = include_bytes!("letters.ttf");

/// What stands for a character that the typeface does not have.
const UNKNOWN: char = '\u{fffd}';

/// Letters to write with.
#[derive(Debug)]
pub(super) struct Letters {
    /// The typeface as the file takes it.
    pub(super) font: Font,
    face: Face<'static>,
}

impl Letters {
    /// The letters; none if the typeface cannot be read.
    pub(super) fn new() -> Option<Self> {
        let font = Font::new(TYPEFACE.into(), 0)?;
        Some(Self { font, face: Face::parse(TYPEFACE, 0).ok()? })
    }

    /// The text as it can be written: on one line, and with a sign in the place of what there is no letter for.
    pub(super) fn writable(&self, text: &str) -> String {
        let letter = |c: char| match c {
            c if c.is_whitespace() || c.is_control() => ' ',
            c if self.face.glyph_index(c).is_some() => c,
            _ => UNKNOWN,
        };
        text.chars().map(letter).collect()
    }

    /// How far the text reaches with letters of this size (the em), mm.
    pub(super) fn width(&self, text: &str, size_mm: f64) -> f64 {
        let advance = |c: char| {
            let glyph = self.face.glyph_index(c).or_else(|| self.face.glyph_index(UNKNOWN));
            f64::from(glyph.and_then(|glyph| self.face.glyph_hor_advance(glyph)).unwrap_or(0))
        };
        text.chars().map(advance).sum::<f64>() * size_mm / f64::from(self.face.units_per_em())
    }

    /// Lines at most this wide, broken at blanks, and within a word where one alone is wider.
    pub(super) fn lines(&self, text: &str, size_mm: f64, width_mm: f64) -> Vec<String> {
        let mut lines = vec![String::new()];
        let text = self.writable(text);
        for word in text.split(' ').filter(|word| !word.is_empty()) {
            let Some(line) = lines.last_mut() else { break };
            let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
            if self.width(&longer, size_mm) <= width_mm {
                *line = longer;
            } else {
                self.broken(word, size_mm, width_mm, &mut lines);
            }
        }
        lines
    }

    fn broken(&self, word: &str, size_mm: f64, width_mm: f64, lines: &mut Vec<String>) {
        if lines.last().is_some_and(|line| !line.is_empty()) {
            lines.push(String::new());
        }
        for c in word.chars() {
            let Some(line) = lines.last_mut() else { return };
            line.push(c);
            if line.chars().count() > 1 && self.width(line, size_mm) > width_mm {
                line.pop();
                lines.push(c.to_string());
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop here")]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_their_width_and_lose_nothing() {
        let letters = Letters::new().unwrap();
        let text = "The quick brown fox jumps over averyveryverylongwordindeed that never ends";
        let lines = letters.lines(text, 3.0, 25.0);
        assert!(lines.len() > 3 && lines.iter().all(|line| letters.width(line, 3.0) <= 25.0), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
    }

    #[test]
    fn what_has_no_letter_is_seen_to_be_missing() {
        let letters = Letters::new().unwrap();
        assert_eq!(letters.writable("R1\u{7}\n\u{4e00} Ж"), "R1  \u{fffd} Ж");
    }
}
