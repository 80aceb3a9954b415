//! One file on its sheet: the parts as drawn, the band that goes, tabs and marks, and where it is worst.

use super::worst::{self, Measure, figure};
use super::{Shown, lens};
use crate::geometry::{Point, Rect, Segment, lettering};
use crate::stages::cut::Operation;
use crate::stages::picture::letters::Words;
use crate::stages::picture::page::{Key, Page, dashes, stroke};
use crate::stages::picture::pen::{self, PathData, number};
use crate::stages::picture::{board, plan as flags, wood};
use crate::stages::proof::{Does, FileProof, Kind, Plan, Trace};

/// Heights this near are one, mm: what a coarse post rounds away.
const SAME_HEIGHT_MM: f64 = 0.006;

/// How many problems of a file are flagged on its sheet: more would hide it.
const FLAGS: usize = 200;

/// A line that is only drawn, mm wide.
const THIN_MM: f64 = 0.18;

/// What is shown of a file: its sheet, or where that is not known all that it touches.
pub(super) fn size(file: &FileProof) -> Rect {
    let origin = Rect::from_points(Point::ZERO, Point::ZERO);
    match &file.plan {
        Some(plan) if file.sheet.is_some() => Rect::new(0.0, 0.0, plan.size_mm[0], plan.size_mm[1]),
        _ => file.totals.bounds.map_or(origin, |bounds| bounds.union(origin)),
    }
}

/// Draws one file.
pub(super) fn draw(shown: &Shown<'_>, kerf_mm: Option<f64>, page: &mut Page) {
    let (file, plan) = (shown.file, shown.file.plan.as_deref());
    let size = size(file);
    page.words(&heading(file, plan), 1.2 * page.letter, pen::INK);
    page.words(&facts(shown), 0.8 * 1.2 * page.letter, pen::PENCIL);
    page.y += 1.6 * page.letter;
    let (x, y) = (number(page.border() - size.x0), number(page.y + size.y1));
    page.add(&format!("<g transform=\"translate({x} {y}) scale(1 -1)\">\n"));
    match plan {
        Some(plan) => {
            page.add(&format!("<g transform=\"translate({} {})\">\n", number(size.x0), number(size.y0)));
            page.add(&wood::blank(plan.sheet, &plan.wood, [size.width(), size.height()]));
            page.add("</g>\n");
            page.explain(Key::Grain);
            wanted(file, plan, page);
        }
        None => page.add(&bare(size, page.letter)),
    }
    cut(file, plan, kerf_mm.or(plan.map(|plan| plan.kerf_mm)), page);
    places(shown, page);
    page.add("</g>\n");
    page.y += size.height() + 2.0 * page.letter;
    if let Some(plan) = plan {
        lens::draw(shown, plan, page);
    }
    page.y += page.letter;
}

fn heading(file: &FileProof, plan: Option<&Plan>) -> String {
    let Some(plan) = plan else { return file.file.clone() };
    let sheet = match file.sheet {
        Some(sheet) => {
            let [length, width] = plan.size_mm.map(number);
            format!("sheet {sheet}   {length} x {width} mm")
        }
        None => "pieces placed by best fit".to_owned(),
    };
    format!(
        "{}   {sheet}   {} {} mm   kerf {} mm",
        file.file,
        plan.wood,
        number(plan.thickness_mm),
        number(plan.kerf_mm)
    )
}

fn facts(shown: &Shown<'_>) -> String {
    let file = shown.file;
    let mut facts = vec![format!("{} pieces", file.pieces.len())];
    for measure in Measure::BOTH {
        if let Some((_, worst)) = measure.worst(file) {
            facts.push(format!("{} at most {} mm", measure.word(), figure(worst.mm)));
        }
    }
    facts.push(format!("{} tabs", file.cutting.tabs.len()));
    let corners: usize = file.pieces.iter().map(|piece| piece.unreachable_corners).sum();
    if corners > 0 {
        facts.push(format!("{corners} corners stay round"));
    }
    if file.plan.is_some() && file.ok() && shown.of > 1 {
        facts.push(format!("the farthest off of {} files", shown.of));
    }
    facts.join("   ")
}

/// Where there is no sheet: the edge of all that is touched, and the origin.
fn bare(size: Rect, letter: f64) -> String {
    let (mut edge, mut origin) = (PathData::default(), PathData::default());
    edge.closed(crate::geometry::Outline::rectangle(size).segments());
    for arm in [Point::new(letter, 0.0), Point::new(0.0, letter)] {
        origin.begin(Point::ZERO - arm.to_vec2());
        origin.line(arm);
    }
    let dashed = stroke(pen::PENCIL, THIN_MM, &dashes(&[1.0, 1.0], 6.0 * THIN_MM));
    edge.element(&dashed) + &origin.element(&stroke(pen::INK, THIN_MM, ""))
}

/// The pieces as they are drawn; those that the file does not mark with their name.
fn wanted(file: &FileProof, plan: &Plan, page: &mut Page) {
    page.explain(Key::Outline);
    let marks =
        file.cutting.traces.iter().enumerate().filter(|(i, trace)| kind(file, *i, trace) == Kind::Mark);
    let begins: Vec<Point> = marks.map(|(_, trace)| trace.begin()).collect();
    for wanted in &plan.pieces {
        let bounds = wanted.region.bounds();
        let title = format!("<g><title>{}, piece {}</title>\n", pen::escaped(&wanted.id), wanted.copy);
        page.add(&title);
        page.add(&board::material(&wanted.region, 0.12));
        if !begins.iter().any(|begin| bounds.contains(*begin)) {
            page.add(&board::name(&wanted.id, wanted.at, &wanted.region, page.letter));
        }
        page.add("</g>\n");
    }
}

/// What a trace is there for; where nothing was held against a plan, what it says itself.
fn kind(file: &FileProof, number: usize, trace: &Trace) -> Kind {
    file.cutting.kinds.get(number).copied().unwrap_or(match &trace.does {
        Does::Says(Operation::Mark) => Kind::Mark,
        Does::Says(Operation::Score) => Kind::Score,
        _ => Kind::Through,
    })
}

/// Calls with every segment that goes through the wood, each once where passes follow each other.
pub(super) fn through(file: &FileProof, thickness_mm: Option<f64>, each: impl FnMut(Segment)) {
    split(file, thickness_mm, each, |_| {});
}

/// Calls with the segments that go through, and with those that do not but are neither score nor mark.
fn split(
    file: &FileProof,
    thickness_mm: Option<f64>,
    mut deep: impl FnMut(Segment),
    mut upper: impl FnMut(Segment),
) {
    let mut before: Option<&Trace> = None;
    for (i, trace) in file.cutting.traces.iter().enumerate() {
        let kind = kind(file, i, trace);
        let again = before.is_some_and(|before| before.corners == trace.corners);
        before = Some(trace);
        if again || !matches!(kind, Kind::Through | Kind::Upper | Kind::Recess) {
            continue;
        }
        let bottom = match thickness_mm {
            Some(thickness) if trace.does == Does::Mills => SAME_HEIGHT_MM - thickness,
            _ => f64::INFINITY,
        };
        for (segment, z) in trace.segments() {
            let is_through = kind == Kind::Through && z[0].max(z[1]) <= bottom;
            if is_through { deep(segment) } else { upper(segment) }
        }
    }
}

/// Path data of segments that mostly follow each other.
#[derive(Default)]
struct Pen {
    path: PathData,
    at: Option<Point>,
}

impl Pen {
    fn draw(&mut self, segment: &Segment) {
        if self.at != Some(segment.from) {
            self.path.begin(segment.from);
        }
        self.path.along(segment);
        self.at = Some(segment.to);
    }
}

/// The band, tabs, scores and marks of a file.
fn cut(file: &FileProof, plan: Option<&Plan>, kerf_mm: Option<f64>, page: &mut Page) {
    let (mut deep, mut upper, mut tabs) = <(Pen, Pen, Pen)>::default();
    let (mut scores, mut marks) = <(Pen, Pen)>::default();
    let thickness = plan.map(|plan| plan.thickness_mm);
    split(file, thickness, |segment| deep.draw(&segment), |segment| upper.draw(&segment));
    file.cutting.tabs.iter().flatten().for_each(|segment| tabs.draw(segment));
    for (i, trace) in file.cutting.traces.iter().enumerate() {
        match kind(file, i, trace) {
            Kind::Score => trace.segments().for_each(|(segment, _)| scores.draw(&segment)),
            Kind::Mark => trace.segments().for_each(|(segment, _)| marks.draw(&segment)),
            Kind::Through | Kind::Upper | Kind::Recess => {}
        }
    }
    let width = kerf_mm.unwrap_or(THIN_MM).max(0.01);
    let lines = [
        (Key::Upper, upper, stroke(pen::SWEPT, width, pen::UPPER_LOOK)),
        (Key::Swept, deep, stroke(pen::SWEPT, width, pen::SWEPT_LOOK)),
        (Key::Tab, tabs, stroke(pen::TAB, (2.0 * width).max(0.25 * page.letter), "stroke-linecap=\"butt\"")),
        (Key::Score, scores, stroke(pen::INK, 1.6 * THIN_MM, &dashes(&[6.0, 1.5, 1.0, 1.5], 4.0 * THIN_MM))),
        (Key::Mark, marks, stroke(pen::INK, 1.2 * THIN_MM, "stroke-linecap=\"round\"")),
    ];
    for (key, Pen { path, .. }, attributes) in lines {
        if !path.is_empty() {
            page.explain(key);
            page.add(&path.element(&attributes));
        }
    }
}

/// Pins at the worst places, and flags at the problems.
fn places(shown: &Shown<'_>, page: &mut Page) {
    for measure in Measure::BOTH {
        if let Some((_, worst)) = measure.worst(shown.file) {
            page.explain(Key::Worst(measure));
            page.add(&worst::pinned(&worst, measure, page.letter));
        }
    }
    for (at, numbers) in flagged(shown, page.letter) {
        page.explain(Key::Problem);
        page.add(&flags::flag(at, 0.7 * page.letter, None));
        let text = numbers.iter().map(usize::to_string).collect::<Vec<_>>().join(", ");
        let aside = lettering::width(&text, page.letter) / 2.0 + 1.1 * page.letter;
        let at = Point::new(at.x - aside, at.y - 0.5 * page.letter);
        page.add(&Words { text: &text, at, height: page.letter, colour: pen::ALARM }.haloed_up());
    }
}

/// Places of problems with their numbers; problems nearer to each other than their numbers are wide share a flag.
fn flagged(shown: &Shown<'_>, letter: f64) -> Vec<(Point, Vec<usize>)> {
    let mut flagged: Vec<(Point, Vec<usize>)> = Vec::new();
    for (i, problem) in shown.file.problems.iter().enumerate().take(FLAGS) {
        let Some([x, y]) = problem.at_mm else { continue };
        let (at, number) = (Point::new(x, y), shown.first_problem + i + 1);
        match flagged.iter_mut().find(|(place, _)| place.distance(at) < 2.0 * letter) {
            Some((_, numbers)) => numbers.push(number),
            None => flagged.push((at, vec![number])),
        }
    }
    flagged
}
