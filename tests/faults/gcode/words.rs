//! Changes to the form of programs: modes that turn the rest into something else, and lines that a controller refuses.

use super::super::dice::Dice;
use super::super::kit::{Change, Good};
use super::super::table::Kind;
use super::{Code, Does, Line};
use grainwise::shop::post::CommentForm;

pub(super) const KINDS: &[Kind] = &[
    Kind::harmful("program: the other unit", other_unit),
    Kind::harmful("program: the unit changed on the way", |good, dice| {
        inserted(good, dice, &[if inches(good) { "G21" } else { "G20" }])
    }),
    Kind::harmful("program: G91 on the way", |good, dice| inserted(good, dice, &["G91"])),
    Kind::harmful("program: another plane", |good, dice| inserted(good, dice, &["G18", "G19"])),
    Kind::harmful("program: cutter compensation", |good, dice| {
        inserted(good, dice, &["G41", "G42", "G41 D1"])
    }),
    Kind::harmful("program: another origin", |good, dice| {
        inserted(good, dice, &["G55", "G59.3", "G92 X0 Y0", "G10 L2 P1 X5 Y5"])
    }),
    Kind::harmful("program: another length of the tool", |good, dice| {
        inserted(good, dice, &["G43 H1", "G43.1 Z5", "G53 G0 Z0", "G52 X1"])
    }),
    Kind::harmful("program: the unit not said", unit_lost),
    Kind::harmful("program: inverse time feed", |good, dice| inserted(good, dice, &["G93"])),
    Kind::harmful("program: a canned cycle", |good, dice| {
        inserted(good, dice, &["G81 X20 Y20 Z-5 R2", "G28"])
    }),
    Kind::harmful("program: an unknown word", unknown),
    Kind::harmful("program: a parameter or expression", expression),
    Kind::harmful("program: two words of one group", two_of_a_group),
    Kind::harmful("program: a letter twice", letter_twice),
    Kind::harmful("program: a number garbled", garbled),
    Kind::harmful("program: a decimal comma", comma),
    Kind::harmful("program: a line too long", too_long),
    Kind::harmful("program: a comment not closed", not_closed),
    Kind::harmful("program: a comment in another form", other_comment),
    Kind::harmful("program: a cut that a switch leaves out", optional),
    Kind::harmful("program: a line end lost", line_end_lost),
    Kind::harmful("program: lone carriage returns", lone_returns),
    Kind::harmful("program: line feeds alone where the post says otherwise", |good, _| {
        good.text.contains('\r').then(|| Change::new(good.text.replace('\r', ""), "all line ends"))
    }),
    Kind::harmful("program: a line lost where lines are numbered", numbered_lost),
    Kind::harmful("program: the end word lost", end_lost),
    Kind::harmful("program: the last percent sign lost", percent_lost),
    Kind::harmful("program: the whole of it twice", |good, _| {
        Some(Change::new(format!("{0}{0}", good.text), "after its end"))
    }),
];

fn inches(good: &Good) -> bool {
    good.post.as_ref().is_some_and(|post| post.units.millimetres() > 1.0)
}

/// A cut through, with another after it.
fn cut(code: &Code, dice: &mut Dice) -> Option<usize> {
    let through = |line: &Line| line.does == Does::Through;
    code.pick(dice, |i, line| through(line) && code.lines.get(i + 1).is_some_and(through))
}

fn inserted(good: &Good, dice: &mut Dice, lines: &[&str]) -> Option<Change> {
    let code = Code::of(good)?;
    let at = cut(&code, dice)?;
    dice.pick(lines).map(|line| code.inserted(at, line))
}

/// A cut's line with more at its end.
fn ended(good: &Good, dice: &mut Dice, ends: &[&str]) -> Option<Change> {
    let code = Code::of(good)?;
    let at = cut(&code, dice)?;
    dice.pick(ends).map(|end| code.changed(at, &format!("{} {end}", code.lines[at].text)))
}

fn other_unit(good: &Good, _: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let (from, to) = if inches(good) { ("G20", "G21") } else { ("G21", "G20") };
    let at = code.lines.iter().position(|line| !line.is_comment() && line.text.contains(from))?;
    Some(code.changed(at, &code.lines[at].text.replace(from, to)))
}

/// It is then that of the program before. (A plane, distance or feed mode that is not said is not looked for: M2 and M30
/// put them back.)
fn unit_lost(good: &Good, _: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = code.lines.iter().position(|line| line.has('G', 20.0) || line.has('G', 21.0))?;
    let line = &code.lines[at];
    let word = line.words.iter().find(|word| word.letter == 'G' && word.number >= 20.0)?;
    Some(code.changed(at, line.with(word, "").trim()))
}

fn unknown(good: &Good, dice: &mut Dice) -> Option<Change> {
    ended(
        good,
        dice,
        &["E3", "U1", "V2", "W0.5", "G5", "G37", "G999", "M150", "M20", "A90", "B5", "?", "*71", "$1"],
    )
}

fn expression(good: &Good, dice: &mut Dice) -> Option<Change> {
    ended(good, dice, &["#1=5", "F#2", "F[100+5]"])
}

fn two_of_a_group(good: &Good, dice: &mut Dice) -> Option<Change> {
    ended(good, dice, &["G0 G1", "G2 G3", "G20 G21", "G90 G91", "M3 M5", "M3 M4"])
}

fn letter_twice(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = cut(&code, dice)?;
    let line = &code.lines[at];
    let words: Vec<_> =
        line.words.iter().filter(|w| ['X', 'Y', 'I', 'J', 'R', 'F'].contains(&w.letter)).collect();
    let word = dice.pick(&words)?;
    Some(code.changed(at, &format!("{} {}", line.text, &line.text[word.at.clone()])))
}

fn garbled(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = cut(&code, dice)?;
    let line = &code.lines[at];
    let words: Vec<_> = line.words.iter().filter(|word| ['X', 'Y'].contains(&word.letter)).collect();
    let word = *dice.pick(&words)?;
    let number = dice.pick(&["", "-", "1.2.3", "--4", "nan", "1e3", "1O", "."])?;
    Some(code.changed(at, &line.with(word, &format!("{}{number}", word.letter))))
}

fn comma(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = code.pick(dice, |_, line| line.does == Does::Through && line.text.contains('.'))?;
    let line = &code.lines[at];
    let words: Vec<_> = line.words.iter().filter(|word| line.text[word.at.clone()].contains('.')).collect();
    let word = *dice.pick(&words)?;
    Some(code.changed(at, &line.with(word, &line.text[word.at.clone()].replace('.', ","))))
}

/// 256 characters are the most (NISTIR 6556, 3.3).
fn too_long(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = cut(&code, dice)?;
    let line = &code.lines[at];
    let word = line.words.iter().find(|word| ['X', 'Y'].contains(&word.letter))?;
    let number = &line.text[word.at.start + 1..word.at.end];
    let zeros = "0".repeat(260 + dice.below(200));
    let longer = if number.contains('.') { format!("{number}{zeros}") } else { format!("{number}.{zeros}") };
    Some(code.changed(at, &line.with(word, &format!("{}{longer}", word.letter))))
}

fn comments(good: &Good) -> CommentForm {
    good.post.as_ref().map_or(CommentForm::None, |post| post.comments.form)
}

fn not_closed(good: &Good, dice: &mut Dice) -> Option<Change> {
    (comments(good) == CommentForm::Parentheses).then_some(())?;
    let code = Code::of(good)?;
    let at = cut(&code, dice)?;
    let line = &code.lines[at];
    let word = dice.pick(&line.words)?;
    let mut text = line.text.clone();
    text.insert(word.at.start, '(');
    Some(code.changed(at, &text))
}

/// A controller that knows one form of comment may take the other for words.
fn other_comment(good: &Good, dice: &mut Dice) -> Option<Change> {
    let other = match comments(good) {
        CommentForm::Parentheses => "; a word",
        _ => "(a word)",
    };
    ended(good, dice, &[other])
}

/// A slash before a line: whether it is cut depends on a switch at the machine (NISTIR 6556, 3.3).
fn optional(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = cut(&code, dice)?;
    Some(code.changed(at, &format!("/{}", code.lines[at].text)))
}

fn line_end_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = cut(&code, dice)?;
    let mut lines: Vec<String> = code.texts().into_iter().map(str::to_owned).collect();
    let next = lines.remove(at + 1);
    // Words of different letters on one line would be a line in its own right.
    let shared = code.lines[at].words.iter().any(|w| code.lines[at + 1].word(w.letter).is_some());
    lines[at] = format!("{} {next}", lines[at]);
    let what = format!("line {}: '{}'", at + 1, lines[at]);
    shared.then(|| Change::new(code.whole(lines.iter().map(String::as_str)), what))
}

fn lone_returns(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    if dice.below(3) == 0 {
        return Some(Change::new(good.text.replace(code.end, "\r"), "all line ends"));
    }
    let at = cut(&code, dice)?;
    let lines = code.texts();
    let text: String = lines
        .iter()
        .enumerate()
        .flat_map(|(i, line)| [*line, if i == at { "\r" } else { code.end }])
        .collect();
    Some(Change::new(text, format!("after line {}", at + 1)))
}

/// Whatever the line does: the numbers show that one is missing.
fn numbered_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let last = code.lines.len() - 1;
    code.pick(dice, |i, line| i < last && line.word('N').is_some()).map(|at| code.without(at))
}

/// Without percent signs a program has to say that it ends (NISTIR 6556, 3.2).
fn end_lost(good: &Good, _: &mut Dice) -> Option<Change> {
    (!good.text.contains('%')).then_some(())?;
    let code = Code::of(good)?;
    let at = code.lines.iter().position(|line| line.has('M', 2.0) || line.has('M', 30.0))?;
    Some(code.without(at))
}

/// A program that begins with one has to end with one (NISTIR 6556, 3.2).
fn percent_lost(good: &Good, _: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let last = code.lines.len() - 1;
    (code.lines[last].text == "%").then(|| code.without(last))
}
