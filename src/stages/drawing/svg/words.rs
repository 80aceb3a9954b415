//! What texts say and where: lines of a text element, in its own user units.

use usvg::roxmltree::Node;

use super::shape::unit_of;
use super::size::{Page, length};
use crate::geometry::Point;

/// Width of a letter by the size of the type, about, for a plain upright face (common practice, no source).
const LETTER: f64 = 0.55;

/// Height of a capital letter by the size of the type, about, for a plain upright face (common practice, no source).
pub(super) const CAPITAL: f64 = 0.7;

/// Lines that begin within this many sizes of the type below each other make one text.
const SAME_TEXT: f64 = 3.0;

/// A text: its lines, and the middle of them.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Said {
    pub(super) text: String,
    pub(super) at: Point,
}

#[derive(Clone, Debug)]
struct Line {
    words: String,
    at: Point,
    /// 0 where it begins at its point, 1/2 where it stands around it, 1 where it ends there.
    anchor: f64,
}

/// The texts of a text element whose letters have this size.
pub(super) fn said(node: Node, size: f64, page: &Page) -> Vec<Said> {
    let mut lines =
        vec![Line { words: String::new(), at: start(node, Point::ZERO, page), anchor: anchor(node) }];
    for inner in node.descendants() {
        if inner != node && inner.is_element() {
            let at = lines.last().map_or(Point::ZERO, |line| line.at);
            if moves(inner) {
                lines.push(Line { words: String::new(), at: start(inner, at, page), anchor: anchor(inner) });
            }
        } else if inner.is_text()
            && is_spoken(inner, node)
            && let (Some(words), Some(line)) = (inner.text(), lines.last_mut())
        {
            line.words.push_str(words);
        }
    }
    for line in &mut lines {
        line.words = line.words.split_whitespace().collect::<Vec<_>>().join(" ");
    }
    lines.retain(|line| !line.words.is_empty());
    paragraphs(&lines, size)
}

/// Whether a stretch of text is drawn: not the title of the element, say.
fn is_spoken(text: Node, within: Node) -> bool {
    text.ancestors()
        .skip(1)
        .take_while(|around| *around != within)
        .all(|around| matches!(around.tag_name().name(), "tspan" | "a" | "textPath" | "tref"))
}

/// Whether an element begins a new line.
fn moves(node: Node) -> bool {
    let down = node.attribute("dy").is_some_and(|dy| first_number(dy).is_some_and(|n| n != 0.0));
    node.attribute("y").is_some() || node.attribute("x").is_some() || down
}

fn first_number(list: &str) -> Option<f64> {
    let word = list.split([' ', ',']).find(|word| !word.is_empty())?;
    length(word).map(|(number, _)| number)
}

/// Where an element's text begins: its own x and y, else those before it, moved by dx and dy.
fn start(node: Node, before: Point, page: &Page) -> Point {
    let get = |name: &str| {
        let word = node.attribute(name)?.split([' ', ',']).find(|word| !word.is_empty())?;
        let (number, unit) = length(word)?;
        let user = number * unit_of(unit, node, name, page);
        user.is_finite().then_some(user)
    };
    Point::new(
        get("x").unwrap_or(before.x) + get("dx").unwrap_or(0.0),
        get("y").unwrap_or(before.y) + get("dy").unwrap_or(0.0),
    )
}

fn anchor(node: Node) -> f64 {
    let said = node.ancestors().find_map(|around| {
        let style = around.attribute("style").unwrap_or_default();
        let styled = style.split(';').find_map(|part| {
            let (name, value) = part.split_once(':')?;
            (name.trim() == "text-anchor").then(|| value.trim())
        });
        styled.or_else(|| around.attribute("text-anchor"))
    });
    match said {
        Some("middle") => 0.5,
        Some("end") => 1.0,
        _ => 0.0,
    }
}

/// Lines that stand close below each other make one text.
fn paragraphs(lines: &[Line], size: f64) -> Vec<Said> {
    let mut paragraphs: Vec<Vec<&Line>> = Vec::new();
    for line in lines {
        let near = |before: &Line| {
            (line.at.x - before.at.x).abs() <= size / 2.0
                && (line.at.y - before.at.y).abs() <= SAME_TEXT * size
        };
        match paragraphs.last_mut() {
            Some(paragraph) if paragraph.last().is_some_and(|before| near(before)) => paragraph.push(line),
            _ => paragraphs.push(vec![line]),
        }
    }
    paragraphs.iter().map(|lines| together(lines, size)).collect()
}

fn together(lines: &[&Line], size: f64) -> Said {
    let count = lines.len() as f64;
    let middle = |line: &&Line| {
        let width = line.words.chars().count() as f64 * LETTER * size;
        Point::new(line.at.x + width * (0.5 - line.anchor), line.at.y - size * CAPITAL / 2.0)
    };
    let sum = lines.iter().map(middle).fold(Point::ZERO, |sum, p| sum + p.to_vec2());
    let text = lines.iter().map(|line| line.words.as_str()).collect::<Vec<_>>().join("\n");
    Said { text, at: Point::new(sum.x / count, sum.y / count) }
}
