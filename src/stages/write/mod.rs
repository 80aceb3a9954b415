//! Cuts and moves to bytes: DXF, SVG, G-code through a post, and the cut list.
//!
//! Takes the sheets with their cuts. Gives files as bytes in memory, nothing touches the disk here. Refuses numbers that
//! the post's formats cannot hold.

use crate::problem::Problems;
use crate::shop::{Machine, Post};
use crate::stages::cut::SheetCuts;
use crate::stages::job::Job;
use crate::stages::part::Part;

/// One file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// Its name, without a folder.
    pub name: String,
    /// Which sheet it cuts, from 1; none for the cut list.
    pub sheet: Option<usize>,
    /// What goes into it.
    pub bytes: Vec<u8>,
}

/// Writes every file that the machine takes for these sheets, and the cut list.
pub fn all(
    sheets: &[SheetCuts],
    parts: &[Part],
    job: &Job,
    machine: &Machine,
    post: Option<&Post>,
    problems: &mut Problems,
) -> Vec<Written> {
    let _ = (sheets, parts, job, machine, post, problems);
    Vec::new()
}
