//! What stock lacks: no sheet of that wood, none large enough, or too few.

use std::collections::BTreeMap;

use super::fill::{Filled, Task};
use super::kind::Kind;
use super::size::Size;
use super::{Group, Room};
use crate::problem::{Problem, Problems};
use crate::stages::part::Part;
use crate::units::millimetres;

/// More pieces than this are a slip of the pen: about a hundred large kits. Keeps a job that asks for billions from
/// running for ever.
const MOST_PIECES: u64 = 100_000;

/// How many part names a message lists.
const NAMES: usize = 5;

/// Whether the parts are more pieces than anyone cuts; says so.
pub(super) fn too_many(parts: &[Part], problems: &mut Problems) -> bool {
    let pieces: u64 = parts.iter().map(|part| u64::from(part.copies)).sum();
    if pieces <= MOST_PIECES {
        return false;
    }
    let most = parts.iter().max_by_key(|part| part.copies);
    let message = format!("the job asks for {pieces} pieces; at most {MOST_PIECES} are laid at once");
    let hint = most.map_or_else(String::new, |part| {
        format!("{} alone is asked for {} times: check its copies, or split the job", part.id, part.copies)
    });
    problems.push(Problem::error("too-many-pieces", message).hint(hint));
    true
}

/// Takes out of the group the kinds that no sheet can hold, and says why; sizes without any room go too.
pub(super) fn drop_unfit(group: &mut Group<'_>, parts: &[Part], room: Room, problems: &mut Problems) {
    if group.sizes.is_empty() {
        no_stock(group, parts, problems);
        group.kinds.clear();
        return;
    }
    let sizes = group.sizes.clone();
    let fits = |kind: &Kind| sizes.iter().any(|size| size.takes(kind, room));
    let (fit, mut unfit): (Vec<Kind>, Vec<Kind>) = group.kinds.drain(..).partition(fits);
    // Where nothing is blocked what fits the box fits the sheet.
    let held: Vec<bool> = if sizes.iter().any(|size| !size.blocked.is_empty()) {
        let task = Task::new(&fit, &sizes, room);
        (0..fit.len()).map(|kind| task.holds(kind)).collect()
    } else {
        vec![true; fit.len()]
    };
    for (kind, held) in fit.into_iter().zip(held) {
        if held { group.kinds.push(kind) } else { unfit.push(kind) }
    }
    tell_torn(group, parts, room, problems);
    let mut told = None;
    for kind in unfit {
        if told.replace(kind.part) != Some(kind.part) {
            problems.push(fits_no_sheet(&kind, &parts[kind.part], &sizes, room));
        }
    }
}

/// Says which parts cannot lie on one sheet together; they lie apart then.
fn tell_torn(group: &mut Group<'_>, parts: &[Part], room: Room, problems: &mut Problems) {
    if group.kinds.iter().all(|kind| kind.together.is_none()) {
        return;
    }
    let words: Vec<(String, usize)> = {
        let task = Task::new(&group.kinds, &group.sizes, room);
        let word =
            |kinds: &[usize]| Some((group.kinds[kinds[0]].together.clone()?, group.kinds[kinds[0]].part));
        task.torn().into_iter().filter_map(word).collect()
    };
    for (word, part) in words {
        let message = format!("the parts that are to lie together as '{word}' find no room on one sheet");
        let hint = "add a larger sheet to the stock, or let some of them lie elsewhere";
        problems.push(Problem::error("together-too-large", message).of_part(&parts[part].id).hint(hint));
        let of = group.kinds.iter_mut().filter(|kind| kind.together.as_ref() == Some(&word));
        of.for_each(|kind| kind.together = None);
    }
}

/// Says once that there is no sheet of this kind, unless every part of the group has been told of already.
fn no_stock(group: &Group<'_>, parts: &[Part], problems: &mut Problems) {
    let told = |id: &str| {
        problems
            .iter()
            .any(|p| matches!(p.code, "no-stock" | "not-in-stock") && p.part.as_deref() == Some(id))
    };
    let mut ids: Vec<&str> = group.kinds.iter().map(|kind| parts[kind.part].id.as_str()).collect();
    ids.dedup();
    ids.retain(|id| !told(id));
    let Some(&first) = ids.first() else { return };
    let (wood, thickness) = (group.wood, millimetres(group.thickness_mm));
    let message = format!("there is no sheet of {wood} {thickness} mm in stock for {}", listed(&ids));
    let hint =
        format!("add {wood} of {thickness} mm to the job's stock, or cut these parts from another wood");
    problems.push(Problem::error("no-stock", message).of_part(first).hint(hint));
}

fn fits_no_sheet(kind: &Kind, part: &Part, sizes: &[Size], room: Room) -> Problem {
    if let Some(pin) = kind.pin {
        let message = format!("where it is pinned, {} lies on no sheet within its margins", part.id);
        let hint =
            format!("'at' is the lower left corner of its bounds: move it from {}, {}", pin.at.x, pin.at.y);
        return Problem::error("pin-off-sheet", message).of_part(&part.id).at(part.at).hint(hint);
    }
    if sizes.iter().all(|size| size.quality < kind.quality) {
        let message = format!("{} asks for a sheet of quality {}", part.id, kind.quality);
        let hint = "give the stock its 'quality', or ask for less";
        return Problem::error("no-such-quality", message).of_part(&part.id).at(part.at).hint(hint);
    }
    let bounds = kind.ways[0].bounds;
    let (along, across) = (millimetres(bounds.width()), millimetres(bounds.height()));
    let which = if part.grain_deg.is_some() { "along the grain" } else { "long" };
    let other = if part.grain_deg.is_some() { "across it" } else { "wide" };
    let largest = sizes.iter().max_by(|a, b| (a.length * a.width).total_cmp(&(b.length * b.width)));
    let sheet = largest.map_or_else(String::new, |size| {
        let (length, width) = size.within(room);
        let (length, width) = (millimetres(length.max(0.0)), millimetres(width.max(0.0)));
        let whole = format!("{} x {} mm", millimetres(size.length), millimetres(size.width));
        let clear = if size.blocked.is_empty() { "" } else { ", less what is to be kept clear of" };
        format!("; the largest sheet, {whole}, has {length} x {width} mm within its margins{clear}")
    });
    let message = format!("{} is {along} mm {which} and {across} mm {other}{sheet}", part.id);
    Problem::error("fits-no-sheet", message)
        .of_part(&part.id)
        .on_layer(&part.layer)
        .at(part.at)
        .hint("add a larger sheet to the stock, turn the part's grain, or split the part")
}

/// Says what is pinned on a sheet that is never begun.
pub(super) fn tell_unlaid(group: &Group<'_>, sheets: &[Filled], parts: &[Part], problems: &mut Problems) {
    for (index, kind) in group.kinds.iter().enumerate() {
        let laid = sheets.iter().flat_map(|sheet| &sheet.puts).filter(|put| put.kind == index).count();
        if laid == kind.count as usize {
            continue;
        }
        let id = &parts[kind.part].id;
        let (message, hint) = match kind.pin {
            Some(pin) => (
                format!("{id} is pinned on sheet {}, but sheets before that stay empty", pin.sheet),
                "number the sheets of each wood and thickness from 1 on".to_owned(),
            ),
            None => (format!("{laid} of {} pieces of {id} found a place", kind.count), String::new()),
        };
        problems.push(Problem::error("not-laid", message).of_part(id).hint(hint));
    }
}

/// Says what found no sheet any more, and how many more sheets it takes.
pub(super) fn report(group: &Group<'_>, sheets: &[Filled], parts: &[Part], problems: &mut Problems) {
    let missing: Vec<&Filled> = sheets.iter().filter(|sheet| sheet.missing).collect();
    let puts = || missing.iter().flat_map(|sheet| &sheet.puts);
    let mut ids: Vec<&str> = puts().map(|put| parts[group.kinds[put.kind].part].id.as_str()).collect();
    let (pieces, all) = (ids.len(), sheets.iter().map(|sheet| sheet.puts.len()).sum::<usize>());
    if pieces == 0 {
        return;
    }
    ids.sort_unstable();
    ids.dedup();
    let area: f64 = puts().map(|put| group.kinds[put.kind].area).sum();
    let (wood, thickness) = (group.wood, millimetres(group.thickness_mm));
    let more = more_sheets(group, &missing);
    let message = format!(
        "stock of {wood} {thickness} mm is too small: {pieces} of {all} pieces ({}), {} cm2 of wood, find no place; \
         {more} missing",
        listed(&ids),
        millimetres((area / 100.0 * 10.0).round() / 10.0),
    );
    let hint = format!("raise the count of {wood} {thickness} mm in the job's stock, or add another size");
    problems.push(Problem::error("not-enough-stock", message).of_part(ids[0]).hint(hint));
}

/// `2 sheets of 1000 x 100 mm and 1 of 900 x 75 mm are`.
fn more_sheets(group: &Group<'_>, missing: &[&Filled]) -> String {
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    for sheet in missing {
        *counts.entry(sheet.size).or_default() += 1;
    }
    let texts: Vec<String> = counts
        .iter()
        .map(|(&size, count)| {
            let &Size { length, width, .. } = &group.sizes[size];
            let noun = if *count == 1 { "sheet" } else { "sheets" };
            format!("{count} {noun} of {} x {} mm", millimetres(length), millimetres(width))
        })
        .collect();
    let verb = if missing.len() == 1 { "is" } else { "are" };
    format!("{} {verb}", texts.join(" and "))
}

/// A few names, and how many more there are.
fn listed(ids: &[&str]) -> String {
    let shown = ids.iter().take(NAMES).copied().collect::<Vec<_>>().join(", ");
    match ids.len().saturating_sub(NAMES) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}
