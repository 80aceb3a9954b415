//! Changes to the paths of programs.

use super::super::dice::Dice;
use super::super::harm::{FAULT_MM, sagitta};
use super::super::kit::{Change, Good};
use super::super::table::Kind;
use super::{Code, Does, Line, Word};

pub(super) const KINDS: &[Kind] = &[
    Kind::harmful("program: a digit changed", digit_changed),
    Kind::harmful("program: a digit lost", digit_lost),
    Kind::harmful("program: a sign changed", sign_changed),
    Kind::harmful("program: a decimal point lost", point_lost),
    Kind::harmful("program: a coordinate lost", coordinate_lost),
    Kind::harmful("program: x and y letters swapped", letters_swapped),
    Kind::harmful("program: a line lost", line_lost),
    Kind::harmful("program: an arc twice", arc_twice),
    Kind::harmful("program: an arc round the whole circle", whole_circle),
    Kind::harmful("program: a height said in a cut", height_said),
    Kind::harmful("program: two lines swapped", lines_swapped),
    Kind::harmful("program: an arc the other way round", arc_flipped),
    Kind::harmful("program: an arc's centre moved", centre_moved),
    Kind::harmful("program: an arc's radius changed", radius_changed),
    Kind::harmful("program: a radius of the other sign", radius_sign),
    Kind::harmful("program: an arc's line word", arc_as_line),
    Kind::harmful("program: an arc as a line", arc_straight),
    Kind::harmful("program: a motion word lost", motion_lost),
];

fn is_cut(line: &Line) -> bool {
    line.does == Does::Through
}

/// A line cut through and one of its words with one of these letters.
fn word(code: &Code, dice: &mut Dice, letters: &[char]) -> Option<(usize, Word)> {
    let at = code.pick(dice, |_, line| is_cut(line) && letters.iter().any(|l| line.word(*l).is_some()))?;
    let words: Vec<&Word> = code.lines[at].words.iter().filter(|w| letters.contains(&w.letter)).collect();
    dice.pick(&words).map(|word| (at, (*word).clone()))
}

/// Tries until the dice find a place where the change is large enough.
fn harmed(
    good: &Good,
    dice: &mut Dice,
    change: impl Fn(&Code, &mut Dice) -> Option<Change>,
) -> Option<Change> {
    let code = Code::of(good)?;
    (0..12).find_map(|_| {
        let change = change(&code, dice)?;
        let same = change.bytes == good.text.as_bytes();
        if same { None } else { code.if_harmed(good, change) }
    })
}

fn rewritten(code: &Code, at: usize, word: &Word, number: &str) -> Change {
    let line = &code.lines[at];
    code.changed(at, &line.with(word, &format!("{}{number}", word.letter)))
}

fn number<'a>(code: &'a Code, at: usize, word: &Word) -> &'a str {
    &code.lines[at].text[word.at.start + 1..word.at.end]
}

fn digit_changed(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let (at, word) = word(code, dice, &['X', 'Y'])?;
        let mut digits: Vec<char> = number(code, at, &word).chars().collect();
        let places: Vec<usize> = (0..digits.len()).filter(|i| digits[*i].is_ascii_digit()).collect();
        let place = *dice.pick(&places)?;
        digits[place] = char::from(b'0' + dice.below(10) as u8);
        Some(rewritten(code, at, &word, &digits.into_iter().collect::<String>()))
    })
}

fn digit_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let (at, word) = word(code, dice, &['X', 'Y'])?;
        let mut digits = number(code, at, &word).to_owned();
        let place = dice.below(digits.len());
        (digits.len() > 1 && digits.as_bytes()[place].is_ascii_digit()).then(|| digits.remove(place))?;
        digits.chars().any(|c| c.is_ascii_digit()).then(|| rewritten(code, at, &word, &digits))
    })
}

fn sign_changed(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let letters: &[char] = if good.milled() { &['X', 'Y', 'I', 'J', 'Z'] } else { &['X', 'Y', 'I', 'J'] };
        let (at, word) = word(code, dice, letters)?;
        let other = match number(code, at, &word) {
            minus if minus.starts_with('-') => minus[1..].to_owned(),
            plus => format!("-{}", plus.trim_start_matches('+')),
        };
        Some(rewritten(code, at, &word, &other))
    })
}

fn point_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let (at, word) = word(code, dice, &['X', 'Y'])?;
        let whole = number(code, at, &word).replace('.', "");
        Some(rewritten(code, at, &word, &whole))
    })
}

fn coordinate_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let (at, word) = word(code, dice, &['X', 'Y'])?;
        let other = if word.letter == 'X' { 'Y' } else { 'X' };
        code.lines[at].word(other)?;
        Some(code.changed(at, &code.lines[at].with(&word, "")))
    })
}

fn letters_swapped(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let (at, _) = word(code, dice, &['X', 'Y'])?;
        let text = &code.lines[at].text;
        let swap = |c: char| match c {
            'X' => 'Y',
            'Y' => 'X',
            c => c,
        };
        Some(code.changed(at, &text.chars().map(swap).collect::<String>()))
    })
}

fn line_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| code.pick(dice, |_, line| is_cut(line)).map(|at| code.without(at)))
}

/// An arc begun where it ends runs round its circle, or has no circle: a straight line twice does no harm.
fn arc_twice(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = code.pick(dice, |_, line| is_cut(line) && line.is_arc())?;
    Some(code.inserted(at + 1, &code.lines[at].text.clone()))
}

/// Its end is its beginning: with a centre all of the circle is cut, with a radius there is none. Where its neighbours are
/// of the same circle that goes round once more, which spoils nothing.
fn whole_circle(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let centre = |i: usize| code.lines.get(i)?.segment?.centre();
    let alone = |i: usize| {
        let of_same = |other: usize| {
            centre(other).zip(centre(i)).is_some_and(|(other, own)| other.distance(own) < FAULT_MM)
        };
        i > 0 && !of_same(i - 1) && !of_same(i + 1)
    };
    let whole = |i: usize, line: &Line| {
        bent(line) && line.word('X').is_some() && line.word('Y').is_some() && alone(i)
    };
    let at = code.pick(dice, whole)?;
    let (line, unit) = (&code.lines[at], good.post.as_ref()?.units.millimetres());
    let (x, y) = (line.word('X')?, line.word('Y')?);
    let mut text = line.text.clone();
    text.replace_range(y.at.clone(), &format!("Y{:.5}", line.from[1] / unit));
    text.replace_range(x.at.clone(), &format!("X{:.5}", line.from[0] / unit));
    Some(code.changed(at, &text))
}

/// The cut rises along a line, and what follows is no longer through.
fn height_said(good: &Good, dice: &mut Dice) -> Option<Change> {
    good.milled().then_some(())?;
    harmed(good, dice, |code, dice| {
        let at = code.pick(dice, |_, line| is_cut(line) && line.word('Z').is_none())?;
        let z = -dice.between(0.1, good.plan.thickness_mm - 0.1) / good.post.as_ref()?.units.millimetres();
        Some(code.changed(at, &format!("{} Z{z:.4}", code.lines[at].text)))
    })
}

fn lines_swapped(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let next = |i: usize| code.lines.get(i + 1).is_some_and(is_cut);
        let at = code.pick(dice, |i, line| is_cut(line) && next(i))?;
        let mut lines = code.texts();
        lines.swap(at, at + 1);
        let what = format!("lines {} and {}: '{}' and '{}'", at + 1, at + 2, lines[at + 1], lines[at]);
        Some(Change::new(code.whole(lines), what))
    })
}

/// An arc that bends enough for a change of it to matter.
fn bent(line: &Line) -> bool {
    is_cut(line) && line.is_arc() && line.segment.is_some_and(|s| sagitta(&s) > FAULT_MM)
}

fn motion_of(line: &Line) -> Option<&Word> {
    line.words.iter().find(|word| word.letter == 'G' && word.number <= 3.0)
}

fn arc_flipped(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let at = code.pick(dice, |_, line| bent(line) && motion_of(line).is_some())?;
        let word = motion_of(&code.lines[at])?;
        Some(rewritten(code, at, word, if word.number == 2.0 { "3" } else { "2" }))
    })
}

/// Far enough that the radii at its ends differ: RS-274/NGC allows 0.002 mm (NISTIR 6556, 3.5.3).
fn centre_moved(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = code.pick(dice, |_, line| bent(line) && line.word('I').is_some())?;
    let line = &code.lines[at];
    let word = line.word(if dice.coin() { 'I' } else { 'J' })?;
    let unit = good.post.as_ref()?.units.millimetres();
    let moved = word.number + dice.shift(0.05, 2.0) / unit;
    let change = rewritten(&code, at, word, &format!("{moved:.5}"));
    let [i, j] = ['I', 'J'].map(|letter| {
        let number = line.word(letter).map_or(0.0, |word| word.number);
        unit * if letter == word.letter { moved } else { number }
    });
    let (x, y) = (line.to[0] - line.from[0] - i, line.to[1] - line.from[1] - j);
    let differ = (x.hypot(y) - i.hypot(j)).abs();
    if differ > 0.01 { Some(change) } else { code.if_harmed(good, change) }
}

fn radius_changed(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let (at, word) = word(code, dice, &['R'])?;
        Some(rewritten(code, at, &word, &format!("{:.5}", word.number * dice.between(1.2, 4.0))))
    })
}

fn radius_sign(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let (at, word) = word(code, dice, &['R'])?;
        Some(rewritten(code, at, &word, &format!("{:.5}", -word.number)))
    })
}

/// G1 with I and J, or R: words that it has no use for.
fn arc_as_line(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = code.pick(dice, |_, line| bent(line) && motion_of(line).is_some())?;
    Some(rewritten(&code, at, motion_of(&code.lines[at])?, "1"))
}

fn arc_straight(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let at = code.pick(dice, |_, line| bent(line) && motion_of(line).is_some())?;
        let mut text = code.lines[at].text.clone();
        for word in code.lines[at].words.iter().rev() {
            match word.letter {
                'I' | 'J' | 'R' => text.replace_range(word.at.clone(), ""),
                'G' => text.replace_range(word.at.clone(), "G1"),
                _ => {}
            }
        }
        Some(code.changed(at, text.trim_end()))
    })
}

fn motion_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    harmed(good, dice, |code, dice| {
        let at = code.pick(dice, |_, line| is_cut(line) && motion_of(line).is_some())?;
        Some(code.changed(at, code.lines[at].with(motion_of(&code.lines[at])?, "").trim_start()))
    })
}
