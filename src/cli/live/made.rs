//! The page of the job as it is now; where the job cannot be read, the last one that could be, with what is wrong.

use std::path::{Path, PathBuf};

use super::super::args::Asked;
use super::super::request::{self, Request};
use super::super::tell;
use crate::problem::{Problem, Problems};
use crate::shop::shelf::FOLDER;
use crate::shop::{Shelf, Shop};
use crate::stages::job::{DEFAULT_MACHINE, Effort, Job};
use crate::stages::{self, Kit, Unwatched, Watch, picture};

/// What can be shown.
struct Seen {
    job: Job,
    shop: Shop,
    kit: Kit,
    /// Whether sheets may still become better: nobody waits for a long search before the first look.
    hasty: bool,
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

    /// What the page depends on: the job, every file that it names, the shop's folder.
    pub(super) fn files(&self) -> Vec<PathBuf> {
        self.files.clone()
    }

    fn always(&self) -> Vec<PathBuf> {
        let folder = |path: &PathBuf| path.parent().unwrap_or(Path::new("")).join(FOLDER);
        let own = self.asked.shop.clone().or_else(|| self.asked.inputs.first().map(folder));
        self.asked.inputs.iter().cloned().chain(own).collect()
    }

    /// The page, as the one of this number, and what is to be told about the job.
    ///
    /// # Errors
    /// Why there can be none: more than one job was asked for, or the job's file is missing from the beginning.
    pub(super) fn make(&mut self, version: u64) -> Result<(String, String), String> {
        let (problems, seen) = match request::requests(self.asked) {
            Ok(mut requests) => match (requests.pop(), requests.is_empty()) {
                (Some(request), true) => self.travelled(request, true, &Unwatched),
                _ => return Err("show draws one job at a time".to_owned()),
            },
            Err(why) if self.last.is_none() => return Err(why.to_string()),
            Err(why) => {
                let mut problems = Problems::new();
                problems.push(Problem::error("unreadable-file", why.to_string()));
                (problems, None)
            }
        };
        self.last = seen.or_else(|| self.last.take()).or_else(nothing);
        let Some(seen) = &self.last else { return Err("no machine is known".to_owned()) };
        let page = picture::live_html(&seen.kit.preview(&seen.job, &seen.shop, problems.as_slice()), version);
        Ok((page, tell::problems(&problems)))
    }

    /// The page with the sheets as good as the job asks for, where that is better than what was shown in haste; none where
    /// it is not, or whoever watches stopped the search.
    pub(super) fn better(&mut self, version: u64, watch: &dyn Watch) -> Option<String> {
        let shown = self.last.as_mut().filter(|seen| seen.hasty)?;
        shown.hasty = false;
        let layout = shown.kit.layout.clone();
        let request = request::requests(self.asked).ok()?.pop()?;
        let (problems, seen) = self.travelled(request, false, watch);
        let seen = seen.filter(|seen| !watch.stopped() && seen.kit.layout != layout)?;
        let page = picture::live_html(&seen.kit.preview(&seen.job, &seen.shop, problems.as_slice()), version);
        self.last = Some(seen);
        Some(page)
    }

    fn travelled(&mut self, request: Request, in_haste: bool, watch: &dyn Watch) -> (Problems, Option<Seen>) {
        let Request { job, mut problems, shelf, .. } = request;
        let Some(mut job) = job else { return (problems, None) };
        let hasty = in_haste && job.effort != Effort::Quick;
        if in_haste {
            job.effort = Effort::Quick;
        }
        self.files = self.always();
        self.files.extend(job.files());
        let shop = shelf.shop(&job.machine, job.post.as_deref(), &job.folder, &mut problems);
        let Some(shop) = shop else { return (problems, None) };
        self.files.extend(shop.machine.post.iter().map(|post| job.folder.join(post)));
        let kit = stages::travel_unseen(&job, &shop, watch, &mut problems);
        (problems, Some(Seen { job, shop, kit, hasty }))
    }
}

/// What is shown where no job could be read yet.
fn nothing() -> Option<Seen> {
    let mut problems = Problems::new();
    let shop = Shelf::shipped().shop(DEFAULT_MACHINE, None, Path::new(""), &mut problems)?;
    Some(Seen { job: Job::default(), shop, kit: Kit::default(), hasty: false })
}
