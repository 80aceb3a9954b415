//! What each verb does.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::args::{Asked, Check, Make, Show, Start};
use super::progress::{self, Progress};
use super::report::Report;
use super::request::{self, Request};
use super::{COULD_NOT, DONE, PROBLEMS, answer, say, tell};
use crate::files;
use crate::problem::Problems;
use crate::shop::Shop;
use crate::stages::job::{self, Job};
use crate::stages::{self, Kit};

pub(super) use super::shelf::shop;

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

fn travel(asked: &Asked) -> Result<Vec<Done>, u8> {
    progress::heed_interrupts();
    let requests = request::requests(asked).map_err(|e| say(&e.to_string()))?;
    Ok(requests.into_iter().map(travel_one).collect())
}

fn travel_one(request: Request) -> Done {
    let Request { name, job, mut problems } = request;
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
        let shop = Shop::open(&job.machine, job.post.as_deref(), &job.folder, &mut problems);
        if let Some(shop) = &shop {
            let watch = Progress::new();
            done.kit = stages::travel(&job, shop, &watch, &mut problems);
            watch.finish();
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
    match travel(&asked.asked) {
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
    let all = match travel(&asked.asked) {
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
    let mut out: BTreeMap<String, Vec<u8>> =
        done.kit.files.iter().map(|file| (file.name.clone(), file.bytes.clone())).collect();
    out.insert("report.json".to_owned(), done.report().into_bytes());
    let put = progress::while_writing(|| files::write_all(folder, &out, asked.force, &progress::stopped));
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

/// Draws the job.
pub(super) fn show(asked: &Show) -> u8 {
    let _ = asked;
    say("no picture yet")
}

/// Writes a job file to begin from.
pub(super) fn start(asked: &Start) -> u8 {
    let _ = asked;
    say("no start yet")
}
