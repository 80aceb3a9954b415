//! Carries out line after line, in the order that the standard gives for the words of one line.

use std::io::{self, BufRead};

use super::dialect::Dialect;
use super::line::Split;
use super::lines::{self, RawLine};
use super::state::{Motion, Spindle, State, Step};
use super::words::{Block, Code};
use super::{Fault, LineRead, Listener};

/// Room for the end of a line beyond the longest that is allowed, so that one that is too long shows.
const ROOM: usize = 2;

/// Reads a program from a stream and tells `listener` what it does, line after line. A line with a fault is not carried
/// out; the lines after it are, so that all faults come to light. Memory does not grow with the program.
///
/// # Errors
/// Those of the reader.
pub fn stream(reader: impl BufRead, dialect: &Dialect, listener: &mut impl Listener) -> io::Result<()> {
    let mut machine = Machine {
        dialect,
        state: State { unit: dialect.implied_unit.unwrap_or(1.0), ..State::new() },
        split: Split::default(),
        block: Block::default(),
        line: 0,
        progress: Progress::Blank,
        percent: false,
        ended: false,
        unit_said: dialect.implied_unit.is_some(),
        listener,
    };
    lines::each(reader, dialect.longest_line + ROOM, |line| machine.line(&line))?;
    machine.ran_out();
    Ok(())
}

/// How far a program has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Progress {
    /// Nothing but blank lines yet.
    Blank,
    /// Under way.
    Begun,
    /// A percent sign has closed it.
    Closed,
}

pub(super) struct Machine<'a, L> {
    pub(super) dialect: &'a Dialect,
    pub(super) state: State,
    split: Split,
    block: Block,
    line: usize,
    progress: Progress,
    /// Whether the program began by a percent sign.
    percent: bool,
    /// Whether M2 or M30 has ended it.
    ended: bool,
    pub(super) unit_said: bool,
    listener: &'a mut L,
}

impl<L: Listener> Machine<'_, L> {
    /// One line; whether there may be more.
    fn line(&mut self, raw: &RawLine<'_>) -> bool {
        self.line += 1;
        let text = raw.text.trim_ascii();
        if self.progress == Progress::Closed || self.ended && text != b"%" {
            return self.after_the_end(text);
        }
        if text == b"%" {
            if self.progress == Progress::Begun {
                self.closed_by_percent();
                return true;
            }
            (self.percent, self.progress) = (true, Progress::Begun);
            return true;
        }
        if !text.is_empty() {
            self.progress = Progress::Begun;
        }
        if let Err(fault) = self.one(raw) {
            self.fault(fault);
        }
        true
    }

    /// The standard reads nothing after the end but the closing percent sign. A sender that knows no end sends what
    /// follows all the same, so that only comments may; whether there may be more that is worth a look.
    fn after_the_end(&mut self, text: &[u8]) -> bool {
        let nothing = text.is_empty() || text.starts_with(b"(") || text.starts_with(b";") || text == b"%";
        if !nothing {
            let message = "the program goes on after its end: some senders would send that, too";
            self.fault(Fault::new("after-end", message));
            self.progress = Progress::Closed;
        }
        nothing
    }

    fn closed_by_percent(&mut self) {
        self.progress = Progress::Closed;
        if !self.percent {
            self.fault(Fault::new("percent-not-open", "a percent sign closes a program that none opened"));
        }
        if !self.ended {
            self.step(Motion::End);
        }
    }

    /// The file has ended.
    fn ran_out(&mut self) {
        if self.progress == Progress::Closed {
            return;
        }
        if self.percent {
            let message = "a percent sign opens the program and none closes it";
            self.fault(Fault::new("percent-not-closed", message));
        } else if !self.ended {
            let message = "the program ends without M2, M30 or percent signs: is it cut off?";
            self.fault(Fault::new("no-end", message));
        }
    }

    pub(super) fn fault(&mut self, fault: Fault) {
        self.listener.fault(Fault { line: self.line, ..fault });
    }

    pub(super) fn step(&mut self, motion: Motion) {
        let state = &self.state;
        let beam = match &self.dialect.beam {
            Some(words) if state.beam_on => state.power / words.scale,
            _ => 0.0,
        };
        let step = Step { line: self.line, motion, spindle: state.spindle, speed: state.speed, beam };
        self.listener.step(&step);
    }

    fn one(&mut self, raw: &RawLine<'_>) -> Result<(), Fault> {
        if raw.length > self.dialect.longest_line {
            let (has, most) = (raw.length, self.dialect.longest_line);
            let message = format!("the line has {has} characters, {most} are allowed");
            return Err(Fault::new("line-too-long", message));
        }
        self.split.line(raw.text, self.dialect)?;
        let (number, words) = (self.split.number, !self.split.words.is_empty());
        self.listener.line(LineRead { line: self.line, number, words, end: raw.end });
        if self.split.optional {
            let message = "a switch decides whether this line is carried out: it is taken as on";
            self.fault(Fault::new("optional-line", message));
        }
        if !words {
            return Ok(());
        }
        let mut block = std::mem::take(&mut self.block);
        let done = block.fill(&self.split.words, self.dialect).and_then(|()| self.carry_out(&block));
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
            self.step(Motion::Tool { number: self.state.tool });
            self.state.spindle = Spindle::Stopped;
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

    fn stop(&mut self, block: &Block) {
        match block.m_of_group(4) {
            Some(20 | 300) => {
                self.step(Motion::End);
                self.state.reset();
                self.ended = true;
            }
            Some(_) => self.step(Motion::Stop),
            None => {}
        }
    }
}

fn whole(number: f64) -> Option<u32> {
    ((0.0..100_000.0).contains(&number) && number.fract() == 0.0).then_some(number as u32)
}
