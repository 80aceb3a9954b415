//! Names and grain arrows of a sheet's pieces: inside where they fit, else beside the piece on waste, and what is told
//! about those that are not inside.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;
use static_aabb2d_index::{StaticAABB2DIndex, StaticAABB2DIndexBuilder};

use crate::geometry::{Chain, Placement, Point, Rect, Region, Vec2, offset, trig};
use crate::problem::{Problem, Problems};
use crate::stages::drawing::Note;
use crate::stages::part::Part;
use crate::stages::sheet::{Layout, Placed, Sheet};

use super::marks::{self, Marking, Where};
use super::means::Means;

/// A cutter wider than this share of the letters' height fills them in: such names are left out.
const BOLDEST: f64 = 0.25;

/// What stands beside a piece keeps this far from every cut, mm.
const BESIDE_MM: f64 = 0.8;

/// So many names are told one by one.
const TOLD: usize = 8;

/// A part as it lies: index, mirrored, and turn in millionths of a degree.
type Lie = (usize, bool, i64);

fn lie(placed: &Placed) -> Lie {
    let turn = placed.placement.turn_deg.rem_euclid(360.0);
    (placed.part, placed.placement.mirrored, (turn * 1e6).round() as i64)
}

/// What became of names.
#[derive(Clone, Debug, Default)]
pub(super) struct Fate {
    beside: BTreeSet<usize>,
    left_out: BTreeSet<usize>,
    too_bold: BTreeSet<usize>,
    no_note: BTreeSet<usize>,
    unknown: BTreeSet<char>,
}

impl Fate {
    /// Both together.
    #[must_use]
    pub(super) fn and(mut self, other: Self) -> Self {
        self.beside.extend(other.beside);
        self.left_out.extend(other.left_out);
        self.too_bold.extend(other.too_bold);
        self.no_note.extend(other.no_note);
        self.unknown.extend(other.unknown);
        self
    }

    /// One note for each kind, whatever the number of pieces.
    pub(super) fn tell(&self, parts: &[Part], problems: &mut Problems) {
        let names = |set: &BTreeSet<usize>| listed(set.iter().filter_map(|&i| parts.get(i)));
        let mut note = |set: &BTreeSet<usize>, code, what: &str, hint: &str| {
            if !set.is_empty() {
                problems.push(Problem::note(code, format!("{what}: {}", names(set))).hint(hint));
            }
        };
        note(&self.beside, "mark-beside", "name or arrow stands beside the piece, on waste", "");
        let hint = "pencil it on, or leave more room between pieces";
        note(&self.left_out, "mark-left-out", "there is no room for name or arrow", hint);
        let hint = "take a smaller cutter, or pencil the names on";
        note(&self.too_bold, "mark-too-bold", "the cutter is too wide to write the name of", hint);
        let hint = "pencil it on, or take a smaller cutter";
        note(
            &self.no_note,
            "note-left-out",
            "there is no room for the station, or the cutter is too wide",
            hint,
        );
        if !self.unknown.is_empty() {
            let letters: Vec<String> =
                self.unknown.iter().map(|c| format!("'{}'", c.escape_debug())).collect();
            let message = format!("there is no letter for {}: a box is drawn", letters.join(", "));
            problems.push(Problem::note("mark-unknown-letter", message));
        }
    }
}

/// The first few names, and how many more.
fn listed<'a>(parts: impl Iterator<Item = &'a Part>) -> String {
    let names: Vec<&str> = parts.map(|p| p.id.as_str()).collect();
    let shown = names.iter().take(TOLD).copied().collect::<Vec<_>>().join(", ");
    if names.len() > TOLD { format!("{shown} and {} more", names.len() - TOLD) } else { shown }
}

/// The marking of each part as it lies, at no shift, where all of it is inside.
#[derive(Debug)]
pub(super) struct Labels<'a> {
    parts: &'a [Part],
    inside: BTreeMap<Lie, Marking>,
}

impl<'a> Labels<'a> {
    /// Looks for room inside every part that wants a name, once for each way that it lies.
    pub(super) fn new(layout: &Layout, parts: &'a [Part]) -> Self {
        let mut lies: BTreeMap<Lie, Placement> = BTreeMap::new();
        for placed in layout.sheets.iter().flat_map(|s| &s.placed) {
            if parts.get(placed.part).is_some_and(|p| p.mark) {
                lies.entry(lie(placed)).or_insert(Placement { shift: Vec2::ZERO, ..placed.placement });
            }
        }
        let lies: Vec<(Lie, Placement)> = lies.into_iter().collect();
        let inside = lies
            .par_iter()
            .map(|(lie, placement)| (*lie, marking(&parts[lie.0], placement, &|_| false)))
            .filter(|(_, marking)| is_inside(marking))
            .collect();
        Self { parts, inside }
    }

    /// The strokes of each piece of a sheet, and what became of the names.
    pub(super) fn on(
        &self,
        sheet: &Sheet,
        means: &Means,
        margin_mm: f64,
    ) -> (Vec<(usize, Vec<Chain>)>, Fate) {
        let (mut strokes, mut fate) = (Vec::new(), Fate::default());
        let mut waste: Option<Waste> = None;
        for (i, placed) in sheet.placed.iter().enumerate() {
            let Some(part) = self.parts.get(placed.part).filter(|p| p.mark) else { continue };
            let shift = Placement { shift: placed.placement.shift, ..Placement::HERE };
            let marking = match self.inside.get(&lie(placed)) {
                Some(marking) => moved(marking, &shift),
                None => waste
                    .get_or_insert_with(|| Waste::new(sheet, self.parts, means, margin_mm))
                    .beside(part, placed),
            };
            fate.unknown.extend(&marking.unknown);
            let too_bold = |height: f64| means.is_router() && means.kerf_mm > BOLDEST * height;
            if marking.height_mm > 0.0 && too_bold(marking.height_mm) {
                fate.too_bold.insert(placed.part);
                continue;
            }
            note(&marking, placed.part, &mut fate);
            let mut all = marking.strokes;
            if marking.note_mm > 0.0 && !too_bold(marking.note_mm) {
                all.extend(marking.note);
            } else if part.note.is_some() {
                fate.no_note.insert(placed.part);
            }
            strokes.push((i, all));
        }
        (strokes, fate)
    }
}

fn marking(part: &Part, placement: &Placement, free: &dyn Fn(&Region) -> bool) -> Marking {
    let grain = part.grain_deg.map(|grain| placement.grain_deg(grain));
    // What is milled away takes no name.
    let milled = part.recesses.iter().flat_map(|recess| offset::common(&recess.region, &part.region));
    let holes = part.region.holes().iter().cloned().chain(milled.map(|region| region.outer().clone()));
    let face = Region::new(part.region.outer().clone(), holes.collect());
    marks::place(&part.id, note_on(part, placement).as_ref(), &face.placed(placement), grain, free)
}

/// What is written beside a part's name, its arrow as it points where the part is placed.
pub fn note_on(part: &Part, placement: &Placement) -> Option<Note> {
    let note = part.note.as_ref()?;
    // Which way a direction points after all: grain has no sense, an arrow has.
    let (sin, cos) = trig::sin_cos_deg(note.arrow_deg);
    let way = placement.direction(Vec2::new(cos, sin));
    Some(Note { arrow_deg: trig::atan2(way.y, way.x).to_degrees(), ..note.clone() })
}

fn is_inside(marking: &Marking) -> bool {
    marking.name == Where::Inside && marking.arrow.is_none_or(|arrow| arrow == Where::Inside)
}

fn moved(marking: &Marking, shift: &Placement) -> Marking {
    let placed = |strokes: &[Chain]| strokes.iter().map(|s| s.placed(shift)).collect();
    Marking { strokes: placed(&marking.strokes), note: placed(&marking.note), ..marking.clone() }
}

fn note(marking: &Marking, part: usize, fate: &mut Fate) {
    let places = [Some(marking.name), marking.arrow];
    if places.contains(&Some(Where::Beside)) {
        fate.beside.insert(part);
    }
    if places.contains(&Some(Where::Nowhere)) {
        fate.left_out.insert(part);
    }
}

/// What of a sheet is waste, and what of that is written on already.
struct Waste {
    /// Where writing may go at all.
    field: Rect,
    clear: f64,
    pieces: Vec<Region>,
    index: Option<StaticAABB2DIndex<f64>>,
    written: Vec<Rect>,
}

impl Waste {
    fn new(sheet: &Sheet, parts: &[Part], means: &Means, margin_mm: f64) -> Self {
        let clear = means.kerf_mm + BESIDE_MM;
        let on = |p: &Placed| parts.get(p.part).map(|part| part.region.placed(&p.placement));
        let pieces: Vec<Region> = sheet.placed.iter().filter_map(on).collect();
        let mut builder = StaticAABB2DIndexBuilder::new(pieces.len());
        for piece in &pieces {
            let b = piece.bounds();
            builder.add(b.x0, b.y0, b.x1, b.y1);
        }
        let field =
            Rect::new(0.0, 0.0, sheet.length_mm, sheet.width_mm).inset(-margin_mm.min(sheet.width_mm / 2.0));
        Self { field, clear, pieces, index: builder.build().ok(), written: Vec::new() }
    }

    /// The marking of a piece that has no room for it, and the place that it takes.
    fn beside(&mut self, part: &Part, placed: &Placed) -> Marking {
        let marking = marking(part, &placed.placement, &|place| self.is_free(place));
        if marking.name == Where::Beside || marking.arrow == Some(Where::Beside) {
            self.written.extend(marking.strokes.iter().map(Chain::bounds));
        }
        marking
    }

    /// Whether nothing is cut or written in this place, or so near that it would be touched.
    fn is_free(&self, place: &Region) -> bool {
        let bounds = place.bounds();
        let around = bounds.inflate(self.clear, self.clear);
        let in_field = self.field.union(bounds) == self.field;
        let touches = |r: &Rect| r.x0 < around.x1 && around.x0 < r.x1 && r.y0 < around.y1 && around.y0 < r.y1;
        let Some(index) = &self.index else { return false };
        in_field
            && !self.written.iter().any(touches)
            && index
                .query(around.x0, around.y0, around.x1, around.y1)
                .into_iter()
                .all(|i| apart(&self.pieces[i], bounds, self.clear))
    }
}

/// Whether a rectangle lies clear of a piece: outside it, or in one of its holes.
fn apart(piece: &Region, rect: Rect, clear: f64) -> bool {
    // The rectangle is covered by circles about points along its middle.
    let (long, short) = (rect.width().max(rect.height()), rect.width().min(rect.height()).max(0.1));
    let count = (long / short).ceil().max(1.0) as usize;
    let radius = trig::hypot(short, long / count as f64) / 2.0;
    let along = if rect.width() >= rect.height() { Vec2::new(1.0, 0.0) } else { Vec2::new(0.0, 1.0) };
    (0..count).all(|i| {
        let share = (i as f64 + 0.5) / count as f64 - 0.5;
        let middle: Point = rect.center() + along * (share * long);
        !piece.contains(middle) && piece.distance(middle) > radius + clear
    })
}
