//! What was found in drawings, as the text of a job file to begin from.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::Part;
use crate::stages::drawing::Drawing;
use crate::stages::job::{
    DEFAULT_JOIN, DEFAULT_PX_PER_INCH, DEFAULT_TOLERANCE, DrawingSource, Job, LayerRules, Stock,
};

/// Wood and thickness that stand in the text until the person says better: a sheet that every model shop has.
const PLACEHOLDER: (&str, f64) = ("balsa-medium", 3.0);

/// Length and width in millimetres of the sheet that stands in the text until the person says better: balsa is sold so.
const SHEET: (f64, f64) = (1000.0, 100.0);

/// The text of a job file in which every part that was found stands by its name, with its size as a comment. `job` is
/// what the flags said: drawings, layers, machine, wood, stock.
pub fn text(job: &Job, drawings: &[Drawing], parts: &[Part]) -> String {
    let mut text = String::new();
    head(&mut text, job);
    listed(&mut text, job, drawings);
    layers(&mut text, &job.layers);
    rules(&mut text, job, drawings, parts);
    stock(&mut text, job, parts);
    cutting(&mut text, job);
    text
}

fn line(text: &mut String, line: &str) {
    text.push_str(line);
    text.push('\n');
}

fn head(text: &mut String, job: &Job) {
    line(text, "# A job for Grainwise: what to cut, from what, on which machine.");
    line(text, "#   grainwise check THIS-FILE   says what is still missing");
    line(text, "#   grainwise make THIS-FILE -o FOLDER   writes the files to cut");
    let title = if job.title.is_empty() { "A new job" } else { &job.title };
    let _ = writeln!(text, "title: {}", quoted(title));
    match &job.post {
        None => line(text, &format!("machine: {}", quoted(&job.machine))),
        Some(post) => {
            let _ = writeln!(text, "machine: {{ name: {}, post: {} }}", quoted(&job.machine), quoted(post));
        }
    }
}

/// A text between quotation marks, as YAML and JSON have it.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// A number without needless digits.
fn number(value: f64) -> String {
    let rounded = format!("{value:.4}");
    rounded.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn listed(text: &mut String, job: &Job, drawings: &[Drawing]) {
    line(
        text,
        "\n# Where the outlines come from. `units` is for a file that does not say, or is wrong.\ndrawings:",
    );
    for source in &job.drawings {
        let found = drawings.iter().find(|drawing| drawing.file == source.file);
        let comment = found.map_or_else(
            || "could not be read".to_owned(),
            |drawing| format!("{} outlines, drawn in {}", drawing.outlines.len(), drawing.units),
        );
        let _ = writeln!(text, "  - {} # {comment}", entry(source));
    }
}

fn entry(source: &DrawingSource) -> String {
    let mut keys = vec![format!("file: {}", quoted(&source.file))];
    keys.extend(source.units.map(|unit| format!("units: {unit}")));
    if (source.px_per_inch - DEFAULT_PX_PER_INCH).abs() > 1e-9 {
        keys.push(format!("px_per_inch: {}", number(source.px_per_inch)));
    }
    if keys.len() == 1 { quoted(&source.file) } else { format!("{{ {} }}", keys.join(", ")) }
}

fn layers(text: &mut String, rules: &LayerRules) {
    line(
        text,
        "\n# What lines mean, by patterns over layer names, or colours (\"#ff0000\", \"colour:1\" for a DXF number).\n\
         # The first list that matches counts, in the order ignore, grain, mark, score, recess, cut.\nlayers:",
    );
    let lists = [
        ("cut", &rules.cut),
        ("score", &rules.score),
        ("mark", &rules.mark),
        ("grain", &rules.grain),
        ("ignore", &rules.ignore),
    ];
    for (key, patterns) in lists {
        let patterns: Vec<String> = patterns.iter().map(|p| quoted(p)).collect();
        let _ = writeln!(text, "  {key}: [{}]", patterns.join(", "));
    }
    let recesses = rules.recess.iter().flat_map(|(patterns, _)| patterns);
    let patterns: Vec<String> = recesses.map(|p| quoted(p)).collect();
    let _ = writeln!(text, "  recess: [{}] # milled to a depth, by a router", patterns.join(", "));
}

fn rules(text: &mut String, job: &Job, drawings: &[Drawing], parts: &[Part]) {
    line(
        text,
        "\n# Every outline that was found, by its name: the text in it, else a number in reading order. `name` may be a\n\
         # pattern (\"R*\"). `copies` are pieces as drawn, `mirrored` more of the other hand, `pairs: 1` one of each.\n\
         # Further keys: grain (along, free, or degrees), tabs (a number, or places), mark: false, skip: true.",
    );
    if job.default_part.wood.is_none() || job.default_part.thickness_mm.is_none() {
        line(
            text,
            "# Wood and thickness are placeholders where nothing was said: put in what each part is cut from.",
        );
    }
    if parts.is_empty() {
        line(
            text,
            "# No outline was found, so that there is no `parts:` here: every outline would be taken.",
        );
        return;
    }
    line(text, "parts:");
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for part in parts {
        let named = drawn_name(part, parts, drawings);
        let count = seen.entry(named).or_default();
        *count += 1;
        if *count == 1 {
            line(text, &rule(part, named, job));
        } else {
            let at = format!("({:.1}, {:.1})", part.at.x, part.at.y);
            line(
                text,
                &format!(
                    "  # {} is drawn again at {at}: give it a name of its own in the drawing",
                    quoted(named)
                ),
            );
        }
    }
}

/// The name in the drawing of a part that got a number behind its name because another has the same.
fn drawn_name<'p>(part: &'p Part, parts: &'p [Part], drawings: &[Drawing]) -> &'p str {
    let written = drawings[part.drawing].texts.iter().any(|text| text.item.text.contains(&part.id));
    let numbered =
        part.id.rsplit_once('-').filter(|(_, number)| number.parse::<usize>().is_ok_and(|n| n >= 2));
    let first = numbered.map(|(name, _)| name).filter(|name| parts.iter().any(|other| other.id == *name));
    first.filter(|_| !written).unwrap_or(&part.id)
}

fn rule(part: &Part, name: &str, job: &Job) -> String {
    let (wood, thickness) = material(part, job);
    let pattern = globset::escape(name);
    let mut keys = vec![
        format!("name: {}", quoted(&pattern)),
        format!("wood: {}", quoted(&wood)),
        format!("thickness: {}", number(thickness)),
        format!("copies: {}", part.copies.saturating_sub(part.mirrored)),
    ];
    if part.mirrored > 0 {
        keys.push(format!("mirrored: {}", part.mirrored));
    }
    format!("  - {{ {} }} # {}", keys.join(", "), described(part))
}

fn described(part: &Part) -> String {
    let bounds = part.region.bounds();
    let mut told = format!("{:.1} x {:.1} mm", bounds.width(), bounds.height());
    match part.region.holes().len() {
        0 => {}
        1 => told.push_str(", 1 hole"),
        holes => {
            let _ = write!(told, ", {holes} holes");
        }
    }
    if let Some(degrees) = part.grain_deg {
        let _ = write!(told, ", grain at {degrees:.1} degrees");
    }
    told
}

fn material(part: &Part, job: &Job) -> (String, f64) {
    let in_stock = job.stock.first();
    let wood = Some(part.wood.clone()).filter(|wood| !wood.is_empty());
    let wood = wood.or_else(|| in_stock.map(|s| s.wood.clone())).unwrap_or_else(|| PLACEHOLDER.0.to_owned());
    let thickness = Some(part.thickness_mm).filter(|mm| *mm > 0.0);
    let thickness = thickness.or_else(|| in_stock.map(|s| s.thickness_mm)).unwrap_or(PLACEHOLDER.1);
    (wood, thickness)
}

fn stock(text: &mut String, job: &Job, parts: &[Part]) {
    line(
        text,
        "\n# Sheets on the shelf, LENGTHxWIDTH in mm, the grain along LENGTH; without `count`, as many as it takes.",
    );
    let mut sheets: Vec<Stock> = job.stock.clone();
    if sheets.is_empty() {
        line(text, "# The size is a placeholder: put in what you have.");
    }
    for part in parts {
        let (wood, thickness_mm) = material(part, job);
        if !sheets.iter().any(|stock| stock.is_of(&wood, thickness_mm)) {
            sheets.push(Stock::new(wood, thickness_mm, (SHEET.0, SHEET.1)));
        }
    }
    if !sheets.is_empty() {
        line(text, "stock:");
    }
    for s in &sheets {
        let count = s.count.map_or_else(String::new, |count| format!(", count: {count}"));
        let _ = writeln!(
            text,
            "  - {{ wood: {}, thickness: {}, sheet: {}x{}{count} }}",
            quoted(&s.wood),
            number(s.thickness_mm),
            number(s.length_mm),
            number(s.width_mm)
        );
    }
}

fn cutting(text: &mut String, job: &Job) {
    let c = &job.cutting;
    let lengths = [
        ("kerf", c.kerf_mm),
        ("cutter", c.cutter_mm),
        ("tab_width", c.tab_width_mm),
        ("spacing", c.spacing_mm),
        ("margin", c.margin_mm),
        ("join", Some(job.join_mm).filter(|mm| (mm - DEFAULT_JOIN).abs() > 1e-12)),
        ("tolerance", Some(job.tolerance_mm).filter(|mm| (mm - DEFAULT_TOLERANCE).abs() > 1e-12)),
    ];
    line(
        text,
        "\n# What replaces the shop's values, such as kerf, cutter, tabs, spacing, margin, join, tolerance (mm).",
    );
    let mut keys: Vec<String> =
        lengths.iter().filter_map(|(key, value)| Some(format!("  {key}: {}", number((*value)?)))).collect();
    keys.extend(c.tabs.map(|tabs| format!("  tabs: {tabs}")));
    if keys.is_empty() {
        line(text, "# cutting:\n#   kerf: 0.18");
    } else {
        line(text, "cutting:");
        for key in &keys {
            line(text, key);
        }
    }
}
