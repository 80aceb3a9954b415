//! What to measure on a coupon and what to type then, for people at the machine.

use std::fmt::Write as _;

use super::ladder::Rung;
use super::reading::{self, shown};
use super::{Kind, Wish, fit, kerf};
use crate::problem::Problems;
use crate::shop::Shop;
use crate::stages::Kit;
use crate::stages::cut::Settings;
use crate::stages::write;

/// The text that goes with a coupon.
pub(super) fn text(wish: &Wish, shop: &Shop, rungs: &[Rung], kit: &Kit) -> String {
    let machine = &shop.machine.name;
    let mut text =
        format!("COUPON {}: {} {} mm on {machine}\n\n", wish.kind.name(), wish.wood, wish.thickness_mm);
    text += &match wish.kind {
        Kind::Kerf => strips(wish, shop),
        Kind::Fit => slots(wish),
        Kind::Power => powers(rungs, kit),
        Kind::Depth => depths(rungs, kit),
    };
    let _ = write!(
        text,
        "\nThen type, with what you measured in the place of the words:\n\n  grainwise coupon {}",
        wish.kind.name()
    );
    let _ = write!(text, " --machine {machine} --wood {} --thickness {}", wish.wood, wish.thickness_mm);
    if let Some(cutter) = wish.cutting.cutter_mm {
        let _ = write!(text, " --cutter {cutter}");
    }
    let _ = writeln!(text, " --reading {}\n", words(wish.kind));
    for (word, what) in words(wish.kind).split(' ').zip(reading::wanted(wish.kind)) {
        let _ = writeln!(text, "  {word:<9} {what}");
    }
    text += "\nIt goes into the measured values of your own shop folder (--shop DIR, else ./shop), with day and wood.\n\n";
    for caution in write::cautions(&shop.machine.tool) {
        let _ = writeln!(text, "{caution}");
    }
    text
}

fn words(kind: Kind) -> &'static str {
    match kind {
        Kind::Kerf => "TOTAL K",
        Kind::Fit => "WOOD PRESS GLUE SLIDE",
        Kind::Power => "SPEED PERCENT",
        Kind::Depth => "MARKED MEASURED",
    }
}

fn strips(wish: &Wish, shop: &Shop) -> String {
    let assumed = kerf::assumed(wish, shop, &mut Problems::new()).map_or_else(String::new, shown);
    format!(
        "Ten strips of {width} mm, cut for a kerf of {assumed} mm (marked K{assumed} on each).\n\
         1. Cut them all, break them out, and rub off burrs and the stubs of tabs at the ends; sand nothing else.\n\
         2. Lay all ten side by side on something flat, long edge to long edge, the same face up.\n\
         3. Press them together gently and measure across all ten in the middle of their length, three times; take\n   \
            the mean. {stack} mm means that K was right.\n",
        width = shown(kerf::STRIP_MM),
        stack = shown(kerf::STRIP_MM * f64::from(kerf::STRIPS)),
    )
}

fn slots(wish: &Wish) -> String {
    let widths: Vec<String> = fit::widths(wish).into_iter().map(shown).collect();
    format!(
        "A plate with slots of {} mm, and a tongue of the same wood.\n\
         1. Measure the wood's thickness in three places and take the mean.\n\
         2. Put the tongue, end first, into the slots from the widest down. Note the number beside three of them: the\n   \
            widest that the tongue has to be pressed into, the one that it enters by hand and holds (for glue), and\n   \
            the first in which it slides.\n",
        widths.join(", ")
    )
}

fn powers(rungs: &[Rung], kit: &Kit) -> String {
    let passes = kit.sheets.first().map_or(1, |cuts| match cuts.settings {
        Settings::Laser(setting) => setting.passes,
        Settings::Router(_) => 1,
    });
    let mut text = format!(
        "Squares, each cut at a speed and a power of its own, both marked on it, each {passes} times round. Run the files in\n\
         order without moving the wood; a machine that takes drawings has to be set for each as said here.\n\n"
    );
    for (rung, file) in rungs.iter().zip(files(kit)) {
        let (speed, percent) = rung.label.split_once(' ').unwrap_or_default();
        let _ = writeln!(text, "  {file:<18} {speed:>6} mm/min  {percent:>3} %");
    }
    text += "\nTake the square that fell out by itself with clean edges and little char at the highest speed; of two alike, the\n\
             one with less power. Squares that did not fall out are not read.\n";
    text
}

fn depths(rungs: &[Rung], kit: &Kit) -> String {
    let mut text = "Small plates, each with a groove cut in one pass, as deep as is marked on it; the plate is cut out in passes\n\
                    of that depth. Run the files in order, and stop at the first that makes the cutter sing, bend or stall.\n\n"
        .to_owned();
    for (rung, file) in rungs.iter().zip(files(kit)) {
        let _ = writeln!(text, "  {file:<18} {:>6} mm", rung.label);
    }
    text += "\nTake the deepest groove whose edges are clean, and measure its depth.\n";
    text
}

/// The first file of each sheet.
fn files(kit: &Kit) -> Vec<&str> {
    let of = |sheet: usize| kit.files.iter().find(move |file| file.sheet == Some(sheet));
    kit.layout.sheets.iter().map(|sheet| of(sheet.number).map_or("", |file| file.name.as_str())).collect()
}
