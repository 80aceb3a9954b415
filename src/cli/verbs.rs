//! What each verb does.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::args::{Asked, Check, Make, Show, Start};
use super::progress::{self, Progress};
use super::report::Report;
use super::request::{self, Request};
use super::{COULD_NOT, DONE, PROBLEMS, answer, live, say, tell};
use crate::files;
use crate::problem::{Problem, Problems};
use crate::shop::Shop;
use crate::stages::job::{Effort, Job};
use crate::stages::part::start;
use crate::stages::{self, Kit, Watch, picture};

/// A job travelled as far as its problems let it.
struct Done {
    name: String,
    /// The file it came from, or the drawings.
    label: String,
    job: Option<Job>,
    shop: Option<Shop>,
    kit: Kit,
    problems: Problems,
}

impl Done {
    fn exit_code(&self) -> u8 {
        if self.problems.iter().any(|p| matches!(p.code, "missing-file" | "unreadable-file")) {
            COULD_NOT
        } else if self.problems.stop() {
            PROBLEMS
        } else {
            DONE
        }
    }

    fn report(&self) -> String {
        Report::new(&self.label, &self.kit, &self.problems).json()
    }

    /// Prints the report or the table, and the problems.
    fn told(&self, json: bool) {
        eprint!("{}", tell::problems(&self.problems));
        if json {
            answer(&self.report());
        } else {
            let title = self.job.as_ref().map_or(self.name.as_str(), |job| &job.title);
            answer(&tell::kit(title, &self.kit, &self.problems));
        }
    }
}

/// From a job to as much of its kit as is asked for.
type Journey = fn(&Job, &Shop, &dyn Watch, &mut Problems) -> Kit;

fn travel(asked: &Asked, journey: Journey) -> Result<Vec<Done>, u8> {
    progress::heed_interrupts();
    let requests = request::requests(asked).map_err(|e| say(&e.to_string()))?;
    let watch = Progress::new();
    let quick = |request: &Request| request.job.as_ref().is_none_or(|job| job.effort == Effort::Quick);
    // A long search has the machine, and the line that tells of it, to itself.
    let quick = requests.iter().all(quick);
    let go = |request| travel_one(request, journey, &watch);
    let done = if quick {
        requests.into_par_iter().map(go).collect()
    } else {
        requests.into_iter().map(go).collect()
    };
    watch.finish();
    Ok(done)
}

fn travel_one(request: Request, journey: Journey, watch: &Progress) -> Done {
    let Request { name, job, mut problems, shelf, .. } = request;
    let mut done = Done {
        label: name.clone(),
        name,
        job: None,
        shop: None,
        kit: Kit::default(),
        problems: Problems::new(),
    };
    if let Some(job) = job {
        done.label = job.file.clone().unwrap_or_else(|| name_of_drawings(&job));
        let shop = shelf.shop(&job.machine, job.post.as_deref(), &job.folder, &mut problems);
        if let Some(shop) = &shop {
            done.kit = journey(&job, shop, watch, &mut problems);
        }
        (done.job, done.shop) = (Some(job), shop);
    }
    done.problems = problems;
    done
}

fn name_of_drawings(job: &Job) -> String {
    job.drawings.iter().map(|d| d.file.as_str()).collect::<Vec<_>>().join(" ")
}

/// Does everything short of writing.
pub(super) fn check(asked: &Check) -> u8 {
    match travel(&asked.asked, stages::travel_unseen) {
        Err(code) => code,
        Ok(all) => all
            .iter()
            .map(|done| {
                done.told(asked.asked.json);
                done.exit_code()
            })
            .max()
            .unwrap_or(DONE),
    }
}

/// Writes each job's files into its folder.
pub(super) fn make(asked: &Make) -> u8 {
    let all = match travel(&asked.asked, stages::travel_with_pages) {
        Err(code) => return code,
        Ok(all) => all,
    };
    let several = all.len() > 1;
    let mut worst = DONE;
    for done in all {
        let code = done.exit_code();
        done.told(asked.asked.json);
        worst = worst.max(if code == DONE {
            put_away(&done, &folder_of(&done, asked, several), asked)
        } else {
            code
        });
    }
    worst
}

fn folder_of(done: &Done, asked: &Make, several: bool) -> PathBuf {
    match &asked.output {
        Some(folder) if several => folder.join(&done.name),
        Some(folder) => folder.clone(),
        None => Path::new("cut").join(&done.name),
    }
}

fn put_away(done: &Done, folder: &Path, asked: &Make) -> u8 {
    let more = BTreeMap::from([("operator.pdf".to_owned(), done.kit.operator.clone())]);
    put_kit(&done.kit, more, done.report(), folder, asked.force)
}

/// Writes the files of a kit, and more, with their report and pictures into a folder.
pub(super) fn put_kit(
    kit: &Kit,
    more: BTreeMap<String, Vec<u8>>,
    report: String,
    folder: &Path,
    force: bool,
) -> u8 {
    let mut out = more;
    out.extend(kit.files.iter().map(|file| (file.name.clone(), file.bytes.clone())));
    out.insert("report.json".to_owned(), report.into_bytes());
    out.insert("picture.svg".to_owned(), kit.picture.clone().into_bytes());
    out.insert("proof.svg".to_owned(), kit.proof_picture.clone().into_bytes());
    if !kit.curves.is_empty() {
        out.insert("curves.svg".to_owned(), kit.curves.clone().into_bytes());
    }
    let put = progress::while_writing(|| files::write_all(folder, &out, force, &progress::stopped));
    match put {
        Err(files::Error::Taken(path)) => say(&format!(
            "{} is there already and was not written by make, or was changed since; --force replaces it, -o DIR writes elsewhere",
            path.display()
        )),
        Err(e) => say(&format!("{e}; nothing was written")),
        Ok(()) => {
            eprint!("{}", tell::written(folder, out.len() + 1));
            DONE
        }
    }
}

/// Draws the job: what could be made of it, with the places of its problems.
pub(super) fn show(asked: &Show) -> u8 {
    let Some(output) = asked.output.as_deref() else { return live::live(asked) };
    let Some(kind) = ShowKind::of(output) else {
        return say(&format!("{}: a picture is .html, .pdf, .svg or .png", output.display()));
    };
    let journey = if matches!(kind, ShowKind::Picture(_)) { stages::travel } else { stages::travel_unseen };
    let mut all = match travel(&asked.asked, journey) {
        Err(code) => return code,
        Ok(all) => all,
    };
    let (Some(done), true) = (all.pop(), all.is_empty()) else {
        return say("show draws one job at a time");
    };
    done.told(asked.asked.json);
    let (Some(job), Some(shop)) = (&done.job, &done.shop) else {
        return done.exit_code().max(PROBLEMS);
    };
    let preview = || done.kit.preview(job, shop, done.problems.as_slice());
    let put = match kind {
        ShowKind::Page => put_one(output, picture::html(&preview()).as_bytes(), asked.force),
        ShowKind::Paper => match picture::pdf(&preview(), &asked.print()) {
            Ok(bytes) => put_one(output, &bytes, asked.force),
            Err(e) => say(&e.to_string()),
        },
        ShowKind::Picture(kind) => put_picture(output, kind, &done.kit.picture, asked.width, asked.force),
    };
    put.max(done.exit_code())
}

/// What `show` writes, by the ending of its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum ShowKind {
    Page,
    Paper,
    Picture(PictureKind),
}

impl ShowKind {
    fn of(path: &Path) -> Option<Self> {
        let ends = |ending: &str| path.extension().is_some_and(|e| e.eq_ignore_ascii_case(ending));
        match () {
            () if ends("html") => Some(Self::Page),
            () if ends("pdf") => Some(Self::Paper),
            () => PictureKind::of(path).map(Self::Picture),
        }
    }
}

/// How a picture is written, by the ending of its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PictureKind {
    Svg,
    Png,
}

impl PictureKind {
    pub(super) fn of(path: &Path) -> Option<Self> {
        match path.extension()?.to_str()?.to_lowercase().as_str() {
            "svg" => Some(Self::Svg),
            "png" => Some(Self::Png),
            _ => None,
        }
    }
}

/// Writes a picture.
pub(super) fn put_picture(path: &Path, kind: PictureKind, svg: &str, width: u32, force: bool) -> u8 {
    match kind {
        PictureKind::Svg => put_one(path, svg.as_bytes(), force),
        PictureKind::Png => match picture::png(svg, width) {
            Ok(bytes) => put_one(path, &bytes, force),
            Err(e) => say(&e.to_string()),
        },
    }
}

/// Writes a job file to begin from.
pub(super) fn start(asked: &Start) -> u8 {
    progress::heed_interrupts();
    let mut requests = match request::requests(&asked.asked) {
        Ok(requests) => requests,
        Err(e) => return say(&e.to_string()),
    };
    let Some(Request { job: Some(mut job), mut problems, shelf, .. }) =
        requests.pop().filter(|r| r.drawings_only)
    else {
        return say("start takes drawings, not a job");
    };
    let drawings = stages::drawing::read(&job, &mut problems);
    let parts = stages::part::gather(&drawings, &job, &shelf.woods(), &mut problems);
    // What is missing is what the person fills in; it stands in the text.
    let problems: Vec<Problem> =
        problems.into_iter().filter(|p| !matches!(p.code, "no-wood" | "no-stock")).collect();
    let mut told = Problems::new();
    told.extend(problems);
    eprint!("{}", tell::problems(&told));
    if parts.is_empty() {
        return say("no outline was found to begin from; nothing was written").min(PROBLEMS);
    }
    if asked.output.as_deref().is_some_and(|path| path.parent().is_some_and(|p| !p.as_os_str().is_empty())) {
        request::named_from_anywhere(&mut job);
    }
    let text = start::text(&job, &drawings, &parts);
    match &asked.output {
        Some(path) => put_one(path, text.as_bytes(), asked.force),
        None => answer(&text),
    }
}

/// Writes one file.
pub(super) fn put_one(path: &Path, bytes: &[u8], force: bool) -> u8 {
    match progress::while_writing(|| files::write_one(path, bytes, force)) {
        Err(files::Error::Taken(path)) => {
            say(&format!("{} is there already; --force replaces it", path.display()))
        }
        Err(e) => say(&format!("{e}; nothing was written")),
        Ok(()) => DONE,
    }
}
