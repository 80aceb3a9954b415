//! The page of the job as it is now; where the job cannot be read, the last one that could be, with what is wrong.

use std::path::{Path, PathBuf};

use super::super::args::Asked;
use super::super::request::{self, Request};
use super::super::tell;
use crate::problem::{Problem, Problems};
use crate::shop::shelf::FOLDER;
use crate::shop::{Shelf, Shop};
use crate::stages::job::{DEFAULT_MACHINE, Job};
use crate::stages::{self, Kit, Unwatched, picture};

/// What can be shown.
struct Seen {
    job: Job,
    shop: Shop,
    kit: Kit,
}

/// Makes pages.
pub(super) struct Maker<'a> {
    asked: &'a Asked,
    last: Option<Seen>,
    files: Vec<PathBuf>,
}

impl<'a> Maker<'a> {
    pub(super) fn new(asked: &'a Asked) -> Self {
        let mut maker = Self { asked, last: None, files: Vec::new() };
        maker.files = maker.always();
        maker
    }

    /// What the page depends on: the job, its drawings, the shop's folder, the machine and post.
    pub(super) fn files(&self) -> Vec<PathBuf> {
        self.files.clone()
    }

    fn always(&self) -> Vec<PathBuf> {
        let folder = |path: &PathBuf| path.parent().unwrap_or(Path::new("")).join(FOLDER);
        let own = self.asked.shop.clone().or_else(|| self.asked.inputs.first().map(folder));
        self.asked.inputs.iter().cloned().chain(own).collect()
    }

    /// The page, as the one of this number.
    ///
    /// # Errors
    /// Why there can be none: more than one job was asked for, or the job's file is missing from the beginning.
    pub(super) fn make(&mut self, version: u64) -> Result<String, String> {
        let (problems, seen) = match request::requests(self.asked) {
            Ok(mut requests) => match (requests.pop(), requests.is_empty()) {
                (Some(request), true) => self.travelled(request),
                _ => return Err("show draws one job at a time".to_owned()),
            },
            Err(why) if self.last.is_none() => return Err(why.to_string()),
            Err(why) => {
                let mut problems = Problems::new();
                problems.push(Problem::error("unreadable-file", why.to_string()));
                (problems, None)
            }
        };
        eprint!("{}", tell::problems(&problems));
        self.last = seen.or_else(|| self.last.take()).or_else(nothing);
        let Some(seen) = &self.last else { return Err("no machine is known".to_owned()) };
        Ok(picture::live_html(&seen.kit.preview(&seen.job, &seen.shop, problems.as_slice()), version))
    }

    fn travelled(&mut self, request: Request) -> (Problems, Option<Seen>) {
        let Request { job, mut problems, shelf, .. } = request;
        let Some(job) = job else { return (problems, None) };
        self.files = self.always();
        self.files.extend(job.drawings.iter().map(|drawing| job.folder.join(&drawing.file)));
        let named = [Some(&job.machine), job.post.as_ref()];
        self.files.extend(named.into_iter().flatten().map(|name| job.folder.join(name)));
        let shop = shelf.shop(&job.machine, job.post.as_deref(), &job.folder, &mut problems);
        let Some(shop) = shop else { return (problems, None) };
        let kit = stages::travel_unseen(&job, &shop, &Unwatched, &mut problems);
        (problems, Some(Seen { job, shop, kit }))
    }
}

/// What is shown where no job could be read yet.
fn nothing() -> Option<Seen> {
    let mut problems = Problems::new();
    let shop = Shelf::shipped().shop(DEFAULT_MACHINE, None, Path::new(""), &mut problems)?;
    Some(Seen { job: Job::default(), shop, kit: Kit::default() })
}
