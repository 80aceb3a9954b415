//! What is left between polygons that have nothing in common: each hole of one is a piece, less what lies within it.

use static_aabb2d_index::{StaticAABB2DIndex, StaticAABB2DIndexBuilder};

use super::{Polygon, contains, signed_area};
use crate::geometry::{Point, Rect};

/// The pieces in the holes of what is removed, in the order of the holes.
pub(super) fn islands(removed: Vec<Polygon>) -> Vec<Polygon> {
    let mut outers: Vec<Vec<Point>> = Vec::with_capacity(removed.len());
    let mut islands: Vec<Polygon> = Vec::new();
    for polygon in removed {
        let mut contours = polygon.into_iter();
        outers.extend(contours.next());
        // The edge of a hole is the outer edge of the piece in it, run the other way.
        islands.extend(contours.map(|hole| vec![backwards(hole)]));
    }
    let areas: Vec<f64> = islands.iter().map(|island| signed_area(&island[0])).collect();
    let Some(index) = index(&islands) else { return islands };
    for outer in outers {
        let Some(&at) = outer.first() else { continue };
        let around = index.query(at.x, at.y, at.x, at.y).into_iter();
        let around = around.filter(|&i| contains(&islands[i][..1], at));
        if let Some(nearest) = around.min_by(|&a, &b| areas[a].total_cmp(&areas[b]).then(a.cmp(&b))) {
            islands[nearest].push(backwards(outer));
        }
    }
    islands
}

fn backwards(mut contour: Vec<Point>) -> Vec<Point> {
    contour.reverse();
    contour
}

fn index(islands: &[Polygon]) -> Option<StaticAABB2DIndex<f64>> {
    let mut builder = StaticAABB2DIndexBuilder::new(islands.len());
    for island in islands {
        let b = super::bounds(island).unwrap_or(Rect::ZERO);
        builder.add(b.x0, b.y0, b.x1, b.y1);
    }
    builder.build().ok()
}
