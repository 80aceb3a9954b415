//! Parts and jobs made by hand, and a plain way to measure a layout that shares nothing with the search.

use std::path::PathBuf;

use grainwise::geometry::{Outline, Point, Region, Segment, Vec2, Vertex};
use grainwise::problem::Problems;
use grainwise::stages::job::{Cutting, Job, LayerRules, PartRule, Stock, TabWish, Turn};
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Layout, Placed, Room, Sheet, lay};

pub(super) const WOOD: &str = "balsa-medium";

/// A part of 2.5 mm balsa, grain along x, one piece.
pub(super) fn part(id: &str, region: Region) -> Part {
    Part {
        id: id.to_owned(),
        drawing: 0,
        layer: "cut".to_owned(),
        at: region.outer().vertices()[0].at,
        region,
        scores: Vec::new(),
        marks: Vec::new(),
        note: None,
        recesses: Vec::new(),
        grain_deg: Some(0.0),
        wood: WOOD.to_owned(),
        thickness_mm: 2.5,
        copies: 1,
        mirrored: 0,
        tabs: TabWish::Table,
        cutting: Cutting::default(),
        mark: true,
        lying: grainwise::stages::job::Lying::default(),
        mass_g: 1.0,
    }
}

pub(super) fn rectangle(length: f64, width: f64) -> Region {
    polygon(&[(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)])
}

pub(super) fn polygon(points: &[(f64, f64)]) -> Region {
    Region::new(Outline::polygon(points).unwrap(), Vec::new())
}

pub(super) fn disc(radius: f64) -> Region {
    Region::new(Outline::circle(Point::new(3.0, -7.0), radius), Vec::new())
}

/// A ring with room in it for other parts.
pub(super) fn ring(outer: f64, inner: f64) -> Region {
    Region::new(Outline::circle(Point::ZERO, outer), vec![Outline::circle(Point::ZERO, inner)])
}

/// A wing rib of two arcs with lightening holes and a tail cut square.
pub(super) fn rib(chord: f64) -> Region {
    let vertices = vec![
        Vertex::new(0.0, 0.0, 0.9),
        Vertex::new(0.0, 0.06 * chord, 0.0),
        Vertex::new(0.0, 0.0601 * chord, -0.17),
        Vertex::new(chord, 0.012 * chord, 0.0),
        Vertex::new(chord, 0.0, 0.0),
    ];
    let vertices = vertices.into_iter().rev().collect::<Vec<_>>();
    let mut outer: Vec<Vertex> = Vec::new();
    for (i, v) in vertices.iter().enumerate() {
        let bulge = vertices[(i + 1) % vertices.len()].bulge;
        outer.push(Vertex { at: v.at, bulge: -bulge });
    }
    let holes = [0.2, 0.35, 0.5]
        .iter()
        .map(|&x| Outline::circle(Point::new(x * chord, 0.05 * chord), 0.022 * chord))
        .collect();
    Region::new(Outline::new(outer).unwrap(), holes)
}

pub(super) fn stock(length_mm: f64, width_mm: f64, count: Option<u32>) -> Stock {
    Stock { count, ..Stock::new(WOOD.to_owned(), 2.5, (length_mm, width_mm)) }
}

pub(super) fn job(stock: Vec<Stock>) -> Job {
    Job {
        title: "test".to_owned(),
        file: None,
        folder: PathBuf::new(),
        drawings: Vec::new(),
        layers: LayerRules::default(),
        parts: None,
        default_part: PartRule::default(),
        stock,
        machine: "makerspace-laser".to_owned(),
        post: None,
        cutting: Cutting::default(),
        join_mm: 0.05,
        tolerance_mm: 0.01,
        seed: 1,
        ..Job::default()
    }
}

pub(super) const ROOM: Room = Room { spacing_mm: 1.2, margin_mm: 3.0 };

/// Lays the parts and expects no problem.
pub(super) fn laid(parts: &[Part], stock: Vec<Stock>) -> Layout {
    let mut problems = Problems::new();
    let layout = lay(parts, &job(stock), ROOM, &mut problems);
    assert!(problems.is_empty(), "{problems:?}");
    layout
}

/// Share of the sheets' area that is material.
pub(super) fn used_fraction(layout: &Layout, parts: &[Part]) -> f64 {
    let material: f64 =
        layout.sheets.iter().flat_map(|s| &s.placed).map(|p| parts[p.part].region.area()).sum();
    material / layout.sheets.iter().map(|s| s.length_mm * s.width_mm).sum::<f64>()
}

/// The region of a piece on its sheet.
pub(super) fn region(placed: &Placed, parts: &[Part]) -> Region {
    parts[placed.part].region.placed(&placed.placement)
}

/// Everything that must hold of a layout of all pieces of the parts.
pub(super) fn assert_right(layout: &Layout, parts: &[Part], room: Room) {
    assert_every_piece_once(layout, parts);
    for sheet in &layout.sheets {
        assert_sheet_right(sheet, parts, room);
    }
}

fn assert_every_piece_once(layout: &Layout, parts: &[Part]) {
    let mut pieces: Vec<(usize, u32, bool)> = Vec::new();
    for placed in layout.sheets.iter().flat_map(|sheet| &sheet.placed) {
        pieces.push((placed.part, placed.copy, placed.placement.mirrored));
    }
    pieces.sort_unstable();
    let mut wanted = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let drawn = part.copies - part.mirrored;
        wanted.extend((1..=part.copies).map(|copy| (index, copy, copy > drawn)));
    }
    for (piece, wanted) in pieces.iter_mut().zip(&wanted) {
        // A part that may be flipped has no hand.
        piece.2 = if parts[piece.0].lying.flip { wanted.2 } else { piece.2 };
    }
    assert_eq!(pieces, wanted);
}

/// How far a length may fall short, mm.
const SHORT: f64 = 1e-6;

fn assert_sheet_right(sheet: &Sheet, parts: &[Part], room: Room) {
    let regions: Vec<Region> = sheet.placed.iter().map(|placed| region(placed, parts)).collect();
    for (i, (placed, a)) in sheet.placed.iter().zip(&regions).enumerate() {
        let part = &parts[placed.part];
        assert_eq!((&part.wood, part.thickness_mm), (&sheet.wood, sheet.thickness_mm));
        if let Some(grain) = part.grain_deg {
            let lies = placed.placement.grain_deg(grain);
            let allowed = match part.lying.turn {
                Turn::Grain => 0.0,
                Turn::Within(degrees) => degrees,
                Turn::Any => 90.0,
            };
            assert!(lies.min(180.0 - lies) < allowed + 1e-9, "{} lies at {lies} degrees", part.id);
        } else if part.lying.turn == Turn::Grain {
            assert_eq!(placed.placement.turn_deg % 90.0, 0.0);
        }
        let bounds = a.bounds();
        assert!(bounds.x0 >= room.margin_mm - SHORT && bounds.y0 >= room.margin_mm - SHORT, "{bounds:?}");
        assert!(bounds.x1 <= sheet.length_mm - room.margin_mm + SHORT, "{bounds:?}");
        assert!(bounds.y1 <= sheet.width_mm - room.margin_mm + SHORT, "{bounds:?}");
        assert_clear(a, sheet, room);
        for b in &regions[..i] {
            assert!(!overlap(a, b), "{} overlaps on sheet {}", part.id, sheet.number);
            let apart = distance(a, b, room.spacing_mm);
            assert!(apart >= room.spacing_mm - SHORT, "{} is {apart} mm from another", part.id);
        }
    }
}

/// Whether a piece keeps clear of the clamps, the sheet's own outline and its zones to avoid.
fn assert_clear(piece: &Region, sheet: &Sheet, room: Room) {
    let (bounds, clamp) = (piece.bounds(), sheet.blank.clamp);
    assert!(bounds.x0 >= room.margin_mm + clamp.left - SHORT, "{bounds:?}");
    assert!(bounds.y0 >= room.margin_mm + clamp.bottom - SHORT, "{bounds:?}");
    assert!(bounds.x1 <= sheet.length_mm - room.margin_mm - clamp.right + SHORT, "{bounds:?}");
    assert!(bounds.y1 <= sheet.width_mm - room.margin_mm - clamp.top + SHORT, "{bounds:?}");
    for zone in &sheet.blank.avoid {
        let zone = Region::new(zone.clone(), Vec::new());
        assert!(!overlap(piece, &zone), "a piece lies in a zone on sheet {}", sheet.number);
        assert!(distance(piece, &zone, room.spacing_mm) >= room.spacing_mm - SHORT);
    }
    if let Some(outline) = &sheet.blank.outline {
        let whole = Region::new(outline.clone(), Vec::new());
        for segment in piece.outlines().flat_map(Outline::segments) {
            assert!((0..8).all(|i| whole.contains(segment.at(f64::from(i) / 8.0))));
        }
        assert!(distance(piece, &whole, room.margin_mm) >= room.margin_mm - SHORT);
    }
}

/// Whether material of one lies in the other, as far as points every 0.5 mm along both tell.
fn overlap(a: &Region, b: &Region) -> bool {
    let one_way = |a: &Region, b: &Region| {
        let bounds = b.bounds();
        a.outlines().flat_map(Outline::segments).any(|segment| {
            let steps = (segment.length() / 0.5).ceil().max(1.0);
            (0..steps as usize).any(|i| {
                let point = segment.at(i as f64 / steps);
                bounds.contains(point) && b.contains(point) && b.distance(point) > SHORT
            })
        })
    };
    one_way(a, b) || one_way(b, a)
}

/// Distance between the outlines, exact where it is below `cut_off`.
fn distance(a: &Region, b: &Region, cut_off: f64) -> f64 {
    let near = b.bounds().inflate(cut_off, cut_off);
    let mut least = f64::INFINITY;
    let touches = |s: &Segment| !s.bounds().intersect(near).is_zero_area() || near.contains(s.from);
    for s in a.outlines().flat_map(Outline::segments).filter(touches) {
        for t in b.outlines().flat_map(Outline::segments) {
            least = least.min(apart(&s, &t));
        }
    }
    least
}

/// Distance of two segments that do not cross: it is taken at an end, or where both are square to the line between.
fn apart(s: &Segment, t: &Segment) -> f64 {
    let mut least = f64::INFINITY;
    for (a, b) in [(s, t), (t, s)] {
        for end in [a.from, a.to] {
            least = least.min(b.nearest(end).1);
        }
        if let Some(centre) = a.centre() {
            let towards = match b.centre() {
                None => {
                    let along = b.chord();
                    Vec2::new(-along.y, along.x)
                }
                Some(other) => other - centre,
            };
            if towards.hypot() > 0.0 {
                let ray = towards / towards.hypot() * a.radius();
                for point in [centre + ray, centre - ray] {
                    if a.nearest(point).1 < 1e-9 {
                        least = least.min(b.nearest(point).1);
                    }
                }
            }
        }
    }
    least
}

/// A sheet of 300 by 100 mm with these pieces on it.
pub(super) fn sheet_with(placed: Vec<Placed>) -> Sheet {
    Sheet {
        number: 1,
        wood: WOOD.to_owned(),
        thickness_mm: 2.5,
        length_mm: 300.0,
        width_mm: 100.0,
        placed,
        ..Sheet::default()
    }
}
