//! The text of a program: line numbers, spaces, comments, line ends and the limit on a line's length.

use super::comment;
use crate::shop::Post;

/// Line numbers do not pass this (RS-274/NGC).
const LAST_NUMBER: usize = 99_999;

/// A program being written.
pub(super) struct Lines<'p> {
    post: &'p Post,
    text: String,
    number: usize,
    /// The longest line that had no room, if any.
    pub(super) too_long: Option<String>,
}

impl<'p> Lines<'p> {
    pub(super) fn new(post: &'p Post) -> Self {
        let number = post.line.numbers.map_or(0, |n| n.start);
        Self { post, text: String::new(), number, too_long: None }
    }

    fn end(&mut self) {
        self.text.push_str(self.post.line.end.text());
    }

    /// A percent sign alone, where the post has them.
    pub(super) fn percent(&mut self) {
        if self.post.line.percent {
            self.text.push('%');
            self.end();
        }
    }

    /// The next line number with the space after it, as the post has it.
    fn numbered(&mut self) -> String {
        let Some(numbers) = self.post.line.numbers else { return String::new() };
        let text = format!("N{}{}", self.number, if self.post.line.spaces { " " } else { "" });
        self.number += numbers.step;
        if self.number > LAST_NUMBER {
            self.number = numbers.start;
        }
        text
    }

    fn put(&mut self, line: &str) {
        let from = self.text.len();
        let number = self.numbered();
        self.text.push_str(&number);
        self.text.push_str(line);
        let length = self.text.len() - from;
        let longest = self.too_long.as_ref().map_or(self.post.line.most, String::len);
        if length > longest {
            self.too_long = Some(self.text[from..].to_owned());
        }
        self.end();
    }

    /// One line of words.
    pub(super) fn words(&mut self, words: &[String]) {
        let line = words.join(if self.post.line.spaces { " " } else { "" });
        self.put(&line);
    }

    /// A line of words from a block, kept apart as the post says.
    pub(super) fn block(&mut self, line: &str) {
        let words: Vec<String> = line.split_whitespace().map(str::to_owned).collect();
        if !words.is_empty() {
            self.words(&words);
        }
    }

    /// A comment, over as many lines as it takes.
    pub(super) fn comment(&mut self, text: &str) {
        // Room for the longest line number and a space.
        let number = if self.post.line.numbers.is_some() { "N99999 ".len() } else { 0 };
        for line in comment::lines(text, self.post.comments, self.post.line.most - number) {
            self.put(&line);
        }
    }

    pub(super) fn finish(self) -> Vec<u8> {
        self.text.into_bytes()
    }
}
