//! How a controller departs from the standard: read from the data of its post, never from what writes the files.

use super::words::{self, Code};
use crate::shop::post::{BlockLine, CommentForm, Drive, Placeholder, Post, PowerPlace};

/// Longest line that the standard allows, characters.
const LONGEST_LINE: usize = 256;

/// What marks a comment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CommentMark {
    /// `( )`, as in the standard.
    Parentheses,
    /// From `;` to the end of the line.
    Semicolon,
}

/// What a controller takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Dialect {
    /// What marks a comment.
    pub comments: CommentMark,
    /// Longest line, characters.
    pub longest_line: usize,
    /// Whether a dwell's P counts thousandths of a second instead of seconds.
    pub dwell_in_milliseconds: bool,
    /// The beam, where there is one.
    pub beam: Option<BeamWords>,
    /// Millimetres in one unit of a controller that always is in it, so that its programs need not say it.
    pub implied_unit: Option<f64>,
    extra: Vec<(u8, Code)>,
}

/// The words of a beam.
#[derive(Clone, Debug, PartialEq)]
pub struct BeamWords {
    on: Vec<Code>,
    off: Vec<Code>,
    /// Letter of the power.
    pub letter: u8,
    /// Number that stands for full power.
    pub scale: f64,
}

impl Dialect {
    /// The standard itself, on a machine with a spindle.
    pub const fn standard() -> Self {
        Self {
            comments: CommentMark::Parentheses,
            longest_line: LONGEST_LINE,
            dwell_in_milliseconds: false,
            beam: None,
            implied_unit: None,
            extra: Vec::new(),
        }
    }

    /// What a post says of its controller.
    pub fn of(post: &Post) -> Self {
        let comments = match post.comments.form {
            CommentForm::Semicolon => CommentMark::Semicolon,
            CommentForm::Parentheses | CommentForm::None => CommentMark::Parentheses,
        };
        let milliseconds = post.dwell.iter().any(|line| names(line, Placeholder::Milliseconds));
        Self {
            comments,
            longest_line: post.line.most.min(LONGEST_LINE),
            dwell_in_milliseconds: milliseconds,
            beam: beam(post),
            implied_unit: codes(&post.words.implied).into_iter().find_map(unit),
            extra: codes(&post.words.extra),
        }
    }

    /// Whether the controller has this word although the standard has not, or not so.
    pub(super) fn declares(&self, letter: u8, code: Code) -> bool {
        self.extra.contains(&(letter, code))
    }

    /// Whether the standard has this word and the controller has not, or not so: it could turn a beam on in a way that
    /// the post says nothing of.
    pub(super) fn lacks(&self, letter: u8, code: Code) -> bool {
        let turns = letter == b'M' && matches!(code, 30 | 40 | 50);
        turns && self.beam.as_ref().is_some_and(|beam| !beam.on.contains(&code) && !beam.off.contains(&code))
    }

    /// Whether these M words turn the beam on (`true`) or off; none where they do neither.
    pub(super) fn switches(&self, codes: &[Code]) -> Option<bool> {
        let beam = self.beam.as_ref()?;
        let last = codes.iter().rev().find(|code| beam.on.contains(code) || beam.off.contains(code))?;
        Some(beam.on.contains(last))
    }
}

fn beam(post: &Post) -> Option<BeamWords> {
    let Drive::Beam { on, off, scale, power } = &post.drive else { return None };
    let codes = |block: &[BlockLine]| -> Vec<Code> {
        let words = block.iter().flat_map(|line| pairs(&filled(line, None)));
        words.filter_map(as_code).filter(|(letter, _)| *letter == b'M').map(|(_, code)| code).collect()
    };
    let letter = match power {
        PowerPlace::Line(letter) => *letter as u8,
        PowerPlace::Block => on.iter().find_map(power_letter).unwrap_or(b'S'),
    };
    Some(BeamWords { on: codes(on), off: codes(off), letter, scale: *scale })
}

fn names(line: &BlockLine, placeholder: Placeholder) -> bool {
    matches!(line, BlockLine::Words { text, .. } if text.names(placeholder))
}

/// The words of a line, with 1 in the place of every placeholder but the one that is left empty.
fn filled(line: &BlockLine, empty: Option<Placeholder>) -> String {
    match line {
        BlockLine::Words { text, .. } => {
            text.fill(|hole| if Some(hole) == empty { String::new() } else { "1".to_owned() })
        }
        BlockLine::Comment(_) => String::new(),
    }
}

/// The letter before `{power}`: the one that has no number where nothing stands for the power.
fn power_letter(line: &BlockLine) -> Option<u8> {
    let bare = pairs(&filled(line, Some(Placeholder::Power)));
    bare.into_iter().find(|(_, number)| number.is_none()).map(|(letter, _)| letter)
}

/// Letters with their numbers, loosely read: the post has been checked when it was loaded.
fn pairs(text: &str) -> Vec<(u8, Option<f64>)> {
    let mut pairs: Vec<(u8, String)> = Vec::new();
    for byte in text.bytes().filter(|b| !b.is_ascii_whitespace()) {
        match pairs.last_mut() {
            Some((_, number)) if !byte.is_ascii_alphabetic() => number.push(char::from(byte)),
            _ => pairs.push((byte.to_ascii_uppercase(), String::new())),
        }
    }
    pairs.into_iter().map(|(letter, number)| (letter, number.parse().ok())).collect()
}

fn codes(words: &[String]) -> Vec<(u8, Code)> {
    words.iter().flat_map(|text| pairs(text)).filter_map(as_code).collect()
}

/// Millimetres in the unit of G20 or G21.
fn unit(word: (u8, Code)) -> Option<f64> {
    match word {
        (b'G', 200) => Some(25.4),
        (b'G', 210) => Some(1.0),
        _ => None,
    }
}

fn as_code((letter, number): (u8, Option<f64>)) -> Option<(u8, Code)> {
    Some((letter, words::code(number?)?))
}
