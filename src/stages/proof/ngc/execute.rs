//! Carries out line after line, in the order that the standard gives for the words of one line.

use super::dialect::Dialect;
use super::line::{self, Word};
use super::state::{Motion, Spindle, State, Step};
use super::words::{Block, Code};
use super::{Fault, arc};
use crate::geometry::{FARTHEST, Point};

/// No more faults than this are kept; a file with so many is none.
const MOST_FAULTS: usize = 200;

/// Axes in the order of a position.
const AXES: [u8; 3] = *b"XYZ";

/// Reads a program, hands over each step as it is made, and gives the faults in the order of the lines. A line with a
/// fault is not carried out; the lines after it are, so that all faults come to light.
pub fn read(program: &[u8], dialect: &Dialect, each: &mut dyn FnMut(&Step)) -> Vec<Fault> {
    let mut machine = Machine {
        dialect,
        state: State::new(),
        block: Block::default(),
        words: Vec::new(),
        faults: Vec::new(),
        line: 0,
        percent: false,
        ended: false,
        unit_said: false,
        each,
    };
    machine.run(program);
    machine.faults
}

struct Machine<'a> {
    dialect: &'a Dialect,
    state: State,
    block: Block,
    words: Vec<Word>,
    faults: Vec<Fault>,
    line: usize,
    /// Whether the program began by a percent sign.
    percent: bool,
    ended: bool,
    unit_said: bool,
    each: &'a mut dyn FnMut(&Step),
}

impl Machine<'_> {
    fn run(&mut self, program: &[u8]) {
        let mut begun = false;
        for line in program.split(|byte| *byte == b'\n') {
            self.line += 1;
            let line = line.strip_suffix(b"\r").unwrap_or(line);
            if line.trim_ascii() == b"%" {
                if begun {
                    return self.closed_by_percent();
                }
                (self.percent, begun) = (true, true);
                continue;
            }
            begun |= !line.trim_ascii().is_empty();
            if self.ended {
                // Nothing after M2 or M30 is read but the closing percent sign.
                continue;
            }
            if let Err(fault) = self.one(line) {
                self.fault(fault);
            }
        }
        self.ran_out();
    }

    fn closed_by_percent(&mut self) {
        if !self.percent {
            self.fault(Fault::new("percent-not-open", "a percent sign closes a program that none opened"));
        }
        if !self.ended {
            self.step(Motion::End);
        }
    }

    /// The file ended without a closing percent sign.
    fn ran_out(&mut self) {
        if self.percent {
            self.fault(Fault::new(
                "percent-not-closed",
                "a percent sign opens the program and none closes it",
            ));
        } else if !self.ended {
            self.fault(Fault::new(
                "no-end",
                "the program ends without M2, M30 or percent signs: is it cut off?",
            ));
        }
    }

    fn fault(&mut self, fault: Fault) {
        if self.faults.len() < MOST_FAULTS {
            self.faults.push(Fault { line: self.line, ..fault });
        }
    }

    fn step(&mut self, motion: Motion) {
        let state = &self.state;
        let beam = match &self.dialect.beam {
            Some(words) if state.beam_on => state.power / words.scale,
            _ => 0.0,
        };
        let step = Step { line: self.line, motion, spindle: state.spindle, speed: state.speed, beam };
        (self.each)(&step);
    }

    fn one(&mut self, text: &[u8]) -> Result<(), Fault> {
        if line::split(text, self.dialect, &mut self.words)? {
            self.fault(Fault::new(
                "optional-line",
                "a switch decides whether this line is carried out: it is taken as on",
            ));
        }
        let mut block = std::mem::take(&mut self.block);
        let done = block.fill(&self.words, self.dialect).and_then(|()| self.carry_out(&block));
        self.block = block;
        done
    }

    /// The words of a line in the standard's order.
    fn carry_out(&mut self, block: &Block) -> Result<(), Fault> {
        self.not_followed(block)?;
        match block.g_of_group(5) {
            Some(930) => (self.state.inverse_time, self.state.feed) = (true, None),
            Some(_) => self.leave_inverse_time(),
            None => {}
        }
        self.feed_and_speed(block)?;
        if let Some(tool) = block.of(b'T') {
            self.state.tool =
                whole(tool).ok_or_else(|| Fault::new("tool-number", "T takes a whole number"))?;
        }
        if block.m_of_group(6).is_some() {
            self.state.spindle = Spindle::Stopped;
            self.step(Motion::Tool { number: self.state.tool });
        }
        self.spindle_and_beam(block);
        if block.has_g(40) {
            self.dwell(block)?;
        }
        match block.g_of_group(6) {
            Some(200) => self.unit(25.4),
            Some(_) => self.unit(1.0),
            None => {}
        }
        if let Some(mode) = block.g_of_group(3) {
            self.state.absolute = mode == 900;
        }
        self.motion(block)?;
        self.stop(block);
        Ok(())
    }

    /// A feed that was said in the other unit counts no longer: F comes before the unit in the order of a line, so that
    /// readers differ in what they make of it.
    fn unit(&mut self, millimetres: f64) {
        if (self.state.unit - millimetres).abs() > 0.0 {
            self.state.feed = None;
        }
        (self.state.unit, self.unit_said) = (millimetres, true);
    }

    fn leave_inverse_time(&mut self) {
        if self.state.inverse_time {
            (self.state.inverse_time, self.state.feed) = (false, None);
        }
    }

    /// What the standard has and a sheet's program has no use for.
    fn not_followed(&self, block: &Block) -> Result<(), Fault> {
        let own = |letter, code: &Code| self.dialect.declares(letter, *code);
        let odd = block.g.iter().find(|code| {
            let strange = matches!(
                code,
                100 | 180 | 190 | 280 | 300 | 382 | 410 | 420 | 430 | 530 | 550..=593 | 810..=890 | 920..=923
            );
            strange && !own(b'G', code)
        });
        match odd {
            Some(code) => {
                let message =
                    format!("G{} is not followed, so nothing after it is sure", f64::from(*code) / 10.0);
                Err(Fault::new("not-followed", message))
            }
            None => Ok(()),
        }
    }

    fn feed_and_speed(&mut self, block: &Block) -> Result<(), Fault> {
        if let Some(feed) = block.of(b'F') {
            if feed < 0.0 {
                return Err(Fault::new("feed-negative", "F is negative"));
            }
            self.state.feed = Some(feed);
        }
        if let Some(speed) = block.of(b'S') {
            if speed < 0.0 {
                return Err(Fault::new("speed-negative", "S is negative"));
            }
            self.state.speed = speed;
        }
        let letter = self.dialect.beam.as_ref().map(|beam| beam.letter);
        if let Some(power) = letter.and_then(|letter| block.of(letter)) {
            self.state.power = power;
        }
        Ok(())
    }

    fn spindle_and_beam(&mut self, block: &Block) {
        if self.dialect.beam.is_some() {
            self.state.beam_on = self.dialect.switches(&block.m).unwrap_or(self.state.beam_on);
            return;
        }
        match block.m_of_group(7) {
            Some(30) => self.state.spindle = Spindle::Clockwise,
            Some(40) => self.state.spindle = Spindle::CounterClockwise,
            Some(_) => self.state.spindle = Spindle::Stopped,
            None => {}
        }
    }

    fn dwell(&mut self, block: &Block) -> Result<(), Fault> {
        let Some(p) = block.of(b'P') else {
            return Err(Fault::new("dwell-no-time", "G4 needs P"));
        };
        if p < 0.0 {
            return Err(Fault::new("dwell-negative", "a dwell cannot last less than nothing"));
        }
        self.step(Motion::Dwell { seconds: if self.dialect.dwell_in_milliseconds { p / 1000.0 } else { p } });
        Ok(())
    }

    fn motion(&mut self, block: &Block) -> Result<(), Fault> {
        let named = block.g_of_group(1);
        if let Some(mode) = named {
            self.state.mode = mode;
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
        let flat = round.map_or(a.distance(b), |(centre, sweep)| a.distance(centre) * sweep.abs());
        let feed = self.feed(block, crate::geometry::trig::hypot(flat, to_z - z))?;
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
    fn feed(&mut self, block: &Block, length: f64) -> Result<f64, Fault> {
        if self.state.inverse_time {
            return match block.of(b'F') {
                Some(f) if f > 0.0 => Ok(length * f),
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

    fn stop(&mut self, block: &Block) {
        match block.m_of_group(4) {
            Some(20 | 300) => {
                self.state.reset();
                self.ended = true;
                self.step(Motion::End);
            }
            Some(_) => self.step(Motion::Stop),
            None => {}
        }
    }
}

fn whole(number: f64) -> Option<u32> {
    ((0.0..100_000.0).contains(&number) && number.fract() == 0.0).then_some(number as u32)
}
