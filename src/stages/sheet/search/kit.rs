//! What is to be laid on sheets, made ready for the search, and what it found, brought back.

use rayon::prelude::*;

use super::super::Room;
use super::super::account::FULLEST;
use super::super::fill::{Filled, Put, groups};
use super::super::kind::Kind;
use super::super::size::Size as Sheet;
use super::budget::Budget;
use super::convex;
use super::line::Goal;
use super::outline::covering;
use super::run::run;
use super::shape::{Plain, Shape};
use super::sheets::{Cheapest, InStock};
use super::state::{Item, Model, Place, Size, State};
use crate::geometry::{Outline, Point, Rect, Region, Vec2, offset};

/// A sheet that is not in stock costs so many times what it would: it is done without first.
const MISSING_PRICE: f64 = 1e3;

/// More pieces than this are left as they were laid first: pairs of pieces are weighed, and their number grows too fast.
const MOST_PIECES: usize = 2500;

/// Where nobody waits for the search, it looks at the sheets with most room on them, as many as hold so many pieces: it
/// takes the same time for a kit of any size.
const GLANCE: usize = 80;

/// The layout made better; none where nothing better was found. With a `glance` only a sheet that may be saved is sought,
/// among those with most room.
pub(in super::super) fn improve(
    kinds: &[Kind],
    sizes: &[Sheet],
    room: Room,
    first: &[Filled],
    budget: &mut Budget<'_>,
    seed: u64,
    glance: bool,
) -> Option<Vec<Filled>> {
    let count = |sheets: &[Filled]| sheets.iter().map(|sheet| sheet.puts.len()).sum::<usize>();
    let (full, emptiest) = if glance { emptiest(first, sizes, room) } else { (Vec::new(), first.to_vec()) };
    let may = !glance || may_save(kinds, sizes, room, &emptiest);
    if !may || count(&emptiest) > MOST_PIECES || count(&emptiest) == 0 {
        return None;
    }
    let left = not_used(sizes, &full);
    let ready = Ready::new(kinds, &left, room, &emptiest, !glance)?;
    let best = run(&ready.model, &ready.start, &ready.goal, budget, seed)?;
    let better = best.score < ready.goal.score(&ready.start);
    better.then(|| in_order(full, ready.back(&best.sizes, &best.places), kinds))
}

/// The sheets with most room on them, as many as hold some pieces, after all others.
fn emptiest(first: &[Filled], sizes: &[Sheet], room: Room) -> (Vec<Filled>, Vec<Filled>) {
    let free = |sheet: &Filled| {
        let (length, width) = sizes[sheet.size].within(room);
        length * width - sheet.area()
    };
    let mut sheets: Vec<&Filled> = first.iter().collect();
    sheets.sort_by(|a, b| free(b).total_cmp(&free(a)));
    let mut pieces = 0;
    let many = sheets.iter().take_while(|sheet| {
        pieces += sheet.puts.len();
        pieces <= GLANCE
    });
    let (near, far) = sheets.split_at(many.count());
    let owned = |sheets: &[&Filled]| sheets.iter().map(|&sheet| sheet.clone()).collect();
    (owned(far), owned(near))
}

/// The sizes with as many as these leave of each.
fn not_used(sizes: &[Sheet], sheets: &[Filled]) -> Vec<Sheet> {
    let mut left = sizes.to_vec();
    for sheet in sheets.iter().filter(|sheet| !sheet.missing) {
        left[sheet.size].count.iter_mut().for_each(|count| *count = count.saturating_sub(1));
    }
    left
}

/// All sheets: those on which something is pinned as they are numbered, then the fullest first among those in stock, the
/// one with the longest rest last.
fn in_order(mut sheets: Vec<Filled>, more: Vec<Filled>, kinds: &[Kind]) -> Vec<Filled> {
    sheets.extend(more);
    let pin = |sheet: &Filled| {
        let pins = sheet.puts.iter().filter_map(|put| kinds[put.kind].pin);
        pins.map(|pin| pin.sheet).min().unwrap_or(u32::MAX)
    };
    let rest = |a: &Filled, b: &Filled| a.missing.cmp(&b.missing).then(b.reach().total_cmp(&a.reach()));
    sheets.sort_by(|a, b| pin(a).cmp(&pin(b)).then_with(|| rest(a, b)));
    sheets
}

/// Whether there may be room for everything on one sheet less.
fn may_save(kinds: &[Kind], sizes: &[Sheet], room: Room, first: &[Filled]) -> bool {
    let area = |sheet: &Filled| sizes[sheet.size].free_area(room);
    let all: f64 = first.iter().map(area).sum();
    let least = first.iter().map(area).fold(f64::INFINITY, f64::min);
    let puts = first.iter().flat_map(|sheet| &sheet.puts);
    puts.map(|put| kinds[put.kind].area).sum::<f64>() <= FULLEST * (all - least)
}

/// Everything ready for the search.
#[derive(Debug)]
struct Ready<'a> {
    kinds: &'a [Kind],
    sizes: &'a [Sheet],
    room: Room,
    model: Model,
    /// For each shape its kind and way, and how far the outline's corner lies from its own.
    ways: Vec<(usize, usize, Vec2)>,
    start: State,
    goal: Cheapest,
}

impl<'a> Ready<'a> {
    fn new(
        kinds: &'a [Kind],
        sizes: &'a [Sheet],
        room: Room,
        first: &[Filled],
        squeeze: bool,
    ) -> Option<Self> {
        let smallest = kinds.iter().map(|kind| kind.ways[0].bounds).map(|b| b.width().min(b.height()));
        let smallest = smallest.fold(f64::INFINITY, f64::min);
        let mut model = Model::default();
        let mut ways = Vec::new();
        let mut first_shape = Vec::new();
        let mut laid = vec![false; kinds.len()];
        first.iter().flat_map(|sheet| &sheet.puts).for_each(|put| laid[put.kind] = true);
        let shapes_of = |(kind, laid): (&Kind, &bool)| {
            if *laid { shapes(kind, room.spacing_mm, smallest) } else { Some(Vec::new()) }
        };
        let shapes: Option<Vec<Vec<(Shape, Vec2)>>> = kinds.par_iter().zip(&laid).map(shapes_of).collect();
        let groups = groups(kinds);
        for (index, shapes) in shapes?.into_iter().enumerate() {
            first_shape.push(model.shapes.len());
            for (way, (mut shape, inset)) in shapes.into_iter().enumerate() {
                shape.quality = kinds[index].quality;
                ways.push((index, way, inset));
                model.shapes.push(shape);
            }
        }
        let mut places = Vec::new();
        for (bin, sheet) in first.iter().enumerate() {
            let corner = sizes[sheet.size].corner(room);
            for put in &sheet.puts {
                let base = first_shape[put.kind];
                let all = (base..base + kinds[put.kind].ways.len()).collect();
                let tied = groups.iter().position(|group| group.contains(&put.kind));
                let fast = kinds[put.kind].pin.is_some();
                model.items.push(Item { ways: all, fast, tied, zone_of: None });
                let shape = base + put.way;
                let at = put.corner - corner - ways[shape].2;
                places.push(Place { bin, shape, x: at.x, y: at.y });
            }
        }
        let goal = goal(sizes, room, &model, squeeze);
        let bins = first.iter().map(|sheet| {
            let stock = sheet.size + if sheet.missing { sizes.len() } else { 0 };
            goal.size(stock)
        });
        let bins: Vec<Size> = bins.collect();
        add_zones(&mut model, &mut places, bins.len(), sizes, room)?;
        let start = State::new(&model, bins, places);
        Some(Self { kinds, sizes, room, model, ways, start, goal })
    }

    /// The sheets that the search found.
    fn back(&self, sizes: &[Size], places: &[Place]) -> Vec<Filled> {
        let mut filled: Vec<Filled> = Vec::new();
        for (bin, size) in sizes.iter().enumerate() {
            let Some(stock) = size.stock else { continue };
            let (missing, size) = (stock >= self.sizes.len(), stock % self.sizes.len());
            let corner = self.sizes[size].corner(self.room);
            let here = places[..self.model.pieces()].iter().filter(|place| place.bin == bin);
            let puts: Vec<Put> = here
                .map(|place| {
                    let (kind, way, inset) = self.ways[place.shape];
                    Put { kind, way, corner: Point::new(place.x, place.y) + inset + corner }
                })
                .collect();
            filled.push(Filled::of(size, missing, puts, self.kinds));
        }
        filled.retain(|sheet| !sheet.puts.is_empty());
        filled
    }
}

/// The kind's shapes, half of the spacing around them, one for each of its ways, and how far the outline's corner lies from
/// each one's; with holes where the smallest piece may find room in one.
fn shapes(kind: &Kind, spacing: f64, smallest: f64) -> Option<Vec<(Shape, Vec2)>> {
    let [grown] = <[Region; 1]>::try_from(grown(&kind.ways[0].region, spacing)?).ok()?;
    let takes = |hole: &Outline| hole.bounds().width().min(hole.bounds().height()) >= smallest + spacing;
    let holes = grown.holes().iter().any(takes);
    let plain = Plain::new(&covering(&grown, holes));
    let shape = |way: usize| {
        let (shape, corner) = plain.turned(&kind.way_from_first(way));
        // Turned askew, the polygon may reach a little further than the outline that it covers.
        (shape, kind.ways[way].corner() - corner - Vec2::new(spacing / 2.0, spacing / 2.0))
    };
    Some((0..kind.ways.len()).map(shape).collect())
}

/// What is in stock, at what price, and what is not but would be needed.
fn goal(sizes: &[Sheet], room: Room, model: &Model, squeeze: bool) -> Cheapest {
    let stock = |zones: usize, sheet: &Sheet, price: f64, count: usize| {
        let (length, width) = sheet.within(room);
        let (length, width) = (length + room.spacing_mm, width + room.spacing_mm);
        let (area, quality) = (sheet.free_area(room), sheet.quality);
        InStock { length, width, price, count, area, zones, quality }
    };
    let count = |sheet: &Sheet| sheet.count.map_or(usize::MAX, |count| count as usize);
    let there = sizes.iter().enumerate().map(|(i, sheet)| stock(i, sheet, sheet.counts, count(sheet)));
    let missing = sizes.iter().enumerate().map(|(i, sheet)| stock(i, sheet, sheet.counts * MISSING_PRICE, 0));
    let stock: Vec<InStock> = there.chain(missing).collect();
    let area = model.items.iter().map(|item| model.shapes[item.ways[0]].area).sum();
    Cheapest { stock, area, squeeze }
}

/// Adds what is blocked on the sheets, in convex pieces that lie fast: for each bin those of every kind of sheet that it may
/// come to be. None where they cannot be had.
fn add_zones(
    model: &mut Model,
    places: &mut Vec<Place>,
    bins: usize,
    sizes: &[Sheet],
    room: Room,
) -> Option<()> {
    for (zone, sheet) in sizes.iter().enumerate() {
        let (length, width) = sheet.within(room);
        let box_there = Rect::new(0.0, 0.0, length + room.spacing_mm, width + room.spacing_mm);
        let half = Vec2::new(room.spacing_mm / 2.0, room.spacing_mm / 2.0);
        for region in &sheet.blocked {
            let grown = grown(region, room.spacing_mm)?;
            let pieces = grown
                .iter()
                .flat_map(|region| convex::pieces(&convex::anticlockwise(covering(region, true))));
            for piece in pieces {
                let piece: Vec<Point> = piece.into_iter().map(|p| p - sheet.corner(room) + half).collect();
                let [x0, y0, x1, y1] = convex::bounds(&piece);
                if !box_there.overlaps(Rect::new(x0, y0, x1, y1)) {
                    continue;
                }
                let shape = model.shapes.len();
                model.shapes.push(Shape::new(&piece));
                for bin in 0..bins {
                    model.items.push(Item { ways: vec![shape], fast: true, tied: None, zone_of: Some(zone) });
                    places.push(Place { bin, shape, x: x0, y: y0 });
                }
            }
        }
    }
    Some(())
}

/// The region with half of the spacing around it; none where it cannot be had.
fn grown(region: &Region, spacing: f64) -> Option<Vec<Region>> {
    if spacing <= 0.0 {
        return Some(vec![region.clone()]);
    }
    Some(offset::offset(region, spacing / 2.0).ok()?.regions)
}
