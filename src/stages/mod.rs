//! The journey, in order: job, drawing, part, fit, sheet, cut, write, proof, picture.

pub mod job;
pub mod drawing;
pub mod part;
pub mod fit;
pub mod sheet;
pub mod cut;
pub mod write;
pub mod proof;
pub mod picture;
pub mod watch;

use crate::geometry::curve::Curve;
use crate::problem::{Problem, Problems};
use crate::shop::Shop;
use cut::SheetCuts;
use drawing::Drawing;
use job::Job;
use part::Part;
use picture::{Preview, Proved, Scene};
use proof::{Proof, Source};
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
    /// What has to fit together, and whether it does.
    pub fits: Vec<fit::Row>,
    /// The parts on sheets.
    pub layout: Layout,
    /// Of which parts more pieces are made than were asked for, and how many.
    pub spares: Vec<(usize, u32)>,
    /// What the sheets come to.
    pub accounts: Vec<sheet::Account>,
    /// What is done on each sheet.
    pub sheets: Vec<SheetCuts>,
    /// The files, not yet on the disk.
    pub files: Vec<Written>,
    /// The same files, read back.
    pub proof: Proof,
    /// What can be seen of it, as SVG.
    pub picture: String,
    /// Fair curves through measured points with their curvature, as SVG; empty where there is none.
    pub curves: String,
    /// What can be seen of the proof, as SVG; empty where no file was read back.
    pub proof_picture: String,
    /// The operator's pages, as PDF; empty where nobody asked for them.
    pub operator: Vec<u8>,
}

impl Kit {
    /// How much of a sheet's area its parts take, 0 to 1.
    pub fn used_fraction(&self, sheet: &Sheet) -> f64 {
        let parts: f64 = sheet.placed.iter().map(|p| self.parts[p.part].region.area()).sum();
        parts / sheet.area_mm2()
    }

    /// Width and height that a part had in its drawing before that was brought to true scale; none where it was not.
    pub fn drawn_size(&self, part: &Part) -> Option<(f64, f64)> {
        let stretched = self.drawings.get(part.drawing)?.stretched.as_ref()?;
        let back = stretched.map.inverse();
        let drawn = part.region.outer().segments().map(|s| Curve::Segment(s).transformed(back).bounds());
        drawn.reduce(|a, b| a.union(b)).map(|bounds| (bounds.width(), bounds.height()))
    }

    /// What there is to be seen of it.
    pub fn scene<'a>(&'a self, job: &'a Job, shop: &'a Shop, problems: &'a [Problem]) -> Scene<'a> {
        Scene {
            title: &job.title,
            machine: &shop.machine.name,
            drawings: &self.drawings,
            parts: &self.parts,
            layout: &self.layout,
            cuts: &self.sheets,
            problems,
        }
    }

    /// What there is to be seen of it with its files and their proof.
    pub fn preview<'a>(&'a self, job: &'a Job, shop: &'a Shop, problems: &'a [Problem]) -> Preview<'a> {
        Preview {
            scene: self.scene(job, shop, problems),
            machine: &shop.machine,
            files: &self.files,
            proof: &self.proof,
            cautions: write::cautions(&shop.machine.tool),
        }
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
    let mut kit = to_cuts(job, shop, watch, problems);
    finish(&mut kit, job, shop, watch, problems);
    kit
}

/// The journey from the cuts on: writes the files, reads them back, draws what there is.
pub fn finish(kit: &mut Kit, job: &Job, shop: &Shop, watch: &dyn Watch, problems: &mut Problems) {
    let before_proof = to_proof(kit, job, shop, watch, problems);
    watch.step("drawing the pictures", 0, 0);
    [kit.picture, kit.proof_picture, kit.curves] =
        pictures(kit, job, shop, &problems.as_slice()[..before_proof]);
}

/// The journey as [`travel`] makes it, with the operator's pages, too, where the files may be written.
pub fn travel_with_pages(job: &Job, shop: &Shop, watch: &dyn Watch, problems: &mut Problems) -> Kit {
    let mut kit = to_cuts(job, shop, watch, problems);
    let before_proof = to_proof(&mut kit, job, shop, watch, problems);
    watch.step("drawing the pictures", 0, 0);
    let all = problems.as_slice();
    let (pictures, pages) = rayon::join(
        || pictures(&kit, job, shop, &all[..before_proof]),
        || (!problems.stop()).then(|| picture::operator_pdf(&kit.preview(job, shop, all))),
    );
    [kit.picture, kit.proof_picture, kit.curves] = pictures;
    match pages.transpose() {
        Ok(pages) => kit.operator = pages.unwrap_or_default(),
        Err(e) => problems.push(Problem::error("no-operator-pages", e.to_string())),
    }
    kit
}

/// What there is to be seen, with problems that were there before the proof: the kit, its proof, its fair curves.
fn pictures(kit: &Kit, job: &Job, shop: &Shop, problems: &[Problem]) -> [String; 3] {
    let (picture, proof) = rayon::join(|| seen(kit, job, shop, problems), || proof_seen(kit, job, shop));
    let fair = kit.drawings.iter().flat_map(|drawing| &drawing.fair);
    [picture, proof, picture::curves_svg(&job.title, fair)]
}

/// The journey as [`travel`] makes it, without the pictures.
pub fn travel_unseen(job: &Job, shop: &Shop, watch: &dyn Watch, problems: &mut Problems) -> Kit {
    let mut kit = to_cuts(job, shop, watch, problems);
    to_proof(&mut kit, job, shop, watch, problems);
    kit
}

/// Writes the files and reads them back; gives how many problems there were before the proof.
fn to_proof(kit: &mut Kit, job: &Job, shop: &Shop, watch: &dyn Watch, problems: &mut Problems) -> usize {
    if !problems.stop() {
        watch.step("writing", 0, 0);
        kit.files = write::all(&kit.sheets, &kit.parts, job, &shop.machine, shop.post.as_ref(), problems);
    }
    // Places of the proof's problems are on the sheets: they are flagged on the proof's own picture.
    let before_proof = problems.len();
    if !problems.stop() {
        watch.step("proving", 0, 0);
        kit.proof = proved(kit, shop);
        problems.extend(kit.proof.files.iter().flat_map(|file| file.problems.iter().cloned()));
    }
    before_proof
}

/// The files read back.
fn proved(kit: &Kit, shop: &Shop) -> Proof {
    let cut_files = kit.files.iter().filter_map(|file| Some((file, file.sheet?)));
    let sources = cut_files.map(|(file, sheet)| (Source { name: &file.name, bytes: &file.bytes }, sheet));
    proof::prove(&sources.collect::<Vec<_>>(), &kit.sheets, &kit.parts, shop)
}

/// What can be seen of a kit, as SVG.
pub fn seen(kit: &Kit, job: &Job, shop: &Shop, problems: &[Problem]) -> String {
    picture::svg(&kit.scene(job, shop, problems))
}

fn proof_seen(kit: &Kit, job: &Job, shop: &Shop) -> String {
    if kit.proof.files.is_empty() {
        return String::new();
    }
    let machine = &shop.machine.name;
    picture::proof_svg(&Proved { title: &job.title, machine, proof: &kit.proof, kerf_mm: None })
}

/// The journey as far as the cuts: what should come off each sheet, and nothing written yet.
pub fn to_cuts(job: &Job, shop: &Shop, watch: &dyn Watch, problems: &mut Problems) -> Kit {
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
    kit.fits = fit::make_slots(&mut kit.parts, job, shop, problems);
    kit.fits.extend(fit::check(&mut kit.parts, job, problems));
    cut::relieve(&mut kit.parts, job, shop, problems);
    let room = cut::room(&kit.parts, job, shop, problems);
    if problems.stop() {
        return kit;
    }
    let stocked = drawing::with_remnants(job, problems);
    watch.step("laying the sheets", 0, 0);
    kit.layout = sheet::lay_watched(&kit.parts, &stocked, room, watch, problems);
    watch.step("laid", 0, 0);
    kit.spares = sheet::spares(&kit.layout, &kit.parts);
    for &(part, more) in &kit.spares {
        kit.parts[part].copies += more;
    }
    kit.accounts = sheet::accounts(&kit.layout, &kit.parts, &stocked.stock);
    if problems.stop() {
        return kit;
    }
    kit.sheets = cut::plan(&kit.layout, &kit.parts, job, shop, watch, problems);
    kit
}
