//! Changes to SVG files that change nothing on the machine.

use grainwise::geometry::Point;

use super::super::dice::Dice;
use super::super::kit::{Change, Good};
use super::super::table::Kind;
use super::{Command, Drawing, Element};

pub(super) const KINDS: &[Kind] = &[
    Kind::harmless("svg: a comment", comment),
    Kind::harmless("svg: blank lines", blank_lines),
    Kind::harmless("svg: attributes in another order", attributes_swapped),
    Kind::harmless("svg: other quotes", other_quotes),
    Kind::harmless("svg: white space in tags", white_space),
    Kind::harmless("svg: an empty group", empty_group),
    Kind::harmless("svg: another title", title),
    Kind::harmless("svg: commas in paths", commas),
    Kind::harmless("svg: numbers with zeros and signs", zeros),
    Kind::harmless("svg: repeated letters left out", repeated),
    Kind::harmless("svg: a command properly relative", properly_relative),
    Kind::harmless("svg: a closing word left out", unclosed),
    Kind::harmless("svg: a micrometre", micrometre),
    Kind::harmless("svg: a corner on the line", corner_on),
    Kind::harmless("svg: a transform that does nothing", still),
];

fn inserted(good: &Good, dice: &mut Dice, more: &str) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = 2 + dice.below(drawing.lines.len() - 3);
    let mut lines = drawing.lines.clone();
    lines.insert(at, more.to_owned());
    Some(Drawing::written(&lines, format!("before line {}", at + 1)))
}

fn comment(good: &Good, dice: &mut Dice) -> Option<Change> {
    inserted(good, dice, "<!-- a remark -->")
}

fn blank_lines(good: &Good, dice: &mut Dice) -> Option<Change> {
    inserted(good, dice, "\n  \n")
}

fn element(good: &Good, dice: &mut Dice, change: impl Fn(&str) -> String) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = drawing.pick(dice, |_| true)?.line;
    Some(drawing.changed(at, change(&drawing.lines[at])))
}

fn attributes_swapped(good: &Good, dice: &mut Dice) -> Option<Change> {
    element(good, dice, |line| {
        let at = line.find(" data-part").unwrap();
        let part = line[at..].trim_end_matches("/>");
        let rest = line.replace(part, "");
        ["<path", "<circle"].iter().fold(rest, |line, tag| line.replace(tag, &format!("{tag}{part}")))
    })
}

fn other_quotes(good: &Good, dice: &mut Dice) -> Option<Change> {
    element(good, dice, |line| line.replace('"', "'"))
}

fn white_space(good: &Good, dice: &mut Dice) -> Option<Change> {
    element(good, dice, |line| {
        line.replace("/>", "\n  />").replace(" data-", "\n\t data-").replace("=\"", " = \"")
    })
}

/// Between the groups.
fn empty_group(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let ends: Vec<usize> = (0..drawing.lines.len()).filter(|i| drawing.lines[*i].contains("</g>")).collect();
    let at = *dice.pick(&ends)? + 1;
    let mut lines = drawing.lines.clone();
    lines.insert(at, (*dice.pick(&["<g></g>", "<g/>", "<g id=\"spare\"></g>"])?).to_owned());
    Some(Drawing::written(&lines, format!("before line {}", at + 1)))
}

fn title(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = drawing.lines.iter().position(|line| line.contains("<title>"))?;
    Some(drawing.changed(at, format!("  <title>Fenwren {}</title>", dice.below(1000))))
}

/// Between the numbers of a command. (After an arc's flags the parser takes no blank before a comma, as few have ever
/// written one.)
fn commas(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let element = drawing.pick(dice, Element::is_path)?;
    let mut commands = element.commands.clone();
    for command in &mut commands {
        let comma = if command.letter != 'A' && dice.coin() { " , " } else { "," };
        command.numbers = vec![command.numbers.join(comma)];
    }
    drawing.with_path(element, &commands)
}

/// The last command comes back to the beginning anyway.
fn unclosed(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let element =
        drawing.pick(dice, |e| e.is_through() && e.commands.last().is_some_and(|c| c.letter == 'Z'))?;
    let last = element.commands.len() - 1;
    (element.commands[last - 1].end() == element.commands[0].end()).then_some(())?;
    drawing.with_path(element, &element.commands[..last])
}

/// All numbers but flags, which have no other form.
fn zeros(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let element = drawing.pick(dice, Element::is_path)?;
    let mut commands = element.commands.clone();
    for command in &mut commands {
        let flags = if command.letter == 'A' { 3..5 } else { 0..0 };
        for (i, number) in command.numbers.iter_mut().enumerate().filter(|(i, _)| !flags.contains(i)) {
            *number = match (i % 2 == 0, number.contains('.')) {
                (true, true) => format!("{number}00"),
                (true, false) => format!("{number}.0"),
                (false, _) => format!("+{number}e0"),
            };
        }
    }
    drawing.with_path(element, &commands)
}

/// A letter counts for all numbers after it (W3C, SVG 1.1, 8.3.1).
fn repeated(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let twice = |element: &Element| element.commands.windows(2).any(|pair| pair[0].letter == pair[1].letter);
    let element = drawing.pick(dice, twice)?;
    let mut commands: Vec<Command> = Vec::new();
    for command in &element.commands {
        match commands.last_mut() {
            Some(last) if last.letter == command.letter => last.numbers.extend(command.numbers.clone()),
            _ => commands.push(command.clone()),
        }
    }
    drawing.with_path(element, &commands)
}

fn properly_relative(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let element = drawing.pick(dice, |element| element.commands.len() > 2)?;
    let mut commands = element.commands.clone();
    let which = 1 + dice.below(commands.len() - 1);
    let (from, to) = (commands[which - 1].end()?, commands[which].end()?);
    let command = &mut commands[which];
    let count = command.numbers.len();
    command.letter = command.letter.to_ascii_lowercase();
    command.numbers[count - 2] = format!("{:.6}", to.x - from.x);
    command.numbers[count - 1] = format!("{:.6}", to.y - from.y);
    drawing.with_path(element, &commands)
}

fn micrometre(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let element = drawing.pick(dice, |e| e.is_through() && e.is_path())?;
    let mut commands = element.commands.clone();
    let which = dice.below(commands.len() - 1);
    let last = commands[which].numbers.len() - 1 - dice.below(2);
    let number = commands[which].number(last) + dice.shift(0.0002, 0.001);
    commands[which].numbers[last] = format!("{number:.6}");
    drawing.with_path(element, &commands)
}

fn corner_on(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let element = drawing.pick(dice, |e| e.is_through() && e.is_path())?;
    let mut commands = element.commands.clone();
    let ends: Vec<Option<Point>> = commands.iter().map(Command::end).collect();
    let long = |i: &usize| {
        let straight = commands[*i].letter == 'L';
        straight && ends[*i].zip(ends[*i - 1]).is_some_and(|(a, b)| a.distance(b) > 1.0)
    };
    let sides: Vec<usize> = (1..commands.len()).filter(long).collect();
    let which = *dice.pick(&sides)?;
    let place = ends[which - 1]?.lerp(ends[which]?, dice.between(0.2, 0.8));
    let numbers = vec![format!("{:.6}", place.x), format!("{:.6}", place.y)];
    commands.insert(which, Command { letter: 'L', numbers });
    drawing.with_path(element, &commands)
}

fn still(good: &Good, dice: &mut Dice) -> Option<Change> {
    let all = ["translate(0)", "scale(1)", "rotate(0)", "matrix(1 0 0 1 0 0)"];
    let transform = format!(" transform=\"{}\" data-part", dice.pick(&all)?);
    element(good, dice, |line| line.replace(" data-part", &transform))
}
