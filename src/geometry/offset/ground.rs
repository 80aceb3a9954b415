//! Where the middle of a disc may go so that it takes a recess out of a part and nothing else.

use clipper2_rust::{
    EndType, FillRule, JoinType, Path64, Paths64, Point64, difference_64, inflate_paths_64, intersect_64,
};

use super::clipper::{FLATNESS, GRID, area_and_length, path};
use super::{Closed, Refused, offset};
use crate::geometry::distance::SegmentIndex;
use crate::geometry::{Outline, Point, Region, crossing};

/// Outlines nearer to each other than this meet, mm.
const MEETS_MM: f64 = 1e-3;

/// A rim of material thinner than twice this, mm, is none: what is left where an open side is drawn on the part's edge.
const RIM_MM: f64 = 0.005;

/// Over an open edge the disc's middle goes this share of its radius: far enough to leave no rim at the ends of the
/// walls, and not so far as it goes when it cuts the part out.
const OVER: f64 = 0.5;

/// What a disc leaves in a corner of 30 degrees, in squares of its radius; more is no corner but a place too narrow.
const CORNER: f64 = 2.5;

/// Polygons thinner than this on the mean, mm, are nothing.
const SPECK_MM: f64 = 2.0 * FLATNESS;

/// Why there is no ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoGround {
    /// The disc does not fit here.
    Narrow(Point),
    /// An offset could not be trusted.
    Refused(Refused),
}

/// The ground on which the middle of a disc of this radius moves to take `recess` out of `part`: the disc reaches all of
/// the recess but its inside corners, none of the rest of the part, and where the recess is open at the part's edge
/// it runs out over that by half its radius. Arcs stay arcs where the recess lies within the part; an open one
/// comes in chords of a thousandth of a millimetre.
///
/// # Errors
/// [`NoGround`] where the disc does not fit.
pub fn ground(recess: &Region, part: &Region, radius: f64) -> Result<Vec<Region>, NoGround> {
    let (own, around) = (SegmentIndex::of_region(recess), SegmentIndex::of_region(part));
    let within = part.outer().contains(recess.outer().vertices()[0].at);
    if within && crossing::meeting(&own, &around, MEETS_MM).is_none() {
        let shrunk = offset(recess, -radius).map_err(NoGround::Refused)?;
        return match shrunk.closed.first() {
            Some(Closed { at, .. }) => Err(NoGround::Narrow(*at)),
            None if shrunk.regions.is_empty() => Err(NoGround::Narrow(recess.outer().vertices()[0].at)),
            None => Ok(shrunk.regions),
        };
    }
    Field::new(recess, part, radius).open()
}

/// What a recess and its part have in common, in chords of a thousandth of a millimetre: what is milled away.
pub fn common(recess: &Region, part: &Region) -> Vec<Region> {
    let origin = recess.outer().vertices()[0].at;
    regions(&intersect_64(&polygons(recess, origin), &polygons(part, origin), FillRule::NonZero), origin)
}

/// Recess and part as polygons.
struct Field {
    origin: Point,
    radius: f64,
    /// What is to go.
    recess: Paths64,
    /// What of the part is to stay, as far as it matters.
    stays: Paths64,
}

impl Field {
    fn new(recess: &Region, part: &Region, radius: f64) -> Self {
        let origin = recess.outer().vertices()[0].at;
        let near = Outline::rectangle(recess.bounds().inflate(4.0 * radius, 4.0 * radius));
        let near = polygons(&Region::new(near, Vec::new()), origin);
        let part = intersect_64(&polygons(part, origin), &near, FillRule::NonZero);
        let recess = polygons(recess, origin);
        let stays = grown(&difference_64(&part, &recess, FillRule::NonZero), -RIM_MM, JoinType::Miter);
        Self { origin, radius, recess: intersect_64(&part, &recess, FillRule::NonZero), stays }
    }

    fn open(&self) -> Result<Vec<Region>, NoGround> {
        let at_most = grown(&self.recess, OVER * self.radius, JoinType::Round);
        let barred = grown(&self.stays, self.radius + RIM_MM, JoinType::Round);
        let ground = difference_64(&at_most, &barred, FillRule::NonZero);
        let reached = grown(&ground, self.radius, JoinType::Round);
        let left = difference_64(&self.recess, &reached, FillRule::NonZero);
        let most = CORNER * self.radius * self.radius;
        if let Some(left) = left.iter().find(|path| area_and_length(path).0 > most) {
            return Err(NoGround::Narrow(point(&left[0], self.origin)));
        }
        let regions = regions(&ground, self.origin);
        match (regions.is_empty(), self.recess.first()) {
            (true, Some(path)) => Err(NoGround::Narrow(point(&path[0], self.origin))),
            _ => Ok(regions),
        }
    }
}

fn point(at: &Point64, origin: Point) -> Point {
    origin + Point::new(at.x as f64, at.y as f64).to_vec2() / GRID
}

/// Polygons as regions, each with the holes that lie in it.
fn regions(paths: &Paths64, origin: Point) -> Vec<Region> {
    let outline = |path: &Path64| {
        let (area, length) = area_and_length(path);
        let thick = 2.0 * area.abs() > SPECK_MM * length;
        let points: Vec<(f64, f64)> = path.iter().map(|p| point(p, origin)).map(|p| (p.x, p.y)).collect();
        Outline::polygon(&points).ok().filter(|_| thick)
    };
    let (outer, holes): (Vec<Outline>, Vec<Outline>) =
        paths.iter().filter_map(outline).partition(Outline::is_counter_clockwise);
    let with_holes = |outer: Outline| {
        let own = holes.iter().filter(|hole| outer.contains(hole.vertices()[0].at)).cloned().collect();
        Region::new(outer, own)
    };
    outer.into_iter().map(with_holes).collect()
}

fn polygons(region: &Region, origin: Point) -> Paths64 {
    region.outlines().map(|outline| path(outline.segments(), origin)).collect()
}

fn grown(paths: &Paths64, by: f64, join: JoinType) -> Paths64 {
    inflate_paths_64(paths, by * GRID, join, EndType::Polygon, 2.0, FLATNESS * GRID)
}
