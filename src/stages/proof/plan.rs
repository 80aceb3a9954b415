//! What should come off one sheet: the pieces as they are drawn, where they lie, how they are held. Made from the parts and
//! the layout alone; of the cuts it takes only what cannot be drawn: how many tabs of which size hold a piece.

use crate::geometry::{Chain, Placement, Point, Region};
use crate::stages::cut::{Operation, Path, Settings, SheetCuts};
use crate::stages::job::Turn;
use crate::stages::part::{Part, Recess};

/// What should come off a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The sheet's number.
    pub sheet: usize,
    /// Its wood, by name.
    pub wood: String,
    /// Length along the grain and width across it, mm.
    pub size_mm: [f64; 2],
    /// Thickness of the wood, mm.
    pub thickness_mm: f64,
    /// Width that beam or cutter removes, mm.
    pub kerf_mm: f64,
    /// How it is cut.
    pub settings: Settings,
    /// The pieces.
    pub pieces: Vec<Wanted>,
}

/// One piece that should come off.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// Name of its part.
    pub id: String,
    /// Which of the parts.
    pub part: usize,
    /// Which piece of it, from 1.
    pub copy: u32,
    /// Where it lies.
    pub placement: Placement,
    /// Its material on the sheet.
    pub region: Region,
    /// A point in its material on the sheet.
    pub at: Point,
    /// What is milled away of its face, on the sheet.
    pub recesses: Vec<Recess>,
    /// Lines scored on it, on the sheet.
    pub scores: Vec<Chain>,
    /// Lines marked on it, on the sheet.
    pub marks: Vec<Chain>,
    /// Direction of its grain on the sheet, degrees, 0 up to 180; none where any will do.
    pub grain_deg: Option<f64>,
    /// Tabs around it: width and height of the wood left, mm; none where nobody knows how it is to be held.
    pub tabs: Option<Vec<[f64; 2]>>,
    /// Tabs in its holes, which hold their waste.
    pub waste_tabs: Option<Vec<[f64; 2]>>,
}

impl Plan {
    /// The plan of one sheet.
    pub fn of(cuts: &SheetCuts, parts: &[Part]) -> Self {
        let sheet = &cuts.sheet;
        let pieces = sheet.placed.iter().enumerate();
        Self {
            sheet: sheet.number,
            wood: sheet.wood.clone(),
            size_mm: [sheet.length_mm, sheet.width_mm],
            thickness_mm: sheet.thickness_mm,
            kerf_mm: cuts.kerf_mm,
            settings: cuts.settings,
            pieces: pieces
                .map(|(i, placed)| {
                    let part = &parts[placed.part];
                    let held = |operation| tabs(cuts, i, operation);
                    Wanted {
                        tabs: Some(held(Operation::CutOutside)),
                        waste_tabs: Some(held(Operation::CutInside)),
                        ..Wanted::of(part, placed.part, placed.copy, placed.placement)
                    }
                })
                .collect(),
        }
    }
}

impl Plan {
    /// Half the width, mm, that is removed beside an outline of a piece: 0 its outer one, then its holes.
    pub fn half_mm(&self, outline: usize) -> f64 {
        let more = match &self.settings {
            Settings::Laser(setting) if outline > 0 => setting.inside_more_mm,
            _ => 0.0,
        };
        self.kerf_mm / 2.0 + more / 2.0
    }
}

impl Wanted {
    /// A piece of a part at its place; nobody knows of its tabs yet.
    pub fn of(part: &Part, index: usize, copy: u32, placement: Placement) -> Self {
        let chains = |chains: &[Chain]| chains.iter().map(|chain| chain.placed(&placement)).collect();
        Self {
            id: part.id.clone(),
            part: index,
            copy,
            placement,
            region: part.region.placed(&placement),
            at: placement.point(part.at),
            recesses: recesses(&part.recesses, &placement),
            scores: chains(&part.scores),
            marks: chains(&part.marks),
            grain_deg: part.grain_deg.and_then(|deg| off_grain(placement.grain_deg(deg), part.lying.turn)),
            tabs: None,
            waste_tabs: None,
        }
    }
}

impl Wanted {
    /// The same piece elsewhere on a sheet, as another copy of its part, however it is held there.
    #[must_use]
    pub fn moved(&self, by: &Placement, copy: u32) -> Self {
        let chains = |chains: &[Chain]| chains.iter().map(|chain| chain.placed(by)).collect();
        let mirrored = self.placement.mirrored != by.mirrored;
        // Turns are counted before a mirror image, so that they run the other way after it.
        let turned = if by.mirrored { -self.placement.turn_deg } else { self.placement.turn_deg };
        let shift = by.point(self.placement.shift.to_point()).to_vec2();
        Self {
            id: self.id.clone(),
            part: self.part,
            copy,
            placement: Placement { mirrored, turn_deg: (turned + by.turn_deg).rem_euclid(360.0), shift },
            region: self.region.placed(by),
            at: by.point(self.at),
            recesses: recesses(&self.recesses, by),
            scores: chains(&self.scores),
            marks: chains(&self.marks),
            grain_deg: self.grain_deg.map(|deg| by.grain_deg(deg)),
            tabs: None,
            waste_tabs: None,
        }
    }
}

fn recesses(of: &[Recess], placement: &Placement) -> Vec<Recess> {
    let placed = |recess: &Recess| Recess { region: recess.region.placed(placement), ..*recess };
    of.iter().map(placed).collect()
}

/// Widths and heights of a piece's tabs on the paths of one operation.
fn tabs(cuts: &SheetCuts, placed: usize, operation: Operation) -> Vec<[f64; 2]> {
    let of_piece = cuts.cuts.iter().filter(|cut| cut.placed == placed && cut.operation == operation);
    let closed = of_piece.filter(|cut| matches!(cut.path, Path::Closed(_)));
    closed
        .flat_map(|cut| &cut.tabs)
        .map(|tab| [tab.to_mm - tab.from_mm - cuts.kerf_mm, tab.height_mm])
        .collect()
}

/// The grain as the proof is to judge it: what the part may lie off is no fault.
fn off_grain(lies: f64, turn: Turn) -> Option<f64> {
    match turn {
        Turn::Grain => Some(lies),
        Turn::Within(degrees) => Some((lies.min(180.0 - lies) - degrees).max(0.0)),
        Turn::Any => None,
    }
}
