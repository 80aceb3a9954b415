//! Changes to what stands around the paths of SVG files, and to their form.

use super::super::dice::Dice;
use super::super::kit::{Change, Good};
use super::super::table::Kind;
use super::{Drawing, Element, attribute, with_attribute};

pub(super) const KINDS: &[Kind] = &[
    Kind::harmful("svg: another unit", other_unit),
    Kind::harmful("svg: another size", other_size),
    Kind::harmful("svg: another view box", view_box),
    Kind::harmful("svg: no view box", no_view_box),
    Kind::harmful("svg: a transform", transform),
    Kind::harmful("svg: a group lost", group_lost),
    Kind::harmful("svg: a group of another name", group_renamed),
    Kind::harmful("svg: two groups' names swapped", groups_swapped),
    Kind::harmful("svg: a path in another group", other_group),
    Kind::harmful("svg: a group of another colour", other_colour),
    Kind::harmful("svg: something hidden", hidden),
    Kind::harmful("svg: something left in a definition", defined),
    Kind::harmful("svg: a path garbled", garbled),
    Kind::harmful("svg: a number absurd", absurd),
    Kind::harmful("svg: a tag lost", tag_lost),
    Kind::harmful("svg: an element of another kind", other_element),
];

fn head(drawing: &Drawing) -> Option<usize> {
    drawing.lines.iter().position(|line| line.starts_with("<svg"))
}

fn in_head(good: &Good, change: impl Fn(&str) -> Option<String>) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = head(&drawing)?;
    Some(drawing.changed(at, change(&drawing.lines[at])?))
}

/// Both sides, or one: then the drawing is no longer as wide as it says.
fn other_unit(good: &Good, dice: &mut Dice) -> Option<Change> {
    let unit = *dice.pick(&["px", "in", "cm", "pt", ""])?;
    let sides: &[&str] = [&["width", "height"][..], &["width"], &["height"]][dice.below(3)];
    in_head(good, |line| {
        sides.iter().try_fold(line.to_owned(), |line, side| {
            let value = attribute(&line, side)?.1.replace("mm", unit);
            with_attribute(&line, side, &value)
        })
    })
}

fn other_size(good: &Good, dice: &mut Dice) -> Option<Change> {
    let factor = [1.01, 0.99, 25.4, 1.05, 0.5][dice.below(5)];
    in_head(good, |line| {
        ["width", "height"].iter().try_fold(line.to_owned(), |line, side| {
            let value: f64 = attribute(&line, side)?.1.trim_end_matches("mm").parse().ok()?;
            with_attribute(&line, side, &format!("{}mm", value * factor))
        })
    })
}

/// Scaled, or shifted.
fn view_box(good: &Good, dice: &mut Dice) -> Option<Change> {
    let [length, width] = good.plan.size_mm;
    let factor = 1.0 + dice.shift(0.005, 0.3);
    let by = dice.shift(0.1, 20.0);
    let value = match dice.below(3) {
        0 => format!("0 0 {} {}", length * factor, width * factor),
        1 => format!("{by} 0 {length} {width}"),
        _ => format!("0 {by} {length} {width}"),
    };
    in_head(good, |line| with_attribute(line, "viewBox", &value))
}

fn no_view_box(good: &Good, _: &mut Dice) -> Option<Change> {
    in_head(good, |line| {
        let value = attribute(line, "viewBox")?.1;
        Some(line.replace(&format!(" viewBox=\"{value}\""), ""))
    })
}

/// Of a whole group of cuts, or of one path.
fn transform(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let element = drawing.pick(dice, Element::is_through)?;
    let at = if dice.coin() { group_line(&drawing, &element.group)? } else { element.line };
    let by = format!("translate({:.3})", dice.shift(0.1, 5.0));
    let all = ["scale(1.01)", "rotate(1)", "matrix(-1 0 0 1 200 0)", "skewX(1)", by.as_str()];
    let transform = *dice.pick(&all)?;
    let tag = ["<g", "<path", "<circle"].into_iter().find(|tag| drawing.lines[at].contains(tag))?;
    let line = drawing.lines[at].replacen(tag, &format!("{tag} transform=\"{transform}\""), 1);
    Some(drawing.changed(at, line))
}

fn group_line(drawing: &Drawing, group: &str) -> Option<usize> {
    drawing.lines.iter().position(|line| line.contains(&format!("<g id=\"{group}\"")))
}

const REAL: [&str; 3] = ["score", "cut-inside", "cut-outside"];

fn group_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let group = *dice.pick(&REAL)?;
    let begin = group_line(&drawing, group)?;
    let end = begin + drawing.lines[begin..].iter().position(|line| line.contains("</g>"))?;
    let mut lines = drawing.lines.clone();
    lines.drain(begin..=end);
    Some(Drawing::written(&lines, group))
}

fn group_renamed(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = group_line(&drawing, dice.pick(&REAL)?)?;
    let name = *dice.pick(&["layer1", "cuts", "Ebene 1", "etch"])?;
    Some(drawing.changed(at, with_attribute(&drawing.lines[at], "id", name)?))
}

fn groups_swapped(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let one = *dice.pick(&["mark", "score"])?;
    let other = *dice.pick(&["cut-inside", "cut-outside"])?;
    let mut lines = drawing.lines.clone();
    let (a, b) = (group_line(&drawing, one)?, group_line(&drawing, other)?);
    lines.swap(a, b);
    Some(Drawing::written(&lines, format!("{one} and {other}")))
}

fn other_group(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let element = drawing.pick(dice, |_| true)?;
    let groups = if element.is_through() { ["mark", "score"] } else { ["cut-inside", "cut-outside"] };
    let to = group_line(&drawing, dice.pick(&groups)?)?;
    let mut lines = drawing.lines.clone();
    let line = lines.remove(element.line);
    let what = format!("line {} from {}: '{}'", element.line + 1, element.group, line.trim());
    lines.insert(if to > element.line { to } else { to + 1 }, line);
    Some(Drawing::written(&lines, what))
}

/// That of what does another thing to the wood.
fn other_colour(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let all = ["mark", "score", "cut-inside", "cut-outside"];
    let (at, other) = (group_line(&drawing, dice.pick(&all)?)?, group_line(&drawing, dice.pick(&all)?)?);
    let colour = attribute(&drawing.lines[other], "stroke")?.1;
    // Both kinds of cuts go through.
    let cuts = |line: usize| drawing.lines[line].contains("\"cut-");
    (at != other && !(cuts(at) && cuts(other))).then_some(())?;
    Some(drawing.changed(at, with_attribute(&drawing.lines[at], "stroke", colour)?))
}

/// What is not displayed is not cut.
fn hidden(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let element = drawing.pick(dice, |element| element.group != "mark")?;
    let at = if dice.coin() { group_line(&drawing, &element.group)? } else { element.line };
    let all = [
        "display=\"none\"",
        "visibility=\"hidden\"",
        "style=\"display:none\"",
        "style=\"stroke:none\"",
        "opacity=\"0\"",
    ];
    let how = *dice.pick(&all)?;
    let tag = ["<g", "<path", "<circle"].into_iter().find(|tag| drawing.lines[at].contains(tag))?;
    Some(drawing.changed(at, drawing.lines[at].replacen(tag, &format!("{tag} {how}"), 1)))
}

fn defined(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = drawing.pick(dice, |element| element.group != "mark")?.line;
    let around = *dice.pick(&["defs", "symbol", "clipPath", "marker"])?;
    Some(drawing.changed(at, format!("<{around}>{}</{around}>", drawing.lines[at])))
}

/// What comes before the error stands, all after it is lost (W3C, SVG 1.1, F.2).
fn garbled(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let element = drawing.pick(dice, |e| e.is_through() && e.commands.len() > 2)?;
    let mut commands = element.commands.clone();
    let which = 1 + dice.below(commands.len() - 2);
    match dice.below(3) {
        0 => commands[which].letter = *dice.pick(&['X', 'O', '?', 'E'])?,
        1 => drop(commands[which].numbers.pop()),
        _ => commands[which].numbers.iter_mut().for_each(|number| number.push_str(".5.x")),
    }
    drawing.with_path(element, &commands)
}

fn absurd(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let element = drawing.pick(dice, |e| e.is_through() && e.commands.len() > 2)?;
    let mut commands = element.commands.clone();
    let which = dice.below(commands.len() - 1);
    let last = commands[which].numbers.len() - 1;
    let number = *dice.pick(&["nan", "inf", "1e300", "1e9", "-99999999"])?;
    number.clone_into(&mut commands[which].numbers[last]);
    drawing.with_path(element, &commands)
}

fn tag_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let tags = |i: &usize| ["<g ", "</g>", "</svg>"].iter().any(|tag| drawing.lines[*i].contains(tag));
    let all: Vec<usize> = (0..drawing.lines.len()).filter(tags).collect();
    let mut lines = drawing.lines.clone();
    let lost = lines.remove(*dice.pick(&all)?);
    Some(Drawing::written(&lines, lost))
}

/// Something that no cut file of ours holds.
fn other_element(good: &Good, dice: &mut Dice) -> Option<Change> {
    let drawing = Drawing::of(good)?;
    let at = drawing.pick(dice, Element::is_through)?.line;
    let all = [
        "<rect x=\"20\" y=\"20\" width=\"60\" height=\"30\"/>",
        "<line x1=\"0\" y1=\"0\" x2=\"90\" y2=\"60\"/>",
        "<polyline points=\"0 0 90 60 90 0\"/>",
        "<path d=\"M 10 10 C 30 10 60 40 90 70\"/>",
    ];
    let more = *dice.pick(&all)?;
    Some(drawing.changed(at, format!("{}{more}", drawing.lines[at])))
}
