//! One line to its words: the grammar of a line, before anything is carried out.

use super::dialect::{CommentMark, Dialect};
use super::{Fault, number};

/// A letter with its number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Word {
    pub(super) letter: u8,
    pub(super) number: f64,
}

/// Largest line number.
const LAST_NUMBER: f64 = 99_999.0;

/// Digits of a line number at the most.
const NUMBER_DIGITS: u32 = 5;

/// A line, sorted into its words; kept from line to line for its room.
#[derive(Debug, Default)]
pub(super) struct Split {
    /// Words in their order, the line number left out.
    pub(super) words: Vec<Word>,
    /// The line number.
    pub(super) number: Option<u32>,
    /// Whether a slash marks the line as optional.
    pub(super) optional: bool,
    bare: Vec<u8>,
}

impl Split {
    /// Splits a line into its words. Spaces and tabs mean nothing outside comments, not even within numbers; lower case
    /// is upper case.
    pub(super) fn line(&mut self, line: &[u8], dialect: &Dialect) -> Result<(), Fault> {
        self.words.clear();
        (self.number, self.optional) = (None, false);
        // A look without branches, which tells the few lines with comments from the many without.
        let odd = line.iter().fold(false, |odd, b| odd | matches!(b, b'(' | b')' | b';' | b'\r'));
        if !odd {
            return self.split(line);
        }
        let mut bare = std::mem::take(&mut self.bare);
        let done = without_comments(line, dialect, &mut bare).and_then(|()| self.split(&bare));
        self.bare = bare;
        done
    }

    fn split(&mut self, line: &[u8]) -> Result<(), Fault> {
        let mut rest = skip(line);
        if let Some((b'/', after)) = rest.split_first() {
            (self.optional, rest) = (true, skip(after));
        }
        let mut first = true;
        while let Some((letter, after)) = rest.split_first() {
            let letter = letter.to_ascii_uppercase();
            let next = skip(after).first();
            if matches!(letter, b'#' | b'[' | b']' | b'=') || matches!(next, Some(b'#' | b'[')) {
                return Err(Fault::new("expression", "parameters and expressions are not followed"));
            }
            if !letter.is_ascii_uppercase() {
                return Err(no_word(letter));
            }
            let (number, length) = number::read(letter, after)?;
            if letter == b'N' {
                self.number = Some(line_number(number, first)?);
            } else {
                self.words.push(Word { letter, number: number.value });
            }
            (rest, first) = (skip(&after[length..]), false);
        }
        Ok(())
    }
}

/// The text from the first byte that is not blank.
fn skip(text: &[u8]) -> &[u8] {
    let blanks = text.iter().take_while(|byte| matches!(byte, b' ' | b'\t')).count();
    &text[blanks..]
}

fn no_word(letter: u8) -> Fault {
    let shown =
        if letter.is_ascii_graphic() { char::from(letter).to_string() } else { format!("byte {letter}") };
    Fault::new("no-word", format!("'{shown}' begins no word"))
}

/// Copies what is not comment.
fn without_comments(line: &[u8], dialect: &Dialect, bare: &mut Vec<u8>) -> Result<(), Fault> {
    bare.clear();
    let mut inside = false;
    for &byte in line {
        match (inside, byte) {
            (_, b'\r') => {
                let message = "a carriage return stands within the line: some controllers end it there";
                return Err(Fault::new("stray-carriage-return", message));
            }
            (true, b'(') => return Err(Fault::new("comment-nested", "a comment opens within a comment")),
            (true, b')') => inside = false,
            (true, _) => {}
            (false, b'(') if dialect.comments == CommentMark::Parentheses => inside = true,
            (false, b'(') => {
                return Err(Fault::new("comment-form", "this controller knows no comment in parentheses"));
            }
            (false, b')') => {
                return Err(Fault::new("comment-not-open", "a comment closes that did not open"));
            }
            (false, b';') if dialect.comments == CommentMark::Semicolon => return Ok(()),
            (false, b';') => {
                return Err(Fault::new("comment-form", "this controller knows no comment after a semicolon"));
            }
            (false, byte) => bare.push(byte),
        }
    }
    if inside { Err(Fault::new("comment-not-closed", "a comment is not closed on its line")) } else { Ok(()) }
}

/// A line number comes first, in at most five digits.
fn line_number(number: number::Number, first: bool) -> Result<u32, Fault> {
    if !first {
        return Err(Fault::new("line-number-late", "a line number has to come first"));
    }
    match number.whole {
        Some(digits) if digits <= NUMBER_DIGITS && number.value <= LAST_NUMBER => Ok(number.value as u32),
        _ => Err(Fault::new("line-number", "a line number has one to five digits and nothing else")),
    }
}
