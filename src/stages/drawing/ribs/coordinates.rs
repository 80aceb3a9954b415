//! Files of aerofoil coordinates, as people pass them on: x and y to a line, chord 1, a title above.
//!
//! Most run from the tail along the upper surface to the nose and back along the lower; some give both surfaces from the
//! nose on, with or without a line that counts them; a few begin at the nose and go round. Titles, remarks and empty
//! lines are passed over, columns beyond the second too.

use crate::geometry::Point;

/// So far from the length of a chord of 1 a file is taken as it is: noses and tails lie a little off.
const ABOUT_ONE: std::ops::RangeInclusive<f64> = 0.9..=1.1;

/// From one point to the next more than this, in chords, is a jump back to the nose.
const JUMP: f64 = 0.5;

/// A first point within this of the nose or the tail, in chords, begins there.
const NEAR: f64 = 0.1;

/// More points than this no section has.
const MOST: usize = 20_000;

/// More columns than this no such file has.
const COLUMNS: usize = 16;

/// No coordinate lies farther out.
const BEYOND: f64 = 1e6;

/// Why a file tells no section.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unread {
    /// No line is two numbers.
    #[error("it holds {0} lines of coordinates: a section needs six at least")]
    Points(usize),
    /// More lines than anyone writes.
    #[error("it holds more than 20000 points")]
    Long,
    /// A number that is none.
    #[error("line {0} holds a coordinate that is not finite or far beyond any chord")]
    NotFinite(usize),
    /// The points leap about.
    #[error("its points do not follow each other: line {0} leaps across the section")]
    Leaps(usize),
}

/// The points of a file from the tail along the upper surface to the nose and back, chord 1.
///
/// # Errors
/// [`Unread`] says why there are none.
pub fn points(text: &str) -> Result<Vec<Point>, Unread> {
    let rows = rows(text)?;
    let (mut lines, mut points): (Vec<usize>, Vec<Point>) = rows.into_iter().unzip();
    if points.len() > 2 && is_count(points[0]) {
        lines.remove(0);
        points.remove(0);
    }
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for point in &points {
        (least, most) = (least.min(point.x), most.max(point.x));
    }
    let chord = most - least;
    if points.len() < 6 || chord <= 0.0 {
        return Err(Unread::Points(points.len()));
    }
    if !ABOUT_ONE.contains(&chord) {
        for p in &mut points {
            *p = Point::new((p.x - least) / chord, p.y / chord);
        }
        (least, most) = (0.0, 1.0);
    }
    let leaps: Vec<usize> =
        (1..points.len()).filter(|&i| (points[i].x - points[i - 1].x).abs() > JUMP).collect();
    match leaps.as_slice() {
        [] => Ok(from_the_tail(points, most)),
        // Both surfaces from the nose on.
        [leap] if points[0].x < least + NEAR && points[*leap].x < least + NEAR => {
            let lower = points.split_off(*leap);
            Ok(points.into_iter().rev().chain(lower).collect())
        }
        // Both surfaces from the tail on.
        [leap] if points[0].x > most - NEAR && points[*leap].x > most - NEAR => {
            let lower = points.split_off(*leap);
            Ok(points.into_iter().chain(lower.into_iter().rev()).collect())
        }
        // Straight flanks have no points between nose and tail.
        _ if points.len() < 20 => Ok(from_the_tail(points, most)),
        [leap, ..] => Err(Unread::Leaps(lines[*leap])),
    }
}

/// Lines of numbers, with their line numbers. Some files begin with the bounds of a grid: of lines with different numbers
/// of columns those of the commonest count.
fn rows(text: &str) -> Result<Vec<(usize, Point)>, Unread> {
    let mut rows = Vec::new();
    for (number, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let words = line.split(|c: char| c.is_whitespace() || c == ',' || c == ';').filter(|w| !w.is_empty());
        // A line with a word in it is a title or a remark, though it begin with numbers.
        let Ok(words) = words.map(str::parse).collect::<Result<Vec<f64>, _>>() else { continue };
        let [x, y, ..] = words.as_slice() else { continue };
        let at = Point::new(*x, *y);
        if !at.is_finite() || x.abs().max(y.abs()) > BEYOND {
            return Err(Unread::NotFinite(number + 1));
        }
        rows.push((words.len(), (number + 1, at)));
        if rows.len() > MOST {
            return Err(Unread::Long);
        }
    }
    let count = |columns: usize| rows.iter().filter(|row| row.0 == columns).count();
    let common = (2..=COLUMNS).rev().max_by_key(|columns| count(*columns)).unwrap_or(2);
    Ok(rows.into_iter().filter(|row| row.0 == common).map(|row| row.1).collect())
}

/// Whether a line counts the points of both surfaces rather than being one.
fn is_count(row: Point) -> bool {
    let whole = |value: f64| value >= 2.0 && value.fract() == 0.0;
    whole(row.x) && whole(row.y)
}

/// A closed round of points begun at its tail, if it is not already.
fn from_the_tail(mut points: Vec<Point>, most: f64) -> Vec<Point> {
    if points[0].x > most - NEAR {
        return points;
    }
    if points[0].distance(points[points.len() - 1]) <= 1e-9 {
        points.pop();
    }
    let last = (0..points.len()).max_by(|&a, &b| points[a].x.total_cmp(&points[b].x)).unwrap_or(0);
    points.rotate_left(last);
    let first = points[0];
    points.push(first);
    points
}
