//! Part names and grain arrows: where they go on a piece, and how large they are.
//!
//! All is done on the sheet, where the piece already lies mirrored and turned, so that a name reads the right way round on
//! the finished piece of either hand. The name goes first, as large as fits along x, along y, or along the piece's longest
//! straight; then the arrow, along the grain. Where both do not fit together the name gives way down to its smallest size.

use crate::geometry::lettering;
use crate::geometry::{Chain, Outline, Placement, Point, Rect, Region, Segment, Vec2, trig};

mod bands;
mod note;

use crate::stages::drawing::Note;
use bands::{Bands, Edge, edges_of, sides, turned};

/// Smallest height of capitals, mm: the smallest of ISO 3098.
pub const SMALLEST: f64 = 1.8;

/// Largest height of capitals, mm: larger ones only take time.
pub const LARGEST: f64 = 7.0;

/// Distance that strokes keep from every edge and hole, and from each other's mark, mm.
pub const CLEARANCE: f64 = 0.8;

/// Shortest and longest grain arrow, mm.
pub const ARROW: (f64, f64) = (5.0, 25.0);

/// Heights of capitals beside a piece, mm: sizes of ISO 3098.
const BESIDE: [f64; 3] = [3.5, 2.5, SMALLEST];

/// Distance of what stands beside a piece from the rectangle around it, mm: more than any kerf or cutter takes away.
const BESIDE_GAP: f64 = 5.0;

/// Sizes that differ by less than this, mm, look alike.
const ALIKE: f64 = 0.1;

/// Where a mark came to lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Where {
    /// In the material.
    Inside,
    /// Beside the piece, on waste.
    Beside,
    /// Nowhere: there is no room.
    Nowhere,
}

/// What is drawn for a piece, in the coordinates of its sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Marking {
    /// Lines to be drawn.
    pub strokes: Vec<Chain>,
    /// Where the name came to lie.
    pub name: Where,
    /// Where the grain arrow came to lie; none where the piece has no grain direction.
    pub arrow: Option<Where>,
    /// Height of the capitals, mm; 0 where the name is nowhere.
    pub height_mm: f64,
    /// Lines of what is written beside the name; none where there is nothing, or no room for it.
    pub note: Vec<Chain>,
    /// Height of its capitals, mm; 0 where it is nowhere.
    pub note_mm: f64,
    /// Characters of the name that there is no letter for; each is drawn as an empty box.
    pub unknown: Vec<char>,
}

/// A rectangle turned about the origin: where a name or an arrow lies.
#[derive(Clone, Copy, Debug)]
struct Spot {
    rect: Rect,
    deg: f64,
}

/// A name, drawn once with capitals of 1 mm.
struct Name<'a> {
    text: &'a str,
    bounds: Rect,
}

impl<'a> Name<'a> {
    fn new(text: &'a str) -> Option<Self> {
        let bounds = lettering::bounds(&lettering::text(text, 1.0))?;
        Some(Self { text, bounds })
    }

    /// Width and height of the name with capitals of this height.
    fn size(&self, height: f64) -> (f64, f64) {
        (self.bounds.width() * height, self.bounds.height() * height)
    }

    fn strokes(&self, spot: Spot, height: f64) -> Vec<Chain> {
        let origin = spot.rect.origin() - self.bounds.origin().to_vec2() * height;
        let turn = turned(spot.deg);
        let placement = Placement { shift: turn.point(origin).to_vec2(), ..turn };
        lettering::text(self.text, height).iter().map(|stroke| stroke.placed(&placement)).collect()
    }
}

/// Places a name and, where the piece has a grain direction (degrees on the sheet), a grain arrow; then, in what room is
/// left in the material, a note with its arrow as it points on the sheet. `free` says whether a place on the sheet is waste
/// that nothing else needs.
pub fn place(
    name: &str,
    note: Option<&Note>,
    region: &Region,
    grain_deg: Option<f64>,
    free: &dyn Fn(&Region) -> bool,
) -> Marking {
    let edges = edges_of(region);
    let letters = Name::new(name);
    let found = letters.as_ref().and_then(|name| inside(name, region, &edges, grain_deg));
    let mut marking = Marking {
        strokes: Vec::new(),
        name: Where::Nowhere,
        arrow: grain_deg.map(|_| Where::Nowhere),
        height_mm: 0.0,
        note: Vec::new(),
        note_mm: 0.0,
        unknown: lettering::unknown(name),
    };
    let mut arrow = None;
    let mut taken = Vec::new();
    if let (Some(letters), Some(found)) = (&letters, &found) {
        marking.strokes = letters.strokes(found.spot, found.height);
        (marking.name, marking.height_mm) = (Where::Inside, found.height);
        arrow = found.arrow;
    } else if let Some(letters) = &letters {
        for height in BESIDE {
            let Some(rect) = beside(region.bounds(), letters.size(height), &taken, free) else { continue };
            marking.strokes = letters.strokes(Spot { rect, deg: 0.0 }, height);
            (marking.name, marking.height_mm) = (Where::Beside, height);
            taken.push(rect);
            break;
        }
    }
    if let Some(grain) = grain_deg {
        if found.is_none() {
            arrow = arrow_in(&edges, grain);
        }
        if let Some(spot) = arrow {
            marking.strokes.extend(arrow_strokes(spot));
            marking.arrow = Some(Where::Inside);
        } else if let Some(strokes) = arrow_beside(region.bounds(), grain, &taken, free) {
            marking.strokes.extend(strokes);
            marking.arrow = Some(Where::Beside);
        }
    }
    if let Some(note) = note {
        let mut all = edges;
        let spots = found.iter().map(|found| found.spot).chain(arrow);
        all.extend(spots.flat_map(|spot| sides(spot.rect, spot.deg)));
        (marking.note, marking.note_mm) = note::place(note, region, &all).unwrap_or_default();
    }
    marking
}

/// A place for the name in the material, with one for the arrow where there is room.
struct Found {
    spot: Spot,
    height: f64,
    arrow: Option<Spot>,
}

fn inside(name: &Name, region: &Region, edges: &[Edge], grain_deg: Option<f64>) -> Option<Found> {
    let views = views(region, edges);
    let size = |height: f64| name.size(height);
    let (mut spot, mut height) = largest(&size, &views, LARGEST)?;
    let first = (spot, height);
    let Some(grain) = grain_deg else { return Some(Found { spot, height, arrow: None }) };
    loop {
        let mut all = edges.to_vec();
        all.extend(sides(spot.rect, spot.deg));
        let arrow = arrow_in(&all, grain);
        if arrow.is_some() {
            return Some(Found { spot, height, arrow });
        }
        // Each next size is smaller by the square root of two, as in ISO 3098.
        let smaller = height / std::f64::consts::SQRT_2;
        match (height > SMALLEST).then(|| largest(&size, &views, smaller.max(SMALLEST))).flatten() {
            Some(next) => (spot, height) = next,
            None => return Some(Found { spot: first.0, height: first.1, arrow: None }),
        }
    }
}

/// The piece seen along x, along y, and along its longest straight where that is another direction.
fn views(region: &Region, edges: &[Edge]) -> Vec<(f64, Bands)> {
    let mut directions = vec![0.0, 90.0];
    let straights = region.outer().segments().filter(Segment::is_line);
    if let Some(longest) = straights.max_by(|a, b| a.length().total_cmp(&b.length())) {
        let chord = longest.chord();
        // Between -90 and 90 degrees: never upside down.
        let deg = (trig::atan2(chord.y, chord.x).to_degrees() + 90.0).rem_euclid(180.0) - 90.0;
        if (2.0..88.0).contains(&deg.abs()) {
            directions.push(deg);
        }
    }
    directions.into_iter().map(|deg| (deg, Bands::new(edges, deg, CLEARANCE))).collect()
}

/// The largest height of capitals up to `most` at which what is so wide and high then fits in one of the views, the first
/// view where several are alike.
fn largest(size: &dyn Fn(f64) -> (f64, f64), views: &[(f64, Bands)], most: f64) -> Option<(Spot, f64)> {
    let mut best: Option<(Spot, f64)> = None;
    for (deg, bands) in views {
        let least = best.map_or(SMALLEST, |(_, height)| height + ALIKE);
        let fit = |height: f64| {
            let (width, tall) = size(height);
            bands.fit(width, tall)
        };
        if least <= most
            && let Some((rect, height)) = widest(least, most, &fit)
        {
            best = Some((Spot { rect, deg: *deg }, height));
        }
    }
    best
}

/// The largest size from `least` to `most` that fits, to within [`ALIKE`]; none where the least does not.
fn widest(least: f64, most: f64, fit: &dyn Fn(f64) -> Option<Rect>) -> Option<(Rect, f64)> {
    if let Some(rect) = fit(most) {
        return Some((rect, most));
    }
    let mut best = (fit(least)?, least);
    let mut above = most;
    while above - best.1 > ALIKE {
        let size = f64::midpoint(above, best.1);
        match fit(size) {
            Some(rect) => best = (rect, size),
            None => above = size,
        }
    }
    Some(best)
}

/// The largest arrow along the grain that fits between the edges.
fn arrow_in(edges: &[Edge], grain_deg: f64) -> Option<Spot> {
    let bands = Bands::new(edges, grain_deg, CLEARANCE);
    let fit = |length: f64| bands.fit(length, lettering::arrow_height(length));
    widest(ARROW.0, ARROW.1, &fit).map(|(rect, _)| Spot { rect, deg: grain_deg })
}

fn arrow_strokes(spot: Spot) -> Vec<Chain> {
    let arrow = lettering::arrow(spot.rect.center(), spot.rect.width());
    arrow.iter().map(|stroke| stroke.placed(&turned(spot.deg))).collect()
}

/// A free place beside a rectangle: below, above, right, left of it.
fn beside(
    around: Rect,
    (width, height): (f64, f64),
    taken: &[Rect],
    free: &dyn Fn(&Region) -> bool,
) -> Option<Rect> {
    let middle = around.center() - Vec2::new(width / 2.0, height / 2.0);
    let corners = [
        Point::new(middle.x, around.y0 - BESIDE_GAP - height),
        Point::new(middle.x, around.y1 + BESIDE_GAP),
        Point::new(around.x1 + BESIDE_GAP, middle.y),
        Point::new(around.x0 - BESIDE_GAP - width, middle.y),
    ];
    corners.into_iter().map(|corner| Rect::from_origin_size(corner, (width, height))).find(|rect| {
        let room = rect.inflate(CLEARANCE, CLEARANCE);
        let apart = taken.iter().all(|other| {
            other.x1 < room.x0 || room.x1 < other.x0 || other.y1 < room.y0 || room.y1 < other.y0
        });
        apart && free(&Region::new(Outline::rectangle(room), Vec::new()))
    })
}

fn arrow_beside(
    around: Rect,
    grain_deg: f64,
    taken: &[Rect],
    free: &dyn Fn(&Region) -> bool,
) -> Option<Vec<Chain>> {
    let turn = turned(grain_deg);
    let strokes: Vec<Chain> =
        lettering::arrow(Point::ORIGIN, ARROW.0).iter().map(|stroke| stroke.placed(&turn)).collect();
    let bounds = lettering::bounds(&strokes)?;
    let rect = beside(around, (bounds.width(), bounds.height()), taken, free)?;
    let placement = Placement { shift: rect.origin() - bounds.origin(), ..Placement::HERE };
    Some(strokes.iter().map(|stroke| stroke.placed(&placement)).collect())
}
