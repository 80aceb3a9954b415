//! Sizes of paper, and what a printer makes of them.

/// Paper to print on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 x 297 mm (ISO 216).
    #[default]
    A4,
    /// 297 x 420 mm (ISO 216).
    A3,
    /// 8.5 x 11 inch (ANSI/ASME Y14.1, size A; from memory).
    Letter,
    /// Each sheet of wood on one page as large as it needs, for a plotter or a copy shop.
    Whole,
}

impl Paper {
    /// Every paper with its name.
    pub const ALL: [(&'static str, Self); 4] =
        [("a4", Self::A4), ("a3", Self::A3), ("letter", Self::Letter), ("whole", Self::Whole)];

    /// Width and height upright, mm; that of A4 where a page is as large as what is on it.
    pub fn size_mm(self) -> [f64; 2] {
        match self {
            Self::A4 | Self::Whole => [210.0, 297.0],
            Self::A3 => [297.0, 420.0],
            Self::Letter => [215.9, 279.4],
        }
    }
}

/// Border that printers cannot reach, or reach badly, mm: common practice, no source.
pub(super) const BORDER_MM: f64 = 10.0;

/// Longest side of a page, mm: 14,400 units of 1/72 inch is what PDF readers take (ISO 32000-1, annex C), less the border.
pub(super) const LONGEST_MM: f64 = 5000.0;

/// A page: how large it is, and what is made of lengths so that they come out true.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Format {
    /// Width and height of the paper, mm.
    pub(super) paper_mm: [f64; 2],
    /// What lengths across and up the page are multiplied by.
    pub(super) factor: [f64; 2],
}

impl Format {
    /// An upright page for a printer that makes these of a square of 100 mm, across and up.
    pub(super) fn upright(paper: Paper, printed_mm: [f64; 2]) -> Self {
        Self { paper_mm: paper.size_mm(), factor: printed_mm.map(|printed| 100.0 / printed) }
    }

    /// The same page lying on its side: it goes through the printer as an upright one does.
    pub(super) fn lying(self) -> Self {
        let swapped = |[a, b]: [f64; 2]| [b, a];
        Self { paper_mm: swapped(self.paper_mm), factor: swapped(self.factor) }
    }

    /// A page on which this much can be drawn within the border.
    pub(super) fn for_room(self, room_mm: [f64; 2]) -> Self {
        let side = |i: usize| room_mm[i] * self.factor[i] + 2.0 * BORDER_MM;
        Self { paper_mm: [side(0), side(1)], ..self }
    }

    /// Width and height of all that can be drawn within the border, in true millimetres.
    pub(super) fn room(self) -> [f64; 2] {
        [0, 1].map(|i| (self.paper_mm[i] - 2.0 * BORDER_MM) / self.factor[i])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_on_its_side_is_corrected_along_the_same_way_through_the_printer() {
        let lying = Format::upright(Paper::A4, [99.0, 101.0]).lying();
        assert!(lying.paper_mm[0] > 296.9 && lying.paper_mm[1] < 210.1);
        assert!(
            (lying.factor[0] * 101.0 - 100.0).abs() < 1e-9 && (lying.factor[1] * 99.0 - 100.0).abs() < 1e-9
        );
        let room = [500.0, 100.0];
        let back = Format::upright(Paper::Whole, [99.0, 101.0]).for_room(room).room();
        assert!((back[0] - 500.0).abs() < 1e-9 && (back[1] - 100.0).abs() < 1e-9, "{back:?}");
    }
}
