//! The operator's sheet: one page for each sheet of wood, for whoever runs the machine.

use super::book::Book;
use super::leaf::{Ink, Leaf};
use super::sheets;
use super::size::Format;
use super::table::{Column, LETTER_MM, LINE_MM, Table, WIDEST_MM, paragraph};
use crate::files::checksum;
use crate::geometry::{Affine, Outline, Point, Rect, Segment, Vec2, lettering};
use crate::shop::{LaserSetting, LayerStyle, RouterSetting};
use crate::stages::cut::{Operation, Settings, SheetCuts};
use crate::stages::picture::pen::number;
use crate::stages::picture::{Preview, craft};

/// Most of the page's height for the picture.
const PICTURE_SHARE: f64 = 0.42;

/// Room around the picture for the origin and its arrows, mm.
const AROUND_MM: f64 = 9.0;

const WOOD: [u8; 3] = [238, 226, 200];
const PIECE: [u8; 3] = [255, 252, 244];

/// Adds the page of every sheet that is cut.
pub(super) fn print(preview: &Preview<'_>, format: Format, book: &mut Book) {
    for cuts in preview.scene.cuts {
        let sketch = sheets::sketch(&cuts.sheet, preview.scene.parts, &book.letters, false);
        let steps = Table::new(&STEPS, &steps(cuts, preview), WIDEST_MM, &book.letters);
        let files = Table::new(&FILES, &files(cuts, preview), CHECKSUM_MM, &book.letters);
        let title = book.title().to_owned();
        book.leaf(format, |leaf| {
            let [width, height] = leaf.room();
            let of = preview.scene.cuts.len();
            leaf.words(&format!("Sheet {} of {of}", cuts.sheet.number), Point::new(0.0, height - 6.0), 6.0);
            leaf.words_right(&preview.machine.name, Point::new(width, height - 6.0), 4.5);
            let mut y = paragraph(leaf, &title, Point::new(0.0, height - 8.0), width) - 2.0;
            y = picture(leaf, cuts, preview, &sketch, y) - 2.0;
            let left = facts(leaf, cuts, Point::new(0.0, y), 0.36 * width);
            let column = 0.4 * width;
            let (_, right) = steps.draw(leaf, 0, Point::new(column, y), 0.0);
            let right = habits(leaf, cuts, preview, Point::new(column, right - 1.5), width - column);
            y = left.min(right) - 3.0;
            (_, y) = files.draw(leaf, 0, Point::new(0.0, y), 0.0);
            y -= 3.0;
            for caution in preview.cautions {
                leaf.rectangle(Rect::new(0.0, y - LINE_MM + 0.8, 3.0, y - LINE_MM + 3.8), Ink::RULE);
                y = paragraph(leaf, caution, Point::new(5.0, y), width - 5.0) - 0.6;
            }
        });
    }
}

/// The sheet, as large as it goes, with its origin; gives how far down it came.
fn picture(
    leaf: &mut Leaf<'_, '_>,
    cuts: &SheetCuts,
    preview: &Preview<'_>,
    sketch: &super::sketch::Sketch,
    top: f64,
) -> f64 {
    let sheet = &cuts.sheet;
    let [width, height] = leaf.room();
    let scale = ((width - AROUND_MM) / sheet.length_mm)
        .min((PICTURE_SHARE * height - AROUND_MM) / sheet.width_mm)
        .min(1.0);
    let corner = Vec2::new(AROUND_MM, top - scale * sheet.width_mm);
    let by = Affine::translate(corner) * Affine::scale(scale);
    let moved = |s: Segment| super::leaf::moved(s, by);
    let edge = Outline::rectangle(Rect::new(0.0, 0.0, sheet.length_mm, sheet.width_mm));
    leaf.tint(&[edge.segments().map(moved).collect()], WOOD);
    for placed in &sheet.placed {
        let Some(part) = preview.scene.parts.get(placed.part) else { continue };
        let region = part.region.placed(&placed.placement);
        let outlines: Vec<Vec<Segment>> =
            region.outlines().map(|outline| outline.segments().map(moved).collect()).collect();
        leaf.tint(&outlines, PIECE);
    }
    sketch.draw(leaf, by, Rect::new(0.0, 0.0, width, height));
    origin(leaf, corner.to_point());
    corner.y - AROUND_MM
}

/// The origin: a ring about the corner, and where x and y go.
fn origin(leaf: &mut Leaf<'_, '_>, at: Point) {
    leaf.closed(Outline::circle(at, 1.6).segments(), Ink::RULE);
    let arrow = |leaf: &mut Leaf<'_, '_>, from: Point, to: Vec2| {
        let (tip, side) = (from + to * 12.0, Vec2::new(-to.y, to.x));
        leaf.line([Segment::line(from, tip)], Ink::RULE);
        for wing in [side, -side] {
            leaf.line([Segment::line(tip, tip - to * 2.5 + wing * 0.9)], Ink::RULE);
        }
    };
    arrow(leaf, Point::new(at.x, at.y - 4.0), Vec2::new(1.0, 0.0));
    leaf.words(
        "x, along the grain; origin at the ringed corner",
        Point::new(at.x + 14.0, at.y - 5.0),
        LETTER_MM,
    );
    arrow(leaf, Point::new(at.x - 4.0, at.y), Vec2::new(0.0, 1.0));
    leaf.words("y", Point::new(at.x - 8.0, at.y + 6.0), LETTER_MM);
    for chain in lettering::arrow(Point::new(at.x + 100.0, at.y - 4.0), 12.0) {
        leaf.line(crate::geometry::Chain::segments(&chain), Ink::RULE);
    }
    leaf.words("grain", Point::new(at.x + 108.0, at.y - 5.0), LETTER_MM);
}

/// What is put on the machine; gives how far down it came.
fn facts(leaf: &mut Leaf<'_, '_>, cuts: &SheetCuts, at: Point, width: f64) -> f64 {
    let sheet = &cuts.sheet;
    let [thickness, length, wide, kerf] =
        [sheet.thickness_mm, sheet.length_mm, sheet.width_mm, cuts.kerf_mm].map(number);
    let tool = match cuts.settings {
        Settings::Laser(_) => format!("Kerf: {kerf} mm, already allowed for"),
        Settings::Router(_) => {
            format!("Cutter: {kerf} mm, already allowed for; z 0 is the upper face of the wood")
        }
    };
    let tabs: usize = cuts.cuts.iter().map(|cut| cut.tabs.len()).sum();
    let lines = [
        format!("Wood: {}", sheet.wood),
        format!("Thickness: {thickness} mm (measure it)"),
        format!("Size: {length} x {wide} mm, grain along x"),
        "Origin: lower left corner of the sheet".to_owned(),
        tool,
        format!("Pieces: {}; tabs: {tabs}", sheet.placed.len()),
        format!("Time: about {}", super::super::board::duration(cuts.time_s)),
    ];
    lines.iter().fold(at.y, |y, line| paragraph(leaf, line, Point::new(at.x, y), width))
}

/// How the machine goes about it, below the steps; gives how far down it came.
fn habits(leaf: &mut Leaf<'_, '_>, cuts: &SheetCuts, preview: &Preview<'_>, at: Point, width: f64) -> f64 {
    let told = craft::told(cuts, preview.scene.parts);
    if told.is_empty() {
        return at.y;
    }
    let words: Vec<String> = told.iter().map(|(what, how)| format!("{what}: {how}")).collect();
    paragraph(leaf, &format!("In the file: {}", words.join("; ")), at, width)
}

const STEPS: [Column; 5] =
    [("", true), ("step", false), ("purpose", false), ("starting values", false), ("time", true)];

/// What is done, in order, with what it is called in the files and the values to start from.
fn steps(cuts: &SheetCuts, preview: &Preview<'_>) -> Vec<Vec<String>> {
    let layers = &preview.machine.layers;
    let drawn = !preview.machine.drawings.is_empty();
    let all = [
        (Operation::Mark, &layers.mark, "names and grain arrows, drawn on the pieces", cuts.steps_s.marks),
        (Operation::Score, &layers.score, "lines part of the way through", cuts.steps_s.scores),
        (Operation::Recess, &layers.score, "recesses, cleared to their depth", cuts.steps_s.recesses),
        (Operation::CutInside, &layers.cut_inside, "holes, cut through", cuts.steps_s.holes),
        (Operation::CutOutside, &layers.cut_outside, "outlines, cut through, last", cuts.steps_s.outlines),
    ];
    let done = all.into_iter().filter(|(operation, ..)| cuts.cuts.iter().any(|c| c.operation == *operation));
    done.enumerate()
        .map(|(i, (operation, layer, purpose, seconds))| {
            vec![
                (i + 1).to_string(),
                if drawn { layer_told(layer) } else { layer.name.clone() },
                purpose.to_owned(),
                values(operation, &cuts.settings),
                super::super::board::duration(seconds),
            ]
        })
        .collect()
}

/// How a layer is found in the drawing files.
fn layer_told(layer: &LayerStyle) -> String {
    format!("layer {} (DXF colour {}, SVG {})", layer.name, layer.dxf_colour, layer.svg_colour)
}

fn values(operation: Operation, settings: &Settings) -> String {
    match settings {
        Settings::Laser(laser) => laser_values(operation, laser),
        Settings::Router(router) => router_values(operation, router),
    }
}

fn laser_values(operation: Operation, laser: &LaserSetting) -> String {
    let (feed, power, times) = match operation {
        Operation::Mark => (laser.mark_feed_mm_min, laser.mark_power, 1),
        Operation::Score | Operation::Recess => (laser.score_feed_mm_min, laser.score_power, 1),
        Operation::CutInside | Operation::CutOutside => (laser.feed_mm_min, laser.power, laser.passes),
    };
    let round = if times > 1 { format!(", {times} times round") } else { String::new() };
    format!("{} mm/min at {:.0} % power{round}", number(feed), 100.0 * power)
}

fn router_values(operation: Operation, router: &RouterSetting) -> String {
    let [rpm, feed, plunge, pass] =
        [router.rpm, router.feed_mm_min, router.plunge_mm_min, router.pass_mm].map(number);
    let depth = match operation {
        Operation::Mark => format!("{} mm deep", number(router.mark_depth_mm)),
        Operation::Score => format!("{:.0} % of the thickness deep", 100.0 * router.score_depth),
        Operation::Recess => format!("passes of at most {pass} mm to the depth of each"),
        Operation::CutInside | Operation::CutOutside => {
            format!("passes of at most {pass} mm, {} mm below the wood", number(router.overcut_mm))
        }
    };
    format!("{rpm} turns/min, {feed} mm/min, down {plunge} mm/min, {depth}")
}

/// Room for a whole checksum on one line, mm.
const CHECKSUM_MM: f64 = 140.0;

const FILES: [Column; 3] = [("file", false), ("bytes", true), ("sha256", false)];

fn files(cuts: &SheetCuts, preview: &Preview<'_>) -> Vec<Vec<String>> {
    let of_sheet = preview.files.iter().filter(|file| file.sheet == Some(cuts.sheet.number));
    let row = |file: &crate::stages::write::Written| {
        let sum = checksum(&file.bytes);
        // In eights, to be compared by eye.
        let eights: Vec<&str> = (0..sum.len() / 8).filter_map(|i| sum.get(8 * i..8 * i + 8)).collect();
        vec![file.name.clone(), file.bytes.len().to_string(), eights.join(" ")]
    };
    of_sheet.map(row).collect()
}
