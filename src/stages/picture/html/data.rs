//! A [`Preview`] to the rows that the page's script reads.

use super::super::board::kept_clear;
use super::super::craft;
use super::super::hatch::hatch;
use super::Preview;
use super::paths::{chain, mm, place, trace, vertices};
use super::rows::{DrawingRow, Everything, FileRow, PartRow, PieceRow, ProblemRow, SheetRow, TraceRow};
use crate::geometry::Point;
use crate::problem::Problem;
use crate::shop::Tool;
use crate::stages::cut::{Settings, SheetCuts};
use crate::stages::part::Part;
use crate::stages::proof::{Does, FileProof, Kind, PieceProof, Trace, Worst};
use crate::stages::sheet::{Placed, Sheet};

/// All that there is to see, as JSON.
pub(super) fn json(preview: &Preview<'_>, live: Option<u64>) -> String {
    serde_json::to_string(&everything(preview, live)).unwrap_or_else(|e| format!("{{\"error\":\"{e}\"}}"))
}

fn everything<'a>(preview: &Preview<'a>, live: Option<u64>) -> Everything<'a> {
    let (scene, machine, proof) = (preview.scene, preview.machine, preview.proof);
    let sheets = super::super::board::sheets(&scene);
    let drawings = if sheets.is_empty() { drawings(preview) } else { Vec::new() };
    Everything {
        title: scene.title,
        live,
        machine: &machine.name,
        about: &machine.about,
        tool: if matches!(machine.tool, Tool::Laser { .. }) { "beam" } else { "cutter" },
        rapid: machine.rapid_mm_min,
        cautions: preview.cautions.to_vec(),
        verdict: if proof.files.is_empty() { String::new() } else { proof.verdict() },
        ok: !scene.problems.iter().any(|p| p.severity == crate::problem::Severity::Error),
        parts: scene.parts.iter().map(|part| part_row(part, preview)).collect(),
        sheets: sheets.into_iter().map(|(sheet, cuts)| sheet_row(sheet, cuts, preview)).collect(),
        drawings,
        files: proof.files.iter().map(|file| file_row(file, preview)).collect(),
        problems: scene.problems.iter().map(|problem| problem_row(problem, preview)).collect(),
    }
}

fn part_row<'a>(part: &'a Part, preview: &Preview<'a>) -> PartRow<'a> {
    let bounds = part.region.bounds();
    PartRow {
        id: &part.id,
        drawing: part.drawing,
        file: preview.scene.drawings.get(part.drawing).map_or("", |drawing| &drawing.file),
        wood: &part.wood,
        thickness: mm(part.thickness_mm),
        copies: part.copies,
        mirrored: part.mirrored,
        grain: part.grain_deg.map(mm),
        mass: mm(part.mass_g),
        size: [mm(bounds.width()), mm(bounds.height())],
        at: place(part.at),
        outlines: part.region.outlines().map(|outline| vertices(outline.vertices())).collect(),
        scores: part.scores.iter().map(|line| vertices(line.vertices())).collect(),
        marks: part.marks.iter().map(|line| vertices(line.vertices())).collect(),
    }
}

fn drawings<'a>(preview: &Preview<'a>) -> Vec<DrawingRow<'a>> {
    let row = |drawing: &'a crate::stages::drawing::Drawing| DrawingRow {
        file: &drawing.file,
        outlines: drawing.outlines.iter().map(|drawn| vertices(drawn.item.vertices())).collect(),
        lines: drawing.lines.iter().map(|drawn| vertices(drawn.item.vertices())).collect(),
    };
    preview.scene.drawings.iter().map(row).collect()
}

fn sheet_row<'a>(sheet: &'a Sheet, cuts: Option<&SheetCuts>, preview: &Preview<'a>) -> SheetRow<'a> {
    let parts = preview.scene.parts;
    let area: f64 = sheet.placed.iter().map(|placed| parts[placed.part].region.area()).sum();
    SheetRow {
        number: sheet.number,
        wood: &sheet.wood,
        thickness: mm(sheet.thickness_mm),
        size: [mm(sheet.length_mm), mm(sheet.width_mm)],
        used: mm(area / sheet.area_mm2()),
        kerf: cuts.map(|cuts| mm(cuts.kerf_mm)),
        cut: cuts.map_or(0.0, |cuts| mm(cuts.cut_length_mm)),
        travel: cuts.map_or(0.0, |cuts| mm(cuts.travel_length_mm)),
        time: cuts.map_or(0.0, |cuts| mm(cuts.time_s)),
        settings: cuts.map_or_else(Vec::new, settings),
        craft: cuts.map_or_else(Vec::new, |cuts| craft::told(cuts, parts)),
        feeds: cuts.map_or([0.0; 4], feeds),
        pieces: sheet.placed.iter().map(|placed| piece_row(*placed, sheet, preview)).collect(),
        outline: sheet.blank.outline.as_ref().map(|outline| vertices(outline.vertices())),
        avoid: kept_clear(sheet).iter().map(|zone| vertices(zone.vertices())).collect(),
        remnant: sheet.remnant.as_ref().map(|outline| vertices(outline.vertices())),
        hatch: sheet.remnant.iter().flat_map(|outline| hatch(outline, HATCH_MM)).map(line).collect(),
    }
}

/// Distance of the lines that hatch what is left of a sheet, mm.
const HATCH_MM: f64 = 8.0;

fn line([from, to]: [Point; 2]) -> Vec<f64> {
    vec![mm(from.x), mm(from.y), 0.0, mm(to.x), mm(to.y), 0.0]
}

fn settings(cuts: &SheetCuts) -> Vec<(&'static str, f64, &'static str)> {
    match &cuts.settings {
        Settings::Laser(setting) => vec![
            ("power", mm(setting.power * 100.0), "%"),
            ("feed", mm(setting.feed_mm_min), "mm/min"),
            ("times round", f64::from(setting.passes), ""),
            ("kerf", mm(cuts.kerf_mm), "mm"),
        ],
        Settings::Router(setting) => vec![
            ("cutter", mm(cuts.kerf_mm), "mm"),
            ("spindle", mm(setting.rpm), "turns/min"),
            ("feed", mm(setting.feed_mm_min), "mm/min"),
            ("plunge", mm(setting.plunge_mm_min), "mm/min"),
            ("deepest pass", mm(setting.pass_mm), "mm"),
            ("below the wood", mm(setting.overcut_mm), "mm"),
        ],
    }
}

fn feeds(cuts: &SheetCuts) -> [f64; 4] {
    match &cuts.settings {
        Settings::Laser(setting) => {
            [setting.feed_mm_min, setting.score_feed_mm_min, setting.mark_feed_mm_min, 0.0].map(mm)
        }
        Settings::Router(setting) => {
            [setting.feed_mm_min, setting.feed_mm_min, setting.feed_mm_min, setting.plunge_mm_min].map(mm)
        }
    }
}

fn piece_row(placed: Placed, sheet: &Sheet, preview: &Preview<'_>) -> PieceRow {
    let id = &preview.scene.parts[placed.part].id;
    let of_sheet = preview.proof.files.iter().filter(|file| file.sheet == Some(sheet.number));
    let proved: Vec<&PieceProof> = of_sheet
        .flat_map(|file| &file.pieces)
        .filter(|piece| piece.copy == placed.copy && piece.id == *id)
        .collect();
    let worst = |measure: fn(&PieceProof) -> Worst| {
        let all = proved.iter().map(|piece| measure(piece));
        let worst = all.max_by(|a, b| a.mm.total_cmp(&b.mm))?;
        Some([mm(worst.mm), mm(worst.at.x), mm(worst.at.y)])
    };
    PieceRow {
        part: placed.part,
        copy: placed.copy,
        mirrored: placed.placement.mirrored,
        turn: mm(placed.placement.turn_deg),
        shift: place(placed.placement.shift.to_point()),
        gouge: worst(|piece| piece.gouge),
        excess: worst(|piece| piece.excess),
        corners: proved.iter().map(|piece| piece.unreachable_corners).max().unwrap_or(0),
    }
}

fn file_row<'a>(file: &'a FileProof, preview: &Preview<'a>) -> FileRow<'a> {
    let lined = file.cutting.traces.iter().any(|trace| trace.lines.iter().any(|line| *line > 0));
    let written = preview.files.iter().find(|written| lined && written.name == file.file);
    let traces = file.cutting.traces.iter().enumerate();
    FileRow {
        name: &file.file,
        sheet: file.sheet,
        ok: file.ok(),
        text: written.map(|written| String::from_utf8_lossy(&written.bytes).into_owned()),
        traces: traces.map(|(i, trace)| trace_row(file.cutting.kinds.get(i), trace, lined)).collect(),
        tabs: file.cutting.tabs.iter().map(|tab| chain(tab)).collect(),
    }
}

fn trace_row(kind: Option<&Kind>, row: &Trace, lined: bool) -> TraceRow {
    TraceRow {
        kind: match kind {
            Some(Kind::Mark) => 'm',
            Some(Kind::Score) => 's',
            Some(Kind::Upper | Kind::Recess) => 'u',
            Some(Kind::Through) | None => 't',
        },
        at: trace(row),
        lines: if lined { row.lines.clone() } else { Vec::new() },
        feed: match row.does {
            Does::Burns { feed, .. } => Some(mm(feed)),
            _ => None,
        },
    }
}

fn problem_row<'a>(problem: &'a Problem, preview: &Preview<'a>) -> ProblemRow<'a> {
    let of_file = preview.proof.files.iter().find(|file| problem.file.as_ref() == Some(&file.file));
    ProblemRow {
        code: problem.code,
        severity: problem.severity,
        message: &problem.message,
        hint: &problem.hint,
        file: problem.file.as_deref(),
        line: problem.line,
        part: problem.part.as_deref(),
        at: problem.at_mm.map(|at| at.map(mm)),
        sheet: of_file.and_then(|file| file.sheet),
    }
}
