//! The search: pieces may overlap for a while, and are taken apart.

mod bound;
mod budget;
mod convex;
mod dice;
mod kit;
mod line;
mod outline;
mod place;
mod poles;
mod run;
mod separate;
mod shape;
mod sheets;
mod state;
mod strip;

use crate::geometry::Point;
pub(super) use budget::Budget;
pub(super) use kit::improve;
use shape::Shape;
use state::{Item, Model};

/// A part of a strip: in how many copies, and its outline in each way in which it may lie.
#[derive(Clone, Debug)]
pub struct StripPart {
    /// How many.
    pub copies: usize,
    /// Its outline in each way.
    pub ways: Vec<Vec<Point>>,
}

/// Lays parts in a strip as short as can be: its length, and for each piece the part, the way, and where the lower left
/// corner of its bounds lies.
pub fn strip(
    parts: &[StripPart],
    width: f64,
    seed: u64,
    most: Option<u64>,
    gone: &(dyn Fn() -> f64 + Sync),
) -> (f64, Vec<(usize, usize, Point)>, u64) {
    let mut model = Model::default();
    let mut of: Vec<(usize, usize)> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let first = model.shapes.len();
        model.shapes.extend(part.ways.iter().map(|points| Shape::new(points)));
        of.extend((0..part.ways.len()).map(|way| (index, way)));
        let ways: Vec<usize> = (first..model.shapes.len()).collect();
        model.items.extend((0..part.copies).map(|_| Item {
            ways: ways.clone(),
            fast: false,
            tied: None,
            zone_of: None,
        }));
    }
    let mut budget = Budget::new(most, gone);
    let start = strip::strewn(&model, width, &mut dice::Dice::new(seed));
    let best = run::run(&model, &start, &strip::Shortest, &mut budget, seed);
    let Some(best) = best else { return (f64::INFINITY, Vec::new(), budget.tried()) };
    let length = best.score.1;
    let placed = best.places.iter().map(|p| (of[p.shape].0, of[p.shape].1, Point::new(p.x, p.y))).collect();
    (length, placed, budget.tried())
}
