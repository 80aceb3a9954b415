//! Kits by dice: ribs of 110 to 220 mm chord, each drawn from the NACA four-digit formula, 9 to 14 % thick; formers 45 to 92
//! mm wide and high with cut corners, half of them with a hole; tail parts, tapered, 110 to 250 mm long and 40 to 92 mm wide.
//! Of four parts two are ribs, one is a former, one a tail part. The grain of ribs and tail parts runs along; formers, of
//! ply, may lie in any quarter turn. Half of the ribs and tail parts are of the other hand.

use grainwise::geometry::{Outline, Point, Region};
use grainwise::stages::job::{Cutting, Effort, Job, Stock, TabWish};
use grainwise::stages::part::Part;
use grainwise::stages::sheet::Room;

const WOOD: &str = "balsa-medium";

/// 1 mm between parts, 2 mm to the edge.
pub(super) const ROOM: Room = Room { spacing_mm: 1.0, margin_mm: 2.0 };

/// Splitmix64 (Steele, Lea, Flood, 2014; constants from memory).
pub(super) struct Dice(pub(super) u64);

impl Dice {
    pub(super) fn between(&mut self, least: f64, most: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        least + (most - least) * ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// So many parts.
pub(super) fn kit(count: usize, seed: u64) -> Vec<Part> {
    let mut dice = Dice(seed);
    (0..count)
        .map(|i| {
            let region = match i % 4 {
                0 | 1 => rib(&mut dice),
                2 => former(&mut dice),
                _ => tail(&mut dice),
            };
            let mirrored = u32::from(i % 4 != 2 && dice.between(0.0, 1.0) < 0.5);
            part(format!("P{i}"), region, (i % 4 != 2).then_some(0.0), mirrored)
        })
        .collect()
}

fn rib(dice: &mut Dice) -> Region {
    let (chord, thick, camber) =
        (dice.between(110.0, 220.0), dice.between(0.09, 0.14), dice.between(0.0, 0.04));
    let half = |x: f64| {
        5.0 * thick
            * (0.2969 * x.sqrt() - 0.126 * x - 0.3516 * x * x + 0.2843 * x.powi(3) - 0.1015 * x.powi(4))
    };
    let middle = |x: f64| {
        let p = 0.4;
        let part = if x < p {
            (2.0 * p * x - x * x) / (p * p)
        } else {
            (1.0 - 2.0 * p + 2.0 * p * x - x * x) / ((1.0 - p) * (1.0 - p))
        };
        camber * part
    };
    let station = |i: usize| (i as f64 / 24.0) * (i as f64 / 24.0);
    let upper = (1..=24).rev().map(&station).map(|x| (x * chord, (middle(x) + half(x)) * chord));
    let lower = (0..=24).map(station).map(|x| (x * chord, (middle(x) - half(x)) * chord));
    polygon(&upper.chain(lower).collect::<Vec<_>>())
}

fn former(dice: &mut Dice) -> Region {
    let (w, h) = (dice.between(45.0, 92.0), dice.between(45.0, 92.0));
    let cut = dice.between(4.0, 14.0);
    let outer = Outline::polygon(&[
        (cut, 0.0),
        (w - cut, 0.0),
        (w, cut),
        (w, h - cut),
        (w - cut, h),
        (cut, h),
        (0.0, h - cut),
        (0.0, cut),
    ])
    .unwrap();
    let holes = if dice.between(0.0, 1.0) < 0.5 {
        vec![Outline::circle(Point::new(w / 2.0, h / 2.0), dice.between(0.15, 0.35) * w.min(h))]
    } else {
        Vec::new()
    };
    Region::new(outer, holes)
}

fn tail(dice: &mut Dice) -> Region {
    let (length, width) = (dice.between(110.0, 250.0), dice.between(40.0, 92.0));
    let (tip, sweep) = (dice.between(0.4, 0.9) * width, dice.between(0.0, 0.3) * width);
    polygon(&[(0.0, 0.0), (length, sweep), (length, (sweep + tip).min(width)), (0.0, width)])
}

fn polygon(points: &[(f64, f64)]) -> Region {
    Region::new(Outline::polygon(points).unwrap(), Vec::new())
}

fn part(id: String, region: Region, grain_deg: Option<f64>, mirrored: u32) -> Part {
    Part {
        id,
        drawing: 0,
        layer: "cut".to_owned(),
        at: region.outer().vertices()[0].at,
        region,
        scores: Vec::new(),
        marks: Vec::new(),
        note: None,
        recesses: Vec::new(),
        grain_deg,
        wood: WOOD.to_owned(),
        thickness_mm: 2.0,
        copies: 1,
        mirrored,
        tabs: TabWish::Table,
        cutting: Cutting::default(),
        mark: true,
        lying: grainwise::stages::job::Lying::default(),
        mass_g: 1.0,
    }
}

/// A job with as many sheets of this size as it takes.
pub(super) fn job(length_mm: f64, width_mm: f64, effort: Effort) -> Job {
    let stock = Stock::new(WOOD.to_owned(), 2.0, (length_mm, width_mm));
    Job { stock: vec![stock], effort, ..Job::default() }
}
