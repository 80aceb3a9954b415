//! G-code through a post: the moves of a sheet, in the words of the dialect that the post describes.
//!
//! Takes a sheet with its moves. Gives one file. Refuses what no program may hold: rapids below the clearance height,
//! cuts deeper than wood and overcut, travel with the beam on, numbers and lines that the post's formats cannot hold.

mod arc;
mod comment;
mod faults;
mod lines;
mod number;
mod program;
mod values;

use super::Written;
use crate::problem::{Problem, Problems};
use crate::shop::{Machine, Post, Tool};
use crate::stages::cut::{Settings, SheetCuts};
use crate::stages::job::Job;
use program::Program;
use values::Values;

/// Writes the program of one sheet; none where a problem stops it.
pub(super) fn file(
    cuts: &SheetCuts,
    sheets: usize,
    job: &Job,
    machine: &Machine,
    post: &Post,
    problems: &mut Problems,
) -> Option<Written> {
    let name = format!("sheet-{}.{}", cuts.sheet.number, post.extension);
    if let Some(problem) = misfit(cuts, machine, post) {
        problems.push(problem.in_file(&name));
        return None;
    }
    let values = Values { job, machine, post, cuts, sheets };
    let mut program = Program::new(&values);
    program.whole(&super::cautions(&machine.tool));
    let Program { lines, mut faults, .. } = program;
    faults.check_reach(&values);
    if let Some(line) = &lines.too_long {
        let most = post.line.most;
        faults.note("line-too-long", || {
            format!("a line has {} characters; the post allows {most}", line.len())
        });
    }
    let before = problems.len();
    faults.tell(&name, problems);
    (problems.len() == before).then(|| Written {
        name,
        sheet: Some(cuts.sheet.number),
        bytes: lines.finish(),
    })
}

/// Why sheet, machine and post do not belong together.
fn misfit(cuts: &SheetCuts, machine: &Machine, post: &Post) -> Option<Problem> {
    let laser = matches!(machine.tool, Tool::Laser { .. });
    if laser != post.drives_beam() || laser != matches!(cuts.settings, Settings::Laser(_)) {
        let (is, drives) = if laser { ("a laser", "a spindle") } else { ("a router", "a beam") };
        let message = format!("machine '{}' is {is}, but post '{}' drives {drives}", machine.name, post.name);
        return Some(
            Problem::error("post-and-machine", message).hint("name a post for this kind of machine"),
        );
    }
    if let Settings::Router(setting) = &cuts.settings
        && !(setting.rpm > 0.0 && setting.rpm < 1e6)
    {
        return Some(Problem::error(
            "speed-out-of-range",
            format!("a spindle speed of {} is none", setting.rpm),
        ));
    }
    cuts.moves.is_empty().then(|| Problem::error("no-moves", "there are no moves to write for this sheet"))
}
