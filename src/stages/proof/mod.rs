//! Bytes to [`Proof`]: reads a written file back as the machine would and compares what it would cut with the parts.
//!
//! Takes files as bytes, and the plan of the sheet that each is for. Gives what would come off the machine, piece by
//! piece, with the worst places. Shares no code with `write` beyond the shop's data: it judges bytes.
//!
//! A file goes through `read` (bytes to [`Program`]), `sweep` (a program's traces to the wood that is left) and `compare`
//! (what is left to the pieces of the [`Plan`]).

mod figures;
mod sheets;
mod verdict;
pub mod limits;
pub mod ngc;
pub mod plan;
pub mod program;
pub mod read;
mod sense;
mod totals;
mod way;
pub mod sweep;
mod compare;
mod place;
pub mod fit;

use std::sync::Arc;

use rayon::prelude::*;

use crate::geometry::{Point, Segment};
use crate::problem::Problem;
use crate::shop::Shop;
use crate::stages::cut::SheetCuts;
use crate::stages::part::Part;
pub use figures::Figures;
pub use limits::Limits;
pub use plan::{Plan, Wanted};
pub use program::{Corner, Does, Program, Totals, Trace};
pub use sheets::{Sheets, alone};

/// A file to be proved.
#[derive(Clone, Copy, Debug)]
pub struct Source<'a> {
    /// Its name, for messages.
    pub name: &'a str,
    /// What it holds.
    pub bytes: &'a [u8],
}

/// What reading files back showed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proof {
    /// Every file that was read, in order.
    pub files: Vec<FileProof>,
}

/// What one file would cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FileProof {
    /// Its name.
    pub file: String,
    /// The sheet that it cuts; none where no plan is known.
    pub sheet: Option<usize>,
    /// What would come off.
    pub pieces: Vec<PieceProof>,
    /// What it comes to.
    pub totals: Totals,
    /// Area of the sheet's face that is cut, to whatever depth, mm²; only where no plan is known, but the kerf is.
    pub removed_mm2: Option<f64>,
    /// Everything wrong with it; places are on the sheet.
    pub problems: Vec<Problem>,
    /// The plan that it was held against; none where no plan is known.
    pub plan: Option<Arc<Plan>>,
    /// What it does to the wood, as read back.
    pub cutting: Cutting,
}

/// What a file does to the wood, as read back: for those who want to see it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cutting {
    /// The stretches in the order in which they are made.
    pub traces: Vec<Trace>,
    /// What each trace is there for; as many as there are traces.
    pub kinds: Vec<Kind>,
    /// For each tab, the path over it along which the cut is lifted or left out.
    pub tabs: Vec<Vec<Segment>>,
}

/// What a trace is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Through the wood.
    Through,
    /// A pass on the way to it.
    Upper,
    /// Part of the way.
    Score,
    /// Part of the way, all over a recess.
    Recess,
    /// Drawn.
    Mark,
}

/// One piece that would come off, held against the piece that is wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceProof {
    /// Name of the part.
    pub id: String,
    /// Which piece of it, from 1.
    pub copy: u32,
    /// Of the other hand.
    pub mirrored: bool,
    /// How deep beam or cutter goes into the piece, mm, and where; negative where a rim is left everywhere.
    pub gouge: Worst,
    /// How far wood stands out beyond the piece, mm, and where; tabs and corners that a round beam or cutter cannot
    /// reach are not counted.
    pub excess: Worst,
    /// Corners that a round beam or cutter cannot reach.
    pub unreachable_corners: usize,
    /// Tabs found: width and height of the wood, mm.
    pub tabs: Vec<[f64; 2]>,
}

/// A measure and the place on the sheet where it is worst.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Worst {
    /// mm.
    pub mm: f64,
    /// Where.
    pub at: Point,
}

impl Proof {
    /// Whether every file is right.
    pub fn ok(&self) -> bool {
        self.files.iter().all(FileProof::ok)
    }
}

impl FileProof {
    /// Whether nothing that matters is wrong with it.
    pub fn ok(&self) -> bool {
        !self.problems.iter().any(|p| p.severity == crate::problem::Severity::Error)
    }
}

/// Reads back what was written, each file with the number of the sheet that it cuts, and holds it against the plan of that
/// sheet, as strictly as our own files have to be taken. The files keep their order.
pub fn prove(files: &[(Source<'_>, usize)], sheets: &[SheetCuts], parts: &[Part], shop: &Shop) -> Proof {
    let sheets = Sheets::of(sheets, parts, &shop.machine);
    let limits = Limits::of_machine(&shop.machine);
    let (machine, post) = (Some(&shop.machine), shop.post.as_ref());
    let reading = read::Reading { machine, post, limits: &limits, units: None, strict: true };
    Proof { files: files.par_iter().map(|(source, sheet)| sheets.judge(*source, &reading, *sheet)).collect() }
}

/// Reads one file and holds it against the plan of its sheet.
pub fn judge(source: Source<'_>, reading: &read::Reading, plan: &Arc<Plan>) -> FileProof {
    held_against(read::read(source, reading), source.name, reading, plan)
}

/// What a program was found to do, held against a plan.
fn held_against(program: Program, name: &str, reading: &read::Reading, plan: &Arc<Plan>) -> FileProof {
    let compared = compare::compare(&program, plan, rules(reading));
    let Program { traces, totals, mut problems } = program;
    problems.extend(compared.problems.into_iter().map(|problem| problem.in_file(name)));
    FileProof {
        file: name.to_owned(),
        sheet: Some(plan.sheet),
        pieces: compared.pieces,
        totals,
        removed_mm2: None,
        problems,
        plan: Some(Arc::clone(plan)),
        cutting: Cutting { traces, kinds: compared.kinds, tabs: compared.tabs },
    }
}

/// A post that writes lines in the place of arcs strays by its own tolerance on top.
fn rules(reading: &read::Reading) -> compare::Rules {
    let lines = reading.post.filter(|post| post.arcs.form == crate::shop::post::ArcForm::Lines);
    let within_mm = compare::WITHIN_MM + lines.map_or(0.0, |post| post.arcs.tolerance_mm);
    compare::Rules { within_mm, strict: reading.strict }
}
