//! Comments that no name can break out of, in the post's own form.

use super::super::plain;
use crate::shop::post::{CommentForm, Comments, OtherLetters};

/// Signs that are safe in a comment of any form. Left out are parentheses, which may not nest, `;` and `%`, which mean
/// something to many controllers wherever they stand, and `!`, `?`, `~`, `$`, `@`, `#`, to which some of them react
/// even within comments (common practice, no source).
const SAFE_SIGNS: &str = " .,:+-_/=*'";

/// `text` in characters that are safe in any comment.
pub(super) fn safe(text: &str, comments: Comments) -> String {
    let mut out = String::new();
    for c in plain::one_line(text).chars() {
        if c.is_ascii_alphanumeric() || SAFE_SIGNS.contains(c) {
            out.push(c);
        } else if c.is_ascii() {
            out.push(' ');
        } else if comments.other_letters == OtherLetters::Transliterate {
            out.push_str(plain::nearest(c).unwrap_or(""));
        }
    }
    let text = out.split_whitespace().collect::<Vec<_>>().join(" ");
    let text = if comments.upper_case { text.to_ascii_uppercase() } else { text };
    not_active(text)
}

/// First words that make a comment more than one: `MSG,` shows the rest to the operator (RS-274/NGC); the others are
/// known to some controllers (from memory).
const ACTIVE: [&str; 7] = ["MSG", "DEBUG", "PRINT", "LOG", "LOGOPEN", "PROBEOPEN", "PYTHON"];

/// Such a comment without the comma that makes it act.
fn not_active(text: String) -> String {
    match text.split_once(',') {
        Some((first, rest)) if ACTIVE.contains(&first.trim().to_ascii_uppercase().as_str()) => {
            format!("{first} {}", rest.trim_start())
        }
        _ => text,
    }
}

/// The comment's lines, each with its marks and at most `room` characters long, broken between words where that can be.
pub(super) fn lines(text: &str, comments: Comments, room: usize) -> Vec<String> {
    let (open, close) = match comments.form {
        CommentForm::Parentheses => ("(", ")"),
        CommentForm::Semicolon => ("; ", ""),
        CommentForm::None => return Vec::new(),
    };
    let inside = room.saturating_sub(open.len() + close.len()).max(1);
    let broken = wrapped(&safe(text, comments), inside);
    broken.into_iter().map(|line| format!("{open}{}{close}", not_active(line))).collect()
}

/// ASCII text in lines of at most `most` characters.
fn wrapped(text: &str, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        for piece in word.as_bytes().chunks(most) {
            let piece = String::from_utf8_lossy(piece);
            match lines.last_mut() {
                Some(line) if line.len() + 1 + piece.len() <= most => {
                    line.push(' ');
                    line.push_str(&piece);
                }
                _ => lines.push(piece.into_owned()),
            }
        }
    }
    lines
}
