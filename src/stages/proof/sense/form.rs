//! The form of a file that has to be as strict as our own: line numbers without a gap, line ends as the post has them.

use super::Tally;
use crate::shop::Post;
use crate::shop::post::{LineEnd, LineNumbers};
use crate::stages::proof::ngc::{Ending, LineRead};

/// Line numbers do not pass this (RS-274/NGC).
const LAST_NUMBER: usize = 99_999;

/// Watches the form of a program's lines.
#[derive(Debug)]
pub(in crate::stages::proof) struct Form {
    numbers: Option<LineNumbers>,
    /// Whether a line feed alone is not enough. The other way round is harmless: controllers pass over a carriage return
    /// before a line feed (common practice, no source).
    wants_crlf: bool,
    /// The number that the next line should have; none after a line that could not be read.
    next: Option<usize>,
    last_line: usize,
}

impl Form {
    pub(in crate::stages::proof) fn new(post: &Post) -> Self {
        let numbers = post.line.numbers;
        let next = numbers.map(|numbers| numbers.start);
        Self { numbers, wants_crlf: post.line.end == LineEnd::Crlf, next, last_line: 0 }
    }

    /// One line of the program.
    pub(in crate::stages::proof) fn line(&mut self, line: LineRead, tally: &mut Tally) {
        self.last_line = line.line;
        if self.wants_crlf && line.end == Ending::Lf {
            tally.error("line-end", line.line, None, || {
                "the line ends by a line feed alone, the controller wants a carriage return before it".into()
            });
        }
        if let Some(numbers) = self.numbers {
            self.number(line, numbers, tally);
        }
    }

    /// A line broke a rule: where it could not even be read, its number is not known.
    pub(in crate::stages::proof) fn fault(&mut self, line: usize) {
        if line != self.last_line {
            self.next = None;
        }
    }

    fn number(&mut self, line: LineRead, numbers: LineNumbers, tally: &mut Tally) {
        let code = "line-number-order";
        let Some(number) = line.number.map(|n| n as usize) else {
            if line.words {
                tally.error(code, line.line, None, || "a line has no number where the others have".into());
            }
            return;
        };
        if let Some(due) = self.next.filter(|due| *due != number) {
            tally.error(code, line.line, None, || {
                format!("N{number} stands where N{due} is due: a line is missing, doubled or swapped")
            });
        }
        let next = number + numbers.step;
        self.next = Some(if next > LAST_NUMBER { numbers.start } else { next });
    }
}
