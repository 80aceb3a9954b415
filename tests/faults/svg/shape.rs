//! Changes to the paths of SVG files.

use super::super::dice::Dice;
use super::super::kit::{Change, Good};
use super::super::table::Kind;
use super::{Command, Drawing, Element, attribute, with_attribute};

pub(super) const KINDS: &[Kind] = &[
    Kind::harmful("svg: a digit changed", digit_changed),
    Kind::harmful("svg: a digit lost", digit_lost),
    Kind::harmful("svg: a sign changed", sign_changed),
    Kind::harmful("svg: a decimal point lost", point_lost),
    Kind::harmful("svg: a command lost", command_lost),
    Kind::harmful("svg: commands swapped", commands_swapped),
    Kind::harmful("svg: a command made relative", relative),
    Kind::harmful("svg: an arc's sweep flag", |good, dice| flag(good, dice, 4)),
    Kind::harmful("svg: an arc's large flag", |good, dice| flag(good, dice, 3)),
    Kind::harmful("svg: an arc of another radius", radius),
    Kind::harmful("svg: an arc as a line", arc_straight),
    Kind::harmful("svg: an open path closed", closed),
    Kind::harmful("svg: a path lost", path_lost),
    Kind::harmful("svg: a path twice", path_twice),
    Kind::harmful("svg: a circle of another radius", circle_radius),
];

fn harmed(
    good: &Good,
    dice: &mut Dice,
    change: impl Fn(&Drawing, &mut Dice) -> Option<Change>,
) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    (0..20).find_map(|_| {
        let change = change(&drawing, dice)?;
        let same = change.bytes == good.text.as_bytes();
        if same { None } else { drawing.if_harmed(good, change) }
    })
}

/// A path cut through with one of its commands changed.
fn command(
    drawing: &Drawing,
    dice: &mut Dice,
    fits: impl Fn(&Command) -> bool,
    change: impl Fn(&mut Command, &mut Dice),
) -> Option<Change> {
    let has = |element: &Element| element.is_through() && element.commands.iter().any(&fits);
    let element = drawing.pick(dice, has)?;
    let fitting: Vec<usize> = (0..element.commands.len()).filter(|i| fits(&element.commands[*i])).collect();
    let mut commands = element.commands.clone();
    change(&mut commands[*dice.pick(&fitting)?], dice);
    drawing.with_path(element, &commands)
}

fn number(good: &Good, dice: &mut Dice, change: impl Fn(&str, &mut Dice) -> String) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        command(
            drawing,
            dice,
            |c| c.numbers.len() >= 2,
            |command, dice| {
                let which = command.numbers.len() - 1 - dice.below(2);
                command.numbers[which] = change(&command.numbers[which], dice);
            },
        )
    })
}

fn digit_changed(good: &Good, dice: &mut Dice) -> Option<Change> {
    number(good, dice, |number, dice| {
        let mut digits: Vec<char> = number.chars().collect();
        let place = dice.below(digits.len());
        digits[place].is_ascii_digit().then(|| digits[place] = char::from(b'0' + dice.below(10) as u8));
        digits.into_iter().collect()
    })
}

fn digit_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    number(good, dice, |number, dice| {
        let mut digits = number.to_owned();
        let place = dice.below(digits.len());
        (digits.len() > 1 && digits.as_bytes()[place].is_ascii_digit()).then(|| digits.remove(place));
        digits
    })
}

fn sign_changed(good: &Good, dice: &mut Dice) -> Option<Change> {
    number(good, dice, |number, _| format!("-{number}"))
}

fn point_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    number(good, dice, |number, _| number.replace('.', ""))
}

fn command_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let element = drawing.pick(dice, |e| e.is_through() && e.commands.len() > 2)?;
        let mut commands = element.commands.clone();
        commands.remove(1 + dice.below(commands.len() - 1));
        drawing.with_path(element, &commands)
    })
}

fn commands_swapped(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let element = drawing.pick(dice, |e| e.is_through() && e.commands.len() > 3)?;
        let mut commands = element.commands.clone();
        let which = 1 + dice.below(commands.len() - 3);
        commands.swap(which, which + 1);
        drawing.with_path(element, &commands)
    })
}

fn relative(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let fits = |c: &Command| ['L', 'A'].contains(&c.letter);
        command(drawing, dice, fits, |command, _| command.letter = command.letter.to_ascii_lowercase())
    })
}

fn is_arc(command: &Command) -> bool {
    command.letter == 'A'
}

fn flag(good: &Good, dice: &mut Dice, which: usize) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        command(drawing, dice, is_arc, |command, _| {
            let other = if command.numbers[which] == "0" { "1" } else { "0" };
            other.clone_into(&mut command.numbers[which]);
        })
    })
}

fn radius(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        command(drawing, dice, is_arc, |command, dice| {
            let radius = format!("{:.6}", command.number(0) * dice.between(0.3, 4.0));
            command.numbers[..2].fill(radius);
        })
    })
}

fn arc_straight(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        command(drawing, dice, is_arc, |command, _| {
            let ends = command.numbers.split_off(5);
            *command = Command { letter: 'L', numbers: ends };
        })
    })
}

fn is_closed(element: &Element) -> bool {
    element.is_through() && element.commands.last().is_some_and(|command| command.letter == 'Z')
}

/// Across a tab, or across the piece.
fn closed(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let element = drawing.pick(dice, |e| e.is_through() && e.is_path() && !is_closed(e))?;
        let mut commands = element.commands.clone();
        commands.push(Command { letter: 'Z', numbers: Vec::new() });
        drawing.with_path(element, &commands)
    })
}

/// Of cuts and scores: a name that is not marked spoils no part.
fn path_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let line = drawing.pick(dice, |element| element.group != "mark")?.line;
    let mut lines = drawing.lines.clone();
    let lost = lines.remove(line);
    Some(Drawing::written(&lines, format!("line {}: '{}'", line + 1, lost.trim())))
}

/// A laser burns it twice.
fn path_twice(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let line = drawing.pick(dice, Element::is_through)?.line;
    let mut lines = drawing.lines.clone();
    lines.insert(line, lines[line].clone());
    Some(Drawing::written(&lines, format!("line {}: '{}'", line + 1, lines[line].trim())))
}

fn circle_radius(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let element = drawing.pick(dice, |e| e.is_through() && !e.is_path())?;
        let line = &drawing.lines[element.line];
        let radius: f64 = attribute(line, "r")?.1.parse().ok()?;
        let other = format!("{:.6}", radius + dice.shift(0.06, 1.0));
        Some(drawing.changed(element.line, with_attribute(line, "r", &other)?))
    })
}
