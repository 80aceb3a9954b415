//! The words of motion: where they lead, how fast, and which way round.

use super::execute::Machine;
use super::state::Motion;
use super::words::{Block, Code};
use super::{Fault, Listener, arc};
use crate::geometry::{FARTHEST, Point, trig};

/// Axes in the order of a position.
const AXES: [u8; 3] = *b"XYZ";

/// Words that only an arc has a use for: the standard's interpreter calls them an error elsewhere.
const OF_AN_ARC: [u8; 3] = *b"IJR";

/// G2 and G3.
const ARCS: [Code; 2] = [20, 30];

impl<L: Listener> Machine<'_, L> {
    pub(super) fn motion(&mut self, block: &Block) -> Result<(), Fault> {
        let named = block.g_of_group(1);
        if let Some(mode) = named {
            self.state.mode = mode;
        }
        if block.any(&OF_AN_ARC) && !ARCS.contains(&self.state.mode) {
            let message = "I, J and R belong to an arc, and none is in effect";
            return Err(Fault::new("word-no-use", message));
        }
        if !block.any(&AXES) {
            let needs = named.is_some_and(|mode| mode != 800);
            return if needs {
                Err(Fault::new("motion-no-axis", "a motion needs at least one axis word"))
            } else {
                Ok(())
            };
        }
        let mode = self.state.mode;
        if mode == 800 {
            return Err(Fault::new("axis-no-motion", "an axis word stands where no motion is in effect"));
        }
        if mode == 0 {
            let from = self.state.at;
            let to = self.target(block)?;
            self.state.at = to;
            self.step(Motion::Rapid { from, to });
            return Ok(());
        }
        self.cut(block, mode)
    }

    /// G1, G2 and G3: from a place that is known, at a feed.
    fn cut(&mut self, block: &Block, mode: Code) -> Result<(), Fault> {
        let ([Some(x), Some(y), z], [Some(to_x), Some(to_y), to_z]) = (self.state.at, self.target(block)?)
        else {
            return Err(Fault::new("cut-from-nowhere", "a cut begins where no travel has led"));
        };
        let (z, to_z) = self.heights(z, to_z)?;
        let (from, to) = ([x, y, z], [to_x, to_y, to_z]);
        let (a, b) = (Point::new(x, y), Point::new(to_x, to_y));
        let round = if mode == 10 { None } else { Some(arc::arc(block, a, b, self.state.unit, mode == 30)?) };
        let feed = self.feed(block, || {
            let flat = round.map_or(a.distance(b), |(centre, sweep)| a.distance(centre) * sweep.abs());
            trig::hypot(flat, to_z - z)
        })?;
        self.state.at = to.map(Some);
        self.step(match round {
            None => Motion::Line { from, to, feed },
            Some((centre, sweep)) => Motion::Arc { from, to, centre, sweep, feed },
        });
        Ok(())
    }

    /// A laser's program never names a height: it is 0 then. A router's has to.
    fn heights(&self, z: Option<f64>, to: Option<f64>) -> Result<(f64, f64), Fault> {
        match (z, to) {
            (Some(z), Some(to)) => Ok((z, to)),
            (None, None) if self.dialect.beam.is_some() => Ok((0.0, 0.0)),
            _ => Err(Fault::new("cut-from-nowhere", "a cut begins at a height that no travel has led to")),
        }
    }

    /// mm/min of a motion this long, mm.
    fn feed(&self, block: &Block, length: impl FnOnce() -> f64) -> Result<f64, Fault> {
        if self.state.inverse_time {
            return match block.of(b'F') {
                Some(f) if f > 0.0 => Ok(length() * f),
                _ => Err(Fault::new("feed-missing", "in G93 every cut needs its own F")),
            };
        }
        match self.state.feed {
            Some(f) if f > 0.0 => Ok(f * self.state.unit),
            Some(_) => Err(Fault::new("feed-zero", "a cut at a feed of 0 never ends")),
            None => Err(Fault::new("feed-missing", "a cut stands before any F")),
        }
    }

    /// Where the axis words lead.
    fn target(&mut self, block: &Block) -> Result<[Option<f64>; 3], Fault> {
        if !self.unit_said {
            self.unit_said = true;
            self.fault(Fault::new("unit-not-said", "the program moves before G20 or G21 says in which unit"));
        }
        let mut to = self.state.at;
        for (axis, letter) in AXES.into_iter().enumerate() {
            let Some(value) = block.of(letter) else { continue };
            let mm = value * self.state.unit;
            if mm.abs() > FARTHEST {
                let name = char::from(letter);
                return Err(Fault::new("number-absurd", format!("{name}{value} is beyond any machine")));
            }
            to[axis] = match (self.state.absolute, self.state.at[axis]) {
                (true, _) => Some(mm),
                (false, Some(at)) => Some(at + mm),
                (false, None) => {
                    return Err(Fault::new(
                        "step-from-nowhere",
                        "a step in G91 begins where no travel has led",
                    ));
                }
            };
        }
        Ok(to)
    }
}
