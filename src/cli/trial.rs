//! Tries a post on a standard part.

use std::path::Path;

use super::args::Shop as Asked;
use super::progress::Progress;
use super::report::Report;
use super::{PROBLEMS, answer, proof, say, tell, verbs};
use crate::coupon;
use crate::problem::{Problem, Problems};
use crate::shop::{Shelf, Shop};

/// The machines that a standard part is cut on: they reach far enough.
const MACHINES: [&str; 2] = ["desktop-laser", "workshop-router"];

/// Cuts the standard part through the post and proves it.
pub(super) fn try_post(post: &str, asked: &Asked, shelf: &Shelf, mut problems: Problems) -> u8 {
    let Some(shop) = workshop(post, asked, shelf, &mut problems) else {
        eprint!("{}", tell::problems(&problems));
        return PROBLEMS;
    };
    let watch = Progress::new();
    let (job, kit) = coupon::standard(&shop, &watch, &mut problems);
    watch.finish();
    eprint!("{}", tell::problems(&problems));
    let told = if asked.json {
        Report::new(&job.title, &kit, &problems).json()
    } else {
        tell::kit(&job.title, &kit, &problems) + &proof::table(&kit.proof, true)
    };
    let told = answer(&told);
    if problems.stop() {
        return PROBLEMS;
    }
    match (&asked.output, kit.files.iter().find(|file| file.sheet.is_some())) {
        (Some(path), Some(file)) => verbs::put_one(path, &file.bytes, asked.force).max(told),
        (Some(_), None) => say("the post wrote nothing"),
        (None, _) => told,
    }
}

/// A workshop with the machine that was asked for, or one of the post's kind.
fn workshop(post: &str, asked: &Asked, shelf: &Shelf, problems: &mut Problems) -> Option<Shop> {
    let here = Path::new("");
    let read = shelf.post(post, here, problems)?;
    let named = asked.machine.as_deref();
    let mut shop = if let Some(machine) = named {
        shelf.shop(machine, Some(post), here, problems)?
    } else {
        let machine = MACHINES[usize::from(!read.drives_beam())];
        Shelf::shipped().shop(machine, None, here, problems)?
    };
    if shop.machine.is_laser() != read.drives_beam() {
        let message = format!("the post '{}' is not for the tool of '{}'", read.name, shop.machine.name);
        problems.push(Problem::error("wrong-machine", message).hint("name another machine with --machine"));
        return None;
    }
    // The part is tried as G-code alone.
    shop.machine.drawings.clear();
    shop.post = Some(read);
    Some(shop)
}
