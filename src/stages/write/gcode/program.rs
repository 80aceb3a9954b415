//! Moves to lines: what the machine's state is, which words a move needs, and what no program may hold.

use super::super::shape::name_of;
use super::arc::{Counts, Judge, Meant};
use super::faults::Faults;
use super::lines::Lines;
use super::number;
use super::values::{Now, Values, clearance_mm};
use crate::geometry::Point;
use crate::shop::post::{ArcForm, BlockLine, Drive, PowerPlace};
use crate::stages::cut::Move;

/// How often an arc is halved in search of radii that agree, before lines are written instead.
const HALVINGS: u32 = 3;

/// Heights this near are the same, mm: rounding of sums, far below any last digit.
const HEIGHT_EPSILON: f64 = 1e-6;

/// The motion words.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Motion {
    Rapid,
    Line,
    Clockwise,
    CounterClockwise,
}

/// A program being written for one sheet.
pub(super) struct Program<'a> {
    values: &'a Values<'a>,
    judge: Judge<'a>,
    pub(super) lines: Lines<'a>,
    pub(super) faults: Faults,
    /// Where the machine is, in counts; none where a block may have moved it.
    at: [Option<i64>; 3],
    /// The same as it is meant, mm.
    meant: Option<Point>,
    height: Option<f64>,
    motion: Option<Motion>,
    feed: Option<i64>,
    power: Option<i64>,
    /// Fraction of power while the beam is on.
    beam: Option<f64>,
    part: String,
    operation: &'static str,
}

impl<'a> Program<'a> {
    pub(super) fn new(values: &'a Values<'a>) -> Self {
        Self {
            values,
            judge: Judge::new(values.post),
            lines: Lines::new(values.post),
            faults: Faults::new(values),
            at: [None; 3],
            meant: None,
            height: None,
            motion: None,
            feed: None,
            power: None,
            beam: None,
            part: String::new(),
            operation: "",
        }
    }

    fn now(&self) -> Now<'_> {
        let scale = match self.values.post.drive {
            Drive::Beam { scale, .. } => scale,
            Drive::Spindle { .. } => 1.0,
        };
        let power = self.beam.unwrap_or(0.0);
        Now { part: &self.part, operation: self.operation, power, scale, seconds: 0.0 }
    }

    /// Writes a block, and forgets what it may have changed.
    pub(super) fn block(&mut self, block: &[BlockLine], seconds: f64) {
        for line in block {
            let now = Now { seconds, ..self.now() };
            match line {
                BlockLine::Comment(text) => {
                    let text = text.fill(|hole| self.values.in_comment(hole, now));
                    self.lines.comment(&text);
                }
                BlockLine::Words { text, moves, feed, speed } => {
                    let text = text.fill(|hole| self.values.in_words(hole, now));
                    self.lines.block(&text);
                    self.forget(*moves, *feed, *speed);
                }
            }
        }
    }

    fn forget(&mut self, moves: bool, feed: bool, speed: bool) {
        if moves {
            (self.at, self.meant, self.height, self.motion) = ([None; 3], None, None, None);
        }
        if feed {
            self.feed = None;
        }
        if speed {
            self.power = None;
        }
    }

    /// Writes one move.
    pub(super) fn step(&mut self, step: &Move) {
        match step {
            Move::Begin { operation, part } => {
                (self.operation, self.part) = (name_of(*operation), part.clone());
                self.block(&self.values.post.cut, 0.0);
            }
            Move::Rapid { to, z } => self.rapid(*to, *z),
            Move::Line { to, z, feed } => {
                self.faults.depth(*z);
                self.straight(*to, *z, *feed);
            }
            Move::Arc { to, z, centre, counter_clockwise, feed } => {
                self.faults.depth(*z);
                self.arc(*to, *z, *centre, *counter_clockwise, *feed);
            }
            Move::Beam { power } => self.beam_on(*power),
            Move::BeamOff => self.beam_off(),
            Move::Dwell { seconds } => {
                self.faults.seconds(*seconds);
                self.block(&self.values.post.dwell, *seconds);
            }
        }
    }

    /// Travel: upwards before anything else, downwards after it, so that the way across is at the greater height.
    fn rapid(&mut self, to: Point, z: f64) {
        if self.beam.is_some() {
            self.faults.note("beam-on-in-travel", || "the beam is on during travel".into());
        }
        if !self.values.post.words.z {
            return self.go(Motion::Rapid, to, z, &[], None);
        }
        if z < clearance_mm(self.values.machine) - HEIGHT_EPSILON {
            self.faults.note("rapid-too-low", || {
                format!("a rapid ends {z} mm above the wood, below the clearance height")
            });
        }
        let rises = self.height.is_none_or(|height| z > height);
        if rises {
            self.go_height(z);
            self.go(Motion::Rapid, to, z, &[], None);
        } else {
            self.go(Motion::Rapid, to, self.height.unwrap_or(z), &[], None);
            self.go_height(z);
        }
    }

    /// Travel in height alone.
    fn go_height(&mut self, z: f64) {
        let Some(count) = self.height_count(z) else { return };
        if self.at[2] != Some(count) {
            let words = [self.motion_word(Motion::Rapid), Some(self.word('Z', count))];
            self.lines.words(&words.into_iter().flatten().collect::<Vec<_>>());
            self.at[2] = Some(count);
        }
        self.height = Some(z);
    }

    fn straight(&mut self, to: Point, z: f64, feed: f64) {
        self.go(Motion::Line, to, z, &[], Some(feed));
    }

    fn arc(&mut self, to: Point, z: f64, centre: Point, counter_clockwise: bool, feed: f64) {
        let Some(from) = self.meant else {
            self.faults.note("arc-from-nowhere", || "an arc begins where no move has led".into());
            return;
        };
        let meant = Meant::new(from, to, centre, counter_clockwise);
        let arcs = &self.values.post.arcs;
        if arcs.form == ArcForm::Lines {
            return self.chords(&meant, z, feed);
        }
        // A half circle that rounding makes a little more is not split for that.
        let n = (meant.sweep.abs().to_degrees() / arcs.most_deg - 1e-6).ceil().max(1.0) as usize;
        let mut done = 0;
        let from_height = self.height.unwrap_or(z);
        for piece in meant.pieces(n) {
            done += 1;
            let height = if done == n { z } else { from_height + (z - from_height) * done as f64 / n as f64 };
            self.short_arc(&piece, height, feed, HALVINGS);
        }
    }

    /// An arc of at most a half circle: as an arc, as two, or as lines.
    fn short_arc(&mut self, meant: &Meant, z: f64, feed: f64, halvings: u32) {
        let (Some(from), Some(to)) = (self.here(), self.counts(meant.to)) else {
            return self.straight(meant.to, z, feed);
        };
        let flat = meant.rise() < self.judge.count_mm() / 2.0;
        if from == to || flat {
            return self.straight(meant.to, z, feed);
        }
        let words = match self.values.post.arcs.form {
            ArcForm::Centre => {
                self.judge.centre(from, to, meant).map(|[i, j]| vec![self.word('I', i), self.word('J', j)])
            }
            ArcForm::Radius => self.judge.radius(from, to, meant).map(|r| vec![self.word('R', r)]),
            ArcForm::Lines => None,
        };
        if let Some(words) = words {
            let motion = if meant.sweep > 0.0 { Motion::CounterClockwise } else { Motion::Clockwise };
            return self.go(motion, meant.to, z, &words, Some(feed));
        }
        if halvings == 0 {
            return self.chords(meant, z, feed);
        }
        let half_way = self.height.map_or(z, |height| height.midpoint(z));
        for (piece, height) in meant.pieces(2).iter().zip([half_way, z]) {
            self.short_arc(piece, height, feed, halvings - 1);
        }
    }

    /// Lines instead of an arc.
    fn chords(&mut self, meant: &Meant, z: f64, feed: f64) {
        let n = meant.chords(self.values.post.arcs.tolerance_mm);
        let from = self.height.unwrap_or(z);
        for (i, piece) in meant.pieces(n).iter().enumerate() {
            let height = if i + 1 == n { z } else { from + (z - from) * (i + 1) as f64 / n as f64 };
            self.straight(piece.to, height, feed);
        }
    }

    /// Writes a motion with the words that it needs; none where, rounded, nothing moves.
    fn go(&mut self, motion: Motion, to: Point, z: f64, arc: &[String], feed: Option<f64>) {
        let height = if motion == Motion::Rapid { self.height_count(z) } else { self.count(z) };
        let (Some([x, y]), Some(height)) = (self.counts(to), height) else { return };
        let target = [('X', x), ('Y', y), ('Z', height)];
        let axes = if self.values.post.words.z { 3 } else { 2 };
        let moved = |i: usize| self.at[i] != Some(target[i].1);
        if (0..axes).any(moved) {
            self.faults.place(to, z);
            let repeat = self.values.post.words.repeat;
            let wanted = |i: &usize| repeat || moved(*i) || (!arc.is_empty() && *i < 2);
            let axis_words: Vec<String> =
                (0..axes).filter(wanted).map(|i| self.word(target[i].0, target[i].1)).collect();
            let mut words: Vec<String> = self.motion_word(motion).into_iter().chain(axis_words).collect();
            words.extend(arc.iter().cloned());
            words.extend(feed.and_then(|feed| self.feed_word(feed)));
            words.extend(feed.and_then(|_| self.power_word()));
            self.lines.words(&words);
            self.at = [Some(x), Some(y), (axes == 3).then_some(height)];
        }
        (self.meant, self.height) = (Some(to), Some(z));
    }

    fn motion_word(&mut self, motion: Motion) -> Option<String> {
        let words = &self.values.post.words;
        if self.motion.replace(motion) == Some(motion) && !words.repeat {
            return None;
        }
        Some(match motion {
            Motion::Rapid => words.rapid.clone(),
            Motion::Line => words.line.clone(),
            Motion::Clockwise => words.clockwise.clone(),
            Motion::CounterClockwise => words.counter_clockwise.clone(),
        })
    }

    fn feed_word(&mut self, feed: f64) -> Option<String> {
        let numbers = &self.values.post.numbers;
        let count = number::count(feed / self.values.post.units.millimetres(), numbers.feed_decimals);
        let Some(count) = count.filter(|count| *count > 0) else {
            self.faults.note("feed-out-of-range", || format!("a feed of {feed} mm/min cannot be written"));
            return None;
        };
        if self.feed.replace(count) == Some(count) && !self.values.post.words.repeat {
            return None;
        }
        Some(format!("F{}", number::text(count, numbers.feed_decimals, numbers, false)))
    }

    /// The power on a line that cuts, where the post has it there.
    fn power_word(&mut self) -> Option<String> {
        let Drive::Beam { power: PowerPlace::Line(letter), scale, .. } = self.values.post.drive else {
            return None;
        };
        let numbers = &self.values.post.numbers;
        let count = number::count(self.beam.unwrap_or(0.0) * scale, numbers.power_decimals)?;
        if self.power.replace(count) == Some(count) && !self.values.post.words.repeat {
            return None;
        }
        Some(format!("{letter}{}", number::text(count, numbers.power_decimals, numbers, false)))
    }

    fn beam_on(&mut self, power: f64) {
        let Drive::Beam { on, .. } = &self.values.post.drive else {
            return self.faults.note("post-and-moves", || "the post drives no beam".into());
        };
        self.faults.power(power);
        self.beam = Some(power);
        self.power = None;
        self.block(on, 0.0);
    }

    /// Turns the beam off: always said, whatever went before.
    pub(super) fn beam_off(&mut self) {
        self.beam = None;
        self.power = None;
        if let Drive::Beam { off, .. } = &self.values.post.drive {
            self.block(off, 0.0);
        }
    }

    /// The post's header, then how the file cuts and what to mind.
    pub(super) fn header(&mut self, cautions: &[&str]) {
        for line in &self.values.post.header {
            let now = self.now();
            let text = line.fill(|hole| self.values.in_comment(hole, now));
            self.lines.comment(&text);
        }
        for caution in cautions {
            self.lines.comment(caution);
        }
    }

    /// Everything between the percent signs.
    pub(super) fn whole(&mut self, cautions: &[&str]) {
        let post = self.values.post;
        self.lines.percent();
        self.header(cautions);
        self.block(&post.start, 0.0);
        self.block(&post.tool, 0.0);
        if let Drive::Spindle { on, .. } = &post.drive {
            self.block(on, 0.0);
        }
        self.block(&post.sheet, 0.0);
        for step in &self.values.cuts.moves {
            self.step(step);
        }
        match &post.drive {
            Drive::Spindle { off, .. } => self.block(off, 0.0),
            Drive::Beam { .. } => self.beam_off(),
        }
        self.block(&post.end, 0.0);
        self.lines.percent();
    }

    fn here(&self) -> Option<Counts> {
        Some([self.at[0]?, self.at[1]?])
    }

    fn counts(&mut self, at: Point) -> Option<Counts> {
        Some([self.count(at.x)?, self.count(at.y)?])
    }

    /// The height of a travel: not rounded down, so that it stays clear.
    fn height_count(&mut self, mm: f64) -> Option<i64> {
        let nearest = self.count(mm)?;
        let unit = self.values.post.units.millimetres();
        Some(number::count_up(mm / unit, self.values.post.numbers.decimals).unwrap_or(nearest))
    }

    fn count(&mut self, mm: f64) -> Option<i64> {
        let found =
            number::count(mm / self.values.post.units.millimetres(), self.values.post.numbers.decimals);
        if found.is_none() {
            self.faults.note("number-out-of-range", || format!("a coordinate of {mm} mm cannot be written"));
        }
        found
    }

    fn word(&self, letter: char, count: i64) -> String {
        let numbers = &self.values.post.numbers;
        format!("{letter}{}", number::text(count, numbers.decimals, numbers, numbers.plus))
    }
}
