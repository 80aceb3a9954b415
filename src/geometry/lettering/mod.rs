//! Single-stroke lettering of our own drawing, in the proportions of ISO 3098 type B: with capitals of height h, small
//! letters are 7/10 h high, letters stand 2/10 h apart and words 6/10 h. All of it is measured on the middle of the strokes.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::{Chain, Point, Rect, Vec2, Vertex, trig};

mod accents;
mod letters;

/// Between two letters, in tenths of the height of capitals (ISO 3098 type B).
const LETTER_GAP: f64 = 2.0;

/// Between two words, in tenths of the height of capitals (ISO 3098 type B).
const WORD_GAP: f64 = 6.0;

/// Height of capitals on the grid that letters are drawn on.
const GRID: f64 = 10.0;

/// What stands for a character that there is no letter for.
const BOX: &str = "0,0 0,10 5,10 5,0 0,0";

/// Strokes of a letter on the grid, and how far they reach.
#[derive(Clone, Debug)]
struct Letter {
    strokes: Vec<Chain>,
    bounds: Rect,
}

impl Letter {
    fn of(strokes: Vec<Chain>) -> Self {
        let bounds = strokes.iter().map(Chain::bounds).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
        Self { strokes, bounds }
    }

    fn drawn(text: &str) -> Self {
        Self::of(text.split(';').filter_map(stroke).collect())
    }

    /// With an accent above it, or below.
    fn accented(&self, sign: char, accent: &Self) -> Self {
        let middle = self.bounds.center().x;
        let shift = match sign {
            '\u{328}' => Vec2::new(self.bounds.x1 - 0.8, 0.0),
            '\u{326}' | '\u{327}' => Vec2::new(middle, 0.0),
            _ => Vec2::new(middle, self.bounds.y1),
        };
        let above = accent.strokes.iter().map(|stroke| scaled(stroke, 1.0, shift));
        Self::of(self.strokes.iter().cloned().chain(above).collect())
    }
}

/// One stroke of the table: see [`letters`].
fn stroke(text: &str) -> Option<Chain> {
    let vertices: Option<Vec<Vertex>> = text.split_whitespace().map(vertex).collect();
    Chain::new(vertices?).ok()
}

fn vertex(word: &str) -> Option<Vertex> {
    let (point, degrees) = word.split_once('@').unwrap_or((word, "0"));
    let (x, y) = point.split_once(',')?;
    let sweep: f64 = degrees.parse().ok()?;
    Some(Vertex::new(x.parse().ok()?, y.parse().ok()?, trig::tan(sweep.to_radians() / 4.0)))
}

fn scaled(chain: &Chain, scale: f64, shift: Vec2) -> Chain {
    let vertices = chain
        .vertices()
        .iter()
        .map(|v| Vertex { at: (v.at.to_vec2() * scale + shift).to_point(), bulge: v.bulge })
        .collect();
    Chain::new(vertices).unwrap_or_else(|_| chain.clone())
}

/// All letters, drawn once.
fn letters() -> &'static BTreeMap<char, Letter> {
    static LETTERS: OnceLock<BTreeMap<char, Letter>> = OnceLock::new();
    LETTERS.get_or_init(|| {
        let mut all: BTreeMap<char, Letter> =
            letters::LETTERS.iter().map(|&(sign, text)| (sign, Letter::drawn(text))).collect();
        for &(sign, pairs) in accents::COMPOSED {
            let mut signs = pairs.chars();
            while let (Some(whole), Some(base)) = (signs.next(), signs.next()) {
                if let Some(letter) = composed(&all, base, sign) {
                    all.insert(whole, letter);
                }
            }
        }
        all
    })
}

/// A base with an accent; `i` and `j` lose their dot under one.
fn composed(all: &BTreeMap<char, Letter>, base: char, sign: char) -> Option<Letter> {
    let above = accents::ABOVE.iter().find(|(s, _)| *s == sign);
    let accent = above.or_else(|| accents::BELOW.iter().find(|(s, _)| *s == sign))?;
    let base = match (base, above) {
        ('i', Some(_)) => '\u{131}',
        ('j', Some(_)) => '\u{237}',
        _ => base,
    };
    Some(all.get(&base)?.accented(sign, &Letter::drawn(accent.1)))
}

/// The letters of a text, blanks as none. An accent after its base is put on it.
fn spelled(text: &str) -> Vec<Option<(char, Option<Letter>)>> {
    let mut spelled: Vec<Option<(char, Option<Letter>)>> = Vec::new();
    for sign in text.chars() {
        if sign.is_whitespace() || sign.is_control() {
            spelled.push(None);
            continue;
        }
        if let Some(Some((base, last))) = spelled.last_mut()
            && let Some(letter) = composed(letters(), *base, sign)
        {
            *last = Some(letter);
            continue;
        }
        spelled.push(Some((sign, letters().get(&sign).cloned())));
    }
    spelled
}

/// The strokes of a text, in millimetres, with capitals of this height: from the left end of the base line to the right.
/// A character that there is no letter for is an empty box; see [`unknown`].
pub fn text(text: &str, height_mm: f64) -> Vec<Chain> {
    laid(text, height_mm).0
}

/// How far a text reaches to the right, in millimetres.
pub fn width(text: &str, height_mm: f64) -> f64 {
    laid(text, height_mm).1
}

/// The smallest upright rectangle around the strokes of a text; none where it has no strokes.
pub fn bounds(strokes: &[Chain]) -> Option<Rect> {
    strokes.iter().map(Chain::bounds).reduce(|a, b| a.union(b))
}

/// The characters of a text that there is no letter for, each once, in order of their first appearance.
pub fn unknown(text: &str) -> Vec<char> {
    let mut found = Vec::new();
    for (sign, letter) in spelled(text).into_iter().flatten() {
        if letter.is_none() && !found.contains(&sign) {
            found.push(sign);
        }
    }
    found
}

fn laid(text: &str, height_mm: f64) -> (Vec<Chain>, f64) {
    let scale = height_mm / GRID;
    let (mut strokes, mut x, mut gap) = (Vec::new(), 0.0, 0.0);
    for letter in spelled(text) {
        let Some((_, letter)) = letter else {
            gap = if gap < WORD_GAP { WORD_GAP } else { gap + WORD_GAP };
            continue;
        };
        let letter = letter.unwrap_or_else(|| Letter::drawn(BOX));
        x += if strokes.is_empty() { 0.0 } else { gap };
        let shift = Vec2::new(x - letter.bounds.x0, 0.0) * scale;
        strokes.extend(letter.strokes.iter().map(|stroke| scaled(stroke, scale, shift)));
        x += letter.bounds.width();
        gap = LETTER_GAP;
    }
    (strokes, x * scale)
}

/// A grain arrow along x: a line of this length in millimetres about `middle`, with a head at each end, since grain runs
/// both ways.
pub fn arrow(middle: Point, length_mm: f64) -> Vec<Chain> {
    let (half, head) = (length_mm / 2.0, length_mm * ARROW_HEAD);
    let chain = |points: &[(f64, f64)]| {
        Chain::new(points.iter().map(|&(x, y)| Vertex::new(middle.x + x, middle.y + y, 0.0)).collect()).ok()
    };
    let wing = head * ARROW_SLOPE;
    [
        chain(&[(-half, 0.0), (half, 0.0)]),
        chain(&[(-half + head, wing), (-half, 0.0), (-half + head, -wing)]),
        chain(&[(half - head, wing), (half, 0.0), (half - head, -wing)]),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Length of an arrow's head as a fraction of the arrow.
const ARROW_HEAD: f64 = 0.15;

/// Half the width of an arrow's head as a fraction of the head's length: about 30 degrees between its wings.
const ARROW_SLOPE: f64 = 0.27;

/// How high an arrow of this length is, in millimetres.
pub fn arrow_height(length_mm: f64) -> f64 {
    2.0 * length_mm * ARROW_HEAD * ARROW_SLOPE
}
