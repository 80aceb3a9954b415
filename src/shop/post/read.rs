//! A tree of YAML to a [`Post`]: every key once, then what no single key can show: whether the blocks leave the machine
//! in the state that the moves are written for.

use super::fields::{Fields, problem};
use super::template::{Placeholder, Scope, Template};
use super::tree::{Node, Place, Value};
use super::words::{self, Word};
use super::{
    ArcForm, Arcs, BlockLine, CommentForm, Comments, Drive, LineEnd, LineForm, LineNumbers, Numbers,
    OtherLetters, Post, PostUnits, PowerPlace, Words,
};
use crate::problem::Problems;

pub(in crate::shop) const TOP: [&str; 18] = [
    "about",
    "extends",
    "extension",
    "units",
    "line",
    "words",
    "numbers",
    "comments",
    "arcs",
    "header",
    "start",
    "tool",
    "spindle",
    "beam",
    "sheet",
    "cut",
    "dwell",
    "end",
];
pub(in crate::shop) const LINE: [&str; 5] = ["end", "most", "spaces", "percent", "numbers"];
pub(in crate::shop) const WORDS: [&str; 8] =
    ["repeat", "z", "extra", "implied", "rapid", "line", "clockwise", "counter_clockwise"];
pub(in crate::shop) const NUMBERS: [&str; 9] = [
    "decimals",
    "feed_decimals",
    "speed_decimals",
    "power_decimals",
    "seconds_decimals",
    "trailing_zeros",
    "leading_zero",
    "point",
    "plus",
];

pub(in crate::shop) const STEPS: [&str; 2] = ["start", "step"];
pub(in crate::shop) const COMMENTS: [&str; 3] = ["form", "other_letters", "upper_case"];
pub(in crate::shop) const ARCS: [&str; 4] = ["form", "most_deg", "agree_mm", "tolerance_mm"];
pub(in crate::shop) const SPINDLE: [&str; 2] = ["on", "off"];
pub(in crate::shop) const BEAM: [&str; 5] = ["on", "off", "scale", "power", "word"];

/// Endings that other files beside the cut files have.
const TAKEN: [&str; 7] = ["dxf", "svg", "png", "pdf", "html", "json", "yaml"];

/// A line may be as long as RS-274/NGC allows, and has to hold a full move.
const LINE_LENGTH: std::ops::RangeInclusive<usize> = 60..=256;

/// An arc of R form has to stay well clear of a half circle, near which a small error in R moves the centre far.
const MOST_BY_RADIUS: f64 = 150.0;

/// Radii that differ by more are an error in RS-274/NGC, mm.
const AGREE: f64 = 0.002;

/// What a post extends, and where it says so.
pub(super) fn extends(node: &Node) -> Option<(&str, &Place)> {
    let Value::Map(entries) = &node.value else { return None };
    let (_, base) = entries.iter().find(|(key, _)| key.name == "extends")?;
    match &base.value {
        Value::Scalar(name) => Some((name, &base.place)),
        _ => None,
    }
}

/// A block as it was read, with what its lines hold.
#[derive(Default)]
struct Block {
    lines: Vec<BlockLine>,
    words: Vec<(Vec<Word>, Place)>,
}

/// Reads and checks a post; none comes back where anything was wrong.
pub(super) fn post(name: &str, tree: &Node, problems: &mut Problems) -> Option<Post> {
    let mut own = Problems::new();
    let found = Fields::of(tree, "", &TOP, &mut own).and_then(|mut top| whole(name, &mut top));
    let stop = own.stop();
    problems.extend(own);
    found.filter(|_| !stop)
}

/// Every key is read before any missing one ends it, so that all that is wrong is told at once.
fn whole(name: &str, top: &mut Fields<'_, '_>) -> Option<Post> {
    let about = top.text("about");
    let extension =
        top.text_that("extension", "1 to 8 letters or digits that no other cut file ends in", |e| {
            (1..=8).contains(&e.len())
                && e.chars().all(|c| c.is_ascii_alphanumeric())
                && !TAKEN.contains(&e.to_lowercase().as_str())
        });
    let units = top.choice("units", &[("mm", PostUnits::Mm), ("inch", PostUnits::Inch)]);
    let line = top.inner("line", &LINE).and_then(line_form);
    let words = top.inner("words", &WORDS).and_then(words_form);
    let fewest = if units == Some(PostUnits::Inch) { 4 } else { 3 };
    let numbers = top.inner("numbers", &NUMBERS).and_then(|fields| numbers_form(fields, fewest));
    let comments = top.inner("comments", &COMMENTS).and_then(comments_form);
    let arcs = top.inner("arcs", &ARCS).and_then(arcs_form);
    let laser = is_laser(top)?;
    let scope = |own: &'static [Placeholder]| Scope { laser, own };
    let header = header(top, scope(&[]));
    let extra = words.as_ref().map(|w| codes(&w.extra)).unwrap_or_default();
    let implied = words.as_ref().map(|w| codes(&w.implied)).unwrap_or_default();
    let mut block = |key, own| block(top, key, scope(own), &extra);
    let (start, tool, sheet) = (block("start", &[]), block("tool", &[]), block("sheet", &[]));
    let cut = block("cut", &[Placeholder::Part, Placeholder::Operation]);
    let dwell = block("dwell", &[Placeholder::Seconds, Placeholder::Milliseconds]);
    let end = block("end", &[]);
    let drive = if laser { beam(top, &extra) } else { spindle(top, &extra) };
    if let (Some(start), Some(end), Some(units), Some(line)) = (&start, &end, units, &line) {
        start_states(top, start, units, &implied);
        ends(top, end, line.percent);
    }
    for known in [&start, &tool, &sheet, &cut, &dwell].into_iter().flatten() {
        stays(top, known, units);
    }
    if let Some(words) = &words
        && !laser
        && !words.z
    {
        top.problems.push(problem(
            "post-value",
            &place_of(top, "words"),
            "a router's post has to write heights: z: true",
        ));
    }
    let lines = |block: Option<Block>| block.map(|b| b.lines);
    Some(Post {
        name: name.to_owned(),
        about: about?,
        extension: extension?,
        units: units?,
        line: line?,
        words: words?,
        numbers: numbers?,
        comments: comments?,
        arcs: arcs?,
        header: header?,
        start: lines(start)?,
        tool: lines(tool)?,
        drive: drive?,
        sheet: lines(sheet)?,
        cut: lines(cut)?,
        dwell: lines(dwell)?,
        end: lines(end)?,
    })
}

fn place_of(top: &Fields<'_, '_>, key: &str) -> Place {
    top.maybe(key).map_or_else(|| top.place().clone(), |node| node.place.clone())
}

fn line_form(mut f: Fields<'_, '_>) -> Option<LineForm> {
    let end = f.choice("end", &[("lf", LineEnd::Lf), ("crlf", LineEnd::Crlf)]);
    let most = f.whole("most", LINE_LENGTH);
    let (spaces, percent) = (f.truth("spaces"), f.truth("percent"));
    let none = f.maybe("numbers").is_some_and(|n| matches!(&n.value, Value::Scalar(text) if text == "none"));
    let numbers = if none {
        Some(None)
    } else {
        f.inner("numbers", &STEPS).and_then(|mut n| {
            let (start, step) = (n.whole("start", 0..=99_999), n.whole("step", 1..=1000));
            Some(Some(LineNumbers { start: start?, step: step? }))
        })
    };
    Some(LineForm { end: end?, most: most?, spaces: spaces?, percent: percent?, numbers: numbers? })
}

fn codes(texts: &[String]) -> Vec<Word> {
    texts.iter().filter_map(|text| words::split(text).ok()).flatten().collect()
}

fn words_form(mut f: Fields<'_, '_>) -> Option<Words> {
    let (repeat, z) = (f.truth("repeat"), f.truth("z"));
    let (extra, implied) = (word_list(&mut f, "extra"), word_list(&mut f, "implied"));
    let mut motion = |key, tenths: u32| {
        let wanted = format!("G{} (G0{} is the same)", tenths / 10, tenths / 10);
        f.text_that(key, &wanted, |text| {
            words::split(text)
                .is_ok_and(|w| w.len() == 1 && w[0].is_g(tenths) && !text.contains(char::is_whitespace))
        })
    };
    let (rapid, line) = (motion("rapid", 0), motion("line", 10));
    let (clockwise, counter_clockwise) = (motion("clockwise", 20), motion("counter_clockwise", 30));
    Some(Words {
        repeat: repeat?,
        z: z?,
        extra: extra?,
        implied: implied?,
        rapid: rapid?,
        line: line?,
        clockwise: clockwise?,
        counter_clockwise: counter_clockwise?,
    })
}

/// A list of words, each a G or M code.
fn word_list(f: &mut Fields<'_, '_>, key: &str) -> Option<Vec<String>> {
    let texts = f.texts(key)?;
    let good = |text: &String| words::split(text).is_ok_and(|w| w.len() == 1 && "GM".contains(w[0].letter));
    match texts.iter().find(|text| !good(text)) {
        None => Some(texts),
        Some(bad) => {
            let place = f.maybe(key).map(|node| node.place.clone())?;
            f.problems.push(problem("post-words", &place, format!("'{bad}' is not one G or M word")));
            None
        }
    }
}

fn numbers_form(mut f: Fields<'_, '_>, fewest: usize) -> Option<Numbers> {
    let decimals = f.whole("decimals", fewest..=6);
    let mut few = |key| f.whole(key, 0..=4).map(|n| n as u32);
    let (feed, speed) = (few("feed_decimals"), few("speed_decimals"));
    let (power, seconds) = (few("power_decimals"), few("seconds_decimals"));
    let (trailing_zeros, leading_zero) = (f.truth("trailing_zeros"), f.truth("leading_zero"));
    let (point, plus) = (f.truth("point"), f.truth("plus"));
    Some(Numbers {
        decimals: decimals? as u32,
        feed_decimals: feed?,
        speed_decimals: speed?,
        power_decimals: power?,
        seconds_decimals: seconds?,
        trailing_zeros: trailing_zeros?,
        leading_zero: leading_zero?,
        point: point?,
        plus: plus?,
    })
}

fn comments_form(mut f: Fields<'_, '_>) -> Option<Comments> {
    let forms = [
        ("parentheses", CommentForm::Parentheses),
        ("semicolon", CommentForm::Semicolon),
        ("none", CommentForm::None),
    ];
    let form = f.choice("form", &forms);
    let letters = [("transliterate", OtherLetters::Transliterate), ("drop", OtherLetters::Drop)];
    let other_letters = f.choice("other_letters", &letters);
    let upper_case = f.truth("upper_case");
    Some(Comments { form: form?, other_letters: other_letters?, upper_case: upper_case? })
}

fn arcs_form(mut f: Fields<'_, '_>) -> Option<Arcs> {
    let forms = [("centre", ArcForm::Centre), ("radius", ArcForm::Radius), ("lines", ArcForm::Lines)];
    let form = f.choice("form", &forms);
    let most = if form == Some(ArcForm::Radius) { MOST_BY_RADIUS } else { 180.0 };
    let most_deg = f.number("most_deg", 5.0..=most);
    let agree_mm = f.number("agree_mm", 0.0001..=AGREE);
    let tolerance_mm = f.number("tolerance_mm", 0.0005..=0.05);
    Some(Arcs { form: form?, most_deg: most_deg?, agree_mm: agree_mm?, tolerance_mm: tolerance_mm? })
}

/// Whether the post drives a beam: exactly one of `beam` and `spindle` has to be there.
fn is_laser(top: &mut Fields<'_, '_>) -> Option<bool> {
    match (top.maybe("beam").is_some(), top.maybe("spindle").is_some()) {
        (true, false) => Some(true),
        (false, true) => Some(false),
        _ => {
            let told = problem("post-drive", top.place(), "a post has either 'spindle' or 'beam'");
            top.problems.push(told.hint("extend a router's post for a router and a laser's for a laser"));
            None
        }
    }
}

fn header(top: &mut Fields<'_, '_>, scope: Scope) -> Option<Vec<Template>> {
    let mut lines = Vec::new();
    for item in top.list("header")? {
        match &item.value {
            Value::Scalar(text) => lines.push(template(top, text, false, scope, &item.place)?),
            _ => top.problems.push(problem("post-block", &item.place, "a line of the header is plain text")),
        }
    }
    Some(lines)
}

fn template(top: &mut Fields<'_, '_>, text: &str, words: bool, scope: Scope, at: &Place) -> Option<Template> {
    match Template::parse(text, words, scope) {
        Ok(template) => Some(template),
        Err((message, hint)) => {
            top.problems.push(problem("post-placeholder", at, message).hint(hint));
            None
        }
    }
}

/// A list of lines: words as plain text, comments as `comment: text`.
fn block(top: &mut Fields<'_, '_>, key: &str, scope: Scope, extra: &[Word]) -> Option<Block> {
    let mut block = Block::default();
    for item in top.list(key)? {
        match &item.value {
            Value::Scalar(text) => words_line(top, &mut block, text, scope, &item.place, extra),
            Value::Map(_) => comment_line(top, &mut block, item, scope),
            Value::List(_) => {
                top.problems.push(problem("post-block", &item.place, "a line is words, or comment: text"));
            }
        }
    }
    Some(block)
}

fn comment_line(top: &mut Fields<'_, '_>, block: &mut Block, item: &Node, scope: Scope) {
    let Some(mut line) = Fields::of(item, "a line of a block", &["comment"], top.problems) else { return };
    let Some(text) = line.text("comment") else { return };
    if let Some(template) = template(top, &text, false, scope, &item.place) {
        block.lines.push(BlockLine::Comment(template));
    }
}

fn words_line(
    top: &mut Fields<'_, '_>,
    block: &mut Block,
    text: &str,
    scope: Scope,
    at: &Place,
    extra: &[Word],
) {
    let Some(template) = template(top, text, true, scope, at) else { return };
    // Any number will do in the place of a placeholder: which words there are does not depend on it.
    let words = match words::split(&template.fill(|_| "1".into())) {
        Ok(words) => words,
        Err(message) => return top.problems.push(problem("post-words", at, message)),
    };
    if let Some(fault) = words::fault(&words, extra) {
        let hint = "a word that only this controller knows is declared in words.extra";
        return top.problems.push(problem("post-words", at, fault).hint(hint));
    }
    block.lines.push(BlockLine::Words {
        text: template,
        moves: words::disturb(&words),
        feed: words.iter().any(|w| w.letter == 'F'),
        speed: words.iter().any(|w| w.letter == 'S'),
    });
    block.words.push((words, at.clone()));
}

fn spindle(top: &mut Fields<'_, '_>, extra: &[Word]) -> Option<Drive> {
    let scope = Scope { laser: false, own: &[] };
    let mut fields = top.inner("spindle", &SPINDLE)?;
    let (on, off) = (switch(&mut fields, "on", scope, extra), switch(&mut fields, "off", scope, extra));
    Some(Drive::Spindle { on: on?, off: off? })
}

fn beam(top: &mut Fields<'_, '_>, extra: &[Word]) -> Option<Drive> {
    let place = place_of(top, "beam");
    let mut fields = top.inner("beam", &BEAM)?;
    let scale = fields.number("scale", 1.0..=100_000.0);
    let inline = fields.choice("power", &[("block", false), ("line", true)]);
    let word = fields.text_that("word", "one letter", |w| w.len() == 1 && "PQS".contains(w));
    let on = switch(&mut fields, "on", Scope { laser: true, own: &[Placeholder::Power] }, extra);
    let off = switch(&mut fields, "off", Scope { laser: true, own: &[] }, extra);
    let (inline, on) = (inline?, on?);
    let says =
        on.iter().any(|l| matches!(l, BlockLine::Words { text, .. } if text.names(Placeholder::Power)));
    if says == inline {
        let message = "the power has to be said once: by {power} in beam.on where beam.power is block, else by beam.word";
        top.problems.push(problem("post-beam", &place, message));
    }
    let power = if inline { PowerPlace::Line(word?.chars().next()?) } else { PowerPlace::Block };
    Some(Drive::Beam { on, off: off?, scale: scale?, power })
}

/// A block that switches something: at least one line of words.
fn switch(fields: &mut Fields<'_, '_>, key: &str, scope: Scope, extra: &[Word]) -> Option<Vec<BlockLine>> {
    let block = block(fields, key, scope, extra)?;
    stays(fields, &block, None);
    if block.words.is_empty() {
        let place = place_of(fields, key);
        fields.problems.push(problem(
            "post-block",
            &place,
            format!("'{key}' needs at least one line of words"),
        ));
        return None;
    }
    Some(block.lines)
}

/// The moves are written in one unit and plane, in absolute coordinates, with feeds a minute: the start has to say so.
fn start_states(top: &mut Fields<'_, '_>, start: &Block, units: PostUnits, implied: &[Word]) {
    let unit = if units == PostUnits::Inch { 200 } else { 210 };
    let place = place_of(top, "start");
    for (tenths, what) in
        [(unit, "the unit"), (170, "the plane"), (900, "the distance mode"), (940, "the feed mode")]
    {
        let said = start.words.iter().any(|(words, _)| words.iter().any(|w| w.is_g(tenths)));
        if !said && !implied.iter().any(|w| w.is_g(tenths)) {
            let code = tenths / 10;
            let told = problem("post-start", &place, format!("'start' does not set {what} (G{code})"));
            top.problems.push(told.hint(format!(
                "add G{code}, or declare it in words.implied if the controller is always in it"
            )));
        }
    }
}

/// No block may leave the machine in a state that the moves are not written for.
fn stays(top: &mut Fields<'_, '_>, block: &Block, units: Option<PostUnits>) {
    let wrong_unit = match units {
        Some(PostUnits::Mm) => Some(200),
        Some(PostUnits::Inch) => Some(210),
        None => None,
    };
    let refused = [180, 190, 410, 420, 910, 930].into_iter().chain(wrong_unit);
    for tenths in refused {
        for (words, place) in &block.words {
            if words.iter().any(|w| w.is_g(tenths)) {
                let message = format!("G{} changes what the moves are written for", tenths / 10);
                top.problems.push(problem("post-state", place, message));
            }
        }
    }
    for (words, place) in &block.words {
        if words.iter().any(|w| w.is_m(2) || w.is_m(30)) {
            top.problems.push(problem("post-state", place, "the program may end in 'end' alone"));
        }
    }
}

/// A program ends by M2 or M30, or by a percent sign.
fn ends(top: &mut Fields<'_, '_>, end: &Block, percent: bool) {
    let last = end.words.last().is_some_and(|(words, _)| words.iter().any(|w| w.is_m(2) || w.is_m(30)));
    let early =
        end.words.iter().rev().skip(1).any(|(words, _)| words.iter().any(|w| w.is_m(2) || w.is_m(30)));
    if early || !(last || percent) {
        let place = place_of(top, "end");
        let told = problem("post-end", &place, "M2 or M30 has to stand in the last line of 'end'");
        top.problems.push(told.hint("without them a program has to be closed by line.percent: true"));
    }
}
