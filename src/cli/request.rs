//! From arguments to jobs: reads a job file or makes a job of the drawings, then lays the flags over it.

use std::path::{Path, PathBuf};

use super::args::Asked;
use crate::files;
use crate::problem::Problems;
use crate::shop::Shelf;
use crate::stages::job::{self, Job, Stock};

/// A job to be done, with what was found wrong while reading it.
#[derive(Debug)]
pub(super) struct Request {
    /// Short name, for its folder.
    pub name: String,
    /// The job; none where its file is beyond reading.
    pub job: Option<Job>,
    /// What was wrong with the file.
    pub problems: Problems,
    /// What the shop holds.
    pub shelf: Shelf,
    /// Whether there is no job file, only drawings.
    pub drawings_only: bool,
}

/// Why there is nothing to do.
#[derive(Debug, thiserror::Error)]
pub(super) enum Unusable {
    #[error("give either jobs (.yaml) or drawings, not both together")]
    Mixed,
    #[error(transparent)]
    File(#[from] files::Error),
}

/// The jobs that the arguments ask for: one for each job file, or one for all drawings together.
pub(super) fn requests(asked: &Asked) -> Result<Vec<Request>, Unusable> {
    let jobs = asked.inputs.iter().filter(|path| is_job(path)).count();
    if jobs == 0 {
        return of_drawings(asked).map(|request| vec![request]);
    }
    if jobs < asked.inputs.len() {
        return Err(Unusable::Mixed);
    }
    asked.inputs.iter().map(|path| of_job(path, asked)).collect()
}

fn is_job(path: &Path) -> bool {
    path.extension().is_some_and(|e| e.eq_ignore_ascii_case("yaml") || e.eq_ignore_ascii_case("yml"))
}

fn stem(path: &Path) -> String {
    path.file_stem().map_or_else(|| "job".to_owned(), |s| s.to_string_lossy().into_owned())
}

fn of_job(path: &Path, asked: &Asked) -> Result<Request, Unusable> {
    let text = files::read_text(path)?;
    let mut problems = Problems::new();
    let folder = path.parent().unwrap_or(Path::new("")).to_owned();
    let shelf = shelf(asked.shop.as_deref(), &folder, &mut problems)?;
    let woods = shelf.wood_names();
    let mut job = job::parse_among(&text, &path.to_string_lossy(), &folder, &woods, &mut problems);
    if let Some(job) = &mut job {
        lay_over(job, asked);
    }
    Ok(Request { name: stem(path), job, problems, shelf, drawings_only: false })
}

fn of_drawings(asked: &Asked) -> Result<Request, Unusable> {
    for path in &asked.inputs {
        files::can_read(path)?;
    }
    let mut job = Job::of_drawings(asked.inputs.iter().map(|p| p.to_string_lossy().into_owned()).collect());
    let name = asked.inputs.first().map_or_else(|| "job".to_owned(), |path| stem(path));
    job.title.clone_from(&name);
    lay_over(&mut job, asked);
    let mut problems = Problems::new();
    let shelf = shelf(asked.shop.as_deref(), Path::new(""), &mut problems)?;
    Ok(Request { name, job: Some(job), problems, shelf, drawings_only: true })
}

/// The shelf with the folder that was named, or the one beside the job.
pub(super) fn shelf(
    named: Option<&Path>,
    folder: &Path,
    problems: &mut Problems,
) -> Result<Shelf, files::Error> {
    let Some(named) = named else { return Ok(Shelf::beside(folder, problems)) };
    files::list(named)?;
    Ok(Shelf::with(named, problems))
}

/// What the flags say goes over what the job says.
fn lay_over(job: &mut Job, asked: &Asked) {
    let set = |to: &mut f64, from: Option<f64>| *to = from.unwrap_or(*to);
    set(&mut job.join_mm, asked.join);
    set(&mut job.tolerance_mm, asked.tolerance);
    job.seed = asked.seed.unwrap_or(job.seed);
    job.effort = asked.effort.unwrap_or(job.effort);
    for drawing in &mut job.drawings {
        drawing.units = asked.units.or(drawing.units);
        set(&mut drawing.px_per_inch, asked.px_per_inch);
    }
    job.default_part.wood = asked.wood.clone().or(job.default_part.wood.take());
    job.default_part.thickness_mm = asked.thickness.or(job.default_part.thickness_mm);
    if let Some(machine) = &asked.machine {
        job.machine = from_here(machine);
        job.post = None;
    }
    job.post = asked.post.as_deref().map(from_here).or(job.post.take());
    job.cutting.kerf_mm = asked.kerf.or(job.cutting.kerf_mm);
    job.cutting.cutter_mm = asked.cutter.or(job.cutting.cutter_mm);
    job.cutting.leave_out |= asked.leave_out;
    job.cutting.tabs = asked.tabs.or(job.cutting.tabs);
    for wood in job.cutting.woods.values_mut() {
        wood.kerf_mm = wood.kerf_mm.filter(|_| asked.kerf.is_none());
        wood.cutter_mm = wood.cutter_mm.filter(|_| asked.cutter.is_none());
        wood.tabs = wood.tabs.filter(|_| asked.tabs.is_none());
    }
    if let Some(size) = asked.sheet {
        sheets_of(job, size);
    }
}

/// Sheets of one size, as many as it takes, of every wood and thickness that the job names.
fn sheets_of(job: &mut Job, (length_mm, width_mm): (f64, f64)) {
    let rules = job.parts.iter().flatten().chain([&job.default_part]);
    let mut kinds: Vec<(String, f64)> = Vec::new();
    for rule in rules {
        let wood = rule.wood.as_ref().or(job.default_part.wood.as_ref());
        let thickness = rule.thickness_mm.or(job.default_part.thickness_mm);
        if let (Some(wood), Some(thickness)) = (wood, thickness)
            && !kinds.iter().any(|(w, t)| w == wood && t.to_bits() == thickness.to_bits())
        {
            kinds.push((wood.clone(), thickness));
        }
    }
    job.stock = kinds
        .into_iter()
        .map(|(wood, thickness_mm)| Stock::new(wood, thickness_mm, (length_mm, width_mm)))
        .collect();
}

/// A name stays a name; a file is one seen from where the command runs, not from the job's folder.
fn from_here(name_or_path: &str) -> String {
    if !is_job(Path::new(name_or_path)) {
        return name_or_path.to_owned();
    }
    std::path::absolute(PathBuf::from(name_or_path))
        .map_or_else(|_| name_or_path.to_owned(), |p| p.to_string_lossy().into_owned())
}

/// Names the drawings by whole paths, for a job file that lies in another folder.
pub(super) fn named_from_anywhere(job: &mut Job) {
    for drawing in &mut job.drawings {
        if let Ok(whole) = std::path::absolute(&drawing.file) {
            drawing.file = whole.to_string_lossy().into_owned();
        }
    }
}
