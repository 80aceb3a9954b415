//! Pairs of group code and value, the only thing that DXF is made of, and the handles that name its objects.

use std::fmt::{Display, Write as _};

use super::super::decimal;
use crate::geometry::Point;

/// A file or a piece of one being written.
#[derive(Default)]
pub(super) struct Groups {
    text: String,
}

impl Groups {
    /// One pair.
    pub(super) fn put(&mut self, code: u16, value: impl Display) {
        // Writing into a string cannot fail.
        let _ = writeln!(self.text, "{code}\n{value}");
    }

    /// Several pairs of text.
    pub(super) fn all(&mut self, pairs: &[(u16, &str)]) {
        for (code, value) in pairs {
            self.put(*code, value);
        }
    }

    /// A length.
    pub(super) fn length(&mut self, code: u16, value: f64) {
        self.put(code, decimal::length(value));
    }

    /// x and y at a code and ten above it.
    pub(super) fn point(&mut self, code: u16, at: Point) {
        self.length(code, at.x);
        self.length(code + 10, at.y);
    }

    /// x, y and a z of 0.
    pub(super) fn point3(&mut self, code: u16, at: Point) {
        self.point(code, at);
        self.length(code + 20, 0.0);
    }

    /// A variable of the header.
    pub(super) fn variable(&mut self, name: &str, code: u16, value: impl Display) {
        self.put(9, name);
        self.put(code, value);
    }

    /// What `inside` writes, as a section.
    pub(super) fn section(&mut self, name: &str, inside: impl FnOnce(&mut Self)) {
        self.all(&[(0, "SECTION"), (2, name)]);
        inside(self);
        self.put(0, "ENDSEC");
    }

    /// Another piece.
    pub(super) fn append(&mut self, piece: &Self) {
        self.text.push_str(&piece.text);
    }

    pub(super) fn finish(mut self) -> String {
        self.put(0, "EOF");
        self.text
    }
}

/// Handles in order, from 1.
#[derive(Default)]
pub(super) struct Handles(u64);

/// A handle: a number, hexadecimal in the file.
#[derive(Clone, Copy)]
pub(super) struct Handle(u64);

impl Handle {
    /// What an object without an owner names as its owner.
    pub(super) const NONE: Self = Self(0);
}

impl Display for Handle {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:X}", self.0)
    }
}

impl Handles {
    pub(super) fn next(&mut self) -> Handle {
        self.0 += 1;
        Handle(self.0)
    }
}
