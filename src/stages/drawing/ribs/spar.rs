//! What runs straight from root to tip and is cut into every rib: notches, square holes, feet.

use super::Bench;
use super::plan::Frame;
use super::rib::Blank;
use crate::geometry::trig;
use crate::stages::job::ribs::{Foot, Side, Spar};

/// Where a straight spar would lie this much deeper or less deep than asked for, mm, it is told: a plane takes off less.
const OFF: f64 = 0.25;

/// Less wood than this between floors or walls, mm, is none.
const LEAST_WOOD: f64 = 0.5;

/// A rectangle taken out of a surface, or added to it, from its edge to a level floor.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cut {
    pub(super) x0: f64,
    pub(super) x1: f64,
    pub(super) floor: f64,
}

/// What is cut into one rib.
#[derive(Clone, Debug, Default)]
pub(super) struct Cuts {
    pub(super) upper: Vec<Cut>,
    pub(super) lower: Vec<Cut>,
    /// Rectangles through the middle: x0, y0, x1, y1.
    pub(super) square: Vec<[f64; 4]>,
    /// Feet, which are among those of the lower surface too.
    pub(super) feet: Vec<Cut>,
}

/// A straight line from root to tip, with the angle at which it crosses the ribs.
#[derive(Clone, Copy, Debug)]
struct Line {
    root: f64,
    tip: f64,
}

impl Line {
    fn at(self, share: f64) -> f64 {
        self.root + (self.tip - self.root) * share
    }
}

impl Bench<'_> {
    /// What is cut into each rib. None where something does not fit; it is told.
    pub(super) fn cuts(&mut self, frames: &[Frame], blanks: &[Blank]) -> Option<Vec<Cuts>> {
        let mut all = vec![Cuts::default(); frames.len()];
        let set = self.set;
        for spar in &set.spars {
            self.spar(spar, frames, blanks, &mut all)?;
        }
        for foot in &set.feet {
            self.foot(foot, frames, blanks, &mut all)?;
        }
        for (rib, cuts) in all.iter_mut().enumerate() {
            for side in [&mut cuts.upper, &mut cuts.lower] {
                side.sort_by(|a, b| a.x0.total_cmp(&b.x0));
                if side.windows(2).any(|pair| pair[0].x1 + LEAST_WOOD > pair[1].x0) {
                    let message = format!("spars or feet meet each other in rib {}", rib + 1);
                    self.wrong("rib-spar", &message, "move them apart");
                    return None;
                }
            }
        }
        Some(all)
    }

    /// A notch is wider than its spar by the fit, and by what a spar needs that crosses a thick rib aslant.
    fn width(&self, wide: f64, across: Line, frames: &[Frame]) -> f64 {
        let span = frames[frames.len() - 1].station - frames[0].station;
        if span <= 0.0 {
            return wide;
        }
        let slope = (across.tip - across.root).abs() / span;
        wide * trig::hypot(1.0, slope) + self.set.thickness_mm * slope
    }

    fn spar(&mut self, spar: &Spar, frames: &[Frame], blanks: &[Blank], all: &mut [Cuts]) -> Option<()> {
        let across = across_at(spar.at, frames);
        let half = self.width(spar.width_mm + spar.fit_mm, across, frames) / 2.0;
        let depth = spar.depth_mm + spar.fit_mm;
        let upper = matches!(spar.side, Side::Upper | Side::Both);
        let lower = matches!(spar.side, Side::Lower | Side::Both);
        let sides = [(upper, 1.0), (lower, -1.0)].into_iter().filter(|side| side.0).map(|side| side.1);
        let ends = (&blanks[0], &blanks[blanks.len() - 1]);
        for up in sides {
            let floor = |blank: &Blank, x: f64| {
                let (a, b) = (blank.height(x - half, up)?, blank.height(x + half, up)?);
                Some(if up > 0.0 { a.min(b) - depth } else { a.max(b) + depth })
            };
            let (Some(root), Some(tip)) = (floor(ends.0, across.root), floor(ends.1, across.tip)) else {
                return self.outside(spar.line, "a spar");
            };
            let floors = Line { root, tip };
            let mut worst = (0.0_f64, 0);
            for (k, (frame, blank)) in frames.iter().zip(blanks).enumerate() {
                let (x, y) = (across.at(frame.share), floors.at(frame.share));
                let cut = Cut { x0: x - half, x1: x + half, floor: y * blank.lean };
                let Some(own) = floor(blank, x).filter(|_| blank.holds(&cut)) else {
                    return self.outside(spar.line, "a spar");
                };
                let against = blank.height(x, -up).unwrap_or(y);
                if (y - against) * up < LEAST_WOOD {
                    return self.outside(spar.line, "a notch so deep");
                }
                if (own - y).abs() > worst.0.abs() {
                    worst = ((y - own) * up, k);
                }
                let side = if up > 0.0 { &mut all[k].upper } else { &mut all[k].lower };
                side.push(cut);
            }
            if worst.0.abs() > OFF {
                let (much, how) = (worst.0.abs(), if worst.0 > 0.0 { "proud of" } else { "below" });
                let message =
                    format!("a straight spar lies {much:.2} mm {how} the surface in rib {}", worst.1 + 1);
                let hint = "plane it or pack it there, or move it to where the wing is straight";
                self.doubt(spar.line, "rib-spar-off", &message, hint);
            }
        }
        if spar.side == Side::Through {
            self.square(spar, (across, half, depth), frames, blanks, all)?;
        }
        Some(())
    }

    fn square(
        &mut self,
        spar: &Spar,
        (across, half, depth): (Line, f64, f64),
        frames: &[Frame],
        blanks: &[Blank],
        all: &mut [Cuts],
    ) -> Option<()> {
        let middle =
            |blank: &Blank, x: f64| Some(f64::midpoint(blank.height(x, 1.0)?, blank.height(x, -1.0)?));
        let root = middle(&blanks[0], across.root);
        let tip = middle(&blanks[blanks.len() - 1], across.tip);
        let (Some(root), Some(tip)) = (root, tip) else {
            return self.outside(spar.line, "a spar");
        };
        let levels = Line { root, tip };
        for (k, (frame, blank)) in frames.iter().zip(blanks).enumerate() {
            let (x, y) = (across.at(frame.share), levels.at(frame.share));
            let (low, high) = (y - depth / 2.0, y + depth / 2.0);
            let wood = |x: f64| {
                let above = blank.height(x, 1.0)? - high;
                let below = low - blank.height(x, -1.0)?;
                (above.min(below) >= LEAST_WOOD).then_some(())
            };
            let cut = Cut { x0: x - half, x1: x + half, floor: y };
            if wood(cut.x0).and(wood(cut.x1)).is_none() || !blank.holds(&cut) {
                return self.outside(spar.line, "a square hole");
            }
            all[k].square.push([cut.x0, low * blank.lean, cut.x1, high * blank.lean]);
        }
        Some(())
    }

    fn foot(&mut self, foot: &Foot, frames: &[Frame], blanks: &[Blank], all: &mut [Cuts]) -> Option<()> {
        let across = across_at(foot.at, frames);
        for (k, (frame, blank)) in frames.iter().zip(blanks).enumerate() {
            let x = across.at(frame.share);
            let half = foot.width_mm / 2.0;
            let cut = Cut { x0: x - half, x1: x + half, floor: -foot.down_mm * blank.lean };
            let lowest = blank.height(cut.x0, -1.0).zip(blank.height(cut.x1, -1.0)).map(|(a, b)| a.min(b));
            if !blank.holds(&cut) || lowest.is_none_or(|low| low - LEAST_WOOD < -foot.down_mm) {
                return self.outside(foot.line, "a foot");
            }
            all[k].lower.push(cut);
            all[k].feet.push(cut);
        }
        Some(())
    }

    fn outside(&mut self, line: (usize, usize), what: &str) -> Option<()> {
        let hint = "check where it lies, as fractions of the chord at root and tip, and how large it is";
        self.wrong_at(line, "rib-spar", &format!("the ribs have no room for {what} there"), hint);
        None
    }
}

/// Where a straight line at these fractions of the chord crosses the ribs.
fn across_at(at: (f64, f64), frames: &[Frame]) -> Line {
    Line { root: frames[0].x(at.0), tip: frames[frames.len() - 1].x(at.1) }
}
