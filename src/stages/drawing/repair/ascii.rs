//! Group pairs of an ASCII file, found again where a line too many or too few has put them out of step.

use super::pair::{Kind, Pair, Value, kind_of, shortened};
use crate::problem::Problem;
use crate::stages::drawing::talk::Talk;

/// So many pairs ahead must make sense for a place to count as the beginning of one.
const PAIRS_AHEAD: usize = 3;

/// Lines, whatever ends them: a line feed, a carriage return, or both.
#[derive(Clone, Copy, Debug)]
struct Lines<'a> {
    rest: &'a [u8],
    /// Number of the line that comes next, from 1.
    number: usize,
}

impl<'a> Lines<'a> {
    fn next(&mut self) -> Option<&'a [u8]> {
        if self.rest.is_empty() {
            return None;
        }
        let end = self.rest.iter().position(|b| matches!(b, b'\n' | b'\r')).unwrap_or(self.rest.len());
        let (line, after) = self.rest.split_at(end);
        self.rest = &after[line_end(after)..];
        self.number += 1;
        Some(line)
    }
}

/// Length of the line end that `after` begins with: carriage returns before a line feed belong to it.
fn line_end(after: &[u8]) -> usize {
    let returns = after.iter().take_while(|b| **b == b'\r').count();
    if after.get(returns) == Some(&b'\n') { returns + 1 } else { after.len().min(1) }
}

/// Reads pairs from text.
#[derive(Debug)]
pub(super) struct TextPairs<'a> {
    lines: Lines<'a>,
    /// Whether the last line of the file was cut off.
    pub(super) cut_off: bool,
}

impl<'a> TextPairs<'a> {
    pub(super) fn new(text: &'a [u8]) -> Self {
        Self { lines: Lines { rest: text, number: 1 }, cut_off: false }
    }

    /// The next pair; none at the end of the file.
    pub(super) fn next(&mut self, talk: &mut Talk) -> Option<Pair<'a>> {
        loop {
            let place = self.lines.number;
            let line = self.lines.next()?;
            if is_blank(line) {
                if !self.at_end() {
                    talk.push_at(place, blank_line());
                }
                continue;
            }
            let Some(code) = code_of(line) else {
                self.skip_to_a_pair(place, line, talk);
                continue;
            };
            let Some(value) = self.value_of(code, place, talk) else {
                self.cut_off = true;
                return None;
            };
            match value {
                Step::Value(value) => return Some(Pair { code, value, place }),
                Step::Again => {}
            }
        }
    }

    fn at_end(&self) -> bool {
        is_tail(self.lines.rest)
    }

    /// The value after a code, or word that the code was none.
    fn value_of(&mut self, code: i32, place: usize, talk: &mut Talk) -> Option<Step<'a>> {
        let before = self.lines;
        let value = self.lines.next()?;
        // A file that stops within a line cannot be told from one whose last line is whole, save that it must be EOF.
        self.cut_off = self.lines.rest.is_empty() && value.len() == before.rest.len();
        let (fitting, blank) = (fits(code, value), is_blank(value));
        if (fitting && !blank) || plausible(self.lines) {
            return Some(Step::Value(Value::Text(value)));
        }
        let mut later = self.lines;
        if blank && later.next().is_some_and(|line| fits(code, line)) && plausible(later) {
            talk.push_at(before.number, blank_line());
            let value = self.lines.next()?;
            return Some(Step::Value(Value::Text(value)));
        }
        if !fitting && plausible(before) {
            talk.push_at(place, stray_line(&code.to_string()));
            self.lines = before;
            return Some(Step::Again);
        }
        Some(Step::Value(Value::Text(value)))
    }

    fn skip_to_a_pair(&mut self, place: usize, line: &[u8], talk: &mut Talk) {
        talk.push_at(place, stray_line(&String::from_utf8_lossy(line)));
        while !self.lines.rest.is_empty() && !plausible(self.lines) {
            self.lines.next();
        }
    }
}

enum Step<'a> {
    Value(Value<'a>),
    Again,
}

/// Whether nothing but a few blanks is left of the file. A longer run of blanks is not looked through, as that would be
/// done again for each of its lines.
fn is_tail(rest: &[u8]) -> bool {
    rest.len() <= 1024 && is_blank(rest)
}

fn is_blank(line: &[u8]) -> bool {
    line.iter().all(|b| b.is_ascii_whitespace() || matches!(b, 0 | 0x1a))
}

/// The group code on a line.
fn code_of(line: &[u8]) -> Option<i32> {
    let text = std::str::from_utf8(line.trim_ascii()).ok()?;
    text.parse::<i32>().ok().filter(|code| (-9..=1100).contains(code))
}

/// Whether a line may be the value of a code.
fn fits(code: i32, line: &[u8]) -> bool {
    match kind_of(code) {
        Some(Kind::Real | Kind::Whole(_)) => Pair { code, value: Value::Text(line), place: 0 }.real().is_ok(),
        _ if code == 0 => {
            let word = line.trim_ascii();
            !word.is_empty()
                && word.iter().all(|b| b.is_ascii_alphanumeric() || b"_-$*".contains(b))
                && word.iter().any(u8::is_ascii_alphabetic)
        }
        _ => true,
    }
}

/// Whether the lines that come next can be read as pairs.
fn plausible(mut lines: Lines) -> bool {
    for _ in 0..PAIRS_AHEAD {
        let Some(line) = lines.next() else { return true };
        if is_blank(line) && is_tail(lines.rest) {
            return true;
        }
        let Some(code) = code_of(line).filter(|code| kind_of(*code).is_some()) else { return false };
        let Some(value) = lines.next() else { return false };
        if !fits(code, value) {
            return false;
        }
    }
    true
}

fn blank_line() -> Problem {
    Problem::warning("blank-line", "a blank line stands where a group code or number should; it was skipped")
        .hint("the file was damaged on its way; export the drawing again if something is missing")
}

fn stray_line(line: &str) -> Problem {
    Problem::warning(
        "stray-line",
        format!("'{}' is no group code here; it was skipped", shortened(line.trim())),
    )
    .hint("the file is damaged at this line; export the drawing again if something is missing")
}
