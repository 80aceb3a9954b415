//! What the page's script reads: parts, sheets, files and problems as rows of JSON. Millimetres, grams, seconds, degrees.

use serde::Serialize;

/// All of it.
#[derive(Debug, Serialize)]
pub(super) struct Everything<'a> {
    pub(super) title: &'a str,
    /// Number of the page, where it follows its job.
    pub(super) live: Option<u64>,
    pub(super) machine: &'a str,
    pub(super) about: &'a str,
    /// `beam` or `cutter`.
    pub(super) tool: &'static str,
    pub(super) rapid: f64,
    pub(super) cautions: Vec<&'a str>,
    /// The proof in one line; empty where nothing was proved.
    pub(super) verdict: String,
    pub(super) ok: bool,
    pub(super) parts: Vec<PartRow<'a>>,
    pub(super) sheets: Vec<SheetRow<'a>>,
    /// The drawings; none where there are sheets.
    pub(super) drawings: Vec<DrawingRow<'a>>,
    pub(super) files: Vec<FileRow<'a>>,
    pub(super) problems: Vec<ProblemRow<'a>>,
}

/// A part in the coordinates of its drawing.
#[derive(Debug, Serialize)]
pub(super) struct PartRow<'a> {
    pub(super) id: &'a str,
    pub(super) drawing: usize,
    pub(super) file: &'a str,
    pub(super) wood: &'a str,
    pub(super) thickness: f64,
    pub(super) copies: u32,
    pub(super) mirrored: u32,
    pub(super) grain: Option<f64>,
    pub(super) mass: f64,
    pub(super) size: [f64; 2],
    pub(super) at: [f64; 2],
    /// Its outlines, the outer one first: x, y, bulge of each vertex.
    pub(super) outlines: Vec<Vec<f64>>,
    /// Lines to be scored, and to be marked.
    pub(super) scores: Vec<Vec<f64>>,
    pub(super) marks: Vec<Vec<f64>>,
}

/// A sheet and the pieces on it.
#[derive(Debug, Serialize)]
pub(super) struct SheetRow<'a> {
    pub(super) number: usize,
    pub(super) wood: &'a str,
    pub(super) thickness: f64,
    pub(super) size: [f64; 2],
    pub(super) used: f64,
    pub(super) kerf: Option<f64>,
    pub(super) cut: f64,
    pub(super) travel: f64,
    pub(super) time: f64,
    /// How it is cut: what a value is, the value, its unit.
    pub(super) settings: Vec<(&'static str, f64, &'static str)>,
    /// How it is cut beyond that: what is done, and how.
    pub(super) craft: Vec<(&'static str, String)>,
    /// Feeds of cut, score, mark and plunge, mm/min; 0 where there is none.
    pub(super) feeds: [f64; 4],
    pub(super) pieces: Vec<PieceRow>,
    /// Its outline where it is no rectangle, what is to be kept clear of, what is left: x, y, bulge of each vertex.
    pub(super) outline: Option<Vec<f64>>,
    pub(super) avoid: Vec<Vec<f64>>,
    pub(super) remnant: Option<Vec<f64>>,
    /// Lines that hatch what is left.
    pub(super) hatch: Vec<Vec<f64>>,
}

/// A piece: where it lies, and what the proof says of it, the worst of all files.
#[derive(Debug, Serialize)]
pub(super) struct PieceRow {
    pub(super) part: usize,
    pub(super) copy: u32,
    pub(super) mirrored: bool,
    pub(super) turn: f64,
    pub(super) shift: [f64; 2],
    /// Measure and place; none where nothing was proved.
    pub(super) gouge: Option<[f64; 3]>,
    pub(super) excess: Option<[f64; 3]>,
    pub(super) corners: usize,
}

/// A drawing as it is, where the journey ended before there were sheets.
#[derive(Debug, Serialize)]
pub(super) struct DrawingRow<'a> {
    pub(super) file: &'a str,
    pub(super) outlines: Vec<Vec<f64>>,
    pub(super) lines: Vec<Vec<f64>>,
}

/// A file as it was read back.
#[derive(Debug, Serialize)]
pub(super) struct FileRow<'a> {
    pub(super) name: &'a str,
    pub(super) sheet: Option<usize>,
    pub(super) ok: bool,
    /// Its text; none where its lines make no moves.
    pub(super) text: Option<String>,
    pub(super) traces: Vec<TraceRow>,
    pub(super) tabs: Vec<Vec<f64>>,
}

/// A stretch without a break.
#[derive(Debug, Serialize)]
pub(super) struct TraceRow {
    /// `t` through, `u` a pass on the way to it, `s` score, `m` mark.
    pub(super) kind: char,
    /// x, y, z and bulge of each corner.
    pub(super) at: Vec<f64>,
    /// Line of each corner; empty where the file has no such lines.
    pub(super) lines: Vec<u32>,
    /// Feed where the file says one, mm/min.
    pub(super) feed: Option<f64>,
}

/// Something wrong.
#[derive(Debug, Serialize)]
pub(super) struct ProblemRow<'a> {
    pub(super) code: &'static str,
    pub(super) severity: crate::problem::Severity,
    pub(super) message: &'a str,
    pub(super) hint: &'a str,
    pub(super) file: Option<&'a str>,
    pub(super) line: Option<usize>,
    pub(super) part: Option<&'a str>,
    pub(super) at: Option<[f64; 2]>,
    /// The sheet that the place is on; none where it is in a drawing.
    pub(super) sheet: Option<usize>,
}
