//! Reads cut files back, written by anyone, and compares them with a job.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::args::{Asked, Prove};
use super::progress::{self, Progress};
use super::proof::ProveReport;
use super::request::{self, Request};
use super::verbs::{self, PictureKind};
use super::{PROBLEMS, answer, say, tell};
use crate::files;
use crate::problem::{Problem, Problems};
use crate::shop::{Machine, Post, Shelf};
use crate::stages::picture::{self, Proved};
use crate::stages::proof::read::Reading;
use crate::stages::proof::{self, FileProof, Limits, Proof, Sheets, Source};
use crate::stages::watch::Watch as _;
use crate::stages::{self, Kit};
use crate::units::Unit;

/// A file to be proved.
struct Handed {
    path: PathBuf,
    /// What it should hold, where `make` listed it.
    sum: Option<String>,
}

/// What files are held against: a job as far as its cuts, or a machine alone.
struct Against {
    /// The job's file; none without a job.
    job: Option<String>,
    title: String,
    sheets: Option<Sheets>,
    machine: Option<Machine>,
    post: Option<Post>,
    limits: Limits,
    /// Unit of the drawings, whatever they say.
    units: Option<Unit>,
    /// Whether somebody said how wide the kerf is.
    kerf_said: bool,
}

/// Proves the files.
pub(super) fn prove(asked: &Prove) -> u8 {
    progress::heed_interrupts();
    let picture = asked.output.as_deref().map(|path| (path, PictureKind::of(path)));
    if let Some((path, None)) = picture {
        return say(&format!("{}: a picture is .svg or .png", path.display()));
    }
    let mut problems = Problems::new();
    let handed = match handed(&asked.files) {
        Ok(handed) => handed,
        Err(code) => return code,
    };
    let against = match against(asked, &mut problems) {
        Ok(against) => against,
        Err(code) => return code,
    };
    let Some(against) = against else {
        eprint!("{}", tell::problems(&problems));
        if asked.json {
            let job = asked.against.as_deref().map(Path::to_string_lossy);
            answer(&ProveReport::new(job.as_deref(), None, &problems).json());
        }
        return PROBLEMS;
    };
    let (proof, sums) = match read_all(&handed, &against, asked.output.is_some(), &mut problems) {
        Ok(read) => read,
        Err(error) => return say(&error.to_string()),
    };
    undecided(asked, &against, &proof, &mut problems);
    problems.extend(proof.files.iter().flat_map(|file| file.problems.iter().cloned()));
    eprint!("{}", tell::problems(&problems));
    let told = answer(&if asked.json {
        ProveReport::new(against.job.as_deref(), Some((&proof, &sums)), &problems).json()
    } else {
        super::proof::table(&proof, against.sheets.is_some())
    });
    let code = if problems.stop() { PROBLEMS } else { told };
    match picture {
        Some((path, Some(kind))) => {
            let machine = against.machine.as_ref().map_or("", |machine| &machine.name);
            let proved =
                Proved { title: &against.title, machine, proof: &proof, kerf_mm: against.limits.kerf_mm };
            let svg = picture::proof_svg(&proved);
            verbs::put_picture(path, kind, &svg, asked.width, asked.force).max(code)
        }
        _ => code,
    }
}

/// The files, those of folders by the lists that `make` left there.
fn handed(paths: &[PathBuf]) -> Result<Vec<Handed>, u8> {
    let mut handed = Vec::new();
    for path in paths {
        match files::can_read(path) {
            Ok(()) => handed.push(Handed { path: path.clone(), sum: None }),
            Err(files::Error::Folder(folder)) => {
                let listed = files::listed(&folder);
                let cut_files = listed.into_iter().filter(|(name, _)| name.starts_with("sheet-"));
                let before = handed.len();
                handed
                    .extend(cut_files.map(|(name, sum)| Handed { path: folder.join(name), sum: Some(sum) }));
                if handed.len() == before {
                    let (folder, list) = (folder.display(), files::LIST);
                    return Err(say(&format!(
                        "{folder} holds no {list} with cut files in it; name the files"
                    )));
                }
            }
            Err(error) => return Err(say(&error.to_string())),
        }
    }
    Ok(handed)
}

/// What to hold the files against; none where the job or the machine cannot be used.
fn against(asked: &Prove, problems: &mut Problems) -> Result<Option<Against>, u8> {
    match &asked.against {
        Some(job) => against_job(asked, job, problems),
        None => against_machine(asked, problems),
    }
}

fn against_job(asked: &Prove, job: &Path, problems: &mut Problems) -> Result<Option<Against>, u8> {
    let overlaid = Asked {
        inputs: vec![job.to_owned()],
        machine: asked.machine.clone(),
        post: asked.post.clone(),
        shop: asked.shop.clone(),
        kerf: asked.kerf,
        cutter: asked.cutter,
        ..Asked::default()
    };
    let mut requests = request::requests(&overlaid).map_err(|e| say(&e.to_string()))?;
    let Some(Request { job: read, problems: found, shelf, name, .. }) = requests.pop() else {
        return Ok(None);
    };
    problems.extend(found);
    let Some(job) = read else { return Ok(None) };
    let Some(shop) = shelf.shop(&job.machine, job.post.as_deref(), &job.folder, problems) else {
        return Ok(None);
    };
    let watch = Progress::new();
    let kit: Kit = stages::to_cuts(&job, &shop, &watch, problems);
    watch.finish();
    if problems.stop() {
        return Ok(None);
    }
    Ok(Some(Against {
        title: job.title.clone(),
        job: Some(job.file.clone().unwrap_or(name)),
        sheets: Some(Sheets::of(&kit.sheets, &kit.parts, &shop.machine)),
        limits: Limits { kerf_mm: asked.kerf.or(asked.cutter), ..Limits::of_machine(&shop.machine) },
        kerf_said: job.cutting.kerf_mm.or(job.cutting.cutter_mm).is_some(),
        machine: Some(shop.machine),
        post: shop.post,
        units: asked.units,
    }))
}

fn against_machine(asked: &Prove, problems: &mut Problems) -> Result<Option<Against>, u8> {
    let here = Path::new("");
    let shelf = request::shelf(asked.shop.as_deref(), here, problems).map_err(|e| say(&e.to_string()))?;
    Ok(against_shelf(asked, &shelf, problems))
}

fn against_shelf(asked: &Prove, shelf: &Shelf, problems: &mut Problems) -> Option<Against> {
    let here = Path::new("");
    let machine = match &asked.machine {
        Some(name) => Some(shelf.machine(name, here, problems)?),
        None => None,
    };
    let name = asked.post.clone().or_else(|| machine.as_ref().and_then(|machine| machine.post.clone()));
    let post = match name {
        Some(name) => Some(shelf.post(&name, here, problems)?),
        None => None,
    };
    let kerf_mm = asked.kerf.or(asked.cutter);
    let limits = Limits { kerf_mm, ..machine.as_ref().map(Limits::of_machine).unwrap_or_default() };
    let (title, kerf_said) = ("Cut files, read back".to_owned(), kerf_mm.is_some());
    Some(Against { job: None, title, sheets: None, machine, post, limits, units: asked.units, kerf_said })
}

/// Every file read and held against what there is, with its checksum. Without a job, traces are kept only where they are
/// to be drawn, so that a program of any length can be read.
fn read_all(
    handed: &[Handed],
    against: &Against,
    keep_traces: bool,
    problems: &mut Problems,
) -> Result<(Proof, Vec<String>), files::Error> {
    let watch = Progress::new();
    let (mut proof, mut sums) = (Proof::default(), Vec::new());
    for (i, one) in handed.iter().enumerate() {
        watch.step("proving", i, handed.len());
        let name = one.path.to_string_lossy();
        let (file, sum) = against.proof(&one.path, &name, keep_traces)?;
        if one.sum.as_ref().is_some_and(|listed| *listed != sum) {
            let said = "it is not what make wrote: its checksum differs from the one in the list";
            problems.push(Problem::warning("changed-file", said).in_file(&*name));
        }
        proof.files.push(file);
        sums.push(sum);
    }
    watch.finish();
    Ok((proof, sums))
}

impl Against {
    /// The proof of a file, and its checksum.
    fn proof(&self, path: &Path, name: &str, keep_traces: bool) -> Result<(FileProof, String), files::Error> {
        let (machine, post) = (self.machine.as_ref(), self.post.as_ref());
        let reading = Reading { machine, post, limits: &self.limits, units: self.units, strict: false };
        if let Some(sheets) = &self.sheets {
            let bytes = files::read(path, files::DRAWING_LIMIT)?;
            return Ok((sheets.find(Source { name, bytes: &bytes }, &reading), files::checksum(&bytes)));
        }
        let mut stream = files::stream(path)?;
        let read = proof::alone(&mut stream, name, &reading, keep_traces);
        let file = read.map_err(|error| stream.failed(error))?;
        Ok((file, stream.checksum()?))
    }
}

/// What could not be decided, or was taken for granted.
fn undecided(asked: &Prove, against: &Against, proof: &Proof, problems: &mut Problems) {
    let Some(sheets) = &against.sheets else {
        let said = "nothing was compared: without a job nobody knows what should come off";
        problems.push(Problem::note("no-plan", said).hint("--against JOB compares it with the job's parts"));
        if !against.kerf_said {
            let said = "how wide the cut is was not said, so that the picture shows its middle alone";
            let drawn =
                asked.output.is_some().then(|| Problem::note("no-kerf", said).hint("--kerf or --cutter"));
            problems.extend(drawn);
        }
        return;
    };
    if !against.kerf_said {
        let plans = proof.files.iter().filter_map(|file| file.plan.as_ref());
        let kerfs: BTreeSet<String> = plans.map(|plan| plan.kerf_mm.to_string()).collect();
        if !kerfs.is_empty() {
            let kerfs = kerfs.into_iter().collect::<Vec<_>>().join(", ");
            let said =
                format!("nobody said what this machine removes: the shop's own kerf was taken, {kerfs} mm");
            problems.push(Problem::note("kerf-assumed", said).hint("--kerf or --cutter says it"));
        }
    }
    // Which sheet a file is for that was placed by fit is not known, but which pieces are in it.
    problems.extend(sheets.missing(&proof.files));
    if proof.files.iter().any(|file| file.sheet.is_none()) {
        return;
    }
    let sheet_is_there = |number: usize| proof.files.iter().any(|file| file.sheet == Some(number));
    let left_out = sheets.plans().map(|plan| plan.sheet).filter(|number| !sheet_is_there(*number));
    let left_out: Vec<String> = left_out.map(|number| number.to_string()).collect();
    if !left_out.is_empty() {
        let said =
            format!("no file was given for {}: what they hold is not proved", counted("sheet", &left_out));
        problems.push(Problem::note("sheets-left-out", said));
    }
}

/// `sheet 2`, or `sheets 2, 3`.
fn counted(what: &str, numbers: &[String]) -> String {
    let more = if numbers.len() > 1 { "s" } else { "" };
    format!("{what}{more} {}", numbers.join(", "))
}
