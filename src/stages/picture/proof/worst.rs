//! The worst places of a file: pins on the sheet, told apart by shape and by which way they point.

use crate::geometry::Point;
use crate::stages::picture::letters::Words;
use crate::stages::picture::page::stroke;
use crate::stages::picture::pen::{self, PathData};
use crate::stages::proof::{FileProof, PieceProof, Worst};

/// Below this nothing is said to be off, mm: its figure would be 0.000.
const NOTHING_MM: f64 = 0.0005;

/// One of the two measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::stages::picture) enum Measure {
    /// How deep a cut goes into a piece.
    Gouge,
    /// How far wood stands out beyond it.
    Excess,
}

impl Measure {
    pub(super) const BOTH: [Self; 2] = [Self::Gouge, Self::Excess];

    pub(super) fn of(self, piece: &PieceProof) -> Worst {
        match self {
            Self::Gouge => piece.gouge,
            Self::Excess => piece.excess,
        }
    }

    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Gouge => "gouge",
            Self::Excess => "excess",
        }
    }

    pub(super) const fn colour(self) -> &'static str {
        match self {
            Self::Gouge => pen::GOUGE,
            Self::Excess => pen::EXCESS,
        }
    }

    /// The piece where it is worst; none where nothing is off.
    pub(super) fn worst(self, file: &FileProof) -> Option<(&PieceProof, Worst)> {
        let piece = file.worst(|piece| self.of(piece).mm)?;
        let worst = self.of(piece);
        (worst.mm > NOTHING_MM).then_some((piece, worst))
    }
}

/// A pin whose tip is the place. A gouge's is full and comes from above, an excess's is hollow and comes from below. `up`
/// is 1 where y points up, -1 where it points down.
pub(in crate::stages::picture) fn pin(tip: Point, size: f64, measure: Measure, up: f64) -> String {
    let (body, fill) = match measure {
        Measure::Gouge => (up * size, measure.colour()),
        Measure::Excess => (-up * size, "none"),
    };
    let mut path = PathData::default();
    path.begin(tip);
    path.line(Point::new(tip.x - 0.45 * size, tip.y + body));
    path.line(Point::new(tip.x + 0.45 * size, tip.y + body));
    path.line(tip);
    path.element(&format!("fill=\"{fill}\" {}", stroke(measure.colour(), 0.16 * size, "")))
}

/// A pin with its figure beside it, y up.
pub(super) fn pinned(worst: &Worst, measure: Measure, letter: f64) -> String {
    let size = 1.4 * letter;
    let aside = if measure == Measure::Gouge { 0.35 * size } else { -0.35 * size - 0.9 * letter };
    let text = figure(worst.mm);
    let half = crate::geometry::lettering::width(&text, 0.9 * letter) / 2.0;
    let at = Point::new(worst.at.x + 0.7 * size + half, worst.at.y + aside);
    let words = Words { text: &text, at, height: 0.9 * letter, colour: measure.colour() };
    pin(worst.at, size, measure, 1.0) + &words.haloed_up()
}

/// A figure to a thousandth of a millimetre.
pub(super) fn figure(mm: f64) -> String {
    format!("{mm:.3}")
}
