//! A small reader of G-code for these tests, written from RS-274/NGC without a look at the writer: it checks the form
//! of every line and gives the path back.

use std::f64::consts::TAU;

use grainwise::geometry::Point;
use grainwise::shop::Post;
use grainwise::shop::post::{CommentForm, LineEnd, PostUnits};

/// One motion as it was read, mm.
#[derive(Clone, Debug)]
pub(crate) struct Done {
    pub(crate) motion: u32,
    pub(crate) from: Point,
    pub(crate) to: Point,
    pub(crate) z: f64,
    pub(crate) centre: Option<Point>,
    pub(crate) feed: f64,
    pub(crate) power: f64,
}

impl Done {
    /// How far the radii at both ends differ.
    pub(crate) fn radii_differ(&self) -> f64 {
        self.centre.map_or(0.0, |c| (self.from.distance(c) - self.to.distance(c)).abs())
    }

    /// Angle of an arc, counter-clockwise positive; equal ends are a full circle.
    pub(crate) fn sweep(&self) -> f64 {
        let Some(c) = self.centre else { return 0.0 };
        let angle = |p: Point| (p.y - c.y).atan2(p.x - c.x);
        let turn = (angle(self.to) - angle(self.from)).rem_euclid(TAU);
        let turn = if self.from == self.to { 0.0 } else { turn };
        if self.motion == 3 { if turn == 0.0 { TAU } else { turn } } else { turn - TAU }
    }

    /// Its middle.
    pub(crate) fn middle(&self) -> Point {
        let Some(c) = self.centre else { return self.from.midpoint(self.to) };
        let (sin, cos) = (self.sweep() / 2.0).sin_cos();
        let v = self.from - c;
        Point::new(c.x + v.x * cos - v.y * sin, c.y + v.x * sin + v.y * cos)
    }
}

/// The words of a line, comments taken out; panics where the line has not the post's form.
fn words(line: &str, post: &Post) -> Vec<(char, f64)> {
    assert!(line.len() <= post.line.most.min(256), "too long: {line}");
    assert!(line.bytes().all(|b| (32..127).contains(&b)), "not plain ASCII: {line:?}");
    let code = match post.comments.form {
        CommentForm::Semicolon => line.split(';').next().unwrap(),
        CommentForm::Parentheses => match line.split_once('(') {
            Some((before, comment)) => {
                let inside = comment.strip_suffix(')').expect("a comment is closed at the end of its line");
                assert!(!inside.contains(['(', ')']), "nested: {line}");
                before
            }
            None => line,
        },
        CommentForm::None => line,
    };
    let mut words = Vec::new();
    for c in code.chars().filter(|c| *c != ' ') {
        if c.is_ascii_alphabetic() {
            words.push((c, String::new()));
        } else {
            assert!(c.is_ascii_digit() || ".+-".contains(c), "{c:?} in {line}");
            words.last_mut().expect("a number follows a letter").1.push(c);
        }
    }
    words.into_iter().map(|(c, n)| (c, n.parse().unwrap_or_else(|_| panic!("{c}{n} in {line}")))).collect()
}

/// Lines without their ends, which have to be the post's own.
fn lines<'t>(text: &'t str, post: &Post) -> Vec<&'t str> {
    let end = post.line.end.text();
    assert!(text.ends_with(end));
    if post.line.end == LineEnd::Lf {
        assert!(!text.contains('\r'));
    }
    text.strip_suffix(end).unwrap().split(end).collect()
}

/// Reads a program and gives its motions.
pub(crate) fn read(text: &str, post: &Post) -> Vec<Done> {
    let mut lines = lines(text, post);
    if post.line.percent {
        assert_eq!((lines.remove(0), lines.pop()), ("%", Some("%")));
    }
    let unit = if post.units == PostUnits::Inch { 25.4 } else { 1.0 };
    let mut done: Vec<Done> = Vec::new();
    let (mut at, mut z, mut motion, mut feed, mut power) = (Point::ZERO, 0.0, 1, 0.0, 0.0);
    for line in lines {
        let words = words(line, post);
        let of = |letter| words.iter().find(|w| w.0 == letter).map(|w| w.1);
        for (i, (letter, _)) in words.iter().enumerate() {
            let again = words[i + 1..].iter().any(|w| w.0 == *letter);
            assert!(!again || "GM".contains(*letter), "{letter} twice: {line}");
        }
        if let Some(numbers) = &post.line.numbers {
            assert!(words[0].0 == 'N' && words[0].1 as usize % numbers.step == numbers.start % numbers.step);
        }
        feed = of('F').map_or(feed, |f| f * unit);
        power = of('S').unwrap_or(power);
        let motions: Vec<u32> =
            words.iter().filter(|w| w.0 == 'G' && w.1 < 4.0).map(|w| w.1 as u32).collect();
        assert!(motions.len() <= 1, "two motions: {line}");
        motion = motions.first().copied().unwrap_or(motion);
        let to = Point::new(of('X').map_or(at.x, |x| x * unit), of('Y').map_or(at.y, |y| y * unit));
        let to_z = of('Z').map_or(z, |z| z * unit);
        if ['X', 'Y', 'Z'].iter().all(|axis| of(*axis).is_none()) {
            continue;
        }
        let centre = (motion >= 2).then(|| match (of('R'), of('I'), of('J')) {
            (Some(r), None, None) => by_radius(at, to, r * unit, motion == 3),
            (None, Some(i), Some(j)) => Point::new(at.x + i * unit, at.y + j * unit),
            _ => panic!("neither a centre nor a radius: {line}"),
        });
        assert!(motion != 0 || of('F').is_none());
        done.push(Done { motion, from: at, to, z: to_z, centre, feed, power });
        (at, z) = (to, to_z);
    }
    done
}

/// The centre of an arc of R form: of the two, the one whose arc is at most a half circle.
fn by_radius(from: Point, to: Point, r: f64, counter_clockwise: bool) -> Point {
    assert!(r > 0.0);
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let half = dx.hypot(dy) / 2.0;
    let off =
        (r * r - half * half).max(0.0).sqrt() / (2.0 * half) * if counter_clockwise { 1.0 } else { -1.0 };
    let middle = from.midpoint(to);
    Point::new(middle.x - dy * off, middle.y + dx * off)
}
