//! Parts, jobs and sheets for these tests, and ways to look along a path.

use std::path::{Path as FilePath, PathBuf};

use grainwise::geometry::{Chain, Outline, Placement, Point, Rect, Region, Segment, Vec2};
use grainwise::problem::Problems;
use grainwise::shop::{LaserWish, Shop};
use grainwise::stages::cut::{self, Cut, Path, SheetCuts};
use grainwise::stages::job::{Cutting, DrawingSource, Job, LayerRules, PartRule, TabWish};
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Layout, Placed, Sheet};
use grainwise::stages::watch::Unwatched;

pub(super) const WOOD: &str = "balsa-medium";

pub(super) fn shop(machine: &str) -> Shop {
    let mut problems = Problems::new();
    let shop = Shop::open(machine, None, FilePath::new("."), &mut problems).unwrap();
    assert!(!problems.stop(), "{problems:?}");
    shop
}

pub(super) fn job() -> Job {
    Job {
        title: String::new(),
        file: None,
        folder: PathBuf::new(),
        drawings: vec![DrawingSource {
            file: "plan.dxf".to_owned(),
            units: None,
            px_per_inch: 96.0,
            stretch: None,
        }],
        layers: LayerRules::default(),
        parts: None,
        default_part: PartRule::default(),
        stock: Vec::new(),
        machine: String::new(),
        post: None,
        cutting: beam_as_drawn(Cutting::default()),
        join_mm: 0.05,
        tolerance_mm: 0.01,
        seed: 1,
        ..Job::default()
    }
}

pub(super) fn job_with(cutting: Cutting) -> Job {
    Job { cutting: beam_as_drawn(cutting), ..job() }
}

/// A beam that pierces on its path and goes round once, unless it is told otherwise.
fn beam_as_drawn(cutting: Cutting) -> Cutting {
    let plain = LaserWish { lead_mm: Some(0.0), overcut_mm: Some(0.0), ..LaserWish::default() };
    Cutting { laser: cutting.laser.over(plain), ..cutting }
}

/// A part without name or arrow on it, so that there is nothing but what a test looks at.
pub(super) fn part(id: &str, region: Region) -> Part {
    Part {
        id: id.to_owned(),
        drawing: 0,
        layer: "PARTS".to_owned(),
        at: region.outer().vertices()[0].at,
        region,
        scores: Vec::new(),
        marks: Vec::new(),
        note: None,
        recesses: Vec::new(),
        grain_deg: Some(0.0),
        wood: WOOD.to_owned(),
        thickness_mm: 3.0,
        copies: 1,
        mirrored: 0,
        tabs: TabWish::Table,
        cutting: Cutting::default(),
        mark: false,
        lying: grainwise::stages::job::Lying::default(),
        mass_g: 1.0,
    }
}

pub(super) fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Outline {
    Outline::rectangle(Rect::new(x0, y0, x1, y1))
}

pub(super) fn circle(x: f64, y: f64, radius: f64) -> Outline {
    Outline::circle(Point::new(x, y), radius)
}

pub(super) fn polygon(points: &[(f64, f64)]) -> Outline {
    Outline::polygon(points).unwrap()
}

pub(super) fn solid(outer: Outline) -> Region {
    Region::new(outer, Vec::new())
}

pub(super) fn sheet(placed: Vec<Placed>) -> Sheet {
    Sheet {
        number: 1,
        wood: WOOD.to_owned(),
        thickness_mm: 3.0,
        length_mm: 390.0,
        width_mm: 390.0,
        placed,
        ..Sheet::default()
    }
}

pub(super) fn at(part: usize, x: f64, y: f64) -> Placed {
    Placed { part, copy: 1, placement: Placement { shift: Vec2::new(x, y), ..Placement::HERE } }
}

/// Every part once, where it was drawn.
pub(super) fn as_drawn(parts: &[Part]) -> Layout {
    Layout { sheets: vec![sheet((0..parts.len()).map(|i| at(i, 0.0, 0.0)).collect())] }
}

pub(super) fn plan(layout: &Layout, parts: &[Part], job: &Job, shop: &Shop) -> (Vec<SheetCuts>, Problems) {
    let mut problems = Problems::new();
    let sheets = cut::plan(layout, parts, job, shop, &Unwatched, &mut problems);
    (sheets, problems)
}

/// The one sheet that the parts make where they were drawn, without a problem that stops it.
pub(super) fn planned(parts: &[Part], job: &Job, shop: &Shop) -> SheetCuts {
    let (mut sheets, problems) = plan(&as_drawn(parts), parts, job, shop);
    assert!(!problems.stop(), "{problems:?}");
    assert_eq!(sheets.len(), 1);
    sheets.remove(0)
}

pub(super) fn codes(problems: &Problems) -> Vec<&'static str> {
    problems.iter().map(|p| p.code).collect()
}

pub(super) fn closed(cut: &Cut) -> &Outline {
    match &cut.path {
        Path::Closed(outline) => outline,
        Path::Open(_) => panic!("an open path"),
    }
}

pub(super) fn segments(cut: &Cut) -> Vec<Segment> {
    match &cut.path {
        Path::Closed(outline) => outline.segments().collect(),
        Path::Open(chain) => chain.segments().collect(),
    }
}

pub(super) fn length(cut: &Cut) -> f64 {
    segments(cut).iter().map(Segment::length).sum()
}

/// The segment at so many millimetres along the path, and the point there.
pub(super) fn along(cut: &Cut, s: f64) -> (Segment, Point) {
    let mut rest = s;
    let all = segments(cut);
    for segment in &all {
        if rest <= segment.length() {
            return (*segment, segment.at(rest / segment.length()));
        }
        rest -= segment.length();
    }
    let last = all[all.len() - 1];
    (last, last.to)
}

/// Whether the path at `s` lies in a tab.
pub(super) fn in_tab(cut: &Cut, s: f64) -> bool {
    cut.tabs.iter().any(|tab| tab.from_mm < s && s < tab.to_mm)
}

pub(super) fn line(points: &[(f64, f64)]) -> Chain {
    let ends: Vec<Segment> = points
        .windows(2)
        .map(|p| Segment::line(Point::new(p[0].0, p[0].1), Point::new(p[1].0, p[1].1)))
        .collect();
    Chain::from_segments(&ends).unwrap()
}
