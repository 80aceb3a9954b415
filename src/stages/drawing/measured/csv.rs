//! Points from a file: one to a line, x and y, and a word where there is a corner or a straight run begins.
//!
//! Comma, semicolon, tab and blanks part the values; where semicolons or tabs do, a comma may stand for the decimal point.
//! Lines that are empty or begin with `#` say nothing, nor do titles above the first point.

use super::Bench;
use crate::files;
use crate::geometry::{FARTHEST, Point};
use crate::problem::{Problem, Problems};
use crate::stages::job::measured::Prick;

/// More points than this nobody pricks.
const MOST: usize = 20_000;

impl Bench<'_> {
    /// The points of a file, whose numbers are this many mm each.
    pub(super) fn file_points(&mut self, file: &str, line: (usize, usize), scale: f64) -> Option<Vec<Prick>> {
        match files::read(&self.folder().join(file), files::DRAWING_LIMIT) {
            Ok(bytes) => read(&String::from_utf8_lossy(&bytes), file, scale, self.problems),
            Err(error) => {
                let hint = "check the path: names in a job file start from the job file's folder";
                self.wrong(line, "missing-file", &error.to_string(), hint);
                None
            }
        }
    }
}

/// Reads the text of a file of points. None where a line is none; it is told.
pub(super) fn read(text: &str, file: &str, scale: f64, problems: &mut Problems) -> Option<Vec<Prick>> {
    let mut pricks: Vec<Prick> = Vec::new();
    for (number, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        match prick(line, scale) {
            Some(prick) if pricks.len() < MOST => pricks.push(prick),
            None if pricks.is_empty()
                && !line.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)) => {}
            other => {
                let message = if other.is_some() {
                    format!("the file holds more than {MOST} points")
                } else {
                    format!("'{}' is no point", line.chars().take(40).collect::<String>())
                };
                let problem = Problem::error("point-file", message).in_file(file).at_line(number + 1, 1);
                problems.push(problem.hint("a line is x, y, and 'corner' or 'straight' where there is one"));
                return None;
            }
        }
    }
    Some(pricks)
}

fn prick(line: &str, scale: f64) -> Option<Prick> {
    let decimal_comma = line.contains([';', '\t']) && !line.contains('.');
    let parted = |c: char| c.is_whitespace() || c == ';' || (c == ',' && !decimal_comma);
    let mut words = line.split(parted).filter(|word| !word.is_empty());
    let mut number = || {
        let word = words.next()?;
        let value: f64 = if decimal_comma { word.replace(',', ".").parse() } else { word.parse() }.ok()?;
        let mm = value * scale;
        (mm.abs() <= FARTHEST).then_some(mm)
    };
    let at = Point::new(number()?, number()?);
    let mut prick = Prick { at, corner: false, straight: false };
    for word in words {
        match word.to_ascii_lowercase().as_str() {
            "corner" => prick.corner = true,
            "straight" => prick.straight = true,
            _ => return None,
        }
    }
    Some(prick)
}
