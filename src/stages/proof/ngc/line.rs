//! One line to its words: the grammar of a line, before anything is carried out.

use super::Fault;
use super::dialect::{CommentMark, Dialect};

/// A letter with its number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Word {
    pub(super) letter: u8,
    pub(super) number: f64,
}

/// Largest line number.
const LAST_NUMBER: f64 = 99_999.0;

/// Digits of a line number at the most.
const NUMBER_DIGITS: usize = 5;

/// Splits a line into `words`, comments and line number left out; the slash that marks an optional line comes back.
/// Spaces and tabs mean nothing outside comments, not even within numbers; lower case is upper case.
pub(super) fn split(line: &[u8], dialect: &Dialect, words: &mut Vec<Word>) -> Result<bool, Fault> {
    words.clear();
    if line.len() > dialect.longest_line {
        let (has, most) = (line.len(), dialect.longest_line);
        return Err(Fault::new(
            "line-too-long",
            format!("the line has {has} characters, {most} are allowed"),
        ));
    }
    let mut code = Vec::with_capacity(line.len());
    without_comments(line, dialect, &mut code)?;
    let optional = code.first() == Some(&b'/');
    let mut rest = &code[usize::from(optional)..];
    let mut first = true;
    while let Some((&letter, after)) = rest.split_first() {
        let (digits, next) = number(letter, after)?;
        if letter == b'N' {
            line_number(digits, first)?;
        } else {
            let text = std::str::from_utf8(digits).unwrap_or_default();
            let number = text.parse().map_err(|_| bad_number(letter, digits))?;
            words.push(Word { letter, number });
        }
        (rest, first) = (next, false);
    }
    Ok(optional)
}

/// Copies what is not comment, in capitals and without spaces.
fn without_comments(line: &[u8], dialect: &Dialect, code: &mut Vec<u8>) -> Result<(), Fault> {
    let mut inside = false;
    for &byte in line {
        match (inside, byte) {
            (true, b'(') => return Err(Fault::new("comment-nested", "a comment opens within a comment")),
            (true, b')') => inside = false,
            (true, _) | (false, b' ' | b'\t') => {}
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
            (false, byte) => code.push(byte.to_ascii_uppercase()),
        }
    }
    if inside { Err(Fault::new("comment-not-closed", "a comment is not closed on its line")) } else { Ok(()) }
}

/// The digits of a word's number, and what follows it.
fn number(letter: u8, after: &[u8]) -> Result<(&[u8], &[u8]), Fault> {
    if matches!(letter, b'#' | b'[' | b']' | b'=') || matches!(after.first(), Some(b'#' | b'[')) {
        return Err(Fault::new("expression", "parameters and expressions are not followed"));
    }
    if !letter.is_ascii_uppercase() {
        let shown =
            if letter.is_ascii_graphic() { char::from(letter).to_string() } else { format!("byte {letter}") };
        return Err(Fault::new("no-word", format!("'{shown}' begins no word")));
    }
    let sign = usize::from(matches!(after.first(), Some(b'+' | b'-')));
    let length = after[sign..].iter().position(|b| !(b.is_ascii_digit() || *b == b'.'));
    let (digits, next) = after.split_at(length.map_or(after.len(), |n| n + sign));
    let twice = digits.split(|b| *b == b'.').nth(2).is_some();
    if twice || !digits.iter().any(u8::is_ascii_digit) {
        return Err(bad_number(letter, digits));
    }
    Ok((digits, next))
}

fn bad_number(letter: u8, digits: &[u8]) -> Fault {
    let digits = String::from_utf8_lossy(digits);
    Fault::new("bad-number", format!("'{}{digits}' is not a letter with a number", char::from(letter)))
}

/// A line number comes first, in at most five digits.
fn line_number(digits: &[u8], first: bool) -> Result<(), Fault> {
    let whole = digits.iter().all(u8::is_ascii_digit) && digits.len() <= NUMBER_DIGITS;
    let value: f64 = std::str::from_utf8(digits).unwrap_or_default().parse().unwrap_or(f64::INFINITY);
    if !first {
        return Err(Fault::new("line-number-late", "a line number has to come first"));
    }
    if whole && value <= LAST_NUMBER {
        return Ok(());
    }
    Err(Fault::new("line-number", "a line number has one to five digits and nothing else"))
}
