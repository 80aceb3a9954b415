//! [`Part`]s and stock to [`Layout`]: every piece on a sheet of its wood, its grain along the sheet's.
//!
//! Takes the parts, the job's stock, and the room that the machine wants around each piece. Gives the sheets in order.
//! Refuses parts that fit no sheet and jobs that need more sheets than there are, saying how much is missing.

mod account;
mod bits;
mod blocked;
mod board;
mod check;
mod effort;
mod fill;
mod kind;
mod missing;
mod raster;
mod remnant;
pub mod search;
mod size;

pub use account::{Account, OneLess, accounts};
pub use check::check;

use rayon::prelude::*;

use crate::geometry::{Outline, Placement};
use crate::problem::{Problem, Problems};
use crate::stages::job::{Blank, Effort, Job};
use crate::stages::part::Part;
use crate::stages::watch::{Unwatched, Watch};
use fill::{Filled, Task};
use kind::Kind;
use search::Budget;
use size::Size;

/// The sheets, in the order in which they are cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    /// Sheets with at least one piece on them.
    pub sheets: Vec<Sheet>,
}

/// One sheet: its lower left corner is the origin, its grain runs along x.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// From 1.
    pub number: usize,
    /// Wood by name.
    pub wood: String,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Length along the grain (x), mm.
    pub length_mm: f64,
    /// Width across the grain (y), mm.
    pub width_mm: f64,
    /// What it is like.
    pub blank: Blank,
    /// What it costs; none where nobody said.
    pub price: Option<f64>,
    /// The pieces on it.
    pub placed: Vec<Placed>,
    /// What is left of it: the largest piece that one straight cut takes off.
    pub remnant: Option<Outline>,
}

impl Sheet {
    /// Its area, mm².
    pub fn area_mm2(&self) -> f64 {
        self.blank.area_mm2(self.length_mm, self.width_mm)
    }
}

/// One piece on its sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Which of the parts.
    pub part: usize,
    /// Which piece of it, from 1.
    pub copy: u32,
    /// Where: maps drawing coordinates to the sheet.
    pub placement: Placement,
}

/// Room around the pieces, true distances between outlines in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Between the outlines of two pieces: kerf or cutter, and the bridge that stays.
    pub spacing_mm: f64,
    /// Between an outline and the sheet's edge.
    pub margin_mm: f64,
}

/// All parts of one wood and thickness, with the sheets for them.
#[derive(Debug)]
struct Group<'a> {
    wood: &'a str,
    thickness_mm: f64,
    kinds: Vec<Kind>,
    sizes: Vec<Size>,
}

/// Thicknesses this close together are one, mm.
const SAME_THICKNESS_MM: f64 = 1e-6;

/// Whether two sheets or parts are of one wood and thickness, mm.
fn alike(a: (&str, f64), b: (&str, f64)) -> bool {
    a.0.eq_ignore_ascii_case(b.0) && (a.1 - b.1).abs() <= SAME_THICKNESS_MM
}

/// Lays every piece of the parts on sheets. Where a problem says that some found no place, the layout holds the others.
pub fn lay(parts: &[Part], job: &Job, room: Room, problems: &mut Problems) -> Layout {
    lay_watched(parts, job, room, &Unwatched, problems)
}

/// The same, while someone watches, who may stop the search for better sheets: what was found by then is taken.
pub fn lay_watched(
    parts: &[Part],
    job: &Job,
    room: Room,
    watch: &dyn Watch,
    problems: &mut Problems,
) -> Layout {
    if missing::too_many(parts, problems) {
        return Layout::default();
    }
    let mut groups = group(parts, job, room);
    for group in &mut groups {
        missing::drop_unfit(group, parts, room, problems);
    }
    let laid = lay_groups(&groups, parts, job, (room, watch));
    let (mut laid, told): (Vec<Vec<Filled>>, Vec<Option<Problem>>) = laid.into_iter().unzip();
    problems.extend(told.into_iter().flatten());
    for (group, sheets) in groups.iter_mut().zip(&mut laid) {
        missing::tell_unlaid(group, sheets, parts, problems);
        group.add_spares(sheets, parts, room);
    }
    let mut layout = Layout::default();
    for (group, sheets) in groups.iter().zip(&laid) {
        missing::report(group, sheets, parts, problems);
        group.number(sheets, &mut layout.sheets);
    }
    check(&layout, parts, room, problems);
    for sheet in &mut layout.sheets {
        sheet.remnant = remnant::remnant(sheet, parts, room);
    }
    layout
}

/// Of which parts more pieces lie there than were asked for, and how many.
pub fn spares(layout: &Layout, parts: &[Part]) -> Vec<(usize, u32)> {
    let placed = || layout.sheets.iter().flat_map(|sheet| &sheet.placed);
    let more =
        |part: usize| placed().filter(|p| p.part == part && p.copy > parts[part].copies).count() as u32;
    let with = (0..parts.len()).filter(|&part| parts[part].lying.spares > 0);
    with.map(|part| (part, more(part))).filter(|&(_, more)| more > 0).collect()
}

/// Lays each group. Where the clock counts one after the other, each with its share of the time.
fn lay_groups(
    groups: &[Group<'_>],
    parts: &[Part],
    job: &Job,
    (room, watch): (Room, &dyn Watch),
) -> Vec<(Vec<Filled>, Option<Problem>)> {
    let pieces = |group: &Group<'_>| group.kinds.iter().map(|kind| f64::from(kind.count)).sum::<f64>();
    let all: f64 = groups.iter().map(pieces).sum();
    let lay = |group: &Group<'_>| {
        let first = Task::new(&group.kinds, &group.sizes, room).lay();
        match group.better(&first, parts, job, (room, watch), pieces(group) / all) {
            Some(Ok(found)) => (found, None),
            Some(Err(told)) => (first, Some(told)),
            None => (first, None),
        }
    };
    match job.effort {
        Effort::Seconds(_) => groups.iter().map(lay).collect(),
        _ => groups.par_iter().map(lay).collect(),
    }
}

/// The parts by wood and thickness, in the order in which these first appear.
fn group<'a>(parts: &'a [Part], job: &Job, room: Room) -> Vec<Group<'a>> {
    let mut groups: Vec<Group<'a>> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let kinds = Kind::of(index, part);
        match groups.iter_mut().find(|group| group.takes(&part.wood, part.thickness_mm)) {
            Some(group) => group.kinds.extend(kinds),
            None => groups.push(Group::new(part, kinds, job, room)),
        }
    }
    groups
}

impl<'a> Group<'a> {
    fn new(part: &'a Part, kinds: Vec<Kind>, job: &Job, room: Room) -> Self {
        let mut group = Self { wood: &part.wood, thickness_mm: part.thickness_mm, kinds, sizes: Vec::new() };
        let stock = job.stock.iter().filter(|stock| group.takes(&stock.wood, stock.thickness_mm));
        group.sizes = stock.map(|stock| Size::of(stock, room)).collect();
        size::count_prices(&mut group.sizes);
        group
    }

    fn takes(&self, wood: &str, thickness_mm: f64) -> bool {
        alike((self.wood, self.thickness_mm), (wood, thickness_mm))
    }

    /// The sheets made better; that they were found and failed the last check; none where nothing better was found.
    fn better(
        &self,
        first: &[Filled],
        parts: &[Part],
        job: &Job,
        (room, watch): (Room, &dyn Watch),
        share: f64,
    ) -> Option<Result<Vec<Filled>, Problem>> {
        let clock = effort::clock(job.effort, share, watch);
        let pieces = first.iter().map(|sheet| sheet.puts.len()).sum();
        let hears = |sheets: usize, gone: f64| {
            let noun = if sheets == 1 { "sheet" } else { "sheets" };
            watch.found(&format!("{} {} mm: {sheets} {noun}", self.wood, self.thickness_mm), gone);
        };
        let budget = Budget::new(effort::most(job.effort, pieces), &clock);
        // Nobody waits for a longer rest of the last sheet unless asked to.
        let glance = job.effort == Effort::Quick;
        let mut budget = if glance { budget } else { budget.heard_by(&hears) };
        let found = search::improve(&self.kinds, &self.sizes, room, first, &mut budget, job.seed, glance)?;
        let mut layout = Layout::default();
        self.number(&found, &mut layout.sheets);
        let mut problems = Problems::new();
        check(&layout, parts, room, &mut problems);
        let told = problems.iter().next().map(|problem| self.discarded(problem));
        Some(told.map_or(Ok(found), Err))
    }

    /// Says that what the search found was not taken.
    fn discarded(&self, why: &Problem) -> Problem {
        let message = format!(
            "better sheets of {} {} mm were found but failed the last check, and those laid first are taken: {}",
            self.wood, self.thickness_mm, why.message
        );
        Problem::note("search-discarded", message).hint("please report it with the job and its drawings")
    }

    /// Fills up with spares what is left on its sheets.
    fn add_spares(&mut self, sheets: &mut [Filled], parts: &[Part], room: Room) {
        let mut of: Vec<usize> = self.kinds.iter().map(|kind| kind.part).collect();
        of.dedup();
        let first = self.kinds.len();
        self.kinds.extend(of.into_iter().filter_map(|part| Kind::spare(part, &parts[part])));
        if self.kinds.len() > first {
            let spares = first..self.kinds.len();
            Task::new(&self.kinds, &self.sizes, room).add_spares(sheets, spares);
        }
    }

    /// Adds its sheets, with each kind's pieces counted in the order in which they lie.
    fn number(&self, filled: &[Filled], sheets: &mut Vec<Sheet>) {
        let mut next: Vec<u32> = self.kinds.iter().map(|kind| kind.first_copy).collect();
        for sheet in filled.iter().filter(|sheet| !sheet.missing) {
            let placed = sheet.puts.iter().map(|put| {
                let (kind, copy) = (&self.kinds[put.kind], next[put.kind]);
                next[put.kind] += 1;
                Placed { part: kind.part, copy, placement: kind.ways[put.way].at(put.corner) }
            });
            let size = &self.sizes[sheet.size];
            let placed = placed.collect();
            sheets.push(Sheet {
                number: sheets.len() + 1,
                wood: self.wood.to_owned(),
                thickness_mm: self.thickness_mm,
                length_mm: size.length,
                width_mm: size.width,
                blank: size.blank.clone(),
                price: size.price,
                placed,
                remnant: None,
            });
        }
    }
}
