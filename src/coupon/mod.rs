//! Coupons: test pieces that measure kerf, fit, power or depth on one machine and one wood, and what follows from a
//! reading; and the standard part that a post is tried on.
//!
//! Takes a [`Wish`] and the shop. Gives a [`Coupon`]: the pieces, built here as outlines with marks, after the whole journey
//! that parts of a drawing make, with a text that says what to measure and what to type then. Refuses what the journey
//! refuses, and a ladder on a machine that it is not for.

mod built;
mod fit;
mod kerf;
mod ladder;
pub mod reading;
pub mod record;
mod standard;
mod text;

pub use standard::standard;

use crate::geometry::Rect;
use crate::problem::{Problem, Problems};
use crate::shop::Shop;
use crate::stages::job::{Cutting, Job, Stock};
use crate::stages::part::Part;
use crate::stages::watch::Watch;
use crate::stages::{self, Kit};

/// What a coupon measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The width that beam or cutter takes away.
    Kerf,
    /// How wide a slot has to be.
    Fit,
    /// Speed and power of a beam.
    Power,
    /// The deepest pass of a cutter.
    Depth,
}

impl Kind {
    /// Every kind with its name.
    pub const ALL: [(&'static str, Self); 4] =
        [("kerf", Self::Kerf), ("fit", Self::Fit), ("power", Self::Power), ("depth", Self::Depth)];

    /// Its name.
    pub fn name(self) -> &'static str {
        Self::ALL.iter().find(|(_, kind)| *kind == self).map_or("", |(name, _)| name)
    }
}

/// What a coupon is wanted for.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// What it measures.
    pub kind: Kind,
    /// Wood by name.
    pub wood: String,
    /// Thickness that the wood is sold as, mm.
    pub thickness_mm: f64,
    /// Thickness as measured, mm; none where it is as sold.
    pub measured_mm: Option<f64>,
    /// Length along the grain and width of the sheet it is cut from, mm; none for the smallest usual scrap.
    pub sheet_mm: Option<(f64, f64)>,
    /// What replaces the shop's values: kerf and cutter.
    pub cutting: Cutting,
}

/// A coupon, ready to be written.
#[derive(Debug)]
pub struct Coupon {
    /// The job that it would be.
    pub job: Job,
    /// Its pieces, cuts, files, proof and pictures.
    pub kit: Kit,
    /// What to measure, and what to type then.
    pub text: String,
}

/// A scrap of this length and width, mm, holds every coupon for thin wood.
const SCRAP_MM: (f64, f64) = (200.0, 100.0);

/// Makes a coupon. As much of it comes back as could be made before a problem.
pub fn make(wish: &Wish, shop: &Shop, watch: &dyn Watch, problems: &mut Problems) -> Coupon {
    let mut job = job_of(wish, shop);
    let laser = shop.machine.is_laser();
    let wrong = match wish.kind {
        Kind::Power if !laser => Some(("power", "laser")),
        Kind::Depth if laser => Some(("depth", "router")),
        _ => None,
    };
    if let Some((kind, tool)) = wrong {
        let message = format!("a {kind} coupon is cut on a {tool}, and '{}' is none", shop.machine.name);
        problems.push(Problem::error("wrong-machine", message).hint("name another machine with --machine"));
        return Coupon { job, kit: Kit::default(), text: String::new() };
    }
    let rungs = match wish.kind {
        Kind::Power => ladder::power(wish, shop, problems),
        Kind::Depth => ladder::depth(wish, shop, problems),
        Kind::Kerf | Kind::Fit => Vec::new(),
    };
    let parts: Vec<Part> = match wish.kind {
        Kind::Kerf => kerf::parts(wish, shop, problems),
        Kind::Fit => fit::parts(wish),
        Kind::Power | Kind::Depth => rungs.iter().map(|rung| rung.part.clone()).collect(),
    };
    if problems.stop() {
        return Coupon { job, kit: Kit::default(), text: String::new() };
    }
    make_room(&mut job, &parts, wish);
    let mut kit = built::kit(wish.kind.name(), parts);
    match wish.kind {
        Kind::Kerf | Kind::Fit => built::travel(&mut kit, &job, shop, watch, problems),
        Kind::Power | Kind::Depth => ladder::travel(&mut kit, &rungs, &job, shop, watch, problems),
    }
    let text = text::text(wish, shop, &rungs, &kit);
    kit.files.push(stages::write::Written {
        name: "coupon.txt".to_owned(),
        sheet: None,
        bytes: text.clone().into_bytes(),
    });
    Coupon { job, kit, text }
}

fn job_of(wish: &Wish, shop: &Shop) -> Job {
    let title = format!("Coupon {}, {} {} mm", wish.kind.name(), wish.wood, wish.thickness_mm);
    Job { title, machine: shop.machine.name.clone(), cutting: wish.cutting.clone(), ..Job::default() }
}

/// A sheet that holds the longest piece, or the one that was asked for.
fn make_room(job: &mut Job, parts: &[Part], wish: &Wish) {
    let bounds: Vec<Rect> = parts.iter().map(|part| part.region.bounds()).collect();
    let longest = bounds.iter().map(Rect::width).fold(0.0, f64::max);
    let around = 30.0;
    let (length_mm, width_mm) = wish.sheet_mm.unwrap_or((SCRAP_MM.0.max(longest + around), SCRAP_MM.1));
    let (wood, thickness_mm) = (wish.wood.clone(), wish.thickness_mm);
    job.stock = vec![Stock::new(wood, thickness_mm, (length_mm, width_mm))];
}
