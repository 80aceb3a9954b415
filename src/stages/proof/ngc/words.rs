//! What may stand on one line: which letters and codes there are, and the modal groups of which each may come once.

use super::Fault;
use super::dialect::Dialect;
use super::line::Word;

/// A G or M code in tenths, so that 59.1 is whole.
pub(super) type Code = u32;

/// The words of one line, sorted out.
#[derive(Debug, Default)]
pub(super) struct Block {
    /// Which letters are there: a bit for each by its place in the alphabet; G and M have their own.
    there: u32,
    /// Their numbers.
    numbers: [f64; 26],
    pub(super) g: Vec<Code>,
    pub(super) m: Vec<Code>,
}

/// The modal group of a G code; none where there is no such code.
const fn group_of_g(code: Code) -> Option<u8> {
    Some(match code {
        40 | 100 | 280 | 300 | 530 | 920 | 921 | 922 | 923 => 0,
        0 | 10 | 20 | 30 | 382 | 800 | 810 | 820 | 830 | 840 | 850 | 860 | 870 | 880 | 890 => 1,
        170 | 180 | 190 => 2,
        900 | 910 => 3,
        930 | 940 => 5,
        200 | 210 => 6,
        400 | 410 | 420 => 7,
        430 | 490 => 8,
        980 | 990 => 10,
        540 | 550 | 560 | 570 | 580 | 590 | 591 | 592 | 593 => 12,
        610 | 611 | 640 => 13,
        _ => return None,
    })
}

/// The modal group of an M code; none where there is no such code.
const fn group_of_m(code: Code) -> Option<u8> {
    Some(match code {
        0 | 10 | 20 | 300 | 600 => 4,
        60 => 6,
        30 | 40 | 50 => 7,
        70 | 80 | 90 => 8,
        480 | 490 => 9,
        _ => return None,
    })
}

/// Most M words on one line.
const MOST_M: usize = 4;

impl Block {
    /// The number of a letter other than G and M.
    pub(super) fn of(&self, letter: u8) -> Option<f64> {
        let place = letter - b'A';
        (self.there & (1 << place) != 0).then(|| self.numbers[usize::from(place)])
    }

    /// Whether any of these letters is there.
    pub(super) fn any(&self, letters: &[u8]) -> bool {
        letters.iter().any(|letter| self.of(*letter).is_some())
    }

    /// Whether this G code is there.
    pub(super) fn has_g(&self, code: Code) -> bool {
        self.g.contains(&code)
    }

    /// The G code of a modal group.
    pub(super) fn g_of_group(&self, group: u8) -> Option<Code> {
        self.g.iter().copied().find(|code| group_of_g(*code) == Some(group))
    }

    /// The M code of a modal group.
    pub(super) fn m_of_group(&self, group: u8) -> Option<Code> {
        self.m.iter().copied().find(|code| group_of_m(*code) == Some(group))
    }

    /// Sorts the words of a line out, or says which rule they break.
    pub(super) fn fill(&mut self, words: &[Word], dialect: &Dialect) -> Result<(), Fault> {
        self.there = 0;
        self.g.clear();
        self.m.clear();
        for word in words {
            match word.letter {
                b'G' => take(&mut self.g, *word, dialect, group_of_g)?,
                b'M' => take(&mut self.m, *word, dialect, group_of_m)?,
                letter => self.letter(letter, word.number)?,
            }
        }
        if self.m.len() > MOST_M {
            return Err(Fault::new("too-many-m", "more than four M words stand on one line"));
        }
        Ok(())
    }

    fn letter(&mut self, letter: u8, number: f64) -> Result<(), Fault> {
        let name = char::from(letter);
        match letter {
            b'A' | b'B' | b'C' => {
                return Err(Fault::new("rotary-axis", format!("axis {name} is not followed")));
            }
            b'D' | b'F' | b'H'..=b'L' | b'P'..=b'T' | b'X'..=b'Z' => {}
            _ => return Err(Fault::new("no-word", format!("'{name}' is no letter of a word"))),
        }
        let place = letter - b'A';
        if self.there & (1 << place) != 0 {
            return Err(Fault::new("letter-twice", format!("{name} stands twice on one line")));
        }
        self.there |= 1 << place;
        self.numbers[usize::from(place)] = number;
        Ok(())
    }
}

/// A code in tenths, where the number is one.
pub(super) fn code(number: f64) -> Option<Code> {
    let tenths = (number * 10.0).round();
    ((0.0..10_000.0).contains(&tenths) && (tenths / 10.0 - number).abs() < 1e-9).then_some(tenths as Code)
}

fn take(
    codes: &mut Vec<Code>,
    word: Word,
    dialect: &Dialect,
    group: fn(Code) -> Option<u8>,
) -> Result<(), Fault> {
    let letter = char::from(word.letter);
    let unknown = || {
        Fault::new("unknown-word", format!("{letter}{} is not a word that this controller has", word.number))
    };
    let code = code(word.number).ok_or_else(unknown)?;
    if dialect.declares(word.letter, code) {
        codes.push(code);
        return Ok(());
    }
    let of = group(code).filter(|_| !dialect.lacks(word.letter, code)).ok_or_else(unknown)?;
    if codes.iter().any(|other| group(*other) == Some(of)) {
        let message =
            format!("{letter}{} and another {letter} word of its modal group stand on one line", word.number);
        return Err(Fault::new("modal-group", message));
    }
    codes.push(code);
    Ok(())
}
