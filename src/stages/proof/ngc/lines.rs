//! A stream to its lines, in little memory whatever it holds.

use std::io::{self, BufRead};

/// A line without its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct RawLine<'a> {
    /// Its bytes; of a line that is too long only the first ones.
    pub(super) text: &'a [u8],
    /// How many bytes it has.
    pub(super) length: usize,
    /// What ended it.
    pub(super) end: Ending,
}

/// What ends a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// Line feed.
    Lf,
    /// Carriage return and line feed.
    Crlf,
    /// The end of the file.
    File,
}

/// Hands over every line, until `each` says that it has seen enough. No more than `most` bytes of a line are gathered
/// where the stream gives it in pieces.
pub(super) fn each(
    mut reader: impl BufRead,
    most: usize,
    mut each: impl FnMut(RawLine<'_>) -> bool,
) -> io::Result<()> {
    let mut begun = Begun::default();
    loop {
        let chunk = match reader.fill_buf() {
            Ok([]) => break,
            Ok(chunk) => chunk,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            Err(error) => return Err(error),
        };
        let (taken, mut rest) = (chunk.len(), chunk);
        while let Some(end) = rest.iter().position(|byte| *byte == b'\n') {
            let (line, after) = (&rest[..end], &rest[end + 1..]);
            let more = if begun.length == 0 {
                each(raw(line, line.len(), true))
            } else {
                begun.add(line, most);
                let more = each(raw(&begun.text, begun.length, begun.last == b'\r'));
                begun.clear();
                more
            };
            if !more {
                return Ok(());
            }
            rest = after;
        }
        begun.add(rest, most);
        reader.consume(taken);
    }
    if begun.length > 0 {
        let ended = raw(&begun.text, begun.length, begun.last == b'\r');
        each(RawLine { end: Ending::File, ..ended });
    }
    Ok(())
}

/// A line of which the stream has given only the beginning.
#[derive(Default)]
struct Begun {
    text: Vec<u8>,
    length: usize,
    last: u8,
}

impl Begun {
    fn add(&mut self, bytes: &[u8], most: usize) {
        let room = most.saturating_sub(self.text.len()).min(bytes.len());
        self.text.extend_from_slice(&bytes[..room]);
        self.length += bytes.len();
        self.last = bytes.last().copied().unwrap_or(self.last);
    }

    fn clear(&mut self) {
        self.text.clear();
        self.length = 0;
    }
}

/// A line that a line feed ended; the carriage return before it belongs to its end.
fn raw(text: &[u8], length: usize, carriage: bool) -> RawLine<'_> {
    match text.split_last() {
        Some((b'\r', before)) if carriage && text.len() == length => {
            RawLine { text: before, length: length - 1, end: Ending::Crlf }
        }
        _ if carriage && text.len() < length => RawLine { text, length: length - 1, end: Ending::Crlf },
        _ => RawLine { text, length, end: Ending::Lf },
    }
}
