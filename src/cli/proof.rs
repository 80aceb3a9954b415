//! The proof's part of the report.

use serde::Serialize;

use super::report::tidy;
use super::tell;
use crate::problem::{Problem, Problems};
use crate::stages::proof::{Figures, FileProof, PieceProof, Proof};

/// All that is told of a proof. Numbers are millimetres and seconds; places are on the sheet.
#[derive(Debug, Serialize)]
pub(super) struct ProofRow<'a> {
    ok: bool,
    pieces: usize,
    worst_gouge_mm: f64,
    worst_excess_mm: f64,
    unreachable_corners: usize,
    files: Vec<FileRow<'a>>,
}

#[derive(Debug, Serialize)]
struct FileRow<'a> {
    file: &'a str,
    sha256: String,
    ok: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    sheet: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bounds_mm: Option<[f64; 4]>,
    lowest_mm: f64,
    cut_length_mm: f64,
    travel_length_mm: f64,
    time_s: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    removed_mm2: Option<f64>,
    pieces: Vec<PieceRow<'a>>,
}

#[derive(Debug, Serialize)]
struct PieceRow<'a> {
    id: &'a str,
    copy: u32,
    mirrored: bool,
    gouge_mm: f64,
    excess_mm: f64,
    gouge_at_mm: [f64; 2],
    excess_at_mm: [f64; 2],
    unreachable_corners: usize,
    tabs: Vec<[f64; 2]>,
}

impl<'a> ProofRow<'a> {
    /// The report on a proof; `sum` gives the checksum of what a file holds.
    pub(super) fn new(proof: &'a Proof, mut sum: impl FnMut(&FileProof) -> String) -> Self {
        let figures = proof.figures();
        Self {
            ok: proof.ok(),
            pieces: figures.pieces,
            worst_gouge_mm: tidy(figures.worst_gouge_mm),
            worst_excess_mm: tidy(figures.worst_excess_mm),
            unreachable_corners: figures.unreachable_corners,
            files: proof.files.iter().map(|file| file_row(file, sum(file))).collect(),
        }
    }
}

fn file_row(file: &FileProof, sha256: String) -> FileRow<'_> {
    let totals = &file.totals;
    FileRow {
        file: &file.file,
        sha256,
        ok: file.ok(),
        sheet: file.sheet,
        bounds_mm: totals.bounds.map(|b| [b.x0, b.y0, b.x1, b.y1].map(tidy)),
        lowest_mm: tidy(totals.lowest_mm),
        cut_length_mm: tidy(totals.cut_length_mm),
        travel_length_mm: tidy(totals.travel_length_mm),
        time_s: tidy(totals.time_s),
        removed_mm2: file.removed_mm2.map(tidy),
        pieces: file.pieces.iter().map(piece_row).collect(),
    }
}

fn piece_row(piece: &PieceProof) -> PieceRow<'_> {
    let at = |worst: crate::stages::proof::Worst| [tidy(worst.at.x), tidy(worst.at.y)];
    PieceRow {
        id: &piece.id,
        copy: piece.copy,
        mirrored: piece.mirrored,
        gouge_mm: tidy(piece.gouge.mm),
        excess_mm: tidy(piece.excess.mm),
        gouge_at_mm: at(piece.gouge),
        excess_at_mm: at(piece.excess),
        unreachable_corners: piece.unreachable_corners,
        tabs: piece.tabs.iter().map(|tab| tab.map(tidy)).collect(),
    }
}

/// What `prove` tells.
#[derive(Debug, Serialize)]
pub(super) struct ProveReport<'a> {
    grainwise: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    job: Option<&'a str>,
    ok: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    proof: Option<ProofRow<'a>>,
    problems: Vec<&'a Problem>,
}

impl<'a> ProveReport<'a> {
    /// Of a proof with the checksums of its files in the same order; none where no file was read.
    pub(super) fn new(
        job: Option<&'a str>,
        proof: Option<(&'a Proof, &[String])>,
        problems: &'a Problems,
    ) -> Self {
        let row = |(proof, sums): (&'a Proof, &[String])| {
            let mut sums = sums.iter().cloned();
            ProofRow::new(proof, |_| sums.next().unwrap_or_default())
        };
        Self {
            grainwise: env!("CARGO_PKG_VERSION"),
            job,
            ok: !problems.stop(),
            proof: proof.map(row),
            problems: problems.iter().collect(),
        }
    }

    /// As JSON text that ends with a newline.
    pub(super) fn json(&self) -> String {
        super::report::text(self)
    }
}

/// A proof as a table, with the verdict below it.
pub(super) fn table(proof: &Proof, compared: bool) -> String {
    let rows = if compared { held(proof) } else { read(proof) };
    let verdict = match (compared, proof.ok()) {
        (false, true) => "nothing that a machine should refuse; not compared with any plan".to_owned(),
        _ => proof.verdict(),
    };
    format!("{rows}  {}\n", tell::printable(&verdict))
}

/// Files held against their sheets.
fn held(proof: &Proof) -> String {
    let head = ["file", "sheet", "pieces", "gouge mm", "excess mm", "tabs", "cut m", "time", ""];
    let mut rows = vec![head.map(str::to_owned)];
    for file in &proof.files {
        let figures = Figures::of([file]);
        let known = file.plan.is_some();
        let figure = |mm: f64| if known { format!("{mm:.3}") } else { String::new() };
        rows.push([
            tell::printable(&file.file),
            file.sheet.map_or_else(|| if known { "by fit" } else { "none" }.to_owned(), |n| n.to_string()),
            figures.pieces.to_string(),
            figure(figures.worst_gouge_mm),
            figure(figures.worst_excess_mm),
            file.cutting.tabs.len().to_string(),
            format!("{:.2}", file.totals.cut_length_mm / 1000.0),
            time(file),
            if file.ok() { "as planned" } else { "NOT as planned" }.to_owned(),
        ]);
    }
    tell::table(&rows)
}

/// Files that there was nothing to hold against.
fn read(proof: &Proof) -> String {
    let head = ["file", "from mm", "to mm", "lowest mm", "cut m", "travel m", "time", ""];
    let mut rows = vec![head.map(str::to_owned)];
    for file in &proof.files {
        let totals = &file.totals;
        let corner = |x: f64, y: f64| format!("{x:.2}, {y:.2}");
        rows.push([
            tell::printable(&file.file),
            totals.bounds.map_or_else(String::new, |b| corner(b.x0, b.y0)),
            totals.bounds.map_or_else(String::new, |b| corner(b.x1, b.y1)),
            format!("{:.3}", totals.lowest_mm),
            format!("{:.2}", totals.cut_length_mm / 1000.0),
            format!("{:.2}", totals.travel_length_mm / 1000.0),
            time(file),
            if file.ok() { "nothing wrong seen" } else { "REFUSE IT" }.to_owned(),
        ]);
    }
    tell::table(&rows)
}

/// A drawing has no feeds to tell a time from.
fn time(file: &FileProof) -> String {
    if file.totals.time_s > 0.0 { tell::clock(file.totals.time_s) } else { String::new() }
}
