//! Changes to programs that change nothing on the machine.

use super::super::dice::Dice;
use super::super::kit::{Change, Good};
use super::super::table::Kind;
use super::{Code, Does, Line, Word};
use grainwise::shop::post::CommentForm;

pub(super) const KINDS: &[Kind] = &[
    Kind::harmless("program: blank lines", blank_lines),
    Kind::harmless("program: a comment more", comment_more),
    Kind::harmless("program: a comment less", comment_less),
    Kind::harmless("program: small letters", small_letters),
    Kind::harmless("program: spaces more", spaces_more),
    Kind::harmless("program: spaces less", spaces_less),
    Kind::harmless("program: zeros at the end", |good, dice| zeros(good, dice, false)),
    Kind::harmless("program: zeros in front", |good, dice| zeros(good, dice, true)),
    Kind::harmless("program: zeros taken away", zeros_less),
    Kind::harmless("program: plus signs", plus_signs),
    Kind::harmless("program: line numbers", line_numbers),
    Kind::harmless("program: words in another order", words_shuffled),
    Kind::harmless("program: a word said again", said_again),
    Kind::harmless("program: a micrometre", micrometre),
    Kind::harmless("program: a line in two", line_in_two),
];

/// Every line that has words, changed for some of them.
fn lines(good: &Good, dice: &mut Dice, change: impl Fn(&Line, &mut Dice) -> String) -> Option<Change> {
    let code = Code::of(good)?;
    let share = 1 + dice.below(6);
    let mut changed = Vec::new();
    for line in &code.lines {
        let words = !line.words.is_empty() && !line.is_comment();
        changed.push(if words && dice.below(share) == 0 { change(line, dice) } else { line.text.clone() });
    }
    let text = code.whole(changed.iter().map(String::as_str));
    let first = changed.iter().zip(&code.lines).find(|(now, line)| **now != line.text);
    let what = first.map(|(now, line)| format!("such as '{}' -> '{now}'", line.text))?;
    (text != good.text).then(|| Change::new(text, what))
}

/// Every word of a line rewritten, from the last to the first.
fn words(line: &Line, letters: &str, change: impl Fn(&Word, &str) -> String) -> String {
    let mut text = line.text.clone();
    for word in line.words.iter().rev().filter(|word| letters.contains(word.letter)) {
        let number = &line.text[word.at.start + 1..word.at.end];
        text.replace_range(word.at.clone(), &format!("{}{}", word.letter, change(word, number)));
    }
    text
}

fn blank_lines(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = 1 + dice.below(code.lines.len() - 2);
    dice.pick(&["", "  ", "\t"]).map(|line| code.inserted(at, line))
}

fn remark(good: &Good) -> &'static str {
    match good.post.as_ref().map(|post| post.comments.form) {
        Some(CommentForm::Parentheses) => "(a remark)",
        _ => "; a remark",
    }
}

fn comment_more(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = 1 + dice.below(code.lines.len() - 2);
    if dice.coin() || code.lines[at].is_comment() {
        return Some(code.inserted(at, remark(good)));
    }
    Some(code.changed(at, &format!("{} {}", code.lines[at].text, remark(good))))
}

fn comment_less(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let comment = |line: &Line| line.is_comment() && line.words.is_empty() && !line.text.is_empty();
    code.pick(dice, |_, line| comment(line)).map(|at| code.without(at))
}

fn small_letters(good: &Good, dice: &mut Dice) -> Option<Change> {
    lines(good, dice, |line, _| line.text.to_lowercase())
}

fn spaces_more(good: &Good, dice: &mut Dice) -> Option<Change> {
    lines(good, dice, |line, dice| {
        let mut text = line.text.clone();
        let at = line.words[dice.below(line.words.len())].at.start;
        text.insert_str(at, [" ", "\t", "   "][dice.below(3)]);
        text
    })
}

fn spaces_less(good: &Good, dice: &mut Dice) -> Option<Change> {
    lines(good, dice, |line, _| line.text.replace(' ', ""))
}

fn zeros(good: &Good, dice: &mut Dice, front: bool) -> Option<Change> {
    lines(good, dice, |line, _| {
        words(line, "XYZIJRF", |_, number| {
            let sign = usize::from(number.starts_with(['+', '-']));
            match (front, number.contains('.')) {
                (true, _) => format!("{}00{}", &number[..sign], &number[sign..]),
                (false, true) => format!("{number}00"),
                (false, false) => format!("{number}.0"),
            }
        })
    })
}

/// 10.500 as 10.5, 10.0 as 10, 0.5 as .5
fn zeros_less(good: &Good, dice: &mut Dice) -> Option<Change> {
    lines(good, dice, |line, _| {
        words(line, "XYZIJRF", |word, number| {
            let short = if number.contains('.') { number.trim_end_matches('0') } else { number };
            let short = short.trim_end_matches('.').replacen("0.", ".", usize::from(word.number.abs() < 1.0));
            if short.chars().any(|c| c.is_ascii_digit()) { short } else { "0".to_owned() }
        })
    })
}

fn plus_signs(good: &Good, dice: &mut Dice) -> Option<Change> {
    lines(good, dice, |line, _| {
        words(line, "XYZIJ", |_, number| match number.strip_prefix('+') {
            Some(plain) => plain.to_owned(),
            None if number.starts_with('-') => number.to_owned(),
            None => format!("+{number}"),
        })
    })
}

fn line_numbers(good: &Good, dice: &mut Dice) -> Option<Change> {
    (!good.text.contains("N10")).then_some(())?;
    lines(good, dice, |line, dice| format!("N{} {}", dice.below(100_000), line.text))
}

/// The order of the words on a line means nothing (NISTIR 6556, 3.3.3); a line number stays first.
fn words_shuffled(good: &Good, dice: &mut Dice) -> Option<Change> {
    lines(good, dice, |line, dice| {
        let mut words: Vec<&str> = line.words.iter().map(|word| &line.text[word.at.clone()]).collect();
        let first = usize::from(line.words[0].letter == 'N');
        for i in (first + 1..words.len()).rev() {
            words.swap(i, first + dice.below(i - first + 1));
        }
        words.join(" ")
    })
}

/// A word that is in force anyway.
fn said_again(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = code.pick(dice, |_, line| line.does == Does::Through && line.word('G').is_none())?;
    let line = &code.lines[at];
    let unit = if good.post.as_ref()?.units.millimetres() > 1.0 { "G20" } else { "G21" };
    let motion = format!("G{}", line.motion);
    let word = *dice.pick(&[motion.as_str(), "G90", "G17", "G94", "G40", unit])?;
    Some(code.changed(at, &format!("{word} {}", line.text)))
}

/// Far below what a piece may be off; where arcs meet, the radii would notice, and the standard with them.
fn micrometre(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let straight = |line: &Line| line.does == Does::Through && !line.is_arc();
    let next = |i: usize| code.lines.get(i + 1).is_some_and(straight);
    let at = code.pick(dice, |i, line| straight(line) && line.word('X').is_some() && next(i))?;
    // A coordinate that the next lines keep would be kept there too.
    code.lines[at + 1].word('X')?;
    let word = code.lines[at].word('X')?;
    let by = dice.shift(0.0005, 0.001) / good.post.as_ref()?.units.millimetres();
    Some(code.changed(at, &code.lines[at].with(word, &format!("X{:.6}", word.number + by))))
}

fn line_in_two(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    code.lines.iter().all(|line| line.word('N').is_none()).then_some(())?;
    let at = code.pick(dice, |_, line| {
        line.does == Does::Through && !line.is_arc() && line.segment.is_some_and(|s| s.length() > 1.0)
    })?;
    let (line, unit) = (&code.lines[at], good.post.as_ref()?.units.millimetres());
    let place = line.segment?.at(dice.between(0.1, 0.9));
    let rest: Vec<&str> = line
        .words
        .iter()
        .filter(|word| ['G', 'F', 'S'].contains(&word.letter))
        .map(|word| &line.text[word.at.clone()])
        .collect();
    let first = format!("{} X{:.5} Y{:.5}", rest.join(" "), place.x / unit, place.y / unit);
    Some(code.inserted(at, first.trim()))
}
