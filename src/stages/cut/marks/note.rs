//! What is written on a piece beside its name: a text and, behind it, an arrow that says where some side of the piece is.

use super::{Edge, Name, SMALLEST, Spot, largest, turned, views};
use crate::geometry::{Chain, Placement, Point, Rect, Region, Vertex};
use crate::stages::drawing::Note;

/// Largest height of its capitals, mm: the second of ISO 3098; it is less than the name.
const LARGEST: f64 = 2.5;

/// The arrow has a square of the capitals' height, so far behind the text, in heights.
const GAP: f64 = 0.5;

/// Wings of the arrow's head, in heights.
const HEAD: f64 = 0.3;

/// The strokes in the room between the edges, and the height of the capitals; none where there is no room.
pub(super) fn place(note: &Note, region: &Region, edges: &[Edge]) -> Option<(Vec<Chain>, f64)> {
    let letters = Name::new(&note.text)?;
    let size = |height: f64| {
        let (width, tall) = letters.size(height);
        (width + (GAP + 1.0) * height, tall.max(height))
    };
    let (spot, height) = largest(&size, &views(region, edges), LARGEST.max(SMALLEST))?;
    let width = letters.size(height).0;
    let text = Rect { x1: spot.rect.x0 + width, ..spot.rect };
    let mut strokes = letters.strokes(Spot { rect: text, deg: spot.deg }, height);
    let middle = Point::new(spot.rect.x0 + width + (GAP + 0.5) * height, spot.rect.center().y);
    strokes.extend(arrow(turned(spot.deg).point(middle), height, note.arrow_deg));
    Some((strokes, height))
}

/// An arrow about a point.
fn arrow(middle: Point, length: f64, deg: f64) -> Vec<Chain> {
    let (tip, wing) = (length / 2.0, HEAD * length);
    let placement = Placement { turn_deg: deg, shift: middle.to_vec2(), ..Placement::HERE };
    let line = |points: &[(f64, f64)]| {
        let vertices = points.iter().map(|&(x, y)| Vertex::new(x, y, 0.0)).collect();
        Chain::new(vertices).ok().map(|chain| chain.placed(&placement))
    };
    let shaft = line(&[(-tip, 0.0), (tip, 0.0)]);
    let head = line(&[(tip - wing, wing), (tip, 0.0), (tip - wing, -wing)]);
    shaft.into_iter().chain(head).collect()
}
