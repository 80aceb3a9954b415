//! Ribs from sections, as drawings of their own: see [`RibSet`].
//!
//! Each set becomes one drawing: the ribs one below the other from the root on, each with its name as a text, its grain,
//! its station and an arrow that points up. The x axis runs back along the chord, and is the same for all ribs of a set.

mod block;
pub mod coordinates;
mod hole;
mod plan;
mod rib;
mod source;
mod spar;

use std::collections::BTreeMap;

use super::measured::label;
use super::{Drawing, Drawn, Found, Note, Role, Stroke, Text, join, joining};
use crate::geometry::{Chain, Outline, Point, Segment, Vec2, fit};
use crate::problem::{Problem, Problems};
use crate::stages::job::{Job, RibSet};
use crate::units::Unit;
use rib::{Blank, Rib};

/// Ribs lie this far apart in their drawing, mm: names are looked for in the material, not between.
const GAP: f64 = 8.0;

/// Height of the text that carries a rib's name, mm: it is read, not drawn.
const NAME: f64 = 4.0;

/// Upwards in a rib's drawing, degrees.
const UP: f64 = 90.0;

/// The drawings of all sets of a job. A set that cannot be made is a problem, and left out.
pub(super) fn read(job: &Job, problems: &mut Problems) -> Vec<Drawing> {
    job.ribs.iter().filter_map(|set| drawing(&mut Bench { set, job, problems })).collect()
}

/// Where a set is made, and what there is to say about it.
#[derive(Debug)]
struct Bench<'a> {
    set: &'a RibSet,
    job: &'a Job,
    problems: &'a mut Problems,
}

impl Bench<'_> {
    /// Notes what is wrong with the set.
    fn wrong(&mut self, code: &'static str, message: &str, hint: &str) {
        self.wrong_at(self.set.line, code, message, hint);
    }

    /// Notes what is wrong on a line of the job.
    fn wrong_at(&mut self, line: (usize, usize), code: &'static str, message: &str, hint: &str) {
        let problem = Problem::error(code, format!("ribs '{}': {message}", self.set.name)).hint(hint);
        self.problems.push(self.job.placed(problem, line));
    }

    /// Notes what is doubtful.
    fn doubt(&mut self, line: (usize, usize), code: &'static str, message: &str, hint: &str) {
        let problem = Problem::warning(code, format!("ribs '{}': {message}", self.set.name)).hint(hint);
        self.problems.push(self.job.placed(problem, line));
    }

    /// All pieces of the set.
    fn pieces(&mut self) -> Option<Vec<Rib>> {
        let set = self.set;
        let root = self.section(&set.root.section)?;
        let tip =
            if set.tip.section == set.root.section { root.clone() } else { self.section(&set.tip.section)? };
        let frames = self.frames()?;
        let blank = |(k, frame)| Blank::new(set, (&root, &tip), frame, k == 0);
        let blanks: Vec<Blank> = frames.iter().enumerate().map(blank).collect();
        if let Some(short) = blanks.iter().position(|blank| blank.ends().1 - blank.ends().0 < 1.0) {
            let message = format!("nothing is left of rib {} between its edges", short + 1);
            self.wrong("rib-edge", &message, "take less off at the leading or trailing edge");
            return None;
        }
        let cuts = self.cuts(&frames, &blanks)?;
        match set.block {
            Some(block) => self.block(block, &frames, &blanks, &cuts),
            None => self.ribs(&frames, &blanks, &cuts),
        }
    }
}

fn drawing(bench: &mut Bench<'_>) -> Option<Drawing> {
    let mut ribs = bench.pieces()?;
    block::apart(&mut ribs, GAP);
    let drawn = |curves: &[_]| Drawn {
        item: Stroke { curves: curves.to_vec(), closed: true },
        layer: String::new(),
        role: Role::Cut,
    };
    let loops = |rib: &Rib| -> Vec<_> {
        std::iter::once(&rib.outer).chain(&rib.holes).map(|curves| drawn(curves)).collect()
    };
    let holes = ribs.iter().map(|rib| rib.holes.len()).sum::<usize>();
    let mut used = BTreeMap::from([("rib".to_owned(), ribs.len())]);
    if holes > 0 {
        used.insert("hole".to_owned(), holes);
    }
    let found = Found {
        units: Unit::Millimetre,
        strokes: ribs.iter().flat_map(loops).collect(),
        texts: Vec::new(),
        points: Vec::new(),
        used,
        unused: BTreeMap::new(),
    };
    let file = format!("ribs {}", bench.set.name);
    let mut drawing = join::join(found, &file, joining(bench.job), bench.problems);
    for rib in &ribs {
        add_lines(&mut drawing, rib, bench.job.tolerance_mm);
    }
    Some(drawing)
}

/// Adds a rib's name, grain, station, and where its feet are broken off.
fn add_lines(drawing: &mut Drawing, rib: &Rib, tolerance: f64) {
    let layer = String::new;
    let line = |from: Point, to: Point| Chain::from_segments(&[Segment::line(from, to)]).ok();
    let outlines = std::iter::once(&rib.outer).chain(&rib.holes);
    let outlines: Vec<Outline> = outlines.filter_map(|curves| fit::outline(curves, tolerance).ok()).collect();
    let drawn = |item: &Outline| Drawn { item: item.clone(), layer: layer(), role: Role::Cut };
    let Some((at, room)) = label::place(&outlines.iter().map(drawn).collect::<Vec<_>>()) else { return };
    let mut add = |item: Option<Chain>, role: Role| {
        drawing.lines.extend(item.map(|item| Drawn { item, layer: layer(), role }));
    };
    for score in &rib.scores {
        add(line(score.from, score.to), Role::Score);
    }
    add(line(at - Vec2::new(room / 2.0, 0.0), at + Vec2::new(room / 2.0, 0.0)), Role::Grain);
    if let Some(station) = rib.station {
        let text = format!("{}", (station * 10.0).round() / 10.0);
        drawing.notes.push((at, Note { text, arrow_deg: UP }));
    }
    let text = Text { text: rib.name.clone(), at, height: NAME };
    drawing.texts.push(Drawn { item: text, layer: layer(), role: Role::Mark });
}

/// The segments of an outline counter-clockwise and of its holes clockwise.
fn alternating(outlines: &[Outline]) -> Vec<Segment> {
    let turned = outlines.iter().enumerate().map(|(k, outline)| outline.clone().wound(k == 0));
    turned.flat_map(|outline| outline.segments().collect::<Vec<_>>()).collect()
}
