//! Sheets with all that is done on them.

use std::fmt::Write as _;

use super::Scene;
use super::hatch::hatched;
use super::letters::{self, Words};
use super::page::{Key, Page, dashes, stroke};
use super::pen::{self, PathData, escaped, number};
use super::plan;
use crate::geometry::{Outline, Point, Rect, Region, Segment, Vec2, lettering, offset};
use crate::shop::LaserSetting;
use crate::stages::cut::{Cut, Operation, Path, Settings, SheetCuts, Tab};
use crate::stages::job::Clamp;
use crate::stages::part::Part;
use crate::stages::sheet::{Placed, Sheet};

/// The sheets of the scene, with their cuts where there are any.
pub(super) fn sheets<'a>(scene: &Scene<'a>) -> Vec<(&'a Sheet, Option<&'a SheetCuts>)> {
    if scene.cuts.is_empty() {
        scene.layout.sheets.iter().map(|sheet| (sheet, None)).collect()
    } else {
        scene.cuts.iter().map(|cuts| (&cuts.sheet, Some(cuts))).collect()
    }
}

/// Length of the longest sheet, mm.
pub(super) fn longest(scene: &Scene<'_>) -> f64 {
    sheets(scene).iter().map(|(sheet, _)| sheet.length_mm).fold(0.0, f64::max)
}

/// Draws all sheets.
pub(super) fn draw(scene: &Scene<'_>, page: &mut Page) {
    let sheets = sheets(scene);
    for &(sheet, cuts) in &sheets {
        let height = 1.2 * page.letter;
        page.words(&heading(sheet, cuts, sheets.len()), height, pen::INK);
        page.words(&facts(scene, sheet, cuts), 0.8 * height, pen::PENCIL);
        page.y += 0.4 * page.letter;
        let (x, y) = (number(page.border()), number(page.y + sheet.width_mm));
        let group =
            format!("<g id=\"sheet-{}\" transform=\"translate({x} {y}) scale(1 -1)\">\n", sheet.number);
        page.add(&group);
        page.add(&super::wood::blank(sheet.number, &sheet.wood, [sheet.length_mm, sheet.width_mm]));
        spoiled(sheet, page);
        pieces(scene, sheet, cuts, page);
        left(sheet, page);
        if let Some(cuts) = cuts {
            all_cuts(cuts, page);
        }
        depths(scene, sheet, page);
        flags(scene, sheet, page);
        page.add("</g>\n");
        page.explain(Key::Grain);
        page.y += sheet.width_mm + 2.5 * page.letter;
    }
}

/// Distance of the lines that hatch what is left, and what is to be kept clear of, mm.
const HATCH_MM: (f64, f64) = (6.0, 2.0);

/// What is not there of the sheet, and what is to be kept clear of.
fn spoiled(sheet: &Sheet, page: &mut Page) {
    let edge = Rect::new(0.0, 0.0, sheet.length_mm, sheet.width_mm);
    if let Some(outline) = &sheet.blank.outline {
        let around = Outline::rectangle(edge.inflate(0.5, 0.5));
        let beyond = PathData::of([&around, outline]);
        page.add(&beyond.element(&format!("fill=\"{}\" fill-rule=\"evenodd\"", pen::PAPER)));
        page.add(&PathData::of([outline]).element(&stroke(pen::GRAIN, 0.4, "")));
    }
    for zone in kept_clear(sheet) {
        let lines = hatched(&zone, HATCH_MM.1);
        page.add(&PathData::of([&zone]).element(&stroke(pen::ALARM, 0.3, "stroke-opacity=\"0.8\"")));
        page.add(&lines.element(&stroke(pen::ALARM, 0.15, "stroke-opacity=\"0.6\"")));
        page.explain(Key::Spoiled);
    }
}

/// What is to be kept clear of on a sheet: strips for clamps, then zones.
pub(super) fn kept_clear(sheet: &Sheet) -> Vec<Outline> {
    let edge = Rect::new(0.0, 0.0, sheet.length_mm, sheet.width_mm);
    let Clamp { left, right, bottom, top } = sheet.blank.clamp;
    let strips = [
        Rect::new(0.0, 0.0, left, edge.y1),
        Rect::new(edge.x1 - right, 0.0, edge.x1, edge.y1),
        Rect::new(0.0, 0.0, edge.x1, bottom),
        Rect::new(0.0, edge.y1 - top, edge.x1, edge.y1),
    ];
    let strips = strips.into_iter().filter(|strip| strip.area() > 0.0).map(Outline::rectangle);
    strips.chain(sheet.blank.avoid.iter().cloned()).collect()
}

/// What is left of the sheet.
fn left(sheet: &Sheet, page: &mut Page) {
    let Some(outline) = &sheet.remnant else { return };
    let look = stroke(pen::PENCIL, 0.35, &dashes(&[3.0, 2.0], 1.0));
    page.add(&format!(
        "<g><title>what is left of sheet {}, {} cm2</title>\n{}{}</g>\n",
        sheet.number,
        number((outline.area() / 10.0).round() / 10.0),
        PathData::of([outline]).element(&look),
        hatched(outline, HATCH_MM.0).element(&stroke(pen::PENCIL, 0.15, "stroke-opacity=\"0.6\""))
    ));
    page.explain(Key::Remnant);
}

fn heading(sheet: &Sheet, cuts: Option<&SheetCuts>, sheets: usize) -> String {
    let (length, width) = (number(sheet.length_mm), number(sheet.width_mm));
    let mut text = format!(
        "Sheet {} of {sheets}   {} {} mm   {length} x {width} mm",
        sheet.number,
        sheet.wood,
        number(sheet.thickness_mm)
    );
    if let Some(cuts) = cuts {
        let _ = write!(text, "   kerf {} mm", number(cuts.kerf_mm));
        if let Settings::Laser(LaserSetting { inside_more_mm, .. }) = cuts.settings
            && inside_more_mm != 0.0
        {
            let _ = write!(text, ", {} mm round holes", number(cuts.kerf_mm + inside_more_mm));
        }
    }
    text
}

fn facts(scene: &Scene<'_>, sheet: &Sheet, cuts: Option<&SheetCuts>) -> String {
    let area: f64 = sheet.placed.iter().map(|placed| scene.parts[placed.part].region.area()).sum();
    let used = 100.0 * area / sheet.area_mm2();
    let mut text = format!("{} pieces   {used:.0} % of the sheet", sheet.placed.len());
    if let Some(cuts) = cuts {
        let _ = write!(
            text,
            "   {:.1} m of cuts   {:.1} m of travel   about {}",
            cuts.cut_length_mm / 1000.0,
            cuts.travel_length_mm / 1000.0,
            duration(cuts.time_s)
        );
    }
    text
}

/// `3 min 20 s`.
pub(super) fn duration(seconds: f64) -> String {
    let whole = seconds.max(0.0).round() as u64;
    match (whole / 3600, whole / 60 % 60, whole % 60) {
        (0, 0, s) => format!("{s} s"),
        (0, m, s) => format!("{m} min {s} s"),
        (h, m, _) => format!("{h} h {m} min"),
    }
}

/// The pieces of a sheet: material, true outline, and the name where no mark gives it.
fn pieces(scene: &Scene<'_>, sheet: &Sheet, cuts: Option<&SheetCuts>, page: &mut Page) {
    page.explain(Key::Outline);
    let mut marked = vec![false; sheet.placed.len()];
    for cut in cuts.iter().flat_map(|cuts| &cuts.cuts).filter(|cut| cut.operation == Operation::Mark) {
        if let Some(marked) = marked.get_mut(cut.placed) {
            *marked = true;
        }
    }
    for (piece, (placed, marked)) in sheet.placed.iter().zip(marked).enumerate() {
        let part = &scene.parts[placed.part];
        let region = part.region.placed(&placed.placement);
        let mut text = format!("<g><title>{}</title>\n", escaped(&title(&part.id, placed, part.copies)));
        text.push_str(&material(&region, 0.12));
        let clip = format!("in-{}-{piece}", sheet.number);
        text.push_str(&recesses(part, placed, &region, &clip, page));
        if !marked {
            let at = placed.placement.point(part.at);
            text.push_str(&name(&part.id, at, &region, page.letter));
        }
        text.push_str("</g>\n");
        page.add(&text);
    }
}

/// What is milled into a piece, as far as that reaches, with how deep; `clip` names its edge.
fn recesses(part: &Part, placed: &Placed, region: &Region, clip: &str, page: &mut Page) -> String {
    if part.recesses.is_empty() {
        return String::new();
    }
    page.explain(Key::Recess);
    let edge = PathData::of(region.outlines());
    let mut text = format!("<clipPath id=\"{clip}\">{}</clipPath>\n", edge.element("clip-rule=\"evenodd\""));
    for recess in &part.recesses {
        let region = recess.region.placed(&placed.placement);
        let look = format!("clip-path=\"url(#{clip})\" fill-rule=\"evenodd\" {}", pen::RECESS_LOOK);
        text.push_str(&PathData::of(region.outlines()).element(&look));
    }
    text
}

/// How deep the recesses of a sheet are, over the ways that clear them.
fn depths(scene: &Scene<'_>, sheet: &Sheet, page: &mut Page) {
    for placed in &sheet.placed {
        let part = &scene.parts[placed.part];
        for recess in &part.recesses {
            let milled = offset::common(&recess.region, &part.region);
            let Some(largest) = milled.iter().max_by(|a, b| a.area().total_cmp(&b.area())) else { continue };
            let place = largest.placed(&placed.placement).bounds().center();
            let height = 0.7 * page.letter;
            let at = Point::new(place.x, place.y - height / 2.0);
            let text = number(recess.depth_mm);
            page.add(&Words { text: &text, at, height, colour: pen::INK }.haloed_up());
        }
    }
}

fn title(id: &str, placed: &Placed, copies: u32) -> String {
    let hand = if placed.placement.mirrored { ", other hand" } else { "" };
    if copies > 1 { format!("{id}, piece {} of {copies}{hand}", placed.copy) } else { format!("{id}{hand}") }
}

/// Material with its true outline.
pub(super) fn material(region: &Region, width: f64) -> String {
    let mut path = PathData::default();
    region.outlines().for_each(|outline| path.closed(outline.segments()));
    let fill = format!("fill=\"{}\" fill-opacity=\"0.82\" fill-rule=\"evenodd\"", pen::PART);
    path.element(&format!("{fill} {}", stroke(pen::INK, width, "")))
}

/// A name about a point of the material, as large as fits there and is not silly; y up.
pub(super) fn name(id: &str, at: Point, region: &Region, largest: f64) -> String {
    let room = 2.0 * region.distance(at);
    let height = (0.8 * region.bounds().width() / lettering::width(id, 1.0).max(0.1)).min(0.6 * room);
    let height = height.min(largest).max(0.8);
    let at = Point::new(at.x, at.y - height / 2.0);
    Words { text: id, at, height, colour: pen::INK }.centred_up()
}

/// The band that goes, tabs, marks, order and travel of a sheet.
fn all_cuts(sheet: &SheetCuts, page: &mut Page) {
    let width = sheet.kerf_mm;
    let (mut bands, mut tabs, mut rough) = <(PathData, PathData, PathData)>::default();
    let (mut marks, mut scores, mut travel) = <(PathData, PathData, PathData)>::default();
    let mut cleared = PathData::default();
    let mut order = PathData::default();
    let mut at = Point::ZERO;
    let (mut number, mut writing) = (0, None);
    for cut in &sheet.cuts {
        let segments = segments(&cut.path);
        let (Some(first), Some(last)) = (segments.first(), segments.last()) else { continue };
        // Hops between the strokes of one name would only hide it.
        let mark = (cut.operation == Operation::Mark).then_some(cut.placed);
        if mark.is_none() || mark != writing {
            travel.begin(at);
            travel.line(first.from);
        }
        (at, writing) = (last.to, mark);
        match cut.operation {
            Operation::Mark => marks.chain(segments),
            Operation::Score => scores.chain(segments),
            Operation::Recess => cleared.chain(segments),
            Operation::CutInside | Operation::CutOutside => {
                number += 1;
                order_number(number, first, page.letter, &mut order);
                band(&segments, cut, &mut bands, &mut tabs);
                for arc in [cut.lead.come, cut.lead.leave].into_iter().flatten() {
                    bands.chain([arc]);
                }
                if let Some(outline) = &cut.rough {
                    rough.closed(outline.segments());
                }
            }
        }
    }
    let (thin, wide) = (0.18, (2.0 * width).max(0.25 * page.letter));
    let butt = "stroke-linecap=\"butt\"";
    let lines = [
        (Key::Travel, travel, stroke(pen::PENCIL, thin, &dashes(&[1.0, 1.0], 6.0 * thin))),
        (Key::Rough, rough, stroke(pen::PENCIL, thin, &dashes(&[3.0, 1.0], 6.0 * thin))),
        (Key::Recess, cleared, stroke(pen::TAB, thin, "stroke-opacity=\"0.55\"")),
        (Key::Band, bands, stroke(pen::BAND, width, "stroke-opacity=\"0.6\" stroke-linecap=\"round\"")),
        (Key::Tab, tabs, stroke(pen::TAB, wide, butt)),
        (Key::Score, scores, stroke(pen::INK, 1.6 * thin, &dashes(&[6.0, 1.5, 1.0, 1.5], 4.0 * thin))),
        (Key::Mark, marks, stroke(pen::PENCIL, 1.2 * thin, "stroke-linecap=\"round\"")),
    ];
    for (key, path, attributes) in lines {
        if !path.is_empty() {
            page.explain(key);
            page.add(&path.element(&attributes));
        }
    }
    if !order.is_empty() {
        page.explain(Key::Order);
        page.add(&order.element(&letters::stroke(pen::TAB, order_height(page.letter))));
    }
}

fn segments(path: &Path) -> Vec<Segment> {
    match path {
        Path::Closed(outline) => outline.segments().collect(),
        Path::Open(chain) => chain.segments().collect(),
    }
}

/// Height of the numbers that give the order, mm: small, to be read by going near.
fn order_height(letter: f64) -> f64 {
    (0.28 * letter).clamp(0.9, 2.2)
}

/// Which of the cuts through this is, beside its beginning.
fn order_number(number: usize, first: &Segment, letter: f64, order: &mut PathData) {
    let tangent = first.tangent(0.0);
    let height = order_height(letter);
    let aside = Vec2::new(-tangent.y, tangent.x) * (0.9 * height);
    let at = first.from - aside - Vec2::new(0.0, height / 2.0);
    Words { text: &number.to_string(), at, height, colour: pen::TAB }.draw_centred_up(order);
}

/// The band of a cut through, without its tabs, and the tabs.
fn band(segments: &[Segment], cut: &Cut, bands: &mut PathData, tabs: &mut PathData) {
    if cut.tabs.is_empty() {
        match cut.path {
            Path::Closed(_) => bands.closed(segments.iter().copied()),
            Path::Open(_) => bands.chain(segments.iter().copied()),
        }
        return;
    }
    let mut from = 0.0;
    for Tab { from_mm, to_mm, .. } in &cut.tabs {
        bands.chain(stretch(segments, from, *from_mm));
        tabs.chain(stretch(segments, *from_mm, *to_mm));
        from = *to_mm;
    }
    bands.chain(stretch(segments, from, f64::INFINITY));
}

/// What lies between two lengths along the segments.
fn stretch(segments: &[Segment], from: f64, to: f64) -> Vec<Segment> {
    let mut begin = 0.0;
    let mut kept = Vec::new();
    for segment in segments {
        let length = segment.length();
        let share = |at: f64| ((at - begin) / length).clamp(0.0, 1.0);
        if length > 0.0 && share(from) < share(to) {
            kept.push(segment.between(share(from), share(to)));
        }
        begin += length;
    }
    kept
}

/// Flags at the places of problems, on the first piece of the part that each is about.
fn flags(scene: &Scene<'_>, sheet: &Sheet, page: &mut Page) {
    for (index, problem) in scene.problems.iter().enumerate() {
        let (Some(id), Some([x, y])) = (&problem.part, problem.at_mm) else { continue };
        let piece = sheet.placed.iter().find(|placed| scene.parts[placed.part].id == *id);
        if let Some(placed) = piece {
            let at = placed.placement.point(Point::new(x, y));
            page.explain(Key::Problem);
            page.add(&plan::flag(at, 0.8 * page.letter, Some(index + 1)));
        }
    }
}
