//! The journey, in order: job, drawing, part, sheet, cut, write, proof, picture.

pub mod job;
pub mod drawing;
pub mod part;
pub mod sheet;
pub mod cut;
pub mod write;
pub mod proof;
pub mod picture;
pub mod watch;

use crate::problem::{Problem, Problems};
use crate::shop::Shop;
use cut::SheetCuts;
use drawing::Drawing;
use job::Job;
use part::Part;
use picture::Scene;
use sheet::{Layout, Sheet};
pub use watch::{Unwatched, Watch};
use write::Written;

/// What comes of a job: as much of it as could be made before a problem stopped it.
#[derive(Debug, Default)]
pub struct Kit {
    /// The drawings, read.
    pub drawings: Vec<Drawing>,
    /// The parts in them.
    pub parts: Vec<Part>,
    /// The parts on sheets.
    pub layout: Layout,
    /// What is done on each sheet.
    pub sheets: Vec<SheetCuts>,
    /// The files, not yet on the disk.
    pub files: Vec<Written>,
    /// What can be seen of it, as SVG.
    pub picture: String,
}

impl Kit {
    /// How much of a sheet's area its parts take, 0 to 1.
    pub fn used_fraction(&self, sheet: &Sheet) -> f64 {
        let parts: f64 = sheet.placed.iter().map(|p| self.parts[p.part].region.area()).sum();
        parts / (sheet.length_mm * sheet.width_mm)
    }
}

/// What can be wrong with an outline so that it cannot be cut.
const CANNOT_BE_CUT: [&str; 6] = [
    "open-outline",
    "branching-outline",
    "crossing-outline",
    "crossing-parts",
    "touching-outlines",
    "sliver-outline",
];

/// The journey from a job to its files. Each stage goes on from the one before; where a stage leaves a problem that stops
/// the job, the stages after it are left out, and what was found so far comes back with a picture of it.
pub fn travel(job: &Job, shop: &Shop, watch: &dyn Watch, problems: &mut Problems) -> Kit {
    let mut kit = as_far_as_it_goes(job, shop, watch, problems);
    watch.step("drawing the picture", 0, 0);
    kit.picture = picture::svg(&Scene {
        title: &job.title,
        machine: &shop.machine.name,
        drawings: &kit.drawings,
        parts: &kit.parts,
        layout: &kit.layout,
        cuts: &kit.sheets,
        problems: problems.as_slice(),
    });
    kit
}

fn as_far_as_it_goes(job: &Job, shop: &Shop, watch: &dyn Watch, problems: &mut Problems) -> Kit {
    let mut kit = Kit::default();
    watch.step("reading the drawings", 0, 0);
    kit.drawings = drawing::read(job, problems);
    watch.step("finding the parts", 0, 0);
    kit.parts = part::gather(&kit.drawings, job, &shop.woods, problems);
    if job.cutting.leave_out {
        problems.soften(&CANNOT_BE_CUT);
    }
    if kit.parts.is_empty() && !problems.stop() {
        let hint = "look at what was not used, and at the layers and parts that the job names";
        problems.push(
            Problem::error("no-parts", "there is nothing to cut: no closed outline was found").hint(hint),
        );
    }
    let room = cut::room(&kit.parts, job, shop, problems);
    if problems.stop() {
        return kit;
    }
    watch.step("laying the sheets", 0, 0);
    kit.layout = sheet::lay(&kit.parts, job, room, problems);
    if problems.stop() {
        return kit;
    }
    kit.sheets = cut::plan(&kit.layout, &kit.parts, job, shop, watch, problems);
    if problems.stop() {
        return kit;
    }
    watch.step("writing", 0, 0);
    kit.files = write::all(&kit.sheets, &kit.parts, job, &shop.machine, shop.post.as_ref(), problems);
    kit
}
