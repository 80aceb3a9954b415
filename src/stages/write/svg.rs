//! SVG at true size in millimetres, after W3C's SVG 1.1: one group per operation, arcs as arcs. y points down there, so
//! a point that lies at height y on the sheet is written at the sheet's width less y.

use std::f64::consts::TAU;
use std::fmt::Write as _;

use super::decimal::{fits, short};
use super::shape::{self, Shape};
use super::{Written, plain};
use crate::geometry::{Point, Segment};
use crate::problem::{Problem, Problems};
use crate::shop::Machine;
use crate::stages::cut::{Cut, SheetCuts};
use crate::stages::job::Job;
use crate::stages::part::Part;

/// Longest arc of one command, radians: an arc is given by its ends and radius, and near a half circle a small error
/// in the radius moves the middle far.
const LONGEST: f64 = TAU / 3.0;

/// Width of the lines, mm: thin enough for the machines that cut only hairlines (common practice, no source).
pub(super) const STROKE_MM: &str = "0.01";

/// Writes one sheet; none where a coordinate cannot be written.
pub(super) fn file(
    cuts: &SheetCuts,
    parts: &[Part],
    job: &Job,
    machine: &Machine,
    name: String,
    problems: &mut Problems,
) -> Option<Written> {
    let extents = shape::extents(cuts).unwrap_or([Point::ZERO, Point::ZERO]);
    if !extents.iter().all(|p| fits(p.x) && fits(p.y)) {
        let message = "a coordinate is too large to be written";
        problems.push(
            Problem::error("number-out-of-range", message).in_file(&name).hint("the file is not written"),
        );
        return None;
    }
    let mut text = String::new();
    head(&mut text, cuts, job, machine);
    let mut ids: Vec<String> = Vec::new();
    for operation in shape::OPERATIONS {
        let cuts_of: Vec<&Cut> = cuts.cuts.iter().filter(|cut| cut.operation == operation).collect();
        if cuts_of.is_empty() {
            continue;
        }
        let style = shape::style_of(&machine.layers, operation);
        let id = unused(&id(&style.name), &ids);
        let colour = escaped(&style.svg_colour);
        let _ = writeln!(text, "  <g id=\"{id}\" stroke=\"{colour}\">");
        for cut in cuts_of {
            drawn(&mut text, cut, cuts, parts);
        }
        text.push_str("  </g>\n");
        ids.push(id);
    }
    text.push_str("</svg>\n");
    Some(Written { name, sheet: Some(cuts.sheet.number), bytes: text.into_bytes() })
}

fn head(text: &mut String, cuts: &SheetCuts, job: &Job, machine: &Machine) {
    let sheet = &cuts.sheet;
    let (length, width) = (short(sheet.length_mm), short(sheet.width_mm));
    let title = escaped(&format!("{}, sheet {}", job.title, sheet.number));
    let wood = escaped(&format!(
        "{} {} mm, {length} x {width} mm, grain along x, kerf {} mm. {}",
        sheet.wood,
        short(sheet.thickness_mm),
        short(cuts.kerf_mm),
        super::cautions(&machine.tool).join(" ")
    ));
    let _ = writeln!(text, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>");
    let _ = writeln!(
        text,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{length}mm\" height=\"{width}mm\" \
         viewBox=\"0 0 {length} {width}\" fill=\"none\" stroke-width=\"{STROKE_MM}\">"
    );
    let _ = writeln!(text, "  <title>{title}</title>\n  <desc>{wood}</desc>");
}

fn drawn(text: &mut String, cut: &Cut, cuts: &SheetCuts, parts: &[Part]) {
    let part = cuts.sheet.placed.get(cut.placed).and_then(|placed| parts.get(placed.part));
    let part = part.map(|part| format!(" data-part=\"{}\"", escaped(&part.id))).unwrap_or_default();
    let height = cuts.sheet.width_mm;
    for shape in shape::shapes(cut) {
        let _ = match shape {
            Shape::Circle { centre, radius } => writeln!(
                text,
                "    <circle cx=\"{}\" cy=\"{}\" r=\"{}\"{part}/>",
                short(centre.x),
                short(height - centre.y),
                short(radius)
            ),
            Shape::Closed(segments) => {
                writeln!(text, "    <path d=\"{} Z\"{part}/>", path(&segments, height))
            }
            Shape::Open(segments) => writeln!(text, "    <path d=\"{}\"{part}/>", path(&segments, height)),
        };
    }
}

/// The commands of a path.
pub(super) fn path(segments: &[Segment], height: f64) -> String {
    let at = |p: Point| format!("{} {}", short(p.x), short(height - p.y));
    let mut text = segments.first().map(|s| format!("M {}", at(s.from))).unwrap_or_default();
    for segment in segments {
        if segment.is_line() {
            let _ = write!(text, " L {}", at(segment.to));
            continue;
        }
        let pieces = (segment.sweep().abs() / LONGEST).ceil().max(1.0);
        let radius = short(segment.radius());
        // y points down: what runs counter-clockwise on the sheet runs against the sense that flag 1 stands for.
        let flag = u8::from(segment.bulge < 0.0);
        for i in 1..=pieces as usize {
            let _ = write!(text, " A {radius} {radius} 0 0 {flag} {}", at(segment.at(i as f64 / pieces)));
        }
    }
    text
}

/// Text that XML can hold: one line, the five special characters escaped, characters that XML 1.0 forbids left out.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in plain::one_line(text).chars().filter(|c| !matches!(c, '\u{fffe}' | '\u{ffff}')) {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&apos;"),
            c => out.push(c),
        }
    }
    out
}

/// A name as an XML id: letters, digits, `-`, `_` and `.`, begun by a letter.
fn id(name: &str) -> String {
    let safe: String = name
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.') { c } else { '_' })
        .collect();
    if safe.starts_with(|c: char| c.is_ascii_alphabetic()) { safe } else { format!("layer-{safe}") }
}

/// `id`, numbered where another group has it already.
fn unused(id: &str, taken: &[String]) -> String {
    let mut found = id.to_owned();
    let mut n = 2;
    while taken.contains(&found) {
        found = format!("{id}-{n}");
        n += 1;
    }
    found
}
