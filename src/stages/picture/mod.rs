//! All of it to a picture: SVG in true millimetres, PNG, a page to look around in, and paper.
//!
//! Takes the parts and, as far as the journey got, sheets and cuts; where it stopped before there were sheets, the
//! drawings with the places of the problems. Takes a proof as well, and shows what the files would cut over what was
//! drawn. Gives the picture as text or bytes. Refuses nothing but a PNG too large to be made.

mod board;
mod craft;
mod curves;
mod hatch;
mod html;
mod letters;
mod page;
mod paper;
mod pen;
mod plan;
mod proof;
mod raster;
mod wood;

use crate::problem::Problem;
use crate::stages::cut::SheetCuts;
use crate::stages::drawing::Drawing;
use crate::stages::part::Part;
use crate::stages::sheet::Layout;

pub use curves::svg as curves_svg;
pub use html::{Preview, html, live_html};
pub use paper::{NoPdf, Paper, Print, operator_pdf, pdf};
pub use proof::{Proved, svg as proof_svg};
pub use raster::{NoPng, png};

/// What there is to be seen.
#[derive(Clone, Copy, Debug)]
pub struct Scene<'a> {
    /// Title of the job.
    pub title: &'a str,
    /// Name of the machine; empty where it is not known.
    pub machine: &'a str,
    /// The drawings as read.
    pub drawings: &'a [Drawing],
    /// The parts.
    pub parts: &'a [Part],
    /// The sheets; none where the journey did not get so far.
    pub layout: &'a Layout,
    /// The cuts of each sheet; none where the journey did not get so far.
    pub cuts: &'a [SheetCuts],
    /// What is wrong; places are marked where they can be.
    pub problems: &'a [Problem],
}

/// The picture as SVG: one user unit is a millimetre, sheets stand one below the other in true size. Where there is no
/// sheet, the parts and outlines stand as in their drawings.
pub fn svg(scene: &Scene<'_>) -> String {
    let content = plan::widest(scene).max(board::longest(scene));
    let about = format!(
        "{} parts on {} sheets, {} problems; lengths in millimetres",
        scene.parts.len(),
        board::sheets(scene).len(),
        scene.problems.len()
    );
    let mut page = page::Page::new(content, scene.title, &about);
    page.title(scene.title, scene.machine);
    if scene.layout.sheets.is_empty() && scene.cuts.is_empty() {
        plan::draw(scene, &mut page);
    } else {
        board::draw(scene, &mut page);
    }
    page.problems(scene.problems.iter());
    page.finish()
}
