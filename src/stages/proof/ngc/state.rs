//! What a machine remembers from line to line, and the steps that it makes.

use super::words::Code;
use crate::geometry::Point;

/// One thing that the machine does.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Line of the file, from 1.
    pub line: usize,
    /// What it does.
    pub motion: Motion,
    /// Whether and which way the spindle turns.
    pub spindle: Spindle,
    /// Its speed, turns a minute, or the number of the beam's power, as S says.
    pub speed: f64,
    /// Fraction of the beam's full power; 0 where it is off or there is none.
    pub beam: f64,
}

/// A motion, a wait or a change, in millimetres, seconds and mm/min.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Motion {
    /// As fast as the machine can; none where it is not known where it began.
    Rapid {
        /// Where it began, x, y and z.
        from: [Option<f64>; 3],
        /// Where it ends; an axis that no word has named yet is none.
        to: [Option<f64>; 3],
    },
    /// Straight, at a feed.
    Line {
        /// Where it began.
        from: [f64; 3],
        /// Where it ends.
        to: [f64; 3],
        /// mm/min.
        feed: f64,
    },
    /// Round, at a feed; z changes evenly along it.
    Arc {
        /// Where it began.
        from: [f64; 3],
        /// Where it ends.
        to: [f64; 3],
        /// Centre.
        centre: Point,
        /// Radians, counter-clockwise positive; a full circle where the ends are one.
        sweep: f64,
        /// mm/min.
        feed: f64,
    },
    /// A wait.
    Dwell {
        /// Seconds.
        seconds: f64,
    },
    /// The tool of this number goes in.
    Tool {
        /// Its number.
        number: u32,
    },
    /// The machine waits for the operator (M0, M1, M60).
    Stop,
    /// The program ends (M2, M30), or the closing percent sign.
    End,
}

/// Whether a spindle turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spindle {
    /// Clockwise.
    Clockwise,
    /// Counter-clockwise.
    CounterClockwise,
    /// Not at all.
    Stopped,
}

/// Everything that stays from line to line.
#[derive(Clone, Debug)]
pub(super) struct State {
    /// Motion mode: a G code; G80 for none.
    pub(super) mode: Code,
    /// Millimetres in one unit of the file.
    pub(super) unit: f64,
    pub(super) absolute: bool,
    /// G93: F is the inverse of a motion's minutes.
    pub(super) inverse_time: bool,
    /// As F says it: units a minute.
    pub(super) feed: Option<f64>,
    pub(super) speed: f64,
    pub(super) tool: u32,
    pub(super) spindle: Spindle,
    pub(super) beam_on: bool,
    /// The number of the beam's power.
    pub(super) power: f64,
    /// Where the machine is, mm.
    pub(super) at: [Option<f64>; 3],
}

impl State {
    /// As a program finds the machine: somewhere, nothing turning, millimetres, absolute, feed a minute.
    ///
    /// The standard leaves the units to the last program; a file that does not set them is told apart by the reader.
    pub(super) const fn new() -> Self {
        Self {
            mode: 800,
            unit: 1.0,
            absolute: true,
            inverse_time: false,
            feed: None,
            speed: 0.0,
            tool: 0,
            spindle: Spindle::Stopped,
            beam_on: false,
            power: 0.0,
            at: [None; 3],
        }
    }

    /// What M2 and M30 put back.
    pub(super) fn reset(&mut self) {
        self.spindle = Spindle::Stopped;
        self.beam_on = false;
        (self.absolute, self.inverse_time, self.mode) = (true, false, 10);
    }
}
