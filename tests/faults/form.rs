//! Changes to files as bytes, whatever they hold.

use super::dice::Dice;
use super::kit::{Change, Form, Good};
use super::table::Kind;

pub(super) const KINDS: &[Kind] = &[
    Kind::harmful("a file cut off", |good, dice| Some(cut_off(good, dice))),
    Kind::harmful("a file with its beginning lost", beginning_lost),
    Kind::harmful("a file with a block lost", |good, dice| Some(block_lost(good, dice))),
    Kind::harmful("an empty file", |_, _| Some(Change::new("", "nothing left"))),
    Kind::harmful("a NUL byte", nul),
    Kind::harmful("a drawing twice in one file", |good, _| {
        good.post.is_none().then(|| Change::new(good.text.repeat(2), "twice"))
    }),
    Kind::harmful("another sheet's file", |good, _| Some(Change::new(good.other.clone(), "the other sheet"))),
    Kind::harmful("another machine's file", other_machine),
    Kind::harmless("carriage returns before line feeds", |good, _| {
        (!good.text.contains('\r')).then(|| Change::new(good.text.replace('\n', "\r\n"), "all line ends"))
    }),
];

/// Somewhere before its last cut ends.
fn cut_off(good: &Good, dice: &mut Dice) -> Change {
    let least = good.text.len() / 4;
    let most = good.text.len() * 9 / 10;
    let at = least + dice.below(most - least);
    Change::new(&good.text[..at], format!("after byte {at} of {}", good.text.len()))
}

fn beginning_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    let at = good.text.len() / 2 + dice.below(good.text.len() / 4);
    let at = at + good.text[at..].find('\n')? + 1;
    Some(Change::new(&good.text[at..], format!("up to byte {at} of {}", good.text.len())))
}

/// A third of the file, from its middle third on: where the paths are.
fn block_lost(good: &Good, dice: &mut Dice) -> Change {
    let third = good.text.len() / 3;
    let at = third + dice.below(third / 2);
    let text = format!("{}{}", &good.text[..at], &good.text[at + third..]);
    Change::new(text, format!("{third} bytes from byte {at} on"))
}

/// In the lower half, where no header and no comment is that could hold it unharmed.
fn nul(good: &Good, dice: &mut Dice) -> Option<Change> {
    let least = good.text.len() / 2;
    let place = least + dice.below(good.text.len() * 4 / 10);
    let (before, line) = good.text.split_at(place + good.text[place..].find('\n')? + 1);
    let line = line.lines().next()?;
    let is_comment = good.form == Form::Gcode && line.contains(['(', ';']);
    (!is_comment && line.len() > 2).then_some(())?;
    let at = before.len() + line.len() / 2;
    let (before, after) = good.text.split_at(at);
    Some(Change::new(format!("{before}\0{after}"), format!("at byte {at}, in '{line}'")))
}

/// A file of the same sheet for a machine of another kind.
fn other_machine(good: &Good, dice: &mut Dice) -> Option<Change> {
    let others: Vec<&Good> = super::kit::all()
        .iter()
        .filter(|other| other.milled() != good.milled() && (other.post.is_some() == good.post.is_some()))
        .collect();
    let other = *dice.pick(&others)?;
    Some(Change::new(other.text.clone(), format!("that of {}", other.name)))
}
