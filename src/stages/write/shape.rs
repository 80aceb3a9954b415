//! Cuts as drawings show them: circles, closed paths, and open ones where tabs interrupt them.

use crate::geometry::{Point, Segment};
use crate::shop::{LayerStyle, Layers};
use crate::stages::cut::{Cut, Operation, Path, SheetCuts};

/// Centres and radii this near make one circle, mm: what two half circles keep through turns and shifts.
const ONE_CIRCLE: f64 = 1e-7;

/// Pieces shorter than this are rounding where a tab meets a corner, mm.
const NOTHING: f64 = 1e-6;

/// The operations in the order of their groups.
pub(super) const OPERATIONS: [Operation; 4] =
    [Operation::Mark, Operation::Score, Operation::CutInside, Operation::CutOutside];

/// An operation's name for people.
pub(super) const fn name_of(operation: Operation) -> &'static str {
    match operation {
        Operation::Mark => "mark",
        Operation::Score => "score",
        Operation::Recess => "recess",
        Operation::CutInside => "cut inside",
        Operation::CutOutside => "cut outside",
    }
}

/// The layer that a machine keeps for an operation.
pub(super) const fn style_of(layers: &Layers, operation: Operation) -> &LayerStyle {
    match operation {
        Operation::Mark => &layers.mark,
        // A drawing says no depth: what has recesses is written as a program.
        Operation::Score | Operation::Recess => &layers.score,
        Operation::CutInside => &layers.cut_inside,
        Operation::CutOutside => &layers.cut_outside,
    }
}

/// One thing to draw.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Shape {
    /// A whole circle.
    Circle {
        /// Its centre.
        centre: Point,
        /// Its radius, mm.
        radius: f64,
    },
    /// A path that comes back to where it began.
    Closed(Vec<Segment>),
    /// One that does not.
    Open(Vec<Segment>),
}

/// What is drawn for a cut, in the order in which it is cut.
pub(super) fn shapes(cut: &Cut) -> Vec<Shape> {
    let (segments, closed): (Vec<Segment>, bool) = match &cut.path {
        Path::Closed(outline) => (outline.segments().collect(), true),
        Path::Open(chain) => (chain.segments().collect(), false),
    };
    if !cut.tabs.is_empty() {
        return between_tabs(cut, &segments, closed);
    }
    match circle(&segments).filter(|_| closed) {
        Some(circle) => vec![circle],
        None if closed => vec![Shape::Closed(split(&segments))],
        None => vec![Shape::Open(split(&segments))],
    }
}

/// The circle that all segments lie on, if there is one.
fn circle(segments: &[Segment]) -> Option<Shape> {
    let first = segments.first()?;
    let (centre, radius) = (first.centre()?, first.radius());
    let alike = segments.iter().all(|s| {
        s.centre().is_some_and(|c| c.distance(centre) < ONE_CIRCLE)
            && (s.radius() - radius).abs() < ONE_CIRCLE
            && s.bulge.signum() == first.bulge.signum()
    });
    let once = (segments.iter().map(Segment::sweep).sum::<f64>().abs() - std::f64::consts::TAU).abs() < 1e-6;
    (alike && once).then_some(Shape::Circle { centre, radius })
}

/// The stretches that are cut, from the end of each tab to the beginning of the next.
fn between_tabs(cut: &Cut, segments: &[Segment], closed: bool) -> Vec<Shape> {
    let whole: f64 = segments.iter().map(Segment::length).sum();
    let mut tabs: Vec<(f64, f64)> = cut.tabs.iter().map(|t| (t.from_mm, t.to_mm)).collect();
    tabs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (first, last) = (tabs[0].0, tabs[tabs.len() - 1].1);
    let mut stretches: Vec<(f64, f64)> = tabs.windows(2).map(|pair| (pair[0].1, pair[1].0)).collect();
    if closed {
        stretches.push((last, whole + first));
    } else {
        stretches.insert(0, (0.0, first));
        stretches.push((last, whole));
    }
    let stretches = stretches.into_iter().filter(|(from, to)| to - from > NOTHING);
    let open = stretches.map(|(from, to)| split(&stretch(segments, whole, from, to)));
    open.filter(|piece| !piece.is_empty()).map(Shape::Open).collect()
}

/// The piece of the path from one length to another, which may run past its end and on from its beginning.
fn stretch(segments: &[Segment], whole: f64, from: f64, to: f64) -> Vec<Segment> {
    let mut piece = Vec::new();
    for lap in 0..2 {
        let mut begin = f64::from(lap) * whole;
        for segment in segments {
            let length = segment.length();
            let (t0, t1) = ((from - begin) / length, (to - begin) / length);
            begin += length;
            let (t0, t1) = (t0.max(0.0), t1.min(1.0));
            if (t1 - t0) * length > NOTHING {
                piece.push(segment.between(t0, t1));
            }
        }
    }
    piece
}

/// Arcs of more than a half circle in two: their ends lie near each other, and rounding them would turn the whole arc.
fn split(segments: &[Segment]) -> Vec<Segment> {
    let halves = |s: &Segment| {
        if s.bulge.abs() > 1.0 { vec![s.between(0.0, 0.5), s.between(0.5, 1.0)] } else { vec![*s] }
    };
    segments.iter().flat_map(halves).collect()
}

/// The smallest box around all cuts, as (x, y) of its two corners; none where there are none.
pub(super) fn extents(sheet: &SheetCuts) -> Option<[Point; 2]> {
    let bounds = sheet.cuts.iter().map(|cut| match &cut.path {
        Path::Closed(outline) => outline.bounds(),
        Path::Open(chain) => chain.bounds(),
    });
    let all = bounds.reduce(|a, b| a.union(b))?;
    Some([Point::new(all.x0, all.y0), Point::new(all.x1, all.y1)])
}
