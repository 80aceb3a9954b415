//! What is left of a sheet, as a drawing that the next job takes as stock: SVG at true size, the grain along x.

use std::fmt::Write as _;

use super::Written;
use super::decimal::{fits, short};
use super::svg::{STROKE_MM, escaped, path};
use crate::geometry::{Outline, Placement};
use crate::stages::sheet::Sheet;

/// The name of the file for what is left of a sheet.
pub fn remnant_name(sheet: usize) -> String {
    format!("remnant-{sheet}.svg")
}

/// The drawing; none where the sheet leaves nothing worth keeping. Zones to avoid that lie in it are drawn, too.
pub(super) fn file(sheet: &Sheet) -> Option<Written> {
    let outline = sheet.remnant.as_ref()?;
    let bounds = outline.bounds();
    if !(fits(bounds.x1) && fits(bounds.y1)) {
        return None;
    }
    let to_corner = Placement { shift: -bounds.origin().to_vec2(), ..Placement::HERE };
    let zones = sheet.blank.avoid.iter().filter(|zone| {
        let at = zone.bounds().center();
        outline.contains(at)
    });
    let (length, width) = (short(bounds.width()), short(bounds.height()));
    let wood = escaped(&format!("{} {} mm", sheet.wood, short(sheet.thickness_mm)));
    let mut text = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    let _ = writeln!(
        text,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{length}mm\" height=\"{width}mm\" \
         viewBox=\"0 0 {length} {width}\" fill=\"none\" stroke=\"#000000\" stroke-width=\"{STROKE_MM}\">"
    );
    let _ = writeln!(
        text,
        "  <title>{wood}, what is left of sheet {}</title>\n  <desc>{length} x {width} mm, {} cm2, grain along x</desc>",
        sheet.number,
        short((outline.area() / 10.0).round() / 10.0)
    );
    text.push_str("  <g id=\"remnant\">\n");
    let mut draw = |outline: &Outline| {
        let segments: Vec<_> = outline.placed(&to_corner).segments().collect();
        let _ = writeln!(text, "    <path d=\"{} Z\"/>", path(&segments, bounds.height()));
    };
    draw(outline);
    zones.for_each(&mut draw);
    text.push_str("  </g>\n</svg>\n");
    Some(Written { name: remnant_name(sheet.number), sheet: None, bytes: text.into_bytes() })
}
