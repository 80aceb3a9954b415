//! Sheets to cuts: every piece's compensated paths with tabs and marks, in order.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::geometry::{Chain, Outline, Placement, Point, Vec2, trig};
use crate::problem::{Problem, Problems};
use crate::shop::{RouterCraft, Shop};
use crate::stages::job::Job;
use crate::stages::part::Part;
use crate::stages::sheet::{Layout, Placed, Room, Sheet};
use crate::stages::watch::Watch;

use super::kerf::{self, Compensated};
use super::labels::{Fate, Labels};
use super::means::{self, Means, tell_once};
use super::router::Missing;
use super::router::rough;
use super::tabs::{self, Held, Pattern};
use super::track::Track;
use super::{
    Cut, Lead, Operation, Path, Settings, SheetCuts, laser, moves, order, pocket, reach, router, time,
};

/// The means for each wood and thickness met, by name and thickness in millionths of a millimetre.
type MeansBy = BTreeMap<(String, i64), Option<Means>>;

/// A part as its sheet's grain crosses it: the direction of the grain in the drawing in millionths of a degree.
type PatternKey = (usize, i64);

fn millionths(value: f64) -> i64 {
    (value * 1e6).round() as i64
}

/// The room around pieces that the machine wants, for the widest kerf among the parts' woods.
pub(super) fn room(parts: &[Part], job: &Job, shop: &Shop, problems: &mut Problems) -> Room {
    let means = all_means(parts.iter().map(|p| (p.wood.as_str(), p.thickness_mm)), job, shop, problems);
    let kerf = means.values().flatten().map(|m| m.kerf_mm).fold(0.0, f64::max);
    let least = |wish: Option<f64>, machine: f64, name: &str, problems: &mut Problems| {
        let value = wish.unwrap_or(machine);
        if value.is_finite() && value >= 0.0 {
            return value;
        }
        let message = format!("the {name} must be 0 mm or more, not {value}");
        tell_once(Problem::error("room-out-of-range", message), problems);
        0.0
    };
    let spacing = least(job.cutting.spacing_mm, shop.machine.spacing_mm, "spacing", problems);
    let margin = least(job.cutting.margin_mm, shop.machine.margin_mm, "margin", problems);
    let finish = finish(parts, means.values().flatten());
    Room { spacing_mm: spacing.max(finish) + kerf, margin_mm: margin.max(finish) + kerf / 2.0 }
}

/// How much farther from a piece than its last pass a cutter goes.
fn finish<'a>(parts: &[Part], means: impl Iterator<Item = &'a Means>) -> f64 {
    let of_parts = parts.iter().filter_map(|part| part.cutting.router.finish_mm);
    means
        .filter(|means| means.is_router())
        .map(|means| of_parts.clone().fold(means.router.finish_mm, f64::max))
        .fold(0.0, f64::max)
}

fn all_means<'a>(
    woods: impl Iterator<Item = (&'a str, f64)>,
    job: &Job,
    shop: &Shop,
    problems: &mut Problems,
) -> MeansBy {
    let mut all = MeansBy::new();
    for (wood, thickness_mm) in woods {
        all.entry((wood.to_owned(), millionths(thickness_mm))).or_insert_with(|| {
            let found = means::means(job, shop, wood, thickness_mm);
            found.map_err(|problem| tell_once(problem, problems)).ok()
        });
    }
    all
}

/// Plans every sheet; see [`super::plan`].
pub(super) fn plan(
    layout: &Layout,
    parts: &[Part],
    job: &Job,
    shop: &Shop,
    watch: &dyn Watch,
    problems: &mut Problems,
) -> Vec<SheetCuts> {
    let woods = layout.sheets.iter().map(|s| (s.wood.as_str(), s.thickness_mm));
    let all = all_means(woods, job, shop, problems);
    let means =
        |sheet: &Sheet| all.get(&(sheet.wood.clone(), millionths(sheet.thickness_mm))).copied().flatten();
    reach::check(layout, means, shop, problems);
    let patterns = patterns(layout, parts, job, &means, watch, problems);
    if drawn(job, shop) && parts.iter().any(|part| !part.recesses.is_empty()) {
        let message = "a drawing cannot say how deep a recess is";
        let hint =
            "take a machine that reads programs (or give it a post), or put the lines on another layer";
        tell_once(Problem::error("recess-in-drawing", message).hint(hint), problems);
    }
    warn_unheld(&patterns, parts, job, layout, &means, problems);
    if watch.stopped() {
        return Vec::new();
    }
    let labels = Labels::new(layout, parts);
    let planner = Planner { parts, job, shop, patterns: &patterns, labels: &labels };
    let planned: Vec<(SheetCuts, Fate, Missing)> = layout
        .sheets
        .par_iter()
        .enumerate()
        .filter_map(|(i, sheet)| {
            watch.step("ordering cuts", i, layout.sheets.len());
            (!watch.stopped()).then(|| means(sheet).map(|means| planner.sheet(sheet, &means))).flatten()
        })
        .collect();
    let mut sheets = Vec::with_capacity(planned.len());
    let (mut fate, mut missing) = (Fate::default(), Missing::default());
    for (sheet, its_fate, without) in planned {
        sheets.push(sheet);
        fate = fate.and(its_fate);
        missing = missing.and(without);
    }
    fate.tell(parts, problems);
    missing.tell(problems);
    sheets
}

/// Whether the machine takes drawings alone.
fn drawn(job: &Job, shop: &Shop) -> bool {
    job.post.is_none() && shop.machine.post.is_none()
}

/// The way the sheet's grain runs in the piece's drawing.
fn grain_in_drawing(part: &Part, placement: &Placement) -> f64 {
    let back = |p: Point| placement.point_back(p);
    let way = back(Point::new(1.0, 0.0) + placement.shift) - back(placement.shift.to_point());
    part.grain_deg.unwrap_or_else(|| trig::atan2(way.y, way.x).to_degrees().rem_euclid(180.0))
}

fn key(parts: &[Part], placed: &Placed) -> PatternKey {
    (placed.part, millionths(grain_in_drawing(&parts[placed.part], &placed.placement)) % millionths(180.0))
}

/// Each part's paths and tabs, once for each way that the grain crosses it.
fn patterns(
    layout: &Layout,
    parts: &[Part],
    job: &Job,
    means: &(impl Fn(&Sheet) -> Option<Means> + Sync),
    watch: &dyn Watch,
    problems: &mut Problems,
) -> BTreeMap<PatternKey, Pattern> {
    let mut wanted: BTreeMap<usize, (Means, Vec<i64>)> = BTreeMap::new();
    for sheet in &layout.sheets {
        let Some(means) = means(sheet) else { continue };
        for placed in sheet.placed.iter().filter(|p| p.part < parts.len()) {
            let grains = &mut wanted.entry(placed.part).or_insert((means, Vec::new())).1;
            let (_, grain) = key(parts, placed);
            if !grains.contains(&grain) {
                grains.push(grain);
            }
        }
    }
    let wanted: Vec<(usize, (Means, Vec<i64>))> = wanted.into_iter().collect();
    let made: Vec<_> = wanted
        .par_iter()
        .enumerate()
        .map(|(i, (part, (means, grains)))| {
            watch.step("kerf and tabs", i, wanted.len());
            if watch.stopped() { Ok(Vec::new()) } else { of_part(*part, &parts[*part], means, grains, job) }
        })
        .collect();
    let mut patterns = BTreeMap::new();
    for (of_part, (part, _)) in made.into_iter().zip(&wanted) {
        match of_part {
            Ok(list) => {
                for (key, mut pattern) in list {
                    let told = pattern.problems.drain(..).map(|p| in_its_file(p, &parts[*part], job));
                    told.for_each(|problem| tell_once(problem, problems));
                    patterns.insert(key, pattern);
                }
            }
            Err(list) => list.into_iter().for_each(|p| problems.push(in_its_file(p, &parts[*part], job))),
        }
    }
    patterns
}

fn of_part(
    index: usize,
    part: &Part,
    means: &Means,
    grains: &[i64],
    job: &Job,
) -> Result<Vec<(PatternKey, Pattern)>, Vec<Problem>> {
    let means = &means.of_part(part);
    let cutting = job.cutting.for_wood(&part.wood);
    let paths: Compensated = kerf::compensate(part, means)?;
    let rough = rough::around(part, means);
    let recesses = pocket::nests(part, means)?;
    let pattern = |&grain: &i64| {
        let (sin, cos) = trig::sin_cos_deg(grain as f64 / 1e6);
        let mut pattern = tabs::hold(part, &paths, means, &cutting, Vec2::new(cos, sin));
        rough::assign(&rough, &mut pattern);
        pattern.recesses.clone_from(&recesses);
        ((index, grain), pattern)
    };
    Ok(grains.iter().map(pattern).collect())
}

fn in_its_file(problem: Problem, part: &Part, job: &Job) -> Problem {
    match job.drawings.get(part.drawing) {
        Some(drawing) => problem.in_file(&drawing.file),
        None => problem,
    }
}

/// On a router a piece without tabs comes loose: told once.
fn warn_unheld(
    patterns: &BTreeMap<PatternKey, Pattern>,
    parts: &[Part],
    job: &Job,
    layout: &Layout,
    means: &impl Fn(&Sheet) -> Option<Means>,
    problems: &mut Problems,
) {
    if !layout.sheets.iter().filter_map(means).any(|m| m.is_router()) {
        return;
    }
    let mut loose: Vec<&str> = patterns
        .iter()
        .filter(|(_, pattern)| pattern.outer.tabs.is_empty())
        .map(|((part, _), _)| parts[*part].id.as_str())
        .collect();
    loose.dedup();
    let Some(first) = loose.first() else { return };
    let all =
        if job.cutting.tabs == Some(0) { "no part has tabs".to_owned() } else { named(first, loose.len()) };
    let hint = "hold them down by tape or vacuum over their whole face, or give them tabs";
    problems
        .push(Problem::warning("not-held", format!("{all}: a cutter throws what comes loose")).hint(hint));
}

fn named(first: &str, count: usize) -> String {
    if count == 1 {
        format!("part '{first}' has no tabs")
    } else {
        format!("part '{first}' and {} more have no tabs", count - 1)
    }
}

struct Planner<'a> {
    parts: &'a [Part],
    job: &'a Job,
    shop: &'a Shop,
    patterns: &'a BTreeMap<PatternKey, Pattern>,
    labels: &'a Labels<'a>,
}

impl Planner<'_> {
    fn sheet(&self, sheet: &Sheet, means: &Means) -> (SheetCuts, Fate, Missing) {
        let (cuts, fate) = self.cuts(sheet, means);
        let own = |placed: usize| self.part_of(sheet, placed).map_or(*means, |part| means.of_part(part));
        let mut cuts = order::in_order(cuts, means.is_router(), |placed| order::Heat::of(&own(placed)));
        let drawn = drawn(self.job, self.shop);
        let mut missing = Missing::default();
        match &means.settings {
            Settings::Router(setting) => {
                (cuts, missing) =
                    router::with_leads(cuts, setting, means, sheet, |placed| own(placed).router);
            }
            Settings::Laser(_) if !drawn => {
                cuts = laser::with_leads(cuts, means, sheet, |placed| own(placed).laser);
            }
            Settings::Laser(_) => {}
        }
        let name = |placed: usize| self.part_of(sheet, placed).map(|p| p.id.clone()).unwrap_or_default();
        let mut moves = moves::moves(&cuts, means, sheet.thickness_mm, |i| (name(i), own(i)));
        let steps_s = time::steps(&moves, &self.shop.machine);
        if drawn {
            moves = Vec::new();
        }
        let sheet = SheetCuts {
            sheet: sheet.clone(),
            kerf_mm: means.kerf_mm,
            settings: means.settings,
            craft: means.craft(),
            cut_length_mm: cuts.iter().map(|c| Track::of_path(&c.path).length()).sum(),
            travel_length_mm: travel_length(&cuts),
            time_s: steps_s.total(),
            steps_s,
            cuts,
            moves,
        };
        (sheet, fate, missing)
    }

    fn part_of(&self, sheet: &Sheet, placed: usize) -> Option<&Part> {
        sheet.placed.get(placed).and_then(|p| self.parts.get(p.part))
    }

    fn cuts(&self, sheet: &Sheet, means: &Means) -> (Vec<Cut>, Fate) {
        let mut cuts = Vec::new();
        let margin = self.job.cutting.margin_mm.unwrap_or(self.shop.machine.margin_mm);
        let (labels, fate) = self.labels.on(sheet, means, margin);
        for (i, strokes) in labels {
            lines(Operation::Mark, &strokes, i, &Placement::HERE, &mut cuts);
        }
        for (i, placed) in sheet.placed.iter().enumerate() {
            let Some(part) = self.parts.get(placed.part) else { continue };
            lines(Operation::Mark, &part.marks, i, &placed.placement, &mut cuts);
            lines(Operation::Score, &part.scores, i, &placed.placement, &mut cuts);
            let craft = means.is_router().then(|| means.of_part(part).router);
            if let Some(pattern) = self.patterns.get(&key(self.parts, placed)) {
                let climb = craft.is_none_or(|craft| craft.climb);
                for (nest, depth_mm) in &pattern.recesses {
                    let ways = nest.placed(&placed.placement).ways(climb);
                    cuts.extend(ways.into_iter().map(|way| cleared(way, *depth_mm, i)));
                }
                let paths = pattern.holes.iter().map(|h| (Operation::CutInside, h));
                for (operation, held) in paths.chain([(Operation::CutOutside, &pattern.outer)]) {
                    cuts.push(through(operation, held, i, &placed.placement, craft));
                }
            }
        }
        (cuts, fate)
    }
}

/// A way over the ground of a recess.
fn cleared(way: Chain, depth_mm: f64, placed: usize) -> Cut {
    Cut { depth_mm: Some(depth_mm), ..along(Operation::Recess, placed, way) }
}

/// A cut along an open line.
fn along(operation: Operation, placed: usize, line: Chain) -> Cut {
    Cut {
        operation,
        placed,
        path: Path::Open(line),
        tabs: Vec::new(),
        lead: Lead::default(),
        rough: None,
        depth_mm: None,
    }
}

fn lines(operation: Operation, chains: &[Chain], placed: usize, place: &Placement, cuts: &mut Vec<Cut>) {
    cuts.extend(chains.iter().map(|chain| along(operation, placed, chain.placed(place))));
}

/// A piece's path at its place. The material is on its left as it comes, also where it is mirrored; a cutter that climbs
/// runs with the material on its right: the path is turned round.
fn through(
    operation: Operation,
    held: &Held,
    placed: usize,
    place: &Placement,
    craft: Option<RouterCraft>,
) -> Cut {
    let cut = |outline: Outline, tabs| Cut {
        operation,
        placed,
        path: Path::Closed(outline),
        tabs,
        lead: Lead::default(),
        rough: None,
        depth_mm: None,
    };
    let kept = cut(held.outline.clone(), held.tabs.clone());
    let tabs = if place.mirrored { order::run_backwards(kept).tabs } else { held.tabs.clone() };
    let here = cut(held.outline.placed(place), tabs);
    let climbs =
        |rough: bool| craft.is_some_and(|craft| if rough { craft.finish_climb } else { craft.climb });
    let here = if climbs(held.rough.is_some()) { order::run_backwards(here) } else { here };
    let rough = held.rough.as_ref().map(|rough| rough.placed(place));
    Cut { rough: rough.map(|rough| if climbs(false) { rough.reversed() } else { rough }), ..here }
}

/// From the sheet's origin to the first cut, and from each cut to the next.
fn travel_length(cuts: &[Cut]) -> f64 {
    let mut here = Point::ORIGIN;
    let mut sum = 0.0;
    for cut in cuts {
        sum += here.distance(order::begin_of(cut));
        here = order::end_of(cut);
    }
    sum
}
