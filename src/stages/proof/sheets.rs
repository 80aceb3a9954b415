//! The sheets that files can be held against, and which of them a file is for: its name says it, or where it cuts.

use std::collections::BTreeMap;
use std::io::{self, BufRead};
use std::sync::Arc;

use rayon::prelude::*;

use super::read::{self, Reading};
use super::{Cutting, FileProof, Limits, PieceProof, Plan, Source, Trace, held_against, judge, place, sweep};
use crate::geometry::Segment;
use crate::problem::Problem;
use crate::shop::Machine;
use crate::stages::cut::SheetCuts;
use crate::stages::part::Part;

/// A piece is where the plan has it when it is off by no more than this, mm: farther off it would be another piece, or
/// spoilt so much that it says nothing of its place.
const IN_PLACE_MM: f64 = 1.0;

/// The plans of all sheets of a job, with what the machine may do on each.
#[derive(Clone, Debug)]
pub struct Sheets(Vec<(Arc<Plan>, Limits)>);

impl Sheets {
    /// Of these sheets on this machine.
    pub fn of(sheets: &[SheetCuts], parts: &[Part], machine: &Machine) -> Self {
        let one = |cuts: &SheetCuts| (Arc::new(Plan::of(cuts, parts)), Limits::of_sheet(machine, cuts));
        Self(sheets.par_iter().map(one).collect())
    }

    /// The plans, in order.
    pub fn plans(&self) -> impl Iterator<Item = &Arc<Plan>> {
        self.0.iter().map(|(plan, _)| plan)
    }

    /// Holds a file against the sheet of this number. The limits of `reading` give way to the sheet's.
    pub fn judge(&self, source: Source<'_>, reading: &Reading, number: usize) -> FileProof {
        if let Some(sheet) = self.0.iter().find(|(plan, _)| plan.sheet == number) {
            return judged(source, reading, sheet);
        }
        let said = format!("there is no sheet {number} to hold it against");
        unplaced(source, reading, Problem::error("no-sheet", said))
    }

    /// Holds a file against the sheet that it is for: the one that its name begins with (`sheet-3…`) where most of the
    /// pieces lie there, else the one where most are found. Where none is found anywhere, it is held against the sheet
    /// that its name gives; a file without such a name comes back with a problem and no sheet.
    pub fn find(&self, source: Source<'_>, reading: &Reading) -> FileProof {
        let named = number_in(source.name).and_then(|n| self.0.iter().find(|(plan, _)| plan.sheet == n));
        let by_name = named.map(|sheet| judged(source, reading, sheet));
        if let Some(proof) = &by_name
            && 2 * in_place(proof) >= proof.pieces.len()
        {
            return by_name.unwrap_or_default();
        }
        let all: Vec<FileProof> = self.0.par_iter().map(|sheet| judged(source, reading, sheet)).collect();
        let most = all.iter().map(in_place).max().unwrap_or(0);
        let mut fitting = all.into_iter().filter(|proof| in_place(proof) == most);
        let (best, as_good) = (fitting.next(), fitting.next());
        match (best, by_name) {
            (Some(proof), _) if most > 0 => found(proof, as_good.and_then(|other| other.sheet)),
            (_, Some(proof)) => self.by_fit(source, reading).unwrap_or(proof),
            _ => {
                self.by_fit(source, reading).unwrap_or_else(|| unplaced(source, reading, self.fits_nowhere()))
            }
        }
    }

    /// Holds a file against the parts of the job wherever they lie; none where no piece is one of them.
    fn by_fit(&self, source: Source<'_>, reading: &Reading) -> Option<FileProof> {
        let program = read::read(source, reading);
        let plans = self.plans().map(Arc::as_ref);
        let (plan, undecided) = place::plan(&program, plans, reading.limits.kerf_mm)?;
        let mut proof = held_against(program, source.name, reading, &Arc::new(plan));
        proof.sheet = None;
        let said =
            "no sheet of the job is laid like this: each piece is held against the part that fits it best";
        proof.problems.push(Problem::note("placed-by-fit", said).in_file(source.name));
        proof.problems.extend(undecided.into_iter().map(|problem| problem.in_file(source.name)));
        Some(proof)
    }

    /// Pieces that are wanted and in none of the files, where files were placed by fit: a warning for each part.
    pub fn missing(&self, files: &[FileProof]) -> Vec<Problem> {
        let by_fit = files.iter().any(|file| file.sheet.is_none() && file.plan.is_some());
        if !by_fit {
            return Vec::new();
        }
        let mut counts: BTreeMap<(&str, bool), (usize, usize)> = BTreeMap::new();
        for wanted in self.plans().flat_map(|plan| &plan.pieces) {
            counts.entry((&wanted.id, wanted.placement.mirrored)).or_default().0 += 1;
        }
        for piece in files.iter().flat_map(|file| &file.pieces) {
            counts.entry((&piece.id, piece.mirrored)).or_default().1 += 1;
        }
        let short = counts.into_iter().filter(|(_, (wanted, found))| wanted != found);
        let told = short.map(|((id, mirrored), (wanted, found))| {
            let hand = if mirrored { " of the other hand" } else { "" };
            let message = format!("part '{id}': {wanted} pieces{hand} are wanted, {found} are in the files");
            Problem::warning("piece-count", message).of_part(id)
        });
        told.collect()
    }

    fn fits_nowhere(&self) -> Problem {
        let said = format!("no piece of the job's {} sheets lies where this file cuts", self.0.len());
        let hint =
            "pieces are looked for where the job lays them; units, origin or kerf may differ, or the job";
        Problem::error("no-sheet-fits", said).hint(hint)
    }
}

fn judged(source: Source<'_>, reading: &Reading, (plan, limits): &(Arc<Plan>, Limits)) -> FileProof {
    judge(source, &Reading { limits, ..*reading }, plan)
}

/// A file read without a plan to hold it against, with a problem that says why.
fn unplaced(source: Source<'_>, reading: &Reading, why: Problem) -> FileProof {
    // Bytes in memory can always be read.
    let mut alone = alone(source.bytes, source.name, reading, true).unwrap_or_default();
    alone.problems.push(why.in_file(source.name));
    alone
}

/// Reads a file that no plan is known of, as it comes: what it touches, how deep, how long, and what a machine would
/// refuse. A program is never in memory as a whole, and its traces only where they are to be kept; a drawing is.
///
/// # Errors
/// Those of the reader.
pub fn alone(
    mut reader: impl BufRead,
    name: &str,
    reading: &Reading,
    keep_traces: bool,
) -> io::Result<FileProof> {
    let program = if read::is_program(reader.fill_buf()?) {
        read::stream(reader, name, reading, keep_traces)?
    } else {
        let mut bytes = Vec::new();
        reader.read_to_end(&mut bytes)?;
        read::read(Source { name, bytes: &bytes }, reading)
    };
    let kerf = reading.limits.kerf_mm.filter(|_| !program.traces.is_empty());
    Ok(FileProof {
        file: name.to_owned(),
        removed_mm2: kerf.map(|kerf| removed_mm2(&program.traces, kerf / 2.0)),
        totals: program.totals,
        problems: program.problems,
        cutting: Cutting { traces: program.traces, ..Cutting::default() },
        ..FileProof::default()
    })
}

/// Area of the sheet's face that is cut, to whatever depth, mm²; what is cut twice counts once.
fn removed_mm2(traces: &[Trace], radius: f64) -> f64 {
    let runs: Vec<Vec<Segment>> =
        traces.iter().map(|trace| trace.segments().map(|(segment, _)| segment).collect()).collect();
    let runs: Vec<(&sweep::Run, f64)> = runs.iter().map(|run| (run.as_slice(), radius)).collect();
    sweep::removed(&runs).iter().map(sweep::area).sum()
}

/// How many pieces lie where the plan has them.
fn in_place(proof: &FileProof) -> usize {
    let near = |piece: &&PieceProof| piece.gouge.mm.abs() <= IN_PLACE_MM && piece.excess.mm <= IN_PLACE_MM;
    proof.pieces.iter().filter(near).count()
}

/// A file whose sheet was found by where it cuts: that is told, and that another fits as well.
fn found(mut proof: FileProof, as_good: Option<usize>) -> FileProof {
    let sheet = proof.sheet.unwrap_or(0);
    let said = match as_good {
        None => {
            Problem::note("sheet-found", format!("it is held against sheet {sheet}, where its pieces lie"))
        }
        Some(other) => Problem::warning(
            "sheet-unsure",
            format!("it fits sheets {sheet} and {other} alike, and is held against sheet {sheet}"),
        )
        .hint("a name such as sheet-2.dxf says which sheet a file is for"),
    };
    proof.problems.push(said.in_file(&proof.file));
    proof
}

/// The number of the sheet that a file's name begins with.
fn number_in(name: &str) -> Option<usize> {
    let file = name.rsplit(['/', '\\']).next()?;
    let digits = file.strip_prefix("sheet-")?;
    let end = digits.find(|c: char| !c.is_ascii_digit()).unwrap_or(digits.len());
    digits[..end].parse().ok()
}
