//! What texts say, without the codes that shape their letters.

use dxf::entities::{MText, Text as Entity};
use dxf::enums::{AttachmentPoint, HorizontalTextJustification, VerticalTextJustification};

use super::frame::Frame;
use super::shape::{own_frame, triple};
use crate::geometry::{Point, Vec2, trig};
use crate::stages::drawing::Text;

/// Width of a letter by its height, about: capitals and small letters of a plain upright face (common practice, no
/// source). It only decides where the middle of a text is taken to lie.
const LETTER: f64 = 0.8;

/// From line to line by the height of letters (DXF reference, MTEXT: single spacing).
const LINE: f64 = 5.0 / 3.0;

/// A text of one line.
pub(super) fn text(frame: &Frame, entity: &Entity) -> Result<Text, &'static str> {
    let own = own_frame(frame, &entity.normal)?;
    let words = plain(&entity.value);
    let width = width(&words) * entity.text_height * entity.relative_x_scale_factor;
    let (across, up) = (entity.horizontal_text_justification, entity.vertical_text_justification);
    let by_second = across != HorizontalTextJustification::Left || up != VerticalTextJustification::Baseline;
    let (first, second) = (triple(&entity.location), triple(&entity.second_alignment_point));
    let at = |p: [f64; 3]| Point::new(p[0], p[1]);
    let along = Vec2::from_angle_deg(entity.rotation);
    let upwards = Vec2::new(-along.y, along.x);
    let raised = entity.text_height * raise(up);
    let middle = match across {
        HorizontalTextJustification::Aligned | HorizontalTextJustification::Fit => {
            at(first).midpoint(at(second)) + upwards * (entity.text_height / 2.0)
        }
        HorizontalTextJustification::Middle => at(second),
        HorizontalTextJustification::Left if !by_second => {
            at(first) + along * (width / 2.0) + upwards * raised
        }
        HorizontalTextJustification::Left => at(second) + along * (width / 2.0) + upwards * raised,
        HorizontalTextJustification::Center => at(second) + upwards * raised,
        HorizontalTextJustification::Right => at(second) - along * (width / 2.0) + upwards * raised,
    };
    let map = own.plane(entity.location.z);
    Ok(Text { text: words, at: map * middle, height: height_after(&own, entity.text_height, upwards) })
}

/// How far the middle of letters lies above the point that a text hangs on, by their height.
fn raise(up: VerticalTextJustification) -> f64 {
    match up {
        VerticalTextJustification::Baseline | VerticalTextJustification::Bottom => 0.5,
        VerticalTextJustification::Middle => 0.0,
        VerticalTextJustification::Top => -0.5,
    }
}

/// A text of several lines.
pub(super) fn paragraph(frame: &Frame, entity: &MText) -> Text {
    let whole: String =
        entity.extended_text.iter().map(String::as_str).chain([entity.text.as_str()]).collect();
    let words = unshaped(&whole);
    let letters = entity.initial_text_height;
    let lines = words.lines().count().max(1) as f64;
    let width = words.lines().map(width).fold(0.0, f64::max) * letters;
    let height = letters * (1.0 + (lines - 1.0) * LINE * entity.line_spacing_factor.max(0.0));
    let axis = Vec2::new(entity.x_axis_direction.x, entity.x_axis_direction.y);
    let turned = entity.rotation_angle != 0.0 || axis.hypot2() == 0.0;
    let along = if turned { Vec2::from_angle_deg(entity.rotation_angle) } else { axis / axis.hypot() };
    let upwards = Vec2::new(-along.y, along.x);
    let (right, down) = attachment(entity.attachment_point);
    let at = Point::new(entity.insertion_point.x, entity.insertion_point.y);
    let middle = at + along * (width / 2.0 * right) - upwards * (height / 2.0 * down);
    let map = frame.plane(entity.insertion_point.z);
    Text { text: words, at: map * middle, height: height_after(frame, letters, upwards) }
}

/// Where the middle lies from the point that the text hangs on: right (1), at it, or left (-1); below (1), at it, above.
fn attachment(point: AttachmentPoint) -> (f64, f64) {
    use AttachmentPoint as P;
    let right = match point {
        P::TopLeft | P::MiddleLeft | P::BottomLeft => 1.0,
        P::TopCenter | P::MiddleCenter | P::BottomCenter => 0.0,
        P::TopRight | P::MiddleRight | P::BottomRight => -1.0,
    };
    let down = match point {
        P::TopLeft | P::TopCenter | P::TopRight => 1.0,
        P::MiddleLeft | P::MiddleCenter | P::MiddleRight => 0.0,
        P::BottomLeft | P::BottomCenter | P::BottomRight => -1.0,
    };
    (right, down)
}

fn height_after(frame: &Frame, height: f64, upwards: Vec2) -> f64 {
    frame.flat_direction([upwards.x * height, upwards.y * height, 0.0]).hypot()
}

fn width(line: &str) -> f64 {
    line.chars().count() as f64 * LETTER
}

trait FromDegrees {
    fn from_angle_deg(degrees: f64) -> Self;
}

impl FromDegrees for Vec2 {
    fn from_angle_deg(degrees: f64) -> Self {
        let (sin, cos) = trig::sin_cos_deg(degrees);
        Self::new(cos, sin)
    }
}

/// A text of one line without its `%%` codes and escapes.
pub(super) fn plain(raw: &str) -> String {
    let mut words = String::with_capacity(raw.len());
    let mut rest = raw;
    while let Some(c) = rest.chars().next() {
        let (put, length) = coded(rest).unwrap_or((Some(c), c.len_utf8()));
        words.extend(put);
        rest = &rest[length..];
    }
    words.trim().to_owned()
}

/// What the code that a text begins with puts, and its length: `%%d`, `%%065`, `\U+00D8`, `^I`.
fn coded(rest: &str) -> Option<(Option<char>, usize)> {
    if let Some(hex) = rest.strip_prefix("\\U+").and_then(|after| after.get(..4)) {
        let number = u32::from_str_radix(hex, 16).ok()?;
        return Some((char::from_u32(number), 7));
    }
    if let Some(after) = rest.strip_prefix('^') {
        let c = after.chars().next()?;
        let put = if c == ' ' { '^' } else { ' ' };
        return Some((Some(put), 1 + c.len_utf8()));
    }
    let after = rest.strip_prefix("%%")?;
    if let Some(digits) = after.get(..3).filter(|d| d.bytes().all(|b| b.is_ascii_digit())) {
        let number = digits.parse::<u32>().ok()?;
        return Some((char::from_u32(number).filter(|c| !c.is_control()), 5));
    }
    let c = after.chars().next()?;
    let put = match c.to_ascii_lowercase() {
        'd' => Some('°'),
        'p' => Some('±'),
        'c' => Some('⌀'),
        '%' => Some('%'),
        'u' | 'o' | 'k' => None,
        _ => return None,
    };
    Some((put, 2 + c.len_utf8()))
}

/// A paragraph without the codes that shape it: what is left is what is read on paper.
pub(super) fn unshaped(raw: &str) -> String {
    let mut words = String::with_capacity(raw.len());
    let mut rest = raw;
    while let Some(c) = rest.chars().next() {
        let length = if let Some((put, length)) = coded(rest) {
            words.extend(put);
            length
        } else if c == '\\' {
            shaped(rest, &mut words)
        } else {
            if !matches!(c, '{' | '}') {
                words.push(c);
            }
            c.len_utf8()
        };
        rest = &rest[length..];
    }
    let lines: Vec<&str> = words.lines().map(str::trim).collect();
    lines.join("\n").trim().to_owned()
}

/// Takes the code after a backslash; its length.
fn shaped(rest: &str, words: &mut String) -> usize {
    let Some(c) = rest[1..].chars().next() else { return 1 };
    let length = 1 + c.len_utf8();
    let to_semicolon = || rest.find(';').map_or(rest.len(), |end| end + 1);
    match c {
        'P' | 'X' | 'N' => words.push('\n'),
        '~' => words.push(' '),
        'L' | 'l' | 'O' | 'o' | 'K' | 'k' => {}
        'S' => {
            let end = to_semicolon();
            let stack = rest[length..end].trim_end_matches(';');
            words.extend(
                stack.chars().filter(|c| *c != '\\').map(|c| if matches!(c, '^' | '#') { '/' } else { c }),
            );
            return end;
        }
        'f' | 'F' | 'H' | 'h' | 'W' | 'w' | 'Q' | 'q' | 'T' | 't' | 'C' | 'c' | 'A' | 'p' | 'M' => {
            return to_semicolon();
        }
        _ => words.push(c),
    }
    length
}
