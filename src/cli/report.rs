//! The report: what was found, where it lies, what it costs, what is wrong, as JSON.

use std::collections::BTreeMap;

use serde::Serialize;

use super::proof::ProofRow;
use crate::files;
use crate::problem::{Problem, Problems};
use crate::stages::Kit;
use crate::stages::cut::Steps;
use crate::stages::fit::Row;
use crate::stages::part::{Part, Recess};
use crate::stages::proof::FileProof;
use crate::stages::sheet::{Account, Sheet};
use crate::stages::write;

/// All that is told of a job. Numbers are millimetres, square millimetres, grams, seconds, degrees.
#[derive(Debug, Serialize)]
pub(super) struct Report<'a> {
    grainwise: &'static str,
    job: String,
    ok: bool,
    drawings: Vec<DrawingRow<'a>>,
    parts: Vec<PartRow<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fits: Vec<FitRow<'a>>,
    sheets: Vec<SheetRow<'a>>,
    stock: Vec<StockRow<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    proof: Option<ProofRow<'a>>,
    problems: Vec<&'a Problem>,
}

#[derive(Debug, Serialize)]
struct DrawingRow<'a> {
    file: &'a str,
    units: &'static str,
    used: &'a BTreeMap<String, usize>,
    unused: &'a BTreeMap<String, usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stretch: Option<StretchRow>,
}

/// How a drawing was brought to true scale: `map` holds a, b, c, d, e, f of x' = a x + c y + e, y' = b x + d y + f.
#[derive(Debug, Serialize)]
struct StretchRow {
    map: [f64; 6],
    left_mm: Vec<f64>,
    apart_mm: Vec<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    expected_error_of_200_mm: Option<[f64; 2]>,
}

#[derive(Debug, Serialize)]
struct FitRow<'a> {
    name: &'a str,
    part: &'a str,
    should_mm: f64,
    is_mm: f64,
    verdict: &'static str,
    built: bool,
    held: &'a [String],
}

#[derive(Debug, Serialize)]
struct PartRow<'a> {
    id: &'a str,
    drawing: &'a str,
    wood: &'a str,
    thickness_mm: f64,
    copies: u32,
    mirrored: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    spares: Option<u32>,
    at_mm: [f64; 2],
    area_mm2: f64,
    perimeter_mm: f64,
    width_mm: f64,
    height_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    drawn_mm: Option<[f64; 2]>,
    holes: usize,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    recesses: Vec<RecessRow>,
    grain_deg: Option<f64>,
    mass_g: f64,
}

/// What is milled away of a part's face.
#[derive(Debug, Serialize)]
struct RecessRow {
    depth_mm: f64,
    area_mm2: f64,
}

fn recesses(part: &Part) -> Vec<RecessRow> {
    let row = |recess: &Recess| RecessRow {
        depth_mm: tidy(recess.depth_mm),
        area_mm2: tidy(recess.area_mm2(&part.region)),
    };
    part.recesses.iter().map(row).collect()
}

#[derive(Debug, Serialize)]
struct SheetRow<'a> {
    sheet: usize,
    wood: &'a str,
    thickness_mm: f64,
    length_mm: f64,
    width_mm: f64,
    placed: Vec<PlacedRow<'a>>,
    used_fraction: f64,
    cut_length_mm: f64,
    travel_length_mm: f64,
    time_s: f64,
    steps_s: StepsRow,
    files: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    price: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    remnant: Option<RemnantRow>,
}

/// What is left of a sheet, in the sheet's coordinates; in its file its corner is the origin. Its grain runs along x.
#[derive(Debug, Serialize)]
struct RemnantRow {
    file: String,
    area_mm2: f64,
    length_mm: f64,
    width_mm: f64,
    outline_mm: Vec<[f64; 2]>,
}

/// What the sheets of one wood and thickness come to.
#[derive(Debug, Serialize)]
struct StockRow<'a> {
    wood: &'a str,
    thickness_mm: f64,
    sheets: usize,
    least_sheets_by_area: usize,
    used_fraction: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    one_sheet_less: Option<OneLessRow<'a>>,
}

/// What stands against one sheet less.
#[derive(Debug, Serialize)]
struct OneLessRow<'a> {
    sheet: usize,
    parts: &'a [String],
    area_mm2: f64,
    too_much_mm2: f64,
}

fn stock_row(account: &Account) -> StockRow<'_> {
    StockRow {
        wood: &account.wood,
        thickness_mm: account.thickness_mm,
        sheets: account.sheets,
        least_sheets_by_area: account.least_sheets,
        used_fraction: tidy(account.used_fraction()),
        cost: account.cost.map(tidy),
        one_sheet_less: account.one_less.as_ref().map(|less| OneLessRow {
            sheet: less.sheet,
            parts: &less.parts,
            area_mm2: tidy(less.pieces_mm2),
            too_much_mm2: tidy(less.too_much_mm2),
        }),
    }
}

fn remnant_row(sheet: &Sheet) -> Option<RemnantRow> {
    let outline = sheet.remnant.as_ref()?;
    let bounds = outline.bounds();
    Some(RemnantRow {
        file: write::remnant_name(sheet.number),
        area_mm2: tidy(outline.area()),
        length_mm: tidy(bounds.width()),
        width_mm: tidy(bounds.height()),
        outline_mm: outline.vertices().iter().map(|v| [tidy(v.at.x), tidy(v.at.y)]).collect(),
    })
}

/// Seconds on the machine, by what is done.
#[derive(Debug, Serialize)]
struct StepsRow {
    marks: f64,
    scores: f64,
    recesses: f64,
    holes: f64,
    outlines: f64,
    travel: f64,
}

impl StepsRow {
    fn new(steps: Steps) -> Self {
        Self {
            marks: tidy(steps.marks),
            scores: tidy(steps.scores),
            recesses: tidy(steps.recesses),
            holes: tidy(steps.holes),
            outlines: tidy(steps.outlines),
            travel: tidy(steps.travel),
        }
    }
}

#[derive(Debug, Serialize)]
struct PlacedRow<'a> {
    id: &'a str,
    copy: u32,
    x_mm: f64,
    y_mm: f64,
    turn_deg: f64,
    mirrored: bool,
}

fn fit_row(row: &Row) -> FitRow<'_> {
    FitRow {
        name: &row.name,
        part: &row.part,
        should_mm: row.should_mm,
        is_mm: row.is_mm,
        verdict: row.verdict.told(),
        built: row.built,
        held: &row.held,
    }
}

impl<'a> Report<'a> {
    /// The report on a kit and on all problems met.
    pub(super) fn new(job: &str, kit: &'a Kit, problems: &'a Problems) -> Self {
        Self {
            grainwise: env!("CARGO_PKG_VERSION"),
            job: job.to_owned(),
            ok: !problems.stop(),
            drawings: kit
                .drawings
                .iter()
                .map(|d| DrawingRow {
                    file: &d.file,
                    units: d.units.name(),
                    used: &d.used,
                    unused: &d.unused,
                    stretch: d.stretched.as_ref().map(|stretched| StretchRow {
                        map: stretched.map.as_coeffs(),
                        left_mm: stretched.correction.iter().flat_map(|c| c.residuals_mm.clone()).collect(),
                        apart_mm: stretched.apart_mm.clone(),
                        expected_error_of_200_mm: stretched.expected_mm().map(|(x, y)| [x, y]),
                    }),
                })
                .collect(),
            parts: kit.parts.iter().map(|part| part_row(part, kit)).collect(),
            fits: kit.fits.iter().map(fit_row).collect(),
            sheets: sheet_rows(kit),
            stock: kit.accounts.iter().map(stock_row).collect(),
            proof: (!kit.proof.files.is_empty()).then(|| {
                let sum = |file: &FileProof| {
                    let bytes = kit.files.iter().find(|written| written.name == file.file);
                    bytes.map_or_else(String::new, |written| files::checksum(&written.bytes))
                };
                ProofRow::new(&kit.proof, sum)
            }),
            problems: problems.iter().collect(),
        }
    }

    /// As JSON text that ends with a newline.
    pub(super) fn json(&self) -> String {
        text(self)
    }
}

/// JSON text that ends with a newline.
pub(super) fn text(report: &impl Serialize) -> String {
    let text = serde_json::to_string_pretty(report)
        .unwrap_or_else(|e| format!("{{\"ok\": false, \"error\": \"{e}\"}}"));
    text + "\n"
}

/// Six decimals: a millionth of a millimetre, so that the text of a number does not hang on its last bit.
pub(super) fn tidy(value: f64) -> f64 {
    let rounded = (value * 1e6).round() / 1e6;
    if rounded == 0.0 { 0.0 } else { rounded }
}

fn part_row<'a>(part: &'a Part, kit: &'a Kit) -> PartRow<'a> {
    let bounds = part.region.bounds();
    PartRow {
        id: &part.id,
        drawing: kit.drawings.get(part.drawing).map_or("", |d| &d.file),
        wood: &part.wood,
        thickness_mm: part.thickness_mm,
        copies: part.copies,
        mirrored: part.mirrored,
        spares: kit.spares.iter().find(|(of, _)| kit.parts[*of].id == part.id).map(|(_, more)| *more),
        at_mm: [tidy(part.at.x), tidy(part.at.y)],
        area_mm2: tidy(part.region.area()),
        perimeter_mm: tidy(part.region.perimeter()),
        width_mm: tidy(bounds.width()),
        height_mm: tidy(bounds.height()),
        drawn_mm: kit.drawn_size(part).map(|(width, height)| [width, height]),
        holes: part.region.holes().len(),
        recesses: recesses(part),
        grain_deg: part.grain_deg.map(tidy),
        mass_g: tidy(part.mass_g),
    }
}

fn sheet_rows(kit: &Kit) -> Vec<SheetRow<'_>> {
    kit.layout
        .sheets
        .iter()
        .map(|sheet| {
            let cuts = kit.sheets.iter().find(|cuts| cuts.sheet.number == sheet.number);
            SheetRow {
                sheet: sheet.number,
                wood: &sheet.wood,
                thickness_mm: sheet.thickness_mm,
                length_mm: sheet.length_mm,
                width_mm: sheet.width_mm,
                placed: sheet
                    .placed
                    .iter()
                    .map(|p| PlacedRow {
                        id: &kit.parts[p.part].id,
                        copy: p.copy,
                        x_mm: tidy(p.placement.shift.x),
                        y_mm: tidy(p.placement.shift.y),
                        turn_deg: tidy(p.placement.turn_deg),
                        mirrored: p.placement.mirrored,
                    })
                    .collect(),
                used_fraction: tidy(kit.used_fraction(sheet)),
                cut_length_mm: cuts.map_or(0.0, |c| tidy(c.cut_length_mm)),
                travel_length_mm: cuts.map_or(0.0, |c| tidy(c.travel_length_mm)),
                time_s: cuts.map_or(0.0, |c| tidy(c.time_s)),
                steps_s: StepsRow::new(cuts.map_or_else(Steps::default, |c| c.steps_s)),
                files: kit
                    .files
                    .iter()
                    .filter(|f| f.sheet == Some(sheet.number))
                    .map(|f| f.name.as_str())
                    .collect(),
                price: sheet.price,
                remnant: remnant_row(sheet),
            }
        })
        .collect()
}
