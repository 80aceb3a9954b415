//! The proof's part of the report.

use serde::Serialize;

use super::report::tidy;
use crate::stages::proof::{FileProof, PieceProof, Proof};

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
    pub(super) fn new(proof: &'a Proof, sum: impl Fn(&FileProof) -> String) -> Self {
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
