//! The page of an SVG: how its user units become millimetres.

use std::str::FromStr;

use svgtypes::{Align, AspectRatio, Length, LengthUnit, ViewBox};
use usvg::roxmltree::Node;

use crate::geometry::{Affine, Vec2};
use crate::problem::Problem;
use crate::stages::drawing::talk::Talk;
use crate::stages::job::DrawingSource;
use crate::units::Unit;

/// Millimetres of an inch.
const INCH: f64 = 25.4;

/// Pixels an inch, by CSS (CSS Values and Units, "Absolute lengths").
const CSS_PIXELS: f64 = 96.0;

/// How an SVG lies on paper.
#[derive(Clone, Copy, Debug)]
pub(super) struct Page {
    /// From user units, y down, to millimetres from the bottom left corner, y up.
    pub(super) to_mm: Affine,
    /// Size in user units, which percentages go by.
    pub(super) user: Vec2,
    /// User units of a millimetre that is written as such within the drawing.
    pub(super) per_mm: f64,
    /// The unit that the size is written in.
    pub(super) unit: Unit,
}

/// A length of the root: millimetres, whether it is physical, and its unit.
#[derive(Clone, Copy, Debug)]
struct Side {
    mm: f64,
    physical: bool,
    unit: Unit,
}

/// The page of this document; none where no number of it can be used.
pub(super) fn of(root: Node, source: &DrawingSource, talk: &mut Talk) -> Option<Page> {
    let pixel = pixel(source, talk)?;
    let (width, height) = (side(root, "width", pixel, talk), side(root, "height", pixel, talk));
    let view = view_box(root, talk);
    if let Some(unit) = source.units {
        return Some(by_unit(unit, view, width, height, talk));
    }
    let unit = width.or(height).map_or(Unit::Millimetre, |side| side.unit);
    let physical = [width, height].into_iter().flatten().any(|side| side.physical);
    let (corner, user) = match view {
        Some(view) => (Vec2::new(view.x, view.y), Vec2::new(view.w, view.h)),
        None => (Vec2::ZERO, Vec2::new(mm_or(width, 0.0), mm_or(height, 0.0)) / pixel),
    };
    let paper = match (width, height) {
        (Some(w), Some(h)) => Vec2::new(w.mm, h.mm),
        (Some(w), None) => Vec2::new(w.mm, user.y * if view.is_some() { w.mm / user.x } else { pixel }),
        (None, Some(h)) => Vec2::new(user.x * if view.is_some() { h.mm / user.y } else { pixel }, h.mm),
        (None, None) => user * pixel,
    };
    if !physical {
        talk.push(assumed(pixel, paper));
    }
    let fit = if view.is_some() { fitted(root, user, paper) } else { (Vec2::new(pixel, pixel), Vec2::ZERO) };
    let page = page(corner, user, fit, paper.y, pixel, unit);
    if page.to_mm.is_finite() && page.to_mm.determinant() != 0.0 {
        return Some(page);
    }
    talk.push(
        Problem::error("absurd-number", "the size of the drawing is no size")
            .hint("set its width and height"),
    );
    None
}

fn pixel(source: &DrawingSource, talk: &mut Talk) -> Option<f64> {
    let per_inch = source.px_per_inch;
    if per_inch.is_finite() && per_inch > 0.0 {
        return Some(INCH / per_inch);
    }
    talk.push(Problem::error("resolution", format!("{per_inch} pixels an inch is no resolution")));
    None
}

fn mm_or(side: Option<Side>, other: f64) -> f64 {
    side.map_or(other, |side| side.mm)
}

fn page(corner: Vec2, user: Vec2, (scale, shift): (Vec2, Vec2), height: f64, pixel: f64, unit: Unit) -> Page {
    let (x, y) = (shift.x - corner.x * scale.x, height - shift.y + corner.y * scale.y);
    Page { to_mm: Affine::new([scale.x, 0.0, 0.0, -scale.y, x, y]), user, per_mm: 1.0 / pixel, unit }
}

/// The page where the person says what a user unit is.
fn by_unit(
    unit: Unit,
    view: Option<ViewBox>,
    width: Option<Side>,
    height: Option<Side>,
    talk: &mut Talk,
) -> Page {
    let mm = unit.millimetres();
    let (corner, user) = match view {
        Some(view) => (Vec2::new(view.x, view.y), Vec2::new(view.w, view.h)),
        None => (Vec2::ZERO, Vec2::ZERO),
    };
    let sides = [(width, user.x), (height, user.y)];
    let side = sides.iter().find_map(|(side, user)| side.filter(|s| s.physical).map(|s| (s.mm, user * mm)));
    let differs = |(said, asked): &(f64, f64)| *asked > 0.0 && (said - asked).abs() > said * 1e-3;
    if let Some((said, asked)) = side.filter(differs) {
        let message =
            format!("one side is {said:.1} mm long by the file, and {asked:.1} mm by the unit asked for");
        talk.push(Problem::note("units-overridden", message));
    }
    page(corner, user, (Vec2::new(mm, mm), Vec2::ZERO), user.y * mm, INCH / CSS_PIXELS, unit)
}

/// A side of the root; none where it is missing, a percentage, or no length.
fn side(root: Node, name: &str, pixel: f64, talk: &mut Talk) -> Option<Side> {
    let text = root.attribute(name)?.trim();
    let Some((number, unit)) = length(text) else {
        if text != "auto" {
            let message = format!("'{text}' is no {name} of a drawing; it was passed over");
            talk.push(Problem::warning("spoilt-field", message).hint("give it in mm"));
        }
        return None;
    };
    let (mm, unit) = match unit {
        LengthUnit::Mm => (1.0, Some(Unit::Millimetre)),
        LengthUnit::Cm => (10.0, Some(Unit::Centimetre)),
        LengthUnit::In => (INCH, Some(Unit::Inch)),
        LengthUnit::Pt => (INCH / 72.0, Some(Unit::Inch)),
        LengthUnit::Pc => (INCH / 6.0, Some(Unit::Inch)),
        LengthUnit::Percent => return None,
        LengthUnit::None | LengthUnit::Px => (pixel, None),
        LengthUnit::Em => (pixel * 16.0, None),
        LengthUnit::Ex => (pixel * 8.0, None),
    };
    let side = Side { mm: number * mm, physical: unit.is_some(), unit: unit.unwrap_or(Unit::Millimetre) };
    (side.mm.is_finite() && side.mm > 0.0).then_some(side)
}

/// A number and its unit; quarter millimetres are made millimetres.
pub(super) fn length(text: &str) -> Option<(f64, LengthUnit)> {
    if let Some(quarters) = text.strip_suffix(['Q', 'q']) {
        return quarters.trim().parse::<f64>().ok().map(|q| (q / 4.0, LengthUnit::Mm));
    }
    Length::from_str(text).ok().map(|length| (length.number, length.unit))
}

fn view_box(root: Node, talk: &mut Talk) -> Option<ViewBox> {
    let text = root.attribute("viewBox")?;
    match ViewBox::from_str(text) {
        Ok(view) if [view.x, view.y, view.w, view.h].iter().all(|n| n.is_finite()) => Some(view),
        _ => {
            let message = format!("'{text}' is no viewBox; it was passed over");
            talk.push(Problem::warning("spoilt-field", message).hint("check the size of the parts"));
            None
        }
    }
}

/// Scale and shift by `preserveAspectRatio` (SVG 2, "The preserveAspectRatio attribute").
fn fitted(root: Node, user: Vec2, paper: Vec2) -> (Vec2, Vec2) {
    let aspect: AspectRatio =
        root.attribute("preserveAspectRatio").and_then(|text| text.parse().ok()).unwrap_or_default();
    let each = Vec2::new(paper.x / user.x, paper.y / user.y);
    let (across, down) = match aspect.align {
        Align::None => return (each, Vec2::ZERO),
        Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    };
    let one = if aspect.slice { each.x.max(each.y) } else { each.x.min(each.y) };
    let spare = paper - user * one;
    (Vec2::new(one, one), Vec2::new(spare.x * across, spare.y * down))
}

fn assumed(pixel: f64, paper: Vec2) -> Problem {
    let per_inch = INCH / pixel;
    let size = if paper.x > 0.0 && paper.y > 0.0 {
        format!(": the page is then {:.1} x {:.1} mm", paper.x, paper.y)
    } else {
        String::new()
    };
    Problem::warning(
        "size-assumed",
        format!(
            "the SVG does not say its size in mm or inches; it was read at {per_inch} pixels an inch{size}"
        ),
    )
    .hint("compare one dimension with the plan; older drawing programs wrote 90 or 72 pixels an inch")
}
