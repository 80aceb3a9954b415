//! A proof as a picture: what was drawn, over it what the files would cut, and the worst places under a lens.

mod board;
mod lens;
mod worst;

pub(super) use worst::{Measure, pin};

use std::collections::BTreeMap;

use super::page::Page;
use super::pen;
use crate::problem::Problem;
use crate::stages::proof::{Figures, FileProof, Proof};

/// What there is to be seen of a proof.
#[derive(Clone, Copy, Debug)]
pub struct Proved<'a> {
    /// Title of the job, or what was proved.
    pub title: &'a str,
    /// Name of the machine; empty where it is not known.
    pub machine: &'a str,
    /// What was read back.
    pub proof: &'a Proof,
    /// Width that beam or cutter removes where there is no plan to say it, mm.
    pub kerf_mm: Option<f64>,
}

/// A file that is shown, and what it stands for.
struct Shown<'a> {
    file: &'a FileProof,
    /// How many files cut the same sheet.
    of: usize,
    /// Number of its first problem in the list below the sheets.
    first_problem: usize,
}

/// The proof as SVG, sheets one below the other in true size. Of several files that cut the same sheet the worst is shown,
/// and each that is wrong.
pub fn svg(proved: &Proved<'_>) -> String {
    let shown = shown(proved.proof);
    let widest = shown.iter().map(|shown| board::size(shown.file).width()).fold(0.0, f64::max);
    let figures = proved.proof.figures();
    let about = format!(
        "proof of {} files and {} pieces; lengths in millimetres",
        proved.proof.files.len(),
        figures.pieces
    );
    let mut page = Page::new(widest, proved.title, &about);
    page.title(proved.title, proved.machine);
    let colour = if proved.proof.ok() { pen::INK } else { pen::ALARM };
    page.paragraph(&proved.proof.verdict(), 1.2 * page.letter, colour);
    page.y += page.letter;
    for one in &shown {
        board::draw(one, proved.kerf_mm, &mut page);
    }
    let problems: Vec<&Problem> = shown.iter().flat_map(|one| &one.file.problems).collect();
    page.problems(problems.into_iter());
    page.finish()
}

/// Every file that is wrong or has no sheet, and the worst of the others of each sheet.
fn shown(proof: &Proof) -> Vec<Shown<'_>> {
    let mut of_sheet: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (i, file) in proof.files.iter().enumerate() {
        of_sheet.entry(file.sheet.unwrap_or(0)).or_default().push(i);
    }
    let alone = |file: &FileProof| !file.ok() || file.sheet.is_none();
    let mut first_problem = 0;
    let mut shown = Vec::new();
    for files in of_sheet.values() {
        let worst = files
            .iter()
            .copied()
            .max_by(|a, b| worst_mm(&proof.files[*a]).total_cmp(&worst_mm(&proof.files[*b])).then(b.cmp(a)));
        let any_alone = files.iter().any(|&i| alone(&proof.files[i]));
        for &i in files {
            let file = &proof.files[i];
            if alone(file) || !any_alone && Some(i) == worst {
                shown.push(Shown { file, of: files.len(), first_problem });
                first_problem += file.problems.len();
            }
        }
    }
    shown
}

fn worst_mm(file: &FileProof) -> f64 {
    Figures::of([file]).worst_mm()
}
