//! Changes to DXF files that change nothing on the machine.

use super::super::dice::Dice;
use super::super::kit::{Change, Good};
use super::super::table::Kind;
use super::shape::with_corner;
use super::{Drawing, Entity, Group};

pub(super) const KINDS: &[Kind] = &[
    Kind::harmless("dxf: a comment", comment),
    Kind::harmless("dxf: codes set in", codes_set_in),
    Kind::harmless("dxf: zeros at the end", |good, dice| {
        numbers(good, dice, |number| format!("{number}000"))
    }),
    Kind::harmless("dxf: zeros taken away", |good, dice| {
        numbers(good, dice, |number| number.trim_end_matches('0').trim_end_matches('.').to_owned())
    }),
    Kind::harmless("dxf: numbers with exponents", |good, dice| {
        numbers(good, dice, |number| format!("{:e}", number.parse::<f64>().unwrap()))
    }),
    Kind::harmless("dxf: a micrometre", |good, dice| {
        let by = dice.shift(0.0002, 0.001);
        numbers(good, dice, move |number| format!("{:.6}", number.parse::<f64>().unwrap() + by))
    }),
    Kind::harmless("dxf: a corner on the line", corner_on),
    Kind::harmless("dxf: a closed polyline begun elsewhere", begun_elsewhere),
    Kind::harmless("dxf: a polyline run backwards", backwards),
    Kind::harmless("dxf: entities in another order", other_order),
    Kind::harmless("dxf: the layer's colour", |good, dice| {
        let drawing = Drawing::of(good)?;
        let (begin, end) = drawing.pick(dice, |_| true)?.groups;
        let colour = (begin..end).find(|i| drawing.groups[*i].0 == "62")?;
        Some(drawing.changed(colour, "256"))
    }),
    Kind::harmless("dxf: an unused layer", unused_layer),
    Kind::harmless("dxf: a header variable more", variable),
];

/// Groups of code 999 are comments (the DXF reference).
fn comment(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let begins: Vec<usize> = drawing.entities.iter().map(|entity| entity.groups.0).collect();
    dice.pick(&begins).map(|at| drawing.inserted(*at, &[("999", "a remark")]))
}

fn codes_set_in(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let width = 3 + dice.below(4);
    let groups: Vec<Group> =
        drawing.groups.iter().map(|(code, value)| (format!("{code:>width$}"), value.clone())).collect();
    Some(Drawing::written(&groups, format!("to {width} columns")))
}

/// Some coordinates of an entity written otherwise.
fn numbers(good: &Good, dice: &mut Dice, change: impl Fn(&str) -> String) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let entity = drawing.pick(dice, Entity::is_through)?;
    let mut groups = drawing.groups.clone();
    let share = 1 + dice.below(3);
    for corner in &entity.corners {
        if dice.below(share) == 0 {
            groups[corner.x].1 = change(&groups[corner.x].1);
            groups[corner.y].1 = change(&groups[corner.y].1);
        }
    }
    let what = format!("coordinates from line {} on", 2 * entity.groups.0 + 1);
    (groups != drawing.groups).then(|| Drawing::written(&groups, what))
}

fn corner_on(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let entity = drawing.pick(dice, |e| e.is_through() && e.is_polyline())?;
    let sides = drawing.segments(entity);
    let straight: Vec<usize> =
        (0..sides.len()).filter(|i| sides[*i].is_line() && sides[*i].length() > 1.0).collect();
    let which = *dice.pick(&straight)?;
    let place = sides[which].at(dice.between(0.2, 0.8));
    Some(with_corner(&drawing, entity, which, (place.x, place.y)))
}

/// The corners of an entity in another order, each with its bulge: where and how far.
fn reordered(drawing: &Drawing, entity: &Entity, corners: &[(String, String, Option<String>)]) -> Change {
    let mut groups = drawing.groups.clone();
    let (begin, end) = (entity.corners[0].groups.0, entity.corners[entity.corners.len() - 1].groups.1);
    let mut all = Vec::new();
    for (old, (x, y, bulge)) in entity.corners.iter().zip(corners) {
        for at in old.groups.0..old.groups.1 {
            let (code, value) = &drawing.groups[at];
            let value = if at == old.x {
                x
            } else if at == old.y {
                y
            } else {
                value
            };
            if code != "42" {
                all.push((code.clone(), value.clone()));
            }
        }
        all.extend(bulge.iter().map(|bulge| ("42".to_owned(), bulge.clone())));
    }
    groups.splice(begin..end, all);
    Drawing::written(&groups, format!("corners from line {} on", 2 * begin + 1))
}

fn corners(drawing: &Drawing, entity: &Entity) -> Vec<(String, String, Option<String>)> {
    let value = |at: usize| drawing.groups[at].1.clone();
    entity.corners.iter().map(|c| (value(c.x), value(c.y), c.bulge.map(value))).collect()
}

fn begun_elsewhere(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let entity = drawing.pick(dice, |e| e.is_through() && e.is_polyline() && drawing.closed(e))?;
    let mut corners = corners(&drawing, entity);
    let by = 1 + dice.below(corners.len() - 1);
    corners.rotate_left(by);
    Some(reordered(&drawing, entity, &corners))
}

fn backwards(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let entity = drawing.pick(dice, |e| e.is_through() && e.is_polyline())?;
    let mut corners = corners(&drawing, entity);
    let bulges: Vec<Option<String>> = corners.iter().map(|corner| corner.2.clone()).collect();
    let negative = |bulge: &String| match bulge.strip_prefix('-') {
        Some(plus) => plus.to_owned(),
        None => format!("-{bulge}"),
    };
    corners.reverse();
    let count = corners.len();
    for (i, corner) in corners.iter_mut().enumerate() {
        // The bulge belongs to the side after a corner: backwards it is that of the corner before.
        corner.2 = bulges[(2 * count - 2 - i) % count].as_ref().map(negative);
    }
    Some(reordered(&drawing, entity, &corners))
}

/// Two of one layer, neither of them around the other: marks.
fn other_order(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let marks: Vec<&Entity> = drawing.entities.iter().filter(|entity| entity.layer == "mark").collect();
    let (one, other) = (dice.pick(&marks)?.groups, dice.pick(&marks)?.groups);
    let (one, other) = (one.min(other), one.max(other));
    (one != other).then_some(())?;
    let mut groups = drawing.groups[..one.0].to_vec();
    groups.extend_from_slice(&drawing.groups[other.0..other.1]);
    groups.extend_from_slice(&drawing.groups[one.1..other.0]);
    groups.extend_from_slice(&drawing.groups[one.0..one.1]);
    groups.extend_from_slice(&drawing.groups[other.1..]);
    Some(Drawing::written(&groups, format!("lines {} and {} on", 2 * one.0 + 1, 2 * other.0 + 1)))
}

/// A layer like the last one, with another name.
fn unused_layer(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let is_layer = |i: &usize| drawing.groups[*i].0 == "0" && drawing.groups[*i].1 == "LAYER";
    let last = (0..drawing.groups.len()).rfind(is_layer)?;
    let end = (last + 1..drawing.groups.len()).find(|i| drawing.groups[*i].0 == "0")?;
    let name = format!("spare-{}", dice.below(1000));
    let more: Vec<Group> = drawing.groups[last..end]
        .iter()
        .map(|(code, value)| match code.as_str() {
            "2" => (code.clone(), name.clone()),
            "5" => (code.clone(), "FF7".into()),
            _ => (code.clone(), value.clone()),
        })
        .collect();
    let mut groups = drawing.groups.clone();
    groups.splice(end..end, more);
    Some(Drawing::written(&groups, name))
}

fn variable(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = drawing.groups.iter().position(|(_, value)| value == "$EXTMIN")?;
    let scale = format!("{}.0", 1 + dice.below(50));
    Some(drawing.inserted(at, &[("9", "$LTSCALE"), ("40", scale.as_str())]))
}
