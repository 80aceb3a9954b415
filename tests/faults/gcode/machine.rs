//! Changes to what the machine does along the paths: heights, feeds, spindle, beam, stops.

use super::super::dice::Dice;
use super::super::kit::{Change, Good};
use super::super::table::Kind;
use super::{Code, Does, Line};
use grainwise::shop::RouterSetting;
use grainwise::stages::cut::Settings;

pub(super) const KINDS: &[Kind] = &[
    Kind::harmful("program: a cut not quite through", not_through),
    Kind::harmful("program: a cut too deep", too_deep),
    Kind::harmful("program: a ramp that ends short", ramp_short),
    Kind::harmful("program: a ramp too deep", ramp_deep),
    Kind::harmful("program: a first pass too deep", first_pass_too_deep),
    Kind::harmful("program: a mark or score of another depth", other_depth),
    Kind::harmful("program: a plunge left out", plunge_lost),
    Kind::harmful("program: a lift left out", lift_lost),
    Kind::harmful("program: travel in the wood", travel_in_wood),
    Kind::harmful("program: travel too low", travel_too_low),
    Kind::harmful("program: travel beyond the machine's reach", beyond_reach),
    Kind::harmless("program: travel higher", travel_higher),
    Kind::harmless("program: a detour", detour),
    Kind::harmless("program: a plunge in two", plunge_in_two),
    Kind::harmless("program: a slower cutter", |good, dice| good.milled().then(|| feed(good, dice, 0.9))?),
    Kind::harmful("program: a cut as a rapid", cut_as_rapid),
    Kind::harmful("program: feed tenfold", |good, dice| feed(good, dice, 10.0)),
    Kind::harmful("program: a tenth of the beam's feed", |good, dice| {
        (!good.milled()).then(|| feed(good, dice, 0.1))?
    }),
    Kind::harmful("program: feed of nothing", |good, dice| feed(good, dice, 0.0)),
    Kind::harmful("program: no feed at all", no_feed),
    Kind::harmful("program: a plunge at the cut's feed", fast_plunge),
    Kind::harmful("program: a spindle that never starts", spindle_off),
    Kind::harmful("program: a spindle that turns backwards", backwards),
    Kind::harmful("program: a spindle too fast or too slow", speed),
    Kind::harmful("program: beam or spindle stopped in a cut", stopped),
    Kind::harmful("program: a beam left on in travel", beam_left_on),
    Kind::harmful("program: a beam never on", beam_off),
    Kind::harmful("program: a beam of another power", power),
    Kind::harmful("program: a pause in a cut", |good, dice| in_a_cut(good, dice, &["M0", "M1", "M00"])),
    Kind::harmful("program: a beam that waits in a cut", dwell),
    Kind::harmful("program: another tool in a cut", |good, dice| {
        good.milled().then(|| in_a_cut(good, dice, &["T3 M6", "M6"]))?
    }),
    Kind::harmful("program: an end in a cut", |good, dice| in_a_cut(good, dice, &["M2", "M30"])),
];

/// Cuts shorter than this are left alone, mm: what is done to them would hardly show.
const LONG_MM: f64 = 1.0;

fn router(good: &Good) -> Option<RouterSetting> {
    match good.plan.settings {
        Settings::Router(setting) => Some(setting),
        Settings::Laser(_) => None,
    }
}

fn unit(good: &Good) -> f64 {
    good.post.as_ref().map_or(1.0, |post| post.units.millimetres())
}

fn long(line: &Line) -> bool {
    line.segment.is_some_and(|segment| segment.length() > LONG_MM)
}

fn is_cut(line: &Line) -> bool {
    matches!(line.does, Does::Mark | Does::Score | Does::Upper | Does::Through)
}

/// A line in the middle of a cut through, with enough of it left.
fn in_cut(code: &Code, dice: &mut Dice) -> Option<usize> {
    let before = |i: usize| code.lines[i - 1].does == Does::Through;
    code.pick(dice, |i, line| line.does == Does::Through && long(line) && before(i))
}

/// The next line that moves.
fn next(code: &Code, after: usize) -> Option<&Line> {
    code.lines[after + 1..].iter().find(|line| line.does != Does::Nothing)
}

/// With another number for a letter of a line, in millimetres.
fn with(good: &Good, code: &Code, at: usize, letter: char, mm: f64) -> Option<Change> {
    let word = code.lines[at].word(letter)?;
    Some(code.changed(at, &code.lines[at].with(word, &format!("{letter}{:.5}", mm / unit(good)))))
}

/// A line that goes straight down into wood; behind a tab the cutter comes down through air.
fn plunge(good: &Good, code: &Code, dice: &mut Dice, fits: impl Fn(&Line) -> bool) -> Option<usize> {
    let into_wood = |line: &Line| line.to[2] < line.from[2] && line.from[2] > 0.01 - good.plan.thickness_mm;
    code.pick(dice, |_, line| {
        line.does == Does::Plunge && line.word('Z').is_some() && into_wood(line) && fits(line)
    })
}

fn not_through(good: &Good, dice: &mut Dice) -> Option<Change> {
    let (code, wood) = (Code::of(good)?, good.plan.thickness_mm);
    let at = plunge(good, &code, dice, |line| line.to[2] < -wood)?;
    with(good, &code, at, 'Z', -(wood - dice.between(0.1, 0.6)))
}

fn too_deep(good: &Good, dice: &mut Dice) -> Option<Change> {
    let (code, wood) = (Code::of(good)?, good.plan.thickness_mm);
    let at = plunge(good, &code, dice, |line| line.to[2] < -wood)?;
    with(good, &code, at, 'Z', -(wood + router(good)?.overcut_mm + dice.between(0.1, 3.0)))
}

/// The last way down to the height at which a path is cut round.
fn last_ramp(code: &Code, dice: &mut Dice, wood: f64) -> Option<usize> {
    let level = |line: &Line| is_cut(line) && line.word('Z').is_none();
    let ramp = |i: usize, line: &Line| {
        let down = is_cut(line) && line.word('Z').is_some() && line.does != Does::Plunge;
        down && line.to[2] < -wood && line.from[2] > line.to[2] && next(code, i).is_some_and(level)
    };
    code.pick(dice, ramp)
}

fn ramp_short(good: &Good, dice: &mut Dice) -> Option<Change> {
    let (code, wood) = (Code::of(good)?, good.plan.thickness_mm);
    router(good)?;
    let at = last_ramp(&code, dice, wood)?;
    with(good, &code, at, 'Z', -(wood - dice.between(0.1, 0.6)))
}

fn ramp_deep(good: &Good, dice: &mut Dice) -> Option<Change> {
    let (code, wood) = (Code::of(good)?, good.plan.thickness_mm);
    let deepest = wood + router(good)?.overcut_mm;
    let at = last_ramp(&code, dice, wood)?;
    with(good, &code, at, 'Z', -(deepest + dice.between(0.1, 3.0)))
}

fn first_pass_too_deep(good: &Good, dice: &mut Dice) -> Option<Change> {
    let (code, wood, pass) = (Code::of(good)?, good.plan.thickness_mm, router(good)?.pass_mm);
    let at = plunge(good, &code, dice, |line| line.from[2] >= 0.0 && line.to[2] < -0.45 * wood)?;
    with(good, &code, at, 'Z', -dice.between(pass + 0.1, wood - 0.1))
}

/// Away from its own depth, from the other's, and not through.
fn other_depth(good: &Good, dice: &mut Dice) -> Option<Change> {
    let (code, wood, setting) = (Code::of(good)?, good.plan.thickness_mm, router(good)?);
    let at = plunge(good, &code, dice, |line| line.to[2] > -0.45 * wood)?;
    let depth = dice.between(0.05, wood - 0.1);
    let near = |other: f64| (depth - other).abs() < 0.1;
    (!near(setting.mark_depth_mm) && !near(setting.score_depth * wood)).then_some(())?;
    with(good, &code, at, 'Z', -depth)
}

/// Of a cut through: a name that is not engraved spoils no part.
fn plunge_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    let (code, wood) = (Code::of(good)?, good.plan.thickness_mm);
    plunge(good, &code, dice, |line| line.to[2] < -wood).map(|at| code.without(at))
}

/// A line that lifts before travel.
fn lift(code: &Code, dice: &mut Dice) -> Option<usize> {
    let before_travel = |i: usize| next(code, i).is_some_and(|line| line.does == Does::Travel && long(line));
    code.pick(dice, |i, line| line.does == Does::Lift && line.from[2] < 0.0 && before_travel(i))
}

/// Travel becomes a rapid in the wood, or a cut: then only where that goes through a piece.
fn lift_lost(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = lift(&code, dice)?;
    let change = code.without(at);
    let now = Code::read(std::str::from_utf8(&change.bytes).ok()?, good);
    if next(&now, at - 1)?.does == Does::Travel { Some(change) } else { code.if_harmed(good, change) }
}

fn travel_in_wood(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = lift(&code, dice)?;
    with(good, &code, at, 'Z', -dice.between(0.05, good.plan.thickness_mm))
}

fn travel_too_low(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = lift(&code, dice)?;
    with(good, &code, at, 'Z', dice.between(0.1, code.lines[at].to[2] - 0.5))
}

/// The word of travel and two coordinates, in millimetres.
fn travel(good: &Good, x: f64, y: f64) -> String {
    format!("G0 X{:.4} Y{:.4}", x / unit(good), y / unit(good))
}

/// Up or aside: the machines of the kit reach 1020 mm along x, 600 mm along y, 80 mm up at the most.
fn beyond_reach(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let up = good.milled() && dice.coin();
    let away = dice.between(1030.0, 5000.0);
    let line = if up { format!("G0 Z{:.4}", away / unit(good)) } else { travel(good, away, away) };
    Some(code.inserted(before_travel(&code, dice)?, &line))
}

/// A line that travels from piece to piece, its words with their own motion word.
fn before_travel(code: &Code, dice: &mut Dice) -> Option<usize> {
    code.pick(dice, |_, line| line.does == Does::Travel && line.from[2] > 1.0 && line.word('X').is_some())
}

fn travel_higher(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = lift(&code, dice)?;
    with(good, &code, at, 'Z', code.lines[at].to[2] + dice.between(0.5, 20.0))
}

/// From where it leaves to some place of the sheet, and then to where it goes.
fn detour(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    code.lines.iter().all(|line| line.word('N').is_none()).then_some(())?;
    let at = before_travel(&code, dice)?;
    // The line's own missing words would be those of the detour.
    code.lines[at].word('X').and(code.lines[at].word('Y'))?;
    let [length, width] = good.plan.size_mm;
    Some(code.inserted(at, &travel(good, dice.between(5.0, length - 5.0), dice.between(5.0, width - 5.0))))
}

fn plunge_in_two(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = plunge(good, &code, dice, |line| line.from[2] > 0.0)?;
    let line = &code.lines[at];
    let half = line.to[2] * dice.between(0.2, 0.8) / unit(good);
    let first = line.with(line.word('Z')?, &format!("Z{half:.5}"));
    Some(code.inserted(at, &first))
}

/// The line with a word more, in front of all others but its number.
fn with_word(line: &Line, word: &str) -> String {
    let mut text = line.text.clone();
    match line.words.first().filter(|first| first.letter == 'N') {
        Some(number) => text.insert_str(number.at.end, &format!(" {word}")),
        None => text.insert_str(0, &format!("{word} ")),
    }
    text
}

fn cut_as_rapid(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = code.pick(dice, |_, line| line.does == Does::Through && !line.is_arc() && long(line))?;
    let line = &code.lines[at];
    let text = match line.words.iter().find(|word| word.letter == 'G') {
        Some(word) => line.with(word, "G0"),
        None => with_word(line, "G0"),
    };
    Some(code.changed(at, &text))
}

fn feed(good: &Good, dice: &mut Dice, factor: f64) -> Option<Change> {
    let code = Code::of(good)?;
    let at = code.pick(dice, |_, line| {
        line.word('F').is_some() && (line.does == Does::Plunge || is_cut(line)) && line.to[2] <= line.from[2]
    })?;
    let word = code.lines[at].word('F')?;
    Some(code.changed(at, &code.lines[at].with(word, &format!("F{:.2}", word.number * factor))))
}

/// The first feed of all: the next lines have none, and no standard says how fast they run.
fn no_feed(good: &Good, _: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = code.lines.iter().position(|line| line.word('F').is_some())?;
    Some(code.changed(at, code.lines[at].with(code.lines[at].word('F')?, "").trim_end()))
}

fn fast_plunge(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    let at = plunge(good, &code, dice, |line| line.word('F').is_some())?;
    with(good, &code, at, 'F', router(good)?.feed_mm_min)
}

fn on(code: &Code, dice: &mut Dice, fits: impl Fn(usize) -> bool) -> Option<usize> {
    let starts = |line: &Line| [3.0, 4.0, 106.0].iter().any(|n| line.has('M', *n));
    code.pick(dice, |i, line| starts(line) && fits(i))
}

fn spindle_off(good: &Good, dice: &mut Dice) -> Option<Change> {
    good.milled().then_some(())?;
    let code = Code::of(good)?;
    let at = on(&code, dice, |_| true)?;
    let word = code.lines[at].word('M')?;
    Some(code.changed(at, code.lines[at].with(word, "").trim()))
}

fn backwards(good: &Good, dice: &mut Dice) -> Option<Change> {
    good.milled().then_some(())?;
    let code = Code::of(good)?;
    let at = on(&code, dice, |_| true)?;
    Some(code.changed(at, &code.lines[at].with(code.lines[at].word('M')?, "M4")))
}

/// The router of the kit turns 8000 to 24000 times a minute, and the table asks for 24000.
fn speed(good: &Good, dice: &mut Dice) -> Option<Change> {
    good.milled().then_some(())?;
    let code = Code::of(good)?;
    let at = on(&code, dice, |_| true)?;
    let word = code.lines[at].word('S')?;
    let factor = if dice.coin() { dice.between(1.2, 5.0) } else { dice.between(0.01, 0.3) };
    Some(code.changed(at, &code.lines[at].with(word, &format!("S{:.0}", word.number * factor))))
}

fn off_word(good: &Good) -> &'static str {
    if good.text.contains("M107") { "M107" } else { "M5" }
}

fn stopped(good: &Good, dice: &mut Dice) -> Option<Change> {
    let code = Code::of(good)?;
    in_cut(&code, dice).map(|at| code.inserted(at, off_word(good)))
}

/// After a cut, before travel.
fn beam_left_on(good: &Good, dice: &mut Dice) -> Option<Change> {
    (!good.milled()).then_some(())?;
    let code = Code::of(good)?;
    let off = |line: &Line| line.has('M', 5.0) || line.has('M', 107.0);
    let travels = |i: usize| next(&code, i).is_some_and(|line| line.does == Does::Travel && long(line));
    let at = code.pick(dice, |i, line| off(line) && i > 0 && is_cut(&code.lines[i - 1]) && travels(i))?;
    Some(code.without(at))
}

/// Before a cut or score: a name that is not burnt spoils no part.
fn beam_off(good: &Good, dice: &mut Dice) -> Option<Change> {
    (!good.milled()).then_some(())?;
    let code = Code::of(good)?;
    let cuts =
        |i: usize| next(&code, i).is_some_and(|l| matches!(l.does, Does::Through | Does::Score) && long(l));
    on(&code, dice, cuts).map(|at| code.without(at))
}

fn power(good: &Good, dice: &mut Dice) -> Option<Change> {
    (!good.milled()).then_some(())?;
    let code = Code::of(good)?;
    let at = code.pick(dice, |_, line| line.word('S').is_some())?;
    let word = code.lines[at].word('S')?;
    let factor = if dice.coin() { dice.between(0.1, 0.85) } else { dice.between(1.15, 1.3) };
    Some(code.changed(at, &code.lines[at].with(word, &format!("S{:.1}", word.number * factor))))
}

fn in_a_cut(good: &Good, dice: &mut Dice, lines: &[&str]) -> Option<Change> {
    let code = Code::of(good)?;
    let at = in_cut(&code, dice)?;
    dice.pick(lines).map(|line| code.inserted(at, line))
}

/// Ten seconds at one place: the wood catches fire. One post counts milliseconds.
fn dwell(good: &Good, dice: &mut Dice) -> Option<Change> {
    (!good.milled()).then_some(())?;
    in_a_cut(good, dice, &[if off_word(good) == "M107" { "G4 P10000" } else { "G4 P10" }])
}
