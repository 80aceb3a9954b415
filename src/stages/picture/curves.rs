//! Fair curves with their curvature: wobble that no eye sees on the outline stands out in it.

use super::page::{Page, stroke};
use super::pen::{self, PathData, number};
use crate::geometry::{Point, Rect, Vec2};
use crate::stages::drawing::measured::Fair;

/// The longest tooth, as a fraction of the curve's extent.
const TALLEST: f64 = 0.2;

/// Every fair curve with the points it was laid through and its curvature as a comb: SVG in millimetres. Empty where there
/// is none.
pub fn svg<'a>(title: &str, curves: impl IntoIterator<Item = &'a Fair>) -> String {
    let shown: Vec<&Fair> = curves.into_iter().filter(|fair| fair.comb.teeth.len() > 1).collect();
    if shown.is_empty() {
        return String::new();
    }
    let widest = shown.iter().map(|fair| bounds(fair).width()).fold(0.0, f64::max);
    let about = format!("{} curves with their curvature", shown.len());
    let mut page = Page::new(widest, title, &about);
    page.title(title, "");
    for fair in shown {
        draw(fair, &mut page);
    }
    page.finish()
}

fn extent(fair: &Fair) -> f64 {
    let bounds = of_points(fair.comb.teeth.iter().map(|tooth| tooth.at));
    bounds.width().max(bounds.height())
}

fn of_points(points: impl Iterator<Item = Point>) -> Rect {
    points.map(|p| Rect::from_points(p, p)).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
}

/// The end of each tooth: outwards of the bend, so long as the curvature is there.
fn tips(fair: &Fair) -> Vec<Point> {
    let largest = fair.comb.teeth.iter().map(|tooth| tooth.curvature.abs()).fold(0.0, f64::max);
    let per = if largest > 0.0 { TALLEST * extent(fair) / largest } else { 0.0 };
    fair.comb.teeth.iter().map(|tooth| tooth.at - tooth.left * (tooth.curvature * per)).collect()
}

fn bounds(fair: &Fair) -> Rect {
    of_points(
        fair.comb.teeth.iter().map(|tooth| tooth.at).chain(tips(fair)).chain(fair.pricked.iter().copied()),
    )
}

fn draw(fair: &Fair, page: &mut Page) {
    let comb = &fair.comb;
    let moved =
        if fair.moved_mm > 0.0 { format!(", moved by up to {:.2} mm", fair.moved_mm) } else { String::new() };
    page.words(
        &format!("{}   through {} points{moved}", fair.piece, fair.pricked.len()),
        1.2 * page.letter,
        pen::INK,
    );
    let bend = format!(
        "tightest bend {:.1} mm; turning points of the curvature, which the comb shows: {}; changes of side: {}",
        comb.least_radius(),
        comb.turning_points(),
        comb.inflections()
    );
    page.words(&bend, page.letter, pen::PENCIL);
    page.y += page.letter;
    let bounds = bounds(fair);
    let origin = Vec2::new(page.border() - bounds.x0, page.y + bounds.y1);
    let at = |p: Point| Point::new(origin.x + p.x, origin.y - p.y);
    let (mut teeth, mut rim, mut line) = (PathData::default(), PathData::default(), PathData::default());
    for (i, (tooth, tip)) in comb.teeth.iter().zip(tips(fair)).enumerate() {
        teeth.begin(at(tooth.at));
        teeth.line(at(tip));
        if i == 0 {
            line.begin(at(tooth.at));
            rim.begin(at(tip));
        } else {
            line.line(at(tooth.at));
            rim.line(at(tip));
        }
    }
    let thin = 0.06 * page.letter;
    page.add(&teeth.element(&stroke(pen::TAB, thin, "")));
    page.add(&rim.element(&stroke(pen::TAB, 2.0 * thin, "")));
    page.add(&line.element(&stroke(pen::INK, 3.0 * thin, "")));
    for prick in &fair.pricked {
        let p = at(*prick);
        page.add(&format!(
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"/>\n",
            number(p.x),
            number(p.y),
            number(0.4 * page.letter),
            pen::ALARM,
            number(1.5 * thin)
        ));
    }
    page.y += bounds.height() + 2.5 * page.letter;
}
