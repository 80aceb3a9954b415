//! The top of a job file. Its grammar:
//!
//! | key | value |
//! | --- | --- |
//! | `title` | a text |
//! | `units` | unit of the bare numbers in this file: `mm` (default), `inch` and others |
//! | `drawings` | a file, or a list of files and of maps of `file`, `units`, `px_per_inch`, `stretch` (see [`super::stretch`]) |
//! | `measured` | a list of pieces without a drawing, see [`super::measured`]; with it `drawings` may be left out |
//! | `ribs` | a list of sets of ribs from their sections, see [`super::ribs`]; with it `drawings` may be left out |
//! | `layers` | for each of `cut`, `score`, `mark`, `recess`, `grain`, `ignore` a pattern or a list of them, in place of the default; among those of `recess` maps of `layer` and `depth`, too |
//! | `parts` | a list of rules, see [`super::parts`]; without it every outline is taken |
//! | `fit` | what has to fit together, see [`super::fit`] |
//! | `stock` | a list of sheets, see [`super::stock`] |
//! | `machine` | a shipped machine's name, a file, or a map of `name` and `post` |
//! | `cutting` | what replaces the shop's values, see [`super::cutting`] |
//!
//! A length is a number in the file's unit, or a text with its own: `3/32 inch`.

use std::path::Path;

use super::{
    Depth, DrawingSource, Job, LayerRules, cutting, depth, fit, measured, parts, ribs, stock, stretch,
};
use crate::problem::Problems;
use crate::units::Unit;
use crate::yaml::{self, Fields, Node, Reader, What};

pub(super) const KEYS: [&str; 11] = [
    "title", "units", "drawings", "measured", "ribs", "layers", "parts", "fit", "stock", "machine", "cutting",
];

/// Keys that bring outlines without a drawing: with one of them a job needs no `drawings`.
pub(super) const OTHER_WAYS: [&str; 2] = ["measured", "ribs"];

pub(super) const DRAWING: [&str; 4] = ["file", "units", "px_per_inch", "stretch"];
pub(super) const LAYERS: [&str; 6] = ["cut", "score", "mark", "recess", "grain", "ignore"];
pub(super) const RECESS: [&str; 2] = ["layer", "depth"];
pub(super) const MACHINE: [&str; 2] = ["name", "post"];

/// More drawings than this no person lists in one job.
const MOST_DRAWINGS: usize = 1000;

/// Reads a job's text; see [`super::parse`].
pub(super) fn job(
    text: &str,
    file: &str,
    folder: &Path,
    woods: &[&str],
    problems: &mut Problems,
) -> Option<Job> {
    let node = yaml::parse(text, file, problems)?;
    let mut reader = Reader::new(file, problems);
    if node.what == What::Null {
        let hint = "a job names its drawings at least, such as 'drawings: [wing.dxf]'";
        reader.wrong("empty-job", (1, 1), "the job file is empty", hint);
        return None;
    }
    let mut fields = reader.map(node, "a job", &KEYS)?;
    let mut job = Job { file: Some(file.to_owned()), folder: folder.to_owned(), ..Job::default() };
    let unit = fields.take("units").and_then(|node| unit(node, &mut reader)).unwrap_or(Unit::Millimetre);
    if let Some(title) = fields.take("title").and_then(|node| reader.text(node, "title")) {
        title.trim().clone_into(&mut job.title);
    }
    job.drawings = drawings(&mut fields, unit, &mut reader);
    job.measured =
        fields.take("measured").map(|node| measured::pieces(node, unit, &mut reader)).unwrap_or_default();
    job.ribs = fields.take("ribs").map(|node| ribs::sets(node, unit, &mut reader)).unwrap_or_default();
    if let Some(node) = fields.take("layers") {
        job.layers = layers(node, unit, &mut reader);
    }
    job.parts = fields.take("parts").map(|node| parts::rules(node, unit, &job.drawings, &mut reader));
    job.fits = fields.take("fit").map(|node| fit::read(node, unit, woods, &mut reader)).unwrap_or_default();
    job.stock =
        fields.take("stock").map(|node| stock::sheets(node, unit, woods, &mut reader)).unwrap_or_default();
    if let Some(node) = fields.take("machine") {
        machine(node, &mut job, &mut reader);
    }
    if let Some(node) = fields.take("cutting") {
        cutting::read(node, unit, woods, &mut job, &mut reader);
    }
    Some(job)
}

fn unit(node: Node, reader: &mut Reader) -> Option<Unit> {
    let place = node.place;
    let word = reader.word(node, "units")?;
    let known = word.parse::<Unit>();
    if known.is_err() {
        let names = Unit::ALL.map(Unit::name);
        reader.unknown("unknown-unit", place, "a unit", &word, &names);
    }
    known.ok()
}

fn drawings(fields: &mut Fields, unit: Unit, reader: &mut Reader) -> Vec<DrawingSource> {
    if OTHER_WAYS.iter().any(|key| fields.place_of(key).is_some()) && fields.place_of("drawings").is_none() {
        return Vec::new();
    }
    let Some(node) = fields.need("drawings", "a job", reader) else { return Vec::new() };
    let place = node.place;
    let nodes = reader.one_or_more(node);
    if nodes.is_empty() {
        reader.wrong("out-of-range", place, "'drawings' names no file", "list at least one drawing");
    }
    if nodes.len() > MOST_DRAWINGS {
        let message =
            format!("'drawings' names {} files; no more than {MOST_DRAWINGS} are read", nodes.len());
        reader.wrong("out-of-range", place, message, "split the job");
    }
    let mut sources: Vec<DrawingSource> = Vec::new();
    for node in nodes.into_iter().take(MOST_DRAWINGS) {
        let place = node.place;
        let Some(source) = drawing(node, unit, &sources, reader) else { continue };
        if sources.iter().any(|other| other.file == source.file) {
            let message = format!("the drawing '{}' is named twice", source.file);
            reader.wrong(
                "duplicate-drawing",
                place,
                message,
                "to cut more of it, give 'copies' to its parts",
            );
            continue;
        }
        sources.push(source);
    }
    sources
}

fn drawing(
    node: Node,
    length_unit: Unit,
    before: &[DrawingSource],
    reader: &mut Reader,
) -> Option<DrawingSource> {
    if !matches!(node.what, What::Map(_)) {
        return reader.word(node, "drawings").map(DrawingSource::of);
    }
    let mut fields = reader.map(node, "a drawing", &DRAWING)?;
    let file = fields.need("file", "a drawing", reader).and_then(|node| reader.word(node, "file"));
    let units = fields.take("units").and_then(|node| unit(node, reader));
    let pixels = fields.take("px_per_inch").and_then(|node| reader.number(&node, "px_per_inch", 1.0..=1e4));
    let stretch = fields.take("stretch").and_then(|node| stretch::read(node, length_unit, before, reader));
    let mut source = DrawingSource::of(file?);
    source.stretch = stretch;
    source.units = units;
    source.px_per_inch = pixels.unwrap_or(source.px_per_inch);
    Some(source)
}

fn layers(node: Node, unit: Unit, reader: &mut Reader) -> LayerRules {
    let mut rules = LayerRules::default();
    let Some(mut fields) = reader.map(node, "layers", &LAYERS) else {
        return rules;
    };
    let lists = [
        ("cut", &mut rules.cut),
        ("score", &mut rules.score),
        ("mark", &mut rules.mark),
        ("grain", &mut rules.grain),
        ("ignore", &mut rules.ignore),
    ];
    for (key, list) in lists {
        if let Some(node) = fields.take(key) {
            *list = reader.words(node, key);
        }
    }
    if let Some(node) = fields.take("recess") {
        rules.recess = recesses(node, unit, reader);
    }
    rules
}

/// Patterns over the layers of recesses: those that say no depth of their own together.
fn recesses(node: Node, unit: Unit, reader: &mut Reader) -> Vec<(Vec<String>, Depth)> {
    let (mut plain, mut own) = (Vec::new(), Vec::new());
    for node in reader.one_or_more(node) {
        if !matches!(node.what, What::Map(_)) {
            plain.extend(reader.word(node, "recess"));
            continue;
        }
        let Some(mut fields) = reader.map(node, "a layer of recesses", &RECESS) else { continue };
        let layers = fields.need("layer", "a layer of recesses", reader);
        let layers = layers.map(|node| reader.words(node, "layer")).unwrap_or_default();
        let depth = fields.take("depth").and_then(|node| depth::read(&node, "depth", unit, reader));
        own.push((layers, depth.unwrap_or_default()));
    }
    own.push((plain, Depth::Asked));
    own
}

fn machine(node: Node, job: &mut Job, reader: &mut Reader) {
    if !matches!(node.what, What::Map(_)) {
        if let Some(name) = reader.word(node, "machine") {
            job.machine = name;
        }
        return;
    }
    let Some(mut fields) = reader.map(node, "machine", &MACHINE) else { return };
    if let Some(name) = fields.take("name").and_then(|node| reader.word(node, "name")) {
        job.machine = name;
    }
    job.post = fields.take("post").and_then(|node| reader.word(node, "post"));
}
