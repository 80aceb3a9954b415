//! What a proof comes to: how many pieces, the worst of each measure.

use std::collections::BTreeMap;

use super::{FileProof, PieceProof, Proof};

/// The figures of one or more files. The same piece of a sheet in several files, one for each format, is one piece with its
/// worst; where a file's sheet is not known, all its pieces are its own.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Figures {
    /// How many pieces would come off.
    pub pieces: usize,
    /// How deep the cut goes into a piece at the worst place, mm; 0 where it goes into none.
    pub worst_gouge_mm: f64,
    /// How far wood stands out beyond a piece at the worst place, mm.
    pub worst_excess_mm: f64,
    /// Corners that a round beam or cutter cannot reach.
    pub unreachable_corners: usize,
}

impl Figures {
    /// The figures of these files together.
    pub fn of<'a>(files: impl IntoIterator<Item = &'a FileProof>) -> Self {
        let mut corners: BTreeMap<(Result<usize, usize>, &str, u32), usize> = BTreeMap::new();
        let mut figures = Self::default();
        for (number, file) in files.into_iter().enumerate() {
            let place = file.sheet.ok_or(number);
            for piece in &file.pieces {
                figures.worst_gouge_mm = figures.worst_gouge_mm.max(piece.gouge.mm);
                figures.worst_excess_mm = figures.worst_excess_mm.max(piece.excess.mm);
                let of_piece = corners.entry((place, &piece.id, piece.copy)).or_default();
                *of_piece = piece.unreachable_corners.max(*of_piece);
            }
        }
        figures.pieces = corners.len();
        figures.unreachable_corners = corners.values().sum();
        figures
    }

    /// The worst of all measures, mm.
    pub fn worst_mm(&self) -> f64 {
        self.worst_gouge_mm.max(self.worst_excess_mm)
    }
}

impl Proof {
    /// The figures of all files together.
    pub fn figures(&self) -> Figures {
        Figures::of(&self.files)
    }
}

impl FileProof {
    /// The piece for which a measure is largest; the first of equals.
    pub fn worst(&self, measure: impl Fn(&PieceProof) -> f64) -> Option<&PieceProof> {
        self.pieces.iter().rev().max_by(|a, b| measure(a).total_cmp(&measure(b)))
    }
}
