//! The other way of the trade: blanks on two pins between a root and a tip template, sanded as one block.

use super::Bench;
use super::hole::rounded;
use super::plan::Frame;
use super::rib::{Blank, Rib};
use super::spar::Cuts;
use crate::geometry::curve::Curve;
use crate::geometry::{Affine, Point, Rect, Vec2};
use crate::stages::job::ribs::Block;

/// Wood that has to stay around a pin, mm. Common practice, no source.
const AROUND_PIN: f64 = 1.5;

impl Bench<'_> {
    /// Two templates and a blank for every rib, with pin holes that lie over each other in the stack.
    pub(super) fn block(
        &mut self,
        block: Block,
        frames: &[Frame],
        blanks: &[Blank],
        cuts: &[Cuts],
    ) -> Option<Vec<Rib>> {
        let last = frames.len() - 1;
        let set = self.set;
        // The stack is lined up along the first spar, or what runs straight.
        let along = set.spars.first().map_or((set.straight, set.straight), |spar| spar.at);
        let (root, tip) = (frames[0].x(along.0), frames[last].x(along.1));
        let line = |frame: &Frame| root + (tip - root) * frame.share;
        let pins = [block.pins.0, block.pins.1].map(|f| {
            let x = frames[last].x(f);
            let middle = blanks[last].height(x, 1.0).zip(blanks[last].height(x, -1.0));
            middle.map(|(a, b)| Vec2::new(x - tip, f64::midpoint(a, b)))
        });
        let [Some(first), Some(second)] = pins else { return self.no_room() };
        let drilled = |frame: &Frame| {
            let hole = |pin: Vec2| {
                let at = Point::new(line(frame), 0.0) + pin;
                rounded(at, at, block.pin_mm / 2.0)
            };
            vec![hole(first), hole(second)]
        };
        let mut ribs = Vec::new();
        for (k, what) in [(0, "ROOT"), (last, "TIP")] {
            let outer =
                blanks[k].outline(&Cuts { feet: Vec::new(), square: Vec::new(), ..cuts[k].clone() })?;
            if ![first, second]
                .iter()
                .all(|pin| self.clears(&outer, Point::new(line(&frames[k]), 0.0) + *pin, block))
            {
                return self.no_room();
            }
            let station = Some(frames[k].station);
            let name = format!("{}-{what}", set.name);
            ribs.push(Rib { name, station, outer, holes: drilled(&frames[k]), scores: Vec::new() });
        }
        for (k, frame) in frames.iter().enumerate() {
            let plain = blanks[k].outline(&Cuts::default())?;
            let bounds = plain.iter().map(Curve::bounds).reduce(|a, b| a.union(b))?;
            let outer = rectangle(bounds.inflate(block.oversize_mm, block.oversize_mm));
            let name = format!("{}{}", set.name, k + 1);
            let station = Some(frame.station);
            ribs.push(Rib { name, station, outer, holes: drilled(frame), scores: Vec::new() });
        }
        Some(ribs)
    }

    fn clears(&self, outer: &[Curve], pin: Point, block: Block) -> bool {
        let outline = crate::geometry::fit::outline(outer, self.job.tolerance_mm);
        outline.is_ok_and(|o| o.contains(pin) && o.distance(pin) >= block.pin_mm / 2.0 + AROUND_PIN)
    }

    fn no_room(&mut self) -> Option<Vec<Rib>> {
        let hint = "move 'pins', fractions of the tip's chord, to where both templates are thick";
        self.wrong("rib-block", "a template has no room for its pins", hint);
        None
    }
}

fn rectangle(r: Rect) -> Vec<Curve> {
    let at = [(r.x0, r.y0), (r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1)].map(Point::from);
    (0..4).map(|i| Curve::line(at[i], at[(i + 1) % 4])).collect()
}

/// Ribs moved apart, so that each lies by itself in the drawing, its chord at a whole millimetre.
pub(super) fn apart(ribs: &mut [Rib], gap: f64) {
    let mut floor = 0.0;
    for rib in ribs {
        let Some(bounds) = rib.outer.iter().map(Curve::bounds).reduce(|a, b| a.union(b)) else { continue };
        let down = (floor - bounds.y1).floor();
        floor = down + bounds.y0 - gap;
        let down = Affine::translate((0.0, down));
        for curve in rib.outer.iter_mut().chain(rib.holes.iter_mut().flatten()) {
            *curve = curve.transformed(down);
        }
        for score in &mut rib.scores {
            (score.from, score.to) = (down * score.from, down * score.to);
        }
    }
}
