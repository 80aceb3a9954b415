//! A sheet as steps, each a cut with the moves that make it, so that both can be spoiled alike and be written in any form.

use grainwise::geometry::{Chain, Outline, Point, Rect, Segment, Vec2, Vertex};
use grainwise::stages::cut::{Cut, Move, Operation, Path, SheetCuts};

use super::kit::{Change, Good};

/// A cut with its moves; none on a machine that takes drawings.
#[derive(Clone, Debug)]
pub(crate) struct Step {
    pub(crate) cut: Cut,
    pub(crate) moves: Vec<Move>,
}

/// The steps of a sheet, in its order.
pub(crate) fn steps(sheet: &SheetCuts) -> Vec<Step> {
    let mut blocks: Vec<Vec<Move>> = Vec::new();
    for step in &sheet.moves {
        if matches!(step, Move::Begin { .. }) {
            blocks.push(Vec::new());
        }
        blocks.last_mut().unwrap().push(step.clone());
    }
    assert!(blocks.is_empty() || blocks.len() == sheet.cuts.len());
    blocks.resize(sheet.cuts.len(), Vec::new());
    sheet.cuts.iter().cloned().zip(blocks).map(|(cut, moves)| Step { cut, moves }).collect()
}

/// The file that these steps make in place of the good ones; none where the writer itself refuses it.
pub(crate) fn rewritten(good: &Good, steps: &[Step], what: impl Into<String>) -> Option<Change> {
    let sheet = SheetCuts {
        cuts: steps.iter().map(|step| step.cut.clone()).collect(),
        moves: steps.iter().flat_map(|step| step.moves.clone()).collect(),
        ..good.sheet().clone()
    };
    let text = good.written(&sheet)?;
    (text != good.text).then(|| Change::new(text, what))
}

/// A way to move things about: what becomes of a point, and whether it makes a left hand of a right one.
pub(crate) struct Map<F: Fn(Point) -> Point> {
    pub(crate) point: F,
    pub(crate) mirrors: bool,
}

impl Step {
    pub(crate) fn is_through(&self) -> bool {
        matches!(self.cut.operation, Operation::CutInside | Operation::CutOutside)
    }

    /// The path as it would be without tabs.
    pub(crate) fn segments(&self) -> Vec<Segment> {
        match &self.cut.path {
            Path::Closed(outline) => outline.segments().collect(),
            Path::Open(chain) => chain.segments().collect(),
        }
    }

    /// The step somewhere else.
    pub(crate) fn moved<F: Fn(Point) -> Point>(&self, map: &Map<F>) -> Self {
        let vertex = |v: &Vertex| {
            let bulge = if map.mirrors { -v.bulge } else { v.bulge };
            Vertex { at: (map.point)(v.at), bulge }
        };
        let path = match &self.cut.path {
            Path::Closed(outline) => {
                Path::Closed(Outline::new(outline.vertices().iter().map(vertex).collect()).unwrap())
            }
            Path::Open(chain) => {
                Path::Open(Chain::new(chain.vertices().iter().map(vertex).collect()).unwrap())
            }
        };
        let mut moves = self.moves.clone();
        for step in &mut moves {
            match step {
                Move::Rapid { to, .. } | Move::Line { to, .. } => *to = (map.point)(*to),
                Move::Arc { to, centre, counter_clockwise, .. } => {
                    (*to, *centre) = ((map.point)(*to), (map.point)(*centre));
                    *counter_clockwise ^= map.mirrors;
                }
                _ => {}
            }
        }
        Self { cut: Cut { path, ..self.cut.clone() }, moves }
    }

    /// The step shifted.
    pub(crate) fn shifted(&self, by: Vec2) -> Self {
        self.moved(&Map { point: |p| p + by, mirrors: false })
    }
}

/// All steps, those of one piece moved.
pub(crate) fn with_moved<F: Fn(Point) -> Point>(steps: &[Step], piece: usize, map: &Map<F>) -> Vec<Step> {
    let one = |step: &Step| if step.cut.placed == piece { step.moved(map) } else { step.clone() };
    steps.iter().map(one).collect()
}

/// The box around a piece.
pub(crate) fn bounds(good: &Good, piece: usize) -> Rect {
    good.plan.pieces[piece].region.bounds()
}
