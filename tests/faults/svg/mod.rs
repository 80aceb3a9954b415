//! Changes to SVG files. The reader here knows just what our own files hold: groups, paths of M, L, A and Z, circles, one
//! element on each line.

mod form;
mod harmless;
mod shape;

use grainwise::geometry::{Point, Segment};

use super::dice::Dice;
use super::kit::{Change, Form, Good};
use super::table::Kind;

/// Every kind of change to SVG files.
pub(super) const KINDS: &[&[Kind]] = &[shape::KINDS, form::KINDS, harmless::KINDS];

/// A command of a path: its letter and its numbers as they are written.
#[derive(Clone, Debug, PartialEq)]
struct Command {
    letter: char,
    numbers: Vec<String>,
}

/// A path or circle and the line that holds it.
#[derive(Clone, Debug)]
struct Element {
    line: usize,
    group: String,
    /// Empty for a circle.
    commands: Vec<Command>,
}

#[derive(Clone, Debug)]
struct Drawing {
    lines: Vec<String>,
    elements: Vec<Element>,
    height: f64,
}

/// The value of an attribute in a line, and where it stands.
fn attribute<'a>(line: &'a str, name: &str) -> Option<(usize, &'a str)> {
    let key = format!(" {name}=\"");
    let begin = line.find(&key)? + key.len();
    Some((begin, &line[begin..begin + line[begin..].find('"')?]))
}

fn with_attribute(line: &str, name: &str, value: &str) -> Option<String> {
    let (at, old) = attribute(line, name)?;
    Some(format!("{}{value}{}", &line[..at], &line[at + old.len()..]))
}

fn commands(path: &str) -> Vec<Command> {
    let mut commands: Vec<Command> = Vec::new();
    for token in path.split_whitespace() {
        match token.chars().next() {
            Some(letter) if letter.is_ascii_alphabetic() => {
                commands.push(Command { letter, numbers: Vec::new() });
            }
            _ => commands.last_mut().unwrap().numbers.push(token.to_owned()),
        }
    }
    commands
}

fn path(commands: &[Command]) -> String {
    let words = commands.iter().map(|c| [&[c.letter.to_string()][..], &c.numbers[..]].concat().join(" "));
    words.collect::<Vec<_>>().join(" ")
}

impl Command {
    fn number(&self, which: usize) -> f64 {
        self.numbers.get(which).and_then(|number| number.parse().ok()).unwrap_or(f64::NAN)
    }

    fn end(&self) -> Option<Point> {
        let count = self.numbers.len();
        (count >= 2).then(|| Point::new(self.number(count - 2), self.number(count - 1)))
    }
}

impl Drawing {
    /// The drawing in a good file; none where it is no SVG.
    fn of(good: &Good) -> Option<Self> {
        (good.form == Form::Svg).then(|| Self::read(&good.text, good))
    }

    fn read(text: &str, good: &Good) -> Self {
        let lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let mut elements = Vec::new();
        let mut group = String::new();
        for (line, text) in lines.iter().enumerate() {
            if text.trim_start().starts_with("<g ") {
                attribute(text, "id").unwrap().1.clone_into(&mut group);
            }
            let commands = attribute(text, "d").map(|(_, path)| commands(path)).unwrap_or_default();
            if !commands.is_empty() || text.contains("<circle") {
                elements.push(Element { line, group: group.clone(), commands });
            }
        }
        Self { lines, elements, height: good.plan.size_mm[1] }
    }

    fn segments(&self, element: &Element) -> Vec<Segment> {
        let up = |p: Point| Point::new(p.x, self.height - p.y);
        if element.commands.is_empty() {
            let number =
                |name| attribute(&self.lines[element.line], name).unwrap().1.parse().unwrap_or(f64::NAN);
            let centre = up(Point::new(number("cx"), number("cy")));
            let at = |x: f64, y: f64| centre + grainwise::geometry::Vec2::new(x, y) * number("r");
            let ring = [at(1.0, 0.0), at(0.0, 1.0), at(-1.0, 0.0), at(0.0, -1.0), at(1.0, 0.0)];
            return ring.windows(2).map(|pair| Segment::about(pair[0], pair[1], centre, true)).collect();
        }
        let mut segments = Vec::new();
        let (mut first, mut here) = (Point::ORIGIN, Point::ORIGIN);
        for command in &element.commands {
            let end = match (command.letter, command.end()) {
                ('Z', _) | (_, None) => first,
                ('l' | 'a', Some(by)) => here + by.to_vec2(),
                (_, Some(to)) => to,
            };
            if command.letter == 'M' {
                first = end;
            } else if here != end {
                segments.push(Segment::arc(up(here), up(end), bulge(command, here, end)));
            }
            here = end;
        }
        segments
    }

    fn through(&self) -> Vec<Segment> {
        self.elements.iter().filter(|e| e.is_through()).flat_map(|e| self.segments(e)).collect()
    }

    fn pick(&self, dice: &mut Dice, fits: impl Fn(&Element) -> bool) -> Option<&Element> {
        dice.pick(&self.elements.iter().filter(|element| fits(element)).collect::<Vec<_>>()).copied()
    }

    fn written(lines: &[String], what: impl Into<String>) -> Change {
        Change::new(lines.iter().flat_map(|line| [line, "\n"]).collect::<String>(), what)
    }

    fn changed(&self, line: usize, text: impl Into<String>) -> Change {
        let mut lines = self.lines.clone();
        lines[line] = text.into();
        let what = format!("line {}: '{}' -> '{}'", line + 1, self.lines[line].trim(), lines[line].trim());
        Self::written(&lines, what)
    }

    fn with_path(&self, element: &Element, commands: &[Command]) -> Option<Change> {
        let line = with_attribute(&self.lines[element.line], "d", &path(commands))?;
        Some(self.changed(element.line, line))
    }

    fn if_harmed(&self, good: &Good, change: Change) -> Option<Change> {
        let now = Self::read(std::str::from_utf8(&change.bytes).unwrap(), good);
        good.harmed(&self.through(), &now.through()).then_some(change)
    }
}

impl Element {
    fn is_through(&self) -> bool {
        self.group.starts_with("cut")
    }

    fn is_path(&self) -> bool {
        !self.commands.is_empty()
    }
}

/// The bulge of an arc on the sheet, where y points up: flag 0 runs counter-clockwise there.
fn bulge(command: &Command, from: Point, to: Point) -> f64 {
    if !command.letter.eq_ignore_ascii_case(&'A') {
        return 0.0;
    }
    let half = from.distance(to) / 2.0;
    let radius = command.number(0).abs().max(half);
    let high = (radius * radius - half * half).sqrt();
    let sagitta = if command.number(3) == 0.0 { radius - high } else { radius + high };
    sagitta / half * if command.number(4) == 0.0 { 1.0 } else { -1.0 }
}
