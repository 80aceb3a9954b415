//! A part brought to size: all that lies beyond a line moves, so that what lies on either side keeps its size.

use super::measure;
use crate::geometry::{Chain, Outline, Point, Region, Segment, Vec2};
use crate::stages::part::{Part, Recess};

/// An edge across the line may lean by so much against the direction of the move, as a sine: more, and moving its end
/// would turn it.
const LEAN: f64 = 0.02;

/// An arc may reach over the line and come back: so many places along it are looked at.
const LOOKS: u32 = 64;

/// The part with everything beyond a point moved along its dimension, which is between the edges near two points, by so
/// many mm.
pub(super) fn moved(part: &Part, ends: (Point, Point), beyond: Point, by: f64) -> Result<Part, &'static str> {
    let ends = measure::ends(&part.region, ends.0, ends.1).ok_or("its points lie at no edge")?;
    let along = ends.1 - ends.0;
    let along = along / along.hypot().max(f64::MIN_POSITIVE);
    let over = |p: Point| (p - beyond).dot(along) > 0.0;
    if over(ends.0) || !over(ends.1) {
        return Err("the point of 'adjust' does not lie between the ends of the dimension");
    }
    let shift = along * by;
    let place = |p: Point| if over(p) { p + shift } else { p };
    let outer = outline(part.region.outer(), &over, along, shift)?;
    let holes = part
        .region
        .holes()
        .iter()
        .map(|hole| outline(hole, &over, along, shift))
        .collect::<Result<_, _>>()?;
    let lines = |chains: &[Chain]| -> Vec<Chain> {
        let moved = |chain: &Chain| {
            let segments: Vec<Segment> =
                chain.segments().map(|s| Segment { from: place(s.from), to: place(s.to), ..s }).collect();
            Chain::from_segments(&segments).unwrap_or_else(|_| chain.clone())
        };
        chains.iter().map(moved).collect()
    };
    let region = Region::new(outer, holes);
    let recess = |recess: &Recess| {
        let holes = recess.region.holes().iter().map(|hole| outline(hole, &over, along, shift));
        let outer = outline(recess.region.outer(), &over, along, shift)?;
        Ok(Recess { region: Region::new(outer, holes.collect::<Result<_, _>>()?), ..*recess })
    };
    let recesses = part.recesses.iter().map(recess).collect::<Result<_, &'static str>>()?;
    let mass_g = part.mass_g * region.area() / part.region.area();
    Ok(Part {
        recesses,
        scores: lines(&part.scores),
        marks: lines(&part.marks),
        at: place(part.at),
        region,
        mass_g,
        ..part.clone()
    })
}

/// The part with the slot at a point made wider by so many mm, each wall moved by half.
pub(super) fn widened(part: &Part, at: Point, by: f64) -> Result<Part, &'static str> {
    let walls = measure::walls(&part.region, at).ok_or("its point lies in no slot")?;
    let half = walls.across * (by / 2.0);
    let outer = part.region.outer();
    let shift = |outline: &Outline| -> Result<Outline, &'static str> {
        let once = wall_moved(outline, walls.near, walls.across, -half)?;
        wall_moved(&once, walls.opposite, walls.across, half)
    };
    let holes = part.region.holes().iter().map(&shift).collect::<Result<_, _>>()?;
    let region = Region::new(shift(outer)?, holes);
    let mass_g = part.mass_g * region.area() / part.region.area();
    Ok(Part { region, mass_g, ..part.clone() })
}

/// The outline with one of its edges moved; as it is where the edge is none of its own.
fn wall_moved(outline: &Outline, wall: Segment, across: Vec2, by: Vec2) -> Result<Outline, &'static str> {
    let segments: Vec<Segment> = outline.segments().collect();
    let n = segments.len();
    let Some(i) = segments.iter().position(|s| *s == wall) else { return Ok(outline.clone()) };
    let beside = [segments[(i + n - 1) % n], segments[(i + 1) % n]];
    let square =
        |s: &Segment| s.is_line() && s.chord().dot(across).abs() >= (1.0 - LEAN * LEAN) * s.chord().hypot();
    if !wall.is_line() || !beside.iter().all(square) {
        return Err("its walls do not stand square between straight edges");
    }
    let mut vertices = outline.vertices().to_vec();
    vertices[i].at += by;
    vertices[(i + 1) % n].at += by;
    let moved = Outline::new(vertices).map_err(|_| "nothing would be left of it")?;
    let turned = segments.iter().zip(moved.segments()).any(|(a, b)| a.chord().dot(b.chord()) < 0.0);
    if turned { Err("an edge is shorter than what it would lose") } else { Ok(moved) }
}

fn outline(
    outline: &Outline,
    over: &impl Fn(Point) -> bool,
    along: Vec2,
    shift: Vec2,
) -> Result<Outline, &'static str> {
    let mut vertices = outline.vertices().to_vec();
    for segment in outline.segments() {
        let on_both = |k: u32| over(segment.at(f64::from(k) / f64::from(LOOKS))) != over(segment.from);
        let crosses =
            over(segment.from) != over(segment.to) || (!segment.is_line() && (0..LOOKS).any(on_both));
        let lean = segment.chord().cross(along).abs() / segment.chord().hypot().max(f64::MIN_POSITIVE);
        if crosses && (!segment.is_line() || lean > LEAN) {
            return Err("an edge that is not straight along the dimension crosses there");
        }
    }
    for vertex in &mut vertices {
        if over(vertex.at) {
            vertex.at += shift;
        }
    }
    let moved = Outline::new(vertices).map_err(|_| "nothing would be left of it")?;
    let shrunk = outline.segments().zip(moved.segments()).any(|(a, b)| a.chord().dot(b.chord()) < 0.0);
    if shrunk { Err("an edge is shorter than what it would lose") } else { Ok(moved) }
}
