//! Changes to the paths of DXF files.

use super::super::dice::Dice;
use super::super::kit::{Change, Form, Good};
use super::super::table::Kind;
use super::{Corner, Drawing, Entity};

pub(super) const KINDS: &[Kind] = &[
    Kind::harmful("dxf: a digit changed", digit_changed),
    Kind::harmful("dxf: a digit lost", digit_lost),
    Kind::harmful("dxf: a sign changed", sign_changed),
    Kind::harmful("dxf: a decimal point lost", point_lost),
    Kind::harmful("dxf: a bulge of the other sign", |good, dice| bulge(good, dice, -1.0)),
    Kind::harmful("dxf: a bulge halved", |good, dice| bulge(good, dice, 0.5)),
    Kind::harmful("dxf: a bulge lost", bulge_lost),
    Kind::harmful("dxf: a bulge moved to the next corner", bulge_moved),
    Kind::harmful("dxf: a corner lost", corner_lost),
    Kind::harmful("dxf: a corner off the line", corner_off),
    Kind::harmful("dxf: corners swapped", corners_swapped),
    Kind::harmful("dxf: a closed polyline opened", opened),
    Kind::harmful("dxf: an open polyline closed", closed),
    Kind::harmful("dxf: a circle of another radius", radius),
    Kind::harmful("dxf: an entity lost", entity_lost),
    Kind::harmful("dxf: an entity twice", entity_twice),
    Kind::harmful("dxf: another layer", other_layer),
    Kind::harmful("dxf: an unknown layer", unknown_layer),
    Kind::harmful("dxf: another colour", other_colour),
    Kind::harmful("dxf: another unit", other_unit),
    Kind::harmful("dxf: an extrusion that mirrors", mirroring),
    Kind::harmful("dxf: an entity in paper space", paper_space),
    Kind::harmful("dxf: an invisible entity", invisible),
    Kind::harmful("dxf: a layer off or frozen", layer_off),
];

fn harmed(
    good: &Good,
    dice: &mut Dice,
    change: impl Fn(&Drawing, &mut Dice) -> Option<Change>,
) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    (0..12).find_map(|_| {
        let change = change(&drawing, dice)?;
        let same = change.bytes == good.text.as_bytes();
        if same { None } else { drawing.if_harmed(good, change) }
    })
}

/// A corner of a cut through, and which one it is.
fn corner<'a>(drawing: &'a Drawing, dice: &mut Dice) -> Option<(&'a Entity, usize)> {
    let entity = drawing.pick(dice, Entity::is_through)?;
    let which = dice.below(entity.corners.len());
    Some((entity, which))
}

fn coordinate(drawing: &Drawing, dice: &mut Dice) -> Option<usize> {
    let (entity, which) = corner(drawing, dice)?;
    let Corner { x, y, .. } = entity.corners[which];
    Some(if dice.coin() { x } else { y })
}

fn digit_changed(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let at = coordinate(drawing, dice)?;
        let mut digits: Vec<char> = drawing.groups[at].1.chars().collect();
        let place = dice.below(digits.len());
        digits[place].is_ascii_digit().then(|| digits[place] = char::from(b'0' + dice.below(10) as u8));
        Some(drawing.changed(at, digits.into_iter().collect::<String>()))
    })
}

fn digit_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let at = coordinate(drawing, dice)?;
        let mut digits = drawing.groups[at].1.clone();
        let place = dice.below(digits.len());
        digits.as_bytes()[place].is_ascii_digit().then(|| digits.remove(place));
        Some(drawing.changed(at, digits))
    })
}

fn sign_changed(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let at = coordinate(drawing, dice)?;
        Some(drawing.changed(at, format!("-{}", drawing.groups[at].1.trim())))
    })
}

fn point_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let at = coordinate(drawing, dice)?;
        Some(drawing.changed(at, drawing.groups[at].1.replace('.', "")))
    })
}

fn bulged(drawing: &Drawing, dice: &mut Dice) -> Option<(usize, f64)> {
    let (entity, which) = corner(drawing, dice)?;
    let group = entity.corners[which].bulge?;
    Some((group, drawing.number(group)))
}

fn bulge(good: &Good, dice: &mut Dice, factor: f64) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let (at, bulge) = (0..20).find_map(|_| bulged(drawing, dice))?;
        Some(drawing.changed(at, format!("{:.9}", bulge * factor)))
    })
}

fn bulge_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let (at, _) = (0..20).find_map(|_| bulged(drawing, dice))?;
        Some(drawing.without((at, at + 1)))
    })
}

fn bulge_moved(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let (at, _) = (0..20).find_map(|_| bulged(drawing, dice))?;
        let next = drawing.entities.iter().find_map(|entity| {
            entity.corners.windows(2).find(|pair| pair[0].bulge == Some(at)).map(|p| p[1].clone())
        })?;
        let mut groups = drawing.groups.clone();
        if let Some(other) = next.bulge {
            (groups[at].1, groups[other].1) = (groups[other].1.clone(), groups[at].1.clone());
        } else {
            let group = groups.remove(at);
            groups.insert(next.groups.1 - 1, group);
        }
        Some(Drawing::written(&groups, format!("the bulge of line {}", 2 * at + 1)))
    })
}

/// The count of corners is kept right, so that it does not give the loss away.
fn counted(drawing: &Drawing, entity: &Entity, groups: &mut [super::Group], by: isize) {
    let count = (entity.groups.0..entity.groups.1).find(|i| drawing.groups[*i].0 == "90");
    if let Some(at) = count {
        groups[at].1 = entity.corners.len().saturating_add_signed(by).to_string();
    }
}

fn corner_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let (entity, which) = corner(drawing, dice)?;
        (entity.is_polyline() && entity.corners.len() > 2).then_some(())?;
        let mut groups = drawing.groups.clone();
        counted(drawing, entity, &mut groups, -1);
        let (begin, end) = entity.corners[which].groups;
        groups.drain(begin..end);
        Some(Drawing::written(&groups, format!("the corner of line {}", 2 * begin + 1)))
    })
}

/// A corner more, beside the middle of a straight side, on either side of it.
fn corner_off(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let (entity, which) = corner(drawing, dice)?;
        let side = drawing.segments(entity).get(which).copied()?;
        (entity.is_polyline() && side.is_line() && side.length() > 1.0).then_some(())?;
        let off = dice.shift(0.1, 2.0);
        let place = side.at(0.5) + side.tangent(0.5).turn_90() * off;
        Some(with_corner(drawing, entity, which, (place.x, place.y)))
    })
}

/// A corner more, after one.
pub(super) fn with_corner(drawing: &Drawing, entity: &Entity, which: usize, at: (f64, f64)) -> Change {
    let mut groups = drawing.groups.clone();
    counted(drawing, entity, &mut groups, 1);
    let corner = &entity.corners[which];
    let mut more: Vec<super::Group> = groups[corner.groups.0..corner.groups.1].to_vec();
    let (x, y) = (corner.x - corner.groups.0, corner.y - corner.groups.0);
    (more[x].1, more[y].1) = (format!("{:.6}", at.0), format!("{:.6}", at.1));
    more.retain(|(code, _)| code != "42");
    if let Some(handle) = more.iter_mut().find(|(code, _)| code == "5") {
        handle.1 = "FF1".into();
    }
    groups.splice(corner.groups.1..corner.groups.1, more);
    Drawing::written(&groups, format!("a corner at {at:?} after line {}", 2 * corner.groups.1))
}

fn corners_swapped(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let (entity, which) = corner(drawing, dice)?;
        let (one, other) = (entity.corners.get(which)?, entity.corners.get(which + 1)?);
        let mut groups = drawing.groups.clone();
        for (a, b) in [(one.x, other.x), (one.y, other.y)] {
            (groups[a].1, groups[b].1) = (groups[b].1.clone(), groups[a].1.clone());
        }
        Some(Drawing::written(
            &groups,
            format!("the corners of lines {} and {}", 2 * one.x + 1, 2 * other.x + 1),
        ))
    })
}

fn opened(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let is_closed = |e: &Entity| e.is_through() && e.is_polyline() && drawing.closed(e);
        Some(drawing.changed(drawing.pick(dice, is_closed)?.flag?, "0"))
    })
}

/// Across a tab, or across the piece.
fn closed(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let is_open = |e: &Entity| e.is_through() && e.is_polyline() && !drawing.closed(e);
        Some(drawing.changed(drawing.pick(dice, is_open)?.flag?, "1"))
    })
}

fn radius(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |drawing, dice| {
        let at = drawing.pick(dice, |e| e.is_through() && !e.is_polyline())?.radius?;
        Some(drawing.changed(at, format!("{:.6}", drawing.number(at) + dice.shift(0.06, 1.0))))
    })
}

/// Of cuts and scores: a name that is not marked spoils no part.
fn real(entity: &Entity) -> bool {
    entity.layer != "mark"
}

fn entity_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    Some(drawing.without(drawing.pick(dice, real)?.groups))
}

/// A laser burns it twice.
fn entity_twice(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let (begin, end) = drawing.pick(dice, Entity::is_through)?.groups;
    let mut groups = drawing.groups.clone();
    let mut more: Vec<super::Group> = groups[begin..end].to_vec();
    for (n, (_, value)) in more.iter_mut().filter(|(code, _)| code == "5").enumerate() {
        *value = format!("FF{n:X}");
    }
    groups.splice(end..end, more);
    Some(Drawing::written(&groups, format!("lines {} to {} twice", 2 * begin + 1, 2 * end)))
}

fn on_layer(drawing: &Drawing, entity: &Entity, layer: &str) -> Change {
    let mut groups = drawing.groups.clone();
    let (begin, end) = entity.groups;
    groups[begin..end]
        .iter_mut()
        .filter(|(code, _)| code == "8")
        .for_each(|(_, value)| layer.clone_into(value));
    Drawing::written(
        &groups,
        format!("lines {} to {} from {} to {layer}", 2 * begin + 1, 2 * end, entity.layer),
    )
}

/// From one that cuts to one that does not, or the other way round.
fn other_layer(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let entity = drawing.pick(dice, |_| true)?;
    let others: &[&str] =
        if entity.is_through() { &["mark", "score"] } else { &["cut-inside", "cut-outside"] };
    dice.pick(others).map(|layer| on_layer(&drawing, entity, layer))
}

fn unknown_layer(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let entity = drawing.pick(dice, real)?;
    dice.pick(&["0", "cuts", "Layer 1", "etch"]).map(|layer| on_layer(&drawing, entity, layer))
}

/// That of what does another thing to the wood: many machines go by colours, and the machine's file says them. Colours 30
/// and 94 both cut through.
fn other_colour(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let entity = drawing.pick(dice, |_| true)?;
    let (begin, end) = entity.groups;
    let colour = (begin..end).find(|i| drawing.groups[*i].0 == "62")?;
    let others: &[&str] = match entity.layer.as_str() {
        "mark" => &["30", "94", "201"],
        "score" => &["30", "94", "141"],
        _ => &["201", "141"],
    };
    dice.pick(others).map(|other| drawing.changed(colour, *other))
}

/// Inches, feet, centimetres, metres (the DXF reference, $INSUNITS).
fn other_unit(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = drawing.groups.iter().position(|(_, value)| value == "$INSUNITS")? + 1;
    dice.pick(&["1", "2", "5", "6"]).map(|unit| drawing.changed(at, *unit))
}

/// Extrusion (0, 0, -1): x is mirrored.
fn mirroring(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let entity = drawing.pick(dice, real)?;
    let heavy = good.form == Form::R12 && entity.is_polyline();
    let at = if heavy { entity.corners[0].groups.0 } else { entity.groups.1 };
    Some(drawing.inserted(at, &[("210", "0.0"), ("220", "0.0"), ("230", "-1.0")]))
}

fn after_layer(drawing: &Drawing, dice: &mut Dice, group: (&str, &str)) -> Option<Change> {
    let (begin, end) = drawing.pick(dice, real)?.groups;
    let layer = (begin..end).find(|i| drawing.groups[*i].0 == "8")?;
    Some(drawing.inserted(layer + 1, &[group]))
}

/// What lies in paper space is not of the drawing, and no machine cuts it.
fn paper_space(good: &Good, dice: &mut Dice) -> Option<Change> {
    after_layer(&Drawing::of(good)?, dice, ("67", "1"))
}

fn invisible(good: &Good, dice: &mut Dice) -> Option<Change> {
    (good.form == Form::R2000).then_some(())?;
    after_layer(&Drawing::of(good)?, dice, ("60", "1"))
}

/// A negative colour turns a layer off, flag 1 freezes it.
fn layer_off(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let layer = *dice.pick(&["cut-inside", "cut-outside", "score"])?;
    let name = drawing.groups.iter().position(|(code, value)| code == "2" && value == layer)?;
    let (flags, colour) = (name + 1, name + 2);
    if dice.coin() {
        return Some(drawing.changed(flags, "1"));
    }
    Some(drawing.changed(colour, format!("-{}", drawing.groups[colour].1)))
}
