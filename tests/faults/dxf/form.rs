//! Changes to the form of DXF files.

use super::super::dice::Dice;
use super::super::kit::{Change, Good};
use super::super::table::Kind;
use super::{Drawing, Entity};

pub(super) const KINDS: &[Kind] = &[
    Kind::harmful("dxf: a line of a group lost", line_lost),
    Kind::harmful("dxf: a number garbled", garbled),
    Kind::harmful("dxf: a number absurd", absurd),
    Kind::harmful("dxf: the end lost", end_lost),
    Kind::harmful("dxf: an entity of another kind", other_entity),
];

fn coordinate(drawing: &Drawing, dice: &mut Dice) -> Option<usize> {
    let entity = drawing.pick(dice, Entity::is_through)?;
    let corner = dice.pick(&entity.corners)?;
    Some(if dice.coin() { corner.x } else { corner.y })
}

/// From there on codes are taken for values.
fn line_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let line = 2 * coordinate(&drawing, dice)? + dice.below(2);
    let lines = good.text.lines().enumerate().filter(|(i, _)| *i != line);
    let text: String = lines.flat_map(|(_, line)| [line, "\n"]).collect();
    Some(Change::new(text, format!("line {}", line + 1)))
}

fn garbled(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = coordinate(&drawing, dice)?;
    let comma = drawing.groups[at].1.replace('.', ",");
    let number = *dice.pick(&[comma.as_str(), "", "abc", "1.2.3", "--4", "1O.5"])?;
    Some(drawing.changed(at, number))
}

fn absurd(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = coordinate(&drawing, dice)?;
    dice.pick(&["nan", "inf", "-inf", "1e300", "1e9", "-99999999"]).map(|number| drawing.changed(at, *number))
}

/// The file ends among its entities.
fn end_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let entity = drawing.pick(dice, Entity::is_through)?;
    let what = format!("the file ends before line {}", 2 * entity.groups.0 + 1);
    Some(Drawing::written(&drawing.groups[..entity.groups.0], what))
}

/// Something that no cut file of ours holds.
fn other_entity(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = drawing.pick(dice, |_| true)?.groups.0;
    let more: &[(&str, &str)] = match dice.below(3) {
        0 => &[("0", "TEXT"), ("8", "cut-inside"), ("10", "20.0"), ("20", "20.0"), ("40", "5.0"), ("1", "A")],
        1 => &[
            ("0", "LINE"),
            ("8", "cut-inside"),
            ("10", "0.0"),
            ("20", "0.0"),
            ("11", "90.0"),
            ("21", "60.0"),
        ],
        _ => &[("0", "POINT"), ("8", "cut-inside"), ("10", "20.0"), ("20", "20.0")],
    };
    Some(drawing.inserted(at, more))
}
