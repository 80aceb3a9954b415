//! The words of RS-274/NGC and its modal groups, against which the lines of a post are checked when it is loaded.
//!
//! Source: Kramer, Proctor, Messina, "The NIST RS274NGC Interpreter, Version 3", NISTIR 6556, 2000: tables 4, 5 and 7
//! (numbers of the tables from memory, their content checked).

/// G words of each modal group, in tenths; the first group is the one of words that are not modal.
const G_GROUPS: [&[u32]; 11] = [
    &[40, 100, 280, 300, 530, 920, 921, 922, 923],
    &[0, 10, 20, 30, 382, 800, 810, 820, 830, 840, 850, 860, 870, 880, 890],
    &[170, 180, 190],
    &[900, 910],
    &[930, 940],
    &[200, 210],
    &[400, 410, 420],
    &[430, 490],
    &[980, 990],
    &[540, 550, 560, 570, 580, 590, 591, 592, 593],
    &[610, 611, 640],
];

/// M words of each modal group.
const M_GROUPS: [&[u32]; 5] = [&[0, 1, 2, 30, 60], &[6], &[3, 4, 5], &[7, 8, 9], &[48, 49]];

/// Letters that may begin a word of a block; N belongs to the line numbers.
const LETTERS: &str = "ABCDFGHIJKLMPQRSTXYZ";

/// G words that use axis words (and so move, or shift the origin).
const USE_AXES: [u32; 8] = [0, 100, 280, 300, 920, 921, 922, 923];

/// One word: its letter and its value as written.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Word {
    pub(super) letter: char,
    pub(super) number: f64,
}

impl Word {
    /// Tenths of the number where it is a code, else a number that no code has.
    fn code(&self) -> u32 {
        let tenths = (self.number * 10.0).round();
        if tenths < 0.0 || (tenths / 10.0 - self.number).abs() > 1e-9 { u32::MAX } else { tenths as u32 }
    }

    /// Whether it is the G word of this many tenths.
    pub(super) fn is_g(&self, tenths: u32) -> bool {
        self.letter == 'G' && self.code() == tenths
    }

    /// Whether it is this M word.
    pub(super) fn is_m(&self, number: u32) -> bool {
        self.letter == 'M' && self.code() == number * 10
    }
}

/// Splits a line of words; the message says what does not belong.
pub(super) fn split(line: &str) -> Result<Vec<Word>, String> {
    let mut words = Vec::new();
    let text: String = line.chars().filter(|c| !matches!(c, ' ' | '\t')).collect();
    let mut rest = text.as_str();
    while let Some(letter) = rest.chars().next() {
        if !LETTERS.contains(letter) {
            return Err(format!(
                "'{letter}' begins no word; comments go into a line of their own, as comment: text"
            ));
        }
        rest = &rest[1..];
        let end =
            rest.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+'))).unwrap_or(rest.len());
        let number = rest[..end].parse().map_err(|_| format!("'{letter}{}' has no number", &rest[..end]))?;
        words.push(Word { letter, number });
        rest = &rest[end..];
    }
    Ok(words)
}

fn same_number(extra: &Word, word: &Word) -> bool {
    extra.letter == word.letter && (extra.number - word.number).abs() < 1e-9
}

/// How a G or M word is known.
#[derive(PartialEq)]
enum Known {
    /// Standard, of this modal group.
    Group(usize),
    /// The post says that the controller has it.
    Declared,
    /// Not at all.
    No,
}

fn known(word: &Word, extra: &[Word]) -> Known {
    if extra.iter().any(|declared| same_number(declared, word)) {
        return Known::Declared;
    }
    let (groups, scale): (&[&[u32]], u32) = if word.letter == 'G' { (&G_GROUPS, 1) } else { (&M_GROUPS, 10) };
    let group = groups.iter().position(|members| members.iter().any(|m| m * scale == word.code()));
    group.map_or(Known::No, Known::Group)
}

/// What is wrong with the words of one line.
pub(super) fn fault(words: &[Word], extra: &[Word]) -> Option<String> {
    let mut seen = Vec::new();
    for word in words {
        let group = match (word.letter, known(word, extra)) {
            ('G' | 'M', Known::No) => {
                return Some(format!("{}{} is not a word of RS-274/NGC", word.letter, word.number));
            }
            ('G' | 'M', Known::Declared) => continue,
            ('G' | 'M', Known::Group(group)) => group,
            _ => 0,
        };
        if seen.contains(&(word.letter, group)) {
            return Some(match word.letter {
                'G' | 'M' => format!("two {} words of one modal group stand on one line", word.letter),
                letter => format!("{letter} stands twice on one line"),
            });
        }
        seen.push((word.letter, group));
    }
    if words.iter().filter(|w| w.letter == 'M').count() > 4 {
        return Some("more than four M words stand on one line".into());
    }
    moves_fault(words)
}

/// Blocks may travel but never cut: cutting belongs to the moves that are checked.
fn moves_fault(words: &[Word]) -> Option<String> {
    let cutting = words.iter().any(|w| w.letter == 'G' && matches!(w.code(), 10 | 20 | 30 | 382 | 810..=890));
    if cutting {
        return Some("a block may travel with G0 but not cut".into());
    }
    let axes = words.iter().any(|w| "ABCXYZ".contains(w.letter));
    let users = words.iter().filter(|w| w.letter == 'G' && USE_AXES.contains(&w.code())).count();
    if users > 1 {
        return Some("two words that use the axes stand on one line".into());
    }
    (axes && users == 0).then(|| "an axis word stands without the G word that uses it".into())
}

/// Whether the words may leave the machine somewhere else, or in another motion mode.
pub(super) fn disturb(words: &[Word]) -> bool {
    words.iter().any(|w| {
        let moving = w.letter == 'G' && (USE_AXES.contains(&w.code()) || matches!(w.code(), 530..=593 | 800));
        moving || w.is_m(6) || w.is_m(0) || w.is_m(1) || w.is_m(60)
    })
}
