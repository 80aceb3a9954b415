//! Changes to programs. The reader here knows just as much as it takes to find a place and to see how large a change is;
//! it shares nothing with the reader of the proof.

mod harmless;
mod machine;
mod shape;
mod words;

use std::ops::Range;

use grainwise::geometry::{Point, Segment};
use grainwise::stages::cut::Settings;

use super::dice::Dice;
use super::kit::{Change, Form, Good};
use super::table::Kind;

/// Every kind of change to programs.
pub(super) const KINDS: &[&[Kind]] = &[shape::KINDS, machine::KINDS, words::KINDS, harmless::KINDS];

/// A letter with its number, and where in its line it stands.
#[derive(Clone, Debug)]
struct Word {
    letter: char,
    number: f64,
    at: Range<usize>,
}

/// What a line does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Does {
    /// No motion.
    Nothing,
    /// A rapid that goes somewhere else.
    Travel,
    /// A rapid that only goes up or down.
    Lift,
    /// Straight into the wood.
    Plunge,
    Mark,
    Score,
    /// A pass that does not reach through: an upper one, or over a tab.
    Upper,
    Through,
    /// A cut that is none of these, because the beam is off or its feed unheard of.
    Other,
}

#[derive(Clone, Debug)]
struct Line {
    text: String,
    words: Vec<Word>,
    does: Does,
    /// Motion in force: 0 to 3.
    motion: u32,
    from: [f64; 3],
    to: [f64; 3],
    segment: Option<Segment>,
}

impl Line {
    fn word(&self, letter: char) -> Option<&Word> {
        self.words.iter().find(|word| word.letter == letter)
    }

    fn has(&self, letter: char, number: f64) -> bool {
        self.words.iter().any(|word| word.letter == letter && word.number == number)
    }

    fn is_arc(&self) -> bool {
        self.does != Does::Nothing && self.motion >= 2
    }

    /// The line with this text in place of a word.
    fn with(&self, word: &Word, text: &str) -> String {
        let mut line = self.text.clone();
        line.replace_range(word.at.clone(), text);
        line
    }

    fn is_comment(&self) -> bool {
        self.words.iter().all(|word| word.letter == 'N') && !self.text.starts_with('%')
    }
}

/// A program.
#[derive(Clone, Debug)]
struct Code {
    lines: Vec<Line>,
    end: &'static str,
}

/// The machine while the lines are gone through.
#[derive(Clone, Debug)]
struct State {
    unit: f64,
    motion: u32,
    at: [f64; 3],
    feed: f64,
    on: bool,
}

impl Code {
    /// The program in a good file; none where that is a drawing.
    fn of(good: &Good) -> Option<Self> {
        (good.form == Form::Gcode).then(|| Self::read(&good.text, good))
    }

    fn read(text: &str, good: &Good) -> Self {
        let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
        let mut state = State { unit: 1.0, motion: 0, at: [0.0, 0.0, 50.0], feed: 0.0, on: false };
        let lines = text.trim_end().split(end).map(|line| read_line(line, &mut state, good)).collect();
        Self { lines, end }
    }

    /// The paths cut through.
    fn through(&self) -> Vec<Segment> {
        self.lines.iter().filter(|line| line.does == Does::Through).filter_map(|line| line.segment).collect()
    }

    fn numbers(&self, fits: impl Fn(usize, &Line) -> bool) -> Vec<usize> {
        self.lines.iter().enumerate().filter(|(i, line)| fits(*i, line)).map(|(i, _)| i).collect()
    }

    fn pick(&self, dice: &mut Dice, fits: impl Fn(usize, &Line) -> bool) -> Option<usize> {
        dice.pick(&self.numbers(fits)).copied()
    }

    fn whole<'a>(&self, lines: impl IntoIterator<Item = &'a str>) -> String {
        lines.into_iter().flat_map(|line| [line, self.end]).collect()
    }

    fn texts(&self) -> Vec<&str> {
        self.lines.iter().map(|line| line.text.as_str()).collect()
    }

    /// With another text in a line.
    fn changed(&self, at: usize, text: &str) -> Change {
        let mut lines = self.texts();
        lines[at] = text;
        let what = format!("line {}: '{}' -> '{text}'", at + 1, self.lines[at].text);
        Change::new(self.whole(lines), what)
    }

    /// With one line more, before another.
    fn inserted(&self, at: usize, text: &str) -> Change {
        let mut lines = self.texts();
        lines.insert(at, text);
        Change::new(
            self.whole(lines),
            format!("before line {} ('{}'): '{text}'", at + 1, self.lines[at].text),
        )
    }

    fn without(&self, at: usize) -> Change {
        let mut lines = self.texts();
        lines.remove(at);
        Change::new(self.whole(lines), format!("line {} ('{}') left out", at + 1, self.lines[at].text))
    }

    /// The change, where the paths that it makes differ enough to be a fault.
    fn if_harmed(&self, good: &Good, change: Change) -> Option<Change> {
        let now = Self::read(std::str::from_utf8(&change.bytes).unwrap(), good);
        good.harmed(&self.through(), &now.through()).then_some(change)
    }
}

fn read_line(text: &str, state: &mut State, good: &Good) -> Line {
    let words = words(text);
    let from = state.at;
    for word in &words {
        match (word.letter, word.number.round() as i64) {
            ('G', 20) => state.unit = 25.4,
            ('G', 21) => state.unit = 1.0,
            ('G', n @ 0..=3) => state.motion = n as u32,
            ('M', 3 | 4 | 106) => state.on = true,
            ('M', 5 | 107 | 2 | 30) => state.on = false,
            ('F', _) => state.feed = word.number * state.unit,
            ('X', _) => state.at[0] = word.number * state.unit,
            ('Y', _) => state.at[1] = word.number * state.unit,
            ('Z', _) => state.at[2] = word.number * state.unit,
            _ => {}
        }
    }
    let mut line = Line {
        text: text.to_owned(),
        words,
        does: Does::Nothing,
        motion: state.motion,
        from,
        to: state.at,
        segment: None,
    };
    if ['X', 'Y', 'Z'].iter().any(|axis| line.word(*axis).is_some()) {
        line.segment = segment(&line, state.unit);
        line.does = does(&line, state, good);
    }
    line
}

fn words(text: &str) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let mut comment = false;
    for (i, c) in text.char_indices() {
        match c {
            '(' => comment = true,
            ')' => comment = false,
            ';' => break,
            _ if comment => {}
            'A'..='Z' => words.push(Word { letter: c, number: 0.0, at: i..i + 1 }),
            '0'..='9' | '.' | '-' | '+' => {
                if let Some(word) = words.last_mut() {
                    word.at.end = i + 1;
                }
            }
            _ => {}
        }
    }
    for word in &mut words {
        word.number =
            text[word.at.start + 1..word.at.end].trim_start_matches('+').parse().unwrap_or(f64::NAN);
    }
    words
}

/// The path over the wood; none where it stays at one place.
fn segment(line: &Line, unit: f64) -> Option<Segment> {
    let (from, to) = (Point::new(line.from[0], line.from[1]), Point::new(line.to[0], line.to[1]));
    if from == to {
        return None;
    }
    let number = |letter: char| line.word(letter).map(|word| word.number * unit);
    if line.motion < 2 {
        return Some(Segment::line(from, to));
    }
    let counter_clockwise = line.motion == 3;
    if let Some(radius) = number('R') {
        let half = from.distance(to) / 2.0;
        let high = (radius * radius - half * half).max(0.0).sqrt();
        let sagitta = if radius > 0.0 { radius.abs() - high } else { radius.abs() + high };
        return Some(Segment::arc(from, to, sagitta / half * if counter_clockwise { 1.0 } else { -1.0 }));
    }
    let centre = Point::new(from.x + number('I').unwrap_or(0.0), from.y + number('J').unwrap_or(0.0));
    Some(Segment::about(from, to, centre, counter_clockwise))
}

fn does(line: &Line, state: &State, good: &Good) -> Does {
    if line.motion == 0 {
        return if line.segment.is_some() { Does::Travel } else { Does::Lift };
    }
    let wood = good.plan.thickness_mm;
    match good.plan.settings {
        Settings::Router(setting) => {
            let [high, low] = [line.from[2].max(line.to[2]), line.from[2].min(line.to[2])];
            let near = |depth: f64| (high + depth).abs() < 0.01 && (low + depth).abs() < 0.01;
            match () {
                () if line.segment.is_none() => Does::Plunge,
                () if high <= -wood + 0.001 => Does::Through,
                () if near(setting.mark_depth_mm) => Does::Mark,
                () if near(setting.score_depth * wood) => Does::Score,
                () if low < 0.0 => Does::Upper,
                () => Does::Other,
            }
        }
        Settings::Laser(setting) => {
            let near = |feed: f64| (state.feed - feed).abs() < 1.0;
            match () {
                () if !state.on => Does::Other,
                () if near(setting.feed_mm_min) => Does::Through,
                () if near(setting.score_feed_mm_min) => Does::Score,
                () if near(setting.mark_feed_mm_min) => Does::Mark,
                () => Does::Other,
            }
        }
    }
}
