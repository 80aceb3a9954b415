//! Changes to what is cut and how, in every form of file: the kit is spoiled before it is written, and written without a
//! fault.

use grainwise::geometry::{Chain, Placement, Point, Vec2, offset};
use grainwise::problem::Problems;
use grainwise::stages::Unwatched;
use grainwise::stages::cut::{self, Move, Operation, Settings};
use grainwise::stages::part::Part;
use grainwise::stages::sheet::Layout;

use super::dice::Dice;
use super::kit::{Change, Form, Good};
use super::paths::{Map, Step, bounds, rewritten, steps, with_moved};
use super::table::Kind;
use super::tabs;

pub(super) const KINDS: &[Kind] = &[
    Kind::harmful("kerf on the wrong side", |good, dice| kerf(good, dice, -1.0)),
    Kind::harmful("no kerf", |good, dice| kerf(good, dice, -0.5)),
    Kind::harmful("half the kerf", |good, dice| kerf(good, dice, -0.25)),
    Kind::harmful("twice the kerf", |good, dice| kerf(good, dice, 0.5)),
    Kind::harmful("a hole left out", |good, dice| left_out(good, dice, Operation::CutInside)),
    Kind::harmful("an outline left out", |good, dice| left_out(good, dice, Operation::CutOutside)),
    Kind::harmful("a score left out", |good, dice| left_out(good, dice, Operation::Score)),
    Kind::harmful("a drawn mark left out", mark_left_out),
    Kind::harmful("a piece left out", piece_left_out),
    Kind::harmful("a piece more", piece_more),
    Kind::harmful("a piece cut twice", piece_twice),
    Kind::harmful("a piece of the other hand", mirrored),
    Kind::harmful("a piece turned by a quarter", |good, dice| turned(good, dice, 90.0)),
    Kind::harmful("a piece turned by two degrees", |good, dice| turned(good, dice, 2.0)),
    Kind::harmful("a piece shifted a little", shifted_a_little),
    Kind::harmful("a piece over another", over_another),
    Kind::harmful("a piece off the sheet", off_the_sheet),
    Kind::harmful("a piece one per cent too large", scaled),
    Kind::harmful("everything shifted by 0.2 mm", all_shifted),
    Kind::harmful("x and y swapped", swapped),
    Kind::harmful("a hole shifted", hole_shifted),
    Kind::harmful("a mark or score outside its piece", mark_outside),
    Kind::harmful("a mark beside the pieces", mark_beside),
    Kind::harmful("a mark or score shifted", drawn_shifted),
    Kind::harmless("pieces in another order", other_order),
    Kind::harmful("a cut across a piece", cut_across),
    Kind::harmful("an outline cut before its holes", outline_first),
    Kind::harmful("a score like a cut", |good, dice| {
        like(good, dice, Operation::Score, Operation::CutInside)
    }),
    Kind::harmful("a mark like a cut", |good, dice| like(good, dice, Operation::Mark, Operation::CutInside)),
    Kind::harmful("a cut like a mark", |good, dice| like(good, dice, Operation::CutInside, Operation::Mark)),
    Kind::harmful("an outline like a score", |good, dice| {
        like(good, dice, Operation::CutOutside, Operation::Score)
    }),
    Kind::harmful("a tab gone", tabs::gone),
    Kind::harmful("a tab too narrow", tabs::narrow),
    Kind::harmful("a tab too wide", tabs::wide),
    Kind::harmful("a tab too low", tabs::low),
    Kind::harmful("a tab too high", tabs::high),
    Kind::harmful("an upper pass missing", pass_missing),
];

/// Each part grown by this much of the kerf before it is compensated; all of them, or one.
fn kerf(good: &Good, dice: &mut Dice, share: f64) -> Option<Change> {
    let sheet = good.sheet();
    let of_sheet: Vec<usize> = sheet.sheet.placed.iter().map(|placed| placed.part).collect();
    let only = if dice.below(4) == 0 { None } else { dice.pick(&of_sheet).copied() };
    let mut parts: Vec<Part> = good.made.kit.parts.clone();
    for (i, part) in parts.iter_mut().enumerate() {
        if only.is_none_or(|only| only == i) {
            let grown = offset::offset(&part.region, share * sheet.kerf_mm).ok()?;
            let [region] = <[_; 1]>::try_from(grown.regions).ok()?;
            part.region = region;
        }
    }
    let layout = Layout { sheets: vec![sheet.sheet.clone()] };
    let (job, shop) = (&good.made.job, &good.made.shop);
    let sheets = cut::plan(&layout, &parts, job, shop, &Unwatched, &mut Problems::new());
    let text = good.written(sheets.first()?)?;
    let which = only.map_or("every part".to_owned(), |part| format!("part {}", parts[part].id));
    (text != good.text).then(|| Change::new(text, format!("{which} grown by {share} of the kerf")))
}

fn pick(steps: &[Step], dice: &mut Dice, fits: impl Fn(&Step) -> bool) -> Option<usize> {
    let fitting: Vec<usize> = (0..steps.len()).filter(|i| fits(&steps[*i])).collect();
    dice.pick(&fitting).copied()
}

fn piece(good: &Good, dice: &mut Dice) -> usize {
    dice.below(good.plan.pieces.len())
}

fn name(good: &Good, piece: usize) -> String {
    let wanted = &good.plan.pieces[piece];
    format!("piece {} of {}", wanted.copy, wanted.id)
}

fn without(good: &Good, steps: Vec<Step>, leave: impl Fn(&Step) -> bool, what: &str) -> Option<Change> {
    let rest: Vec<Step> = steps.into_iter().filter(|step| !leave(step)).collect();
    rewritten(good, &rest, what)
}

fn left_out(good: &Good, dice: &mut Dice, operation: Operation) -> Option<Change> {
    let mut steps = steps(good.sheet());
    let at = pick(&steps, dice, |step| step.cut.operation == operation)?;
    let step = steps.remove(at);
    rewritten(good, &steps, format!("{operation:?} of {}", name(good, step.cut.placed)))
}

/// Whether a mark is drawn on the part: names and arrows are not of the plan.
fn is_drawn(good: &Good, step: &Step) -> bool {
    let at = step.segments()[0].from;
    let marks = good.plan.pieces[step.cut.placed].marks.iter();
    step.cut.operation == Operation::Mark
        && marks.flat_map(Chain::vertices).any(|vertex| vertex.at.distance(at) < 1e-6)
}

fn mark_left_out(good: &Good, dice: &mut Dice) -> Option<Change> {
    let mut steps = steps(good.sheet());
    let at = pick(&steps, dice, |step| is_drawn(good, step))?;
    let step = steps.remove(at);
    rewritten(good, &steps, format!("a mark of {}", name(good, step.cut.placed)))
}

fn piece_left_out(good: &Good, dice: &mut Dice) -> Option<Change> {
    let piece = piece(good, dice);
    without(good, steps(good.sheet()), |step| step.cut.placed == piece, &name(good, piece))
}

/// The same piece once more, where the sheet is free.
fn piece_more(good: &Good, dice: &mut Dice) -> Option<Change> {
    let piece = piece(good, dice);
    let (own, [length, width]) = (bounds(good, piece), good.plan.size_mm);
    let least = Vec2::new(5.0 - own.x0, 5.0 - own.y0);
    let most = Vec2::new(length - 5.0 - own.x1, width - 5.0 - own.y1);
    let free = |by: &Vec2| {
        let there = (own + *by).inflate(4.0, 4.0);
        (0..good.plan.pieces.len()).all(|other| !there.overlaps(bounds(good, other)))
    };
    let mut places = (0..60).map(|_| Vec2::new(dice.between(least.x, most.x), dice.between(least.y, most.y)));
    let by = places.find(free)?;
    let mut steps = steps(good.sheet());
    let more: Vec<Step> = steps.iter().filter(|s| s.cut.placed == piece).map(|s| s.shifted(by)).collect();
    steps.extend(more);
    rewritten(good, &steps, format!("{} again {by:?} away", name(good, piece)))
}

/// Burnt twice. A cutter would only run through air the second time.
fn piece_twice(good: &Good, dice: &mut Dice) -> Option<Change> {
    (!good.milled()).then_some(())?;
    let piece = piece(good, dice);
    let mut steps = steps(good.sheet());
    let more: Vec<Step> = steps.iter().filter(|s| s.cut.placed == piece && s.is_through()).cloned().collect();
    steps.extend(more);
    rewritten(good, &steps, name(good, piece))
}

/// Mirrored about its middle, or about its long side: no part of the kit is the same then.
fn mirrored(good: &Good, dice: &mut Dice) -> Option<Change> {
    let piece = piece(good, dice);
    let middle = bounds(good, piece).center();
    let map = Map { point: |p: Point| Point::new(2.0 * middle.x - p.x, p.y), mirrors: true };
    rewritten(good, &with_moved(&steps(good.sheet()), piece, &map), name(good, piece))
}

fn turned(good: &Good, dice: &mut Dice, degrees: f64) -> Option<Change> {
    let piece = piece(good, dice);
    let degrees = if dice.coin() { degrees } else { -degrees };
    let middle = bounds(good, piece).center();
    let turn = Placement { turn_deg: degrees, ..Placement::HERE };
    let map = Map { point: |p: Point| middle + turn.direction(p - middle), mirrors: false };
    rewritten(
        good,
        &with_moved(&steps(good.sheet()), piece, &map),
        format!("{} by {degrees}", name(good, piece)),
    )
}

/// A little is more than a piece may be off.
fn shifted_a_little(good: &Good, dice: &mut Dice) -> Option<Change> {
    let piece = piece(good, dice);
    let by = Vec2::new(dice.shift(0.06, 0.5), dice.shift(0.0, 0.5));
    let map = Map { point: |p: Point| p + by, mirrors: false };
    rewritten(
        good,
        &with_moved(&steps(good.sheet()), piece, &map),
        format!("{} by {by:?}", name(good, piece)),
    )
}

fn over_another(good: &Good, dice: &mut Dice) -> Option<Change> {
    let (piece, other) = (piece(good, dice), piece(good, dice));
    let by = bounds(good, other).center() - bounds(good, piece).center();
    let map = Map { point: |p: Point| p + by, mirrors: false };
    let moved = with_moved(&steps(good.sheet()), piece, &map);
    (piece != other).then_some(())?;
    rewritten(good, &moved, format!("{} over {}", name(good, piece), name(good, other)))
}

fn off_the_sheet(good: &Good, dice: &mut Dice) -> Option<Change> {
    let piece = piece(good, dice);
    let (own, beyond) = (bounds(good, piece), dice.between(0.5, 8.0));
    let by = match dice.below(4) {
        0 => Vec2::new(-beyond - own.x0, 0.0),
        1 => Vec2::new(0.0, -beyond - own.y0),
        2 => Vec2::new(good.plan.size_mm[0] + beyond - own.x1, 0.0),
        _ => Vec2::new(0.0, good.plan.size_mm[1] + beyond - own.y1),
    };
    let map = Map { point: |p: Point| p + by, mirrors: false };
    rewritten(
        good,
        &with_moved(&steps(good.sheet()), piece, &map),
        format!("{} by {by:?}", name(good, piece)),
    )
}

fn scaled(good: &Good, dice: &mut Dice) -> Option<Change> {
    let piece = piece(good, dice);
    let middle = bounds(good, piece).center();
    let factor = if dice.coin() { 1.01 } else { 0.99 };
    let map = Map { point: |p: Point| middle + (p - middle) * factor, mirrors: false };
    rewritten(
        good,
        &with_moved(&steps(good.sheet()), piece, &map),
        format!("{} by {factor}", name(good, piece)),
    )
}

fn all_shifted(good: &Good, dice: &mut Dice) -> Option<Change> {
    let by =
        if dice.coin() { Vec2::new(dice.shift(0.2, 0.2), 0.0) } else { Vec2::new(0.0, dice.shift(0.2, 0.2)) };
    let moved: Vec<Step> = steps(good.sheet()).iter().map(|step| step.shifted(by)).collect();
    rewritten(good, &moved, format!("by {by:?}"))
}

/// All of it, or one piece: a mirror at the diagonal.
fn swapped(good: &Good, dice: &mut Dice) -> Option<Change> {
    let map = Map { point: |p: Point| Point::new(p.y, p.x), mirrors: true };
    if dice.coin() {
        let moved: Vec<Step> = steps(good.sheet()).iter().map(|step| step.moved(&map)).collect();
        return rewritten(good, &moved, "everywhere");
    }
    let piece = piece(good, dice);
    rewritten(good, &with_moved(&steps(good.sheet()), piece, &map), name(good, piece))
}

fn hole_shifted(good: &Good, dice: &mut Dice) -> Option<Change> {
    let mut steps = steps(good.sheet());
    let at = pick(&steps, dice, |step| step.cut.operation == Operation::CutInside)?;
    let by = Vec2::new(dice.shift(0.06, 0.8), dice.shift(0.0, 0.8));
    steps[at] = steps[at].shifted(by);
    rewritten(good, &steps, format!("a hole of {} by {by:?}", name(good, steps[at].cut.placed)))
}

/// A drawn line of a piece moved so far that no point of it stays on that piece.
fn mark_outside(good: &Good, dice: &mut Dice) -> Option<Change> {
    let mut steps = steps(good.sheet());
    let drawn = |step: &Step| step.cut.operation == Operation::Score || is_drawn(good, step);
    let at = pick(&steps, dice, drawn)?;
    let piece = steps[at].cut.placed;
    let own = bounds(good, piece);
    let by = match dice.below(2) {
        0 => Vec2::new(own.width() + 1.0, 0.0),
        _ => Vec2::new(0.0, own.height() + 1.0),
    };
    let by = if dice.coin() { by } else { -by };
    steps[at] = steps[at].shifted(by);
    let [length, width] = good.plan.size_mm;
    let on_machine = |p: Point| p.x >= 0.0 && p.y >= 0.0 && p.x <= length && p.y <= width;
    steps[at].segments().iter().all(|s| on_machine(s.from) && on_machine(s.to)).then_some(())?;
    rewritten(good, &steps, format!("a line of {} by {by:?}", name(good, piece)))
}

/// A drawn line of a piece, by more than anything may be off.
fn drawn_shifted(good: &Good, dice: &mut Dice) -> Option<Change> {
    let mut steps = steps(good.sheet());
    let drawn = |step: &Step| step.cut.operation == Operation::Score || is_drawn(good, step);
    let at = pick(&steps, dice, drawn)?;
    let by = Vec2::new(dice.shift(0.0, 0.5), dice.shift(0.06, 0.5));
    steps[at] = steps[at].shifted(by);
    rewritten(good, &steps, format!("a line of {} by {by:?}", name(good, steps[at].cut.placed)))
}

/// All that is done to one piece, then all to the next: marks, scores, holes, outline, as before.
fn other_order(good: &Good, dice: &mut Dice) -> Option<Change> {
    let mut steps = steps(good.sheet());
    let count = good.plan.pieces.len();
    let rank: Vec<usize> = (0..count).map(|_| dice.below(1000)).collect();
    if dice.coin() {
        steps.sort_by_key(|step| rank[step.cut.placed]);
    } else {
        steps.sort_by_key(|step| (step.cut.operation, rank[step.cut.placed]));
    }
    rewritten(good, &steps, format!("{rank:?}"))
}

/// Any mark, a name's too, where the sheet is waste.
fn mark_beside(good: &Good, dice: &mut Dice) -> Option<Change> {
    let mut steps = steps(good.sheet());
    let at = pick(&steps, dice, |step| step.cut.operation == Operation::Mark)?;
    let own = steps[at].segments()[0].from;
    let [length, width] = good.plan.size_mm;
    let waste = |step: &Step| {
        let ends = step.segments().into_iter().flat_map(|s| [s.from, s.at(0.5), s.to]);
        let clear = |p: &Point| {
            good.plan.pieces.iter().all(|piece| {
                let region = &piece.region;
                !region.contains(*p) && region.distance(*p) > 0.5
            })
        };
        let on_sheet = |p: &Point| p.x > 1.0 && p.y > 1.0 && p.x < length - 1.0 && p.y < width - 1.0;
        ends.into_iter().all(|p| clear(&p) && on_sheet(&p))
    };
    let mut places = (0..80).map(|_| Point::new(dice.between(1.0, length), dice.between(1.0, width)));
    let there = places.find_map(|to| Some(steps[at].shifted(to - own)).filter(&waste))?;
    steps[at] = there;
    rewritten(good, &steps, format!("a mark of {}", name(good, steps[at].cut.placed)))
}

/// A hole's path once more, in the middle of the material of some piece.
fn cut_across(good: &Good, dice: &mut Dice) -> Option<Change> {
    let mut steps = steps(good.sheet());
    let at = pick(&steps, dice, |step| step.cut.operation == Operation::CutInside)?;
    let from = steps[at].segments()[0].from;
    let piece = piece(good, dice);
    let own = bounds(good, piece);
    let mut places = (0..60).map(|_| Point::new(dice.between(own.x0, own.x1), dice.between(own.y0, own.y1)));
    let region = &good.plan.pieces[piece].region;
    let to = places.find(|p| region.contains(*p) && region.distance(*p) > 0.5)?;
    let more = steps[at].shifted(to - from);
    steps.insert(at, more);
    rewritten(good, &steps, format!("at {to:?} in {}", name(good, piece)))
}

/// In a drawing the layers say the order; in a program it is the order of the lines.
fn outline_first(good: &Good, dice: &mut Dice) -> Option<Change> {
    (good.form == Form::Gcode).then_some(())?;
    let mut steps = steps(good.sheet());
    let at = pick(&steps, dice, |step| step.cut.operation == Operation::CutInside)?;
    let piece = steps[at].cut.placed;
    let outline = |step: &Step| step.cut.operation == Operation::CutOutside && step.cut.placed == piece;
    let outer = steps.iter().position(outline)?;
    let step = steps.remove(outer);
    steps.insert(at, step);
    rewritten(good, &steps, name(good, piece))
}

/// One operation made as another: on its layer, as deep, as hot.
fn like(good: &Good, dice: &mut Dice, what: Operation, other: Operation) -> Option<Change> {
    let mut steps = steps(good.sheet());
    let at = pick(&steps, dice, |step| step.cut.operation == what)?;
    let step = &mut steps[at];
    step.cut.operation = other;
    for way in &mut step.moves {
        match (way, &good.plan.settings) {
            (Move::Beam { power }, Settings::Laser(s)) => {
                *power = [s.mark_power, s.score_power, s.power, s.power][other as usize];
            }
            (Move::Line { feed, .. } | Move::Arc { feed, .. }, Settings::Laser(s)) => {
                let feeds = [s.mark_feed_mm_min, s.score_feed_mm_min, s.feed_mm_min, s.feed_mm_min];
                *feed = feeds[other as usize];
            }
            (Move::Line { z, .. } | Move::Arc { z, .. }, Settings::Router(s)) => {
                let wood = good.plan.thickness_mm;
                let deep = wood + s.overcut_mm;
                *z = -[s.mark_depth_mm, s.score_depth * wood, deep, deep][other as usize];
            }
            _ => {}
        }
    }
    rewritten(good, &steps, format!("{what:?} of {} as {other:?}", name(good, steps[at].cut.placed)))
}

/// The first pass of a cut that needs two: the second then goes twice as deep as it may.
fn pass_missing(good: &Good, dice: &mut Dice) -> Option<Change> {
    good.milled().then_some(())?;
    let mut steps = steps(good.sheet());
    let at = pick(&steps, dice, Step::is_through)?;
    let plunges = tabs::plunges(&steps[at].moves);
    let (first, last) = (plunges.first()?, plunges.last()?);
    (first < last).then_some(())?;
    let what = format!("a cut of {}", name(good, steps[at].cut.placed));
    steps[at].moves.drain(*first..*last);
    rewritten(good, &steps, what)
}
