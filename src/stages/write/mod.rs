//! Cuts and moves to bytes: DXF, SVG, G-code through a post, and the cut list.
//!
//! Takes the sheets with their cuts. Gives files as bytes in memory, nothing touches the disk here. Refuses numbers that
//! the post's formats cannot hold, and moves that no program may hold: rapids below the clearance height, cuts deeper
//! than wood and overcut, travel with the beam on.

mod cutlist;
mod decimal;
mod dxf;
mod gcode;
mod plain;
mod remnant;
mod shape;
mod svg;

pub use cutlist::on_sheets;
pub use remnant::remnant_name;

use rayon::prelude::*;

use crate::problem::Problems;
use crate::shop::{DrawingFormat, Machine, Post, Tool};
use crate::stages::cut::SheetCuts;
use crate::stages::job::Job;
use crate::stages::part::Part;

/// One file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// Its name, without a folder.
    pub name: String,
    /// Which sheet it cuts, from 1; none for the cut list and for what is left of sheets.
    pub sheet: Option<usize>,
    /// What goes into it.
    pub bytes: Vec<u8>,
}

/// What everybody has to mind at this machine, a sentence each.
pub fn cautions(tool: &Tool) -> [&'static str; 3] {
    let (first, second) = match tool {
        Tool::Laser { .. } => (
            "CAUTION: stay with the laser while it cuts, watch for fire, extinguisher at hand.",
            "Extraction on: the smoke of wood and glue is harmful. Eyes behind the cover or filter for this beam.",
        ),
        Tool::Router { .. } => (
            "CAUTION: eye protection on, wood held down firmly, hands clear of the cutter, never leave it alone.",
            "Take the dust away: wood dust harms the lungs and burns.",
        ),
    };
    let third = "Feeds, depths and powers are starting points: try a coupon. The shop's rules and the machine's manual come first.";
    [first, second, third]
}

/// Writes every file that the machine takes for these sheets, in the order of the sheets, and the cut list last. A file
/// that a problem stops is left out, and the problem says so.
pub fn all(
    sheets: &[SheetCuts],
    parts: &[Part],
    job: &Job,
    machine: &Machine,
    post: Option<&Post>,
    problems: &mut Problems,
) -> Vec<Written> {
    let writer = Writer { sheets: sheets.len(), parts, job, machine, post };
    let of_sheets: Vec<(Vec<Written>, Problems)> = sheets.par_iter().map(|cuts| writer.sheet(cuts)).collect();
    let mut files = Vec::new();
    for (written, wrong) in of_sheets {
        files.extend(written);
        problems.extend(wrong);
    }
    files.extend(sheets.iter().filter_map(|cuts| remnant::file(&cuts.sheet)));
    files.push(cutlist::file(sheets, parts, job, &cautions(&machine.tool)));
    files
}

/// What every sheet is written with.
struct Writer<'a> {
    /// How many sheets there are.
    sheets: usize,
    parts: &'a [Part],
    job: &'a Job,
    machine: &'a Machine,
    post: Option<&'a Post>,
}

impl Writer<'_> {
    /// The files of one sheet, and what is wrong with them.
    fn sheet(&self, cuts: &SheetCuts) -> (Vec<Written>, Problems) {
        let (job, machine) = (self.job, self.machine);
        let (mut files, mut problems) = (Vec::new(), Problems::new());
        for (i, format) in machine.drawings.iter().enumerate() {
            if machine.drawings[..i].contains(format) {
                continue;
            }
            let name = drawing_name(cuts.sheet.number, *format, machine);
            files.extend(match format {
                DrawingFormat::DxfR12 | DrawingFormat::DxfR2000 => {
                    dxf::file(cuts, machine, *format, name, &mut problems)
                }
                DrawingFormat::Svg => svg::file(cuts, self.parts, job, machine, name, &mut problems),
            });
        }
        if let Some(post) = self.post {
            files.extend(gcode::file(cuts, self.sheets, job, machine, post, &mut problems));
        }
        (files, problems)
    }
}

/// `sheet-1.dxf`, or `sheet-1-r12.dxf` where the machine takes both kinds of DXF.
fn drawing_name(sheet: usize, format: DrawingFormat, machine: &Machine) -> String {
    let both = [DrawingFormat::DxfR12, DrawingFormat::DxfR2000].iter().all(|f| machine.drawings.contains(f));
    match format {
        DrawingFormat::DxfR12 if both => format!("sheet-{sheet}-r12.dxf"),
        DrawingFormat::DxfR2000 if both => format!("sheet-{sheet}-r2000.dxf"),
        DrawingFormat::DxfR12 | DrawingFormat::DxfR2000 => format!("sheet-{sheet}.dxf"),
        DrawingFormat::Svg => format!("sheet-{sheet}.svg"),
    }
}
