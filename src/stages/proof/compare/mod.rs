//! A [`Program`] held against its [`Plan`]: what comes off, piece by piece.

mod beside;
mod drawn;
mod field;
mod joined;
mod kinds;
mod order;
mod piece;
mod recess;
mod reach;
mod runs;
mod tabs;

use rayon::prelude::*;

use crate::geometry::{Point, Rect, Segment};
use crate::problem::{Problem, Severity};
use crate::stages::cut::Settings;

use super::plan::{Plan, Wanted};
use super::program::{Program, Trace};
use super::sweep::{self, Polygon};
use super::{Kind, PieceProof};
use field::{Boxes, Field};
use piece::{Found, Piece};
use runs::{Gap, Run, Through};

/// A piece is right when no cut goes deeper into it, and no wood stands out farther, than this, mm: the accuracy that the
/// whole journey promises.
pub(super) const WITHIN_MM: f64 = 0.02;

/// Crumbs smaller than this come off where cuts overlap, mm²: nobody would call them pieces.
const CRUMB_MM2: f64 = 1.0;

/// What a program was found to do.
pub(super) struct Compared {
    /// What comes off, in the order of the plan.
    pub(super) pieces: Vec<PieceProof>,
    /// What is wrong with it.
    pub(super) problems: Vec<Problem>,
    /// What each trace is there for.
    pub(super) kinds: Vec<Kind>,
    /// The ways over the tabs.
    pub(super) tabs: Vec<Vec<Segment>>,
}

/// How files are held against plans.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rules {
    /// How far pieces may be off, mm.
    pub(super) within_mm: f64,
    /// Whether tabs, depths, powers, marks and order have to be those of the plan: in files of others, which make pieces
    /// just as good, they only get a warning.
    pub(super) strict: bool,
}

/// What others may do in their own way.
const OWN_WAY: [&str; 9] = [
    "odd-setting",
    "rounds",
    "tab-count",
    "tab-size",
    "hole-after-outline",
    "mark-missing",
    "score-missing",
    "score-on-waste",
    "mark-on-waste",
];

/// Grain may lie this far off the sheet's, degrees: more than a hand lays a sheet, less than weakens a part.
const GRAIN_DEG: f64 = 10.0;

/// What comes off, and what is wrong with it.
pub(super) fn compare(program: &Program, plan: &Plan, rules: Rules) -> Compared {
    let mut problems = Vec::new();
    let traces = &program.traces;
    let kinds = kinds::kinds(traces, plan, &mut problems);
    let through = runs::through(traces, &kinds, plan);
    rounds(traces, &through, plan, &mut problems);
    loose_ends(traces, &through, &mut problems);
    let pieces = Pieces::new(plan, &through.gaps);
    let field = Field::new(traces, &kinds, &through, &pieces.halves(&through, plan));
    let islands: Vec<Option<usize>> =
        pieces.all.par_iter().map(|piece| field.island(piece.wanted.at)).collect();
    let found: Vec<Found> = pieces
        .all
        .par_iter()
        .zip(&islands)
        .map(|(piece, island)| piece.found(&field, island.map(|i| &field.islands[i])))
        .collect();
    let proved = (0..pieces.all.len())
        .map(|i| {
            let (piece, found) = (&pieces.all[i], &found[i]);
            judged(piece, found, islands[i].is_some(), rules.within_mm, &mut problems);
            let tabs = tabs::check(piece, &field, plan, &mut problems);
            proof(piece, found, tabs)
        })
        .collect();
    shared(&pieces, &islands, &mut problems);
    strangers(&pieces, &field, &islands, plan, &mut problems);
    recess::check(traces, &kinds, &through, plan, &mut problems);
    order::check(traces, &kinds, &pieces, &through, plan, &mut problems);
    drawn::check(traces, &kinds, &pieces, &mut problems);
    if !rules.strict {
        let own = problems.iter_mut().filter(|problem| OWN_WAY.contains(&problem.code));
        own.for_each(|problem| problem.severity = Severity::Warning);
    }
    let tabs = through.gaps.iter().map(|gap| gap.over.clone()).collect();
    Compared { pieces: proved, problems, kinds, tabs }
}

/// The pieces that would come free, whatever they are: of the plan only the wood and how it is cut count.
pub(super) fn loose(program: &Program, plan: &Plan) -> Vec<Polygon> {
    let kinds = kinds::kinds(&program.traces, plan, &mut Vec::new());
    let through = runs::through(&program.traces, &kinds, plan);
    let half_mm = vec![plan.half_mm(0); through.runs.len()];
    Field::new(&program.traces, &kinds, &through, &half_mm).islands
}

/// The pieces of a plan, to be found by where they lie.
struct Pieces<'a> {
    all: Vec<Piece<'a>>,
    boxes: Boxes,
}

impl<'a> Pieces<'a> {
    /// Each with the tabs at its edge: a tab holds the piece that is nearest.
    fn new(plan: &'a Plan, gaps: &'a [Gap]) -> Self {
        let boxes = Boxes::new(plan.pieces.iter().map(|wanted| wanted.region.bounds()));
        let mut held: Vec<Vec<&Gap>> = vec![Vec::new(); plan.pieces.len()];
        for gap in gaps {
            let at = gap.middle();
            let reach = plan.kerf_mm + gap.length();
            let near = boxes.within(Rect::from_points(at, at).inflate(reach, reach));
            let off = |i: &usize| plan.pieces[*i].region.distance(at);
            if let Some(nearest) = near.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))) {
                held[nearest].push(gap);
            }
        }
        let all = plan
            .pieces
            .iter()
            .zip(held)
            .map(|(wanted, gaps)| Piece::new(wanted, gaps, [plan.half_mm(0), plan.half_mm(1)]))
            .collect();
        Self { all, boxes }
    }

    /// Half the width, mm, that is removed along each run: what belongs to the outline that it runs beside.
    fn halves(&self, through: &Through, plan: &Plan) -> Vec<f64> {
        let (around, inside) = (plan.half_mm(0), plan.half_mm(1));
        let reach = plan.kerf_mm.max(2.0 * inside);
        let half = |run: &Run| {
            let at = run.middle();
            // A run lies outside the box of its own piece, and may lie within that of another that has it in a hole.
            let near = self.boxes.within(Rect::from_points(at, at).inflate(reach, reach));
            let near = near.into_iter().map(|i| self.all[i].nearest_outline(at));
            let nearest = near.min_by(|a, b| a.1.total_cmp(&b.1));
            if nearest.is_some_and(|(outline, _)| outline > 0) { inside } else { around }
        };
        let same = (around - inside).abs() < f64::EPSILON;
        through.runs.iter().map(|run| if same { around } else { half(run) }).collect()
    }

    /// Those whose box holds any of the places, in order.
    fn around(&self, places: &[Point]) -> Vec<&Piece<'a>> {
        let area = places.iter().map(|p| Rect::from_points(*p, *p)).reduce(|a, b| a.union(b));
        let near = area.map_or_else(Vec::new, |area| self.boxes.within(area));
        near.into_iter().map(|i| &self.all[i]).collect()
    }
}

/// A problem with what a trace does.
fn told(code: &'static str, message: impl Into<String>, trace: &Trace, segment: usize) -> Problem {
    let problem = Problem::error(code, message).at(trace.corners[segment].at);
    match trace.lines.get(segment) {
        Some(&line) if line > 0 => problem.at_line(line as usize, 1),
        _ => problem,
    }
}

/// A problem with a piece.
fn wrong(code: &'static str, message: impl Into<String>, wanted: &Wanted, at: Point) -> Problem {
    Problem::error(code, message).of_part(&wanted.id).at(at)
}

fn proof(piece: &Piece, found: &Found, tabs: Vec<[f64; 2]>) -> PieceProof {
    PieceProof {
        id: piece.wanted.id.clone(),
        copy: piece.wanted.copy,
        mirrored: piece.wanted.placement.mirrored,
        gouge: found.gouge,
        excess: found.excess,
        unreachable_corners: found.unreachable_corners,
        tabs,
    }
}

/// What is wrong with one piece.
fn judged(piece: &Piece, found: &Found, free: bool, within: f64, problems: &mut Vec<Problem>) {
    let wanted = piece.wanted;
    let name = format!("part '{}', piece {}", wanted.id, wanted.copy);
    let holes = wanted.region.holes();
    for &number in &found.uncut {
        problems.push(match number.checked_sub(1) {
            None => wrong("part-not-cut", format!("{name}, is not cut out at all"), wanted, wanted.at),
            Some(hole) => {
                let at = holes[hole].vertices()[0].at;
                wrong("hole-missing", format!("{name}, lacks a hole"), wanted, at)
            }
        });
    }
    if !free && !found.uncut.contains(&0) {
        problems.push(wrong(
            "not-cut-free",
            format!("{name}, is not cut free all round"),
            wanted,
            found.excess.at,
        ));
    }
    let across = wanted.grain_deg.map_or(0.0, |deg| deg.min(180.0 - deg));
    if across > GRAIN_DEG {
        let message = format!("{name}: its grain lies {across:.0} degrees off the sheet's");
        problems.push(wrong("grain-across", message, wanted, wanted.at));
    }
    if found.gouge.mm > within {
        let message = format!("{name}: the cut goes {:.3} mm into it", found.gouge.mm);
        problems.push(wrong("gouge", message, wanted, found.gouge.at));
    }
    if found.excess.mm > within && found.uncut.is_empty() {
        let message = format!("{name}: {:.3} mm of wood stands out", found.excess.mm);
        problems.push(wrong("excess", message, wanted, found.excess.at));
    }
}

/// A beam that has to go round several times has to do so everywhere, and no more often.
fn rounds(traces: &[Trace], through: &Through, plan: &Plan, problems: &mut Vec<Problem>) {
    let Settings::Laser(setting) = &plan.settings else { return };
    let burnt = |trace: &Trace| matches!(trace.does, super::program::Does::Burns { .. });
    for run in through.runs.iter().filter(|run| burnt(&traces[run.trace]) && run.times != setting.passes) {
        let message =
            format!("the beam goes {} times round where {} are asked for", run.times, setting.passes);
        problems.push(told("rounds", message, &traces[run.trace], 0));
    }
}

/// Cuts that end in the wood.
fn loose_ends(traces: &[Trace], through: &Through, problems: &mut Vec<Problem>) {
    for (run, at) in &through.loose {
        let message = "a cut through the wood ends here and does not go on";
        problems.push(told("open-cut", message, &traces[through.runs[*run].trace], 0).at(*at));
    }
}

/// Two wanted pieces in one.
fn shared(pieces: &Pieces, islands: &[Option<usize>], problems: &mut Vec<Problem>) {
    let mut first: std::collections::BTreeMap<usize, usize> = std::collections::BTreeMap::new();
    for (i, island) in islands.iter().enumerate() {
        let Some(island) = island else { continue };
        let before = *first.entry(*island).or_insert(i);
        if before != i {
            let (one, two) = (pieces.all[before].wanted, pieces.all[i].wanted);
            let message = format!("parts '{}' and '{}' come off as one piece", one.id, two.id);
            problems.push(wrong("not-parted", message, two, two.at));
        }
    }
}

/// A frame may be drawn this much off the sheet's edge, mm.
const FRAME_MM: f64 = 0.5;

/// Pieces that nobody wants: the waste of a hole is none, nor is what a frame around the sheet sets free.
fn strangers(
    pieces: &Pieces,
    field: &Field,
    islands: &[Option<usize>],
    plan: &Plan,
    problems: &mut Vec<Problem>,
) {
    let mut known = vec![false; field.islands.len()];
    islands.iter().flatten().for_each(|i| known[*i] = true);
    for (island, _) in field.islands.iter().zip(known).filter(|(_, known)| !known) {
        let Some(&at) = island.first().and_then(|outer| outer.first()) else { continue };
        let near = pieces.around(&[at]);
        let waste = near.iter().any(|piece| piece.wanted.region.holes().iter().any(|hole| hole.contains(at)));
        if waste || sweep::area(island) <= CRUMB_MM2 {
            continue;
        }
        let size = sweep::bounds(island).map_or([0.0; 2], |b| [b.width(), b.height()]);
        let frame =
            size.iter().zip(plan.size_mm).all(|(is, sheet)| (is + plan.kerf_mm - sheet).abs() <= FRAME_MM);
        problems.push(if frame {
            Problem::warning("frame", "the edge of the sheet is cut, too").at(at)
        } else {
            let message = format!("a piece of {:.0} mm² comes off that is on no plan", sweep::area(island));
            Problem::error("extra-piece", message).at(at)
        });
    }
}
