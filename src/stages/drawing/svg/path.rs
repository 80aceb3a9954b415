//! Path data to curves (SVG 2, "Paths"), in double precision, arcs as arcs.

use std::f64::consts::{PI, TAU};

use kurbo::CubicBez;
use svgtypes::{PathParser, PathSegment};

use crate::geometry::curve::{Curve, EllipticArc};
use crate::geometry::{Point, Segment, Vec2, trig};

/// One piece of a path, from one move to the next.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Piece {
    pub(super) curves: Vec<Curve>,
    pub(super) closed: bool,
}

/// Reads path data. Where it is in error, everything up to the failing command stands, and the error is given too.
pub(super) fn pieces(data: &str) -> (Vec<Piece>, Option<String>) {
    let mut pen = Pen::default();
    for segment in PathParser::from(data) {
        match segment {
            Ok(segment) => pen.draw(segment),
            Err(error) => {
                pen.lift();
                return (pen.done, Some(error.to_string()));
            }
        }
    }
    pen.lift();
    (pen.done, None)
}

#[derive(Default)]
struct Pen {
    done: Vec<Piece>,
    piece: Piece,
    start: Point,
    at: Point,
    /// The last control point of a cubic or quadratic curve, for the smooth ones.
    cubic: Option<Point>,
    quad: Option<Point>,
}

impl Pen {
    fn lift(&mut self) {
        let piece = std::mem::take(&mut self.piece);
        if !piece.curves.is_empty() {
            self.done.push(piece);
        }
    }

    fn push(&mut self, curve: Curve, to: Point) {
        self.piece.curves.push(curve);
        self.at = to;
    }

    fn line(&mut self, to: Point) {
        self.push(Curve::line(self.at, to), to);
    }

    fn draw(&mut self, segment: PathSegment) {
        use PathSegment as S;
        let (cubic, quad) = (self.cubic.take(), self.quad.take());
        let from = self.at;
        let point = |abs: bool, x: f64, y: f64| if abs { Point::new(x, y) } else { from + Vec2::new(x, y) };
        let mirrored = |control: Option<Point>| control.map_or(from, |c| from + (from - c));
        match segment {
            S::MoveTo { abs, x, y } => {
                self.lift();
                self.at = point(abs, x, y);
                self.start = self.at;
            }
            S::LineTo { abs, x, y } => self.line(point(abs, x, y)),
            S::HorizontalLineTo { abs, x } => self.line(Point::new(if abs { x } else { from.x + x }, from.y)),
            S::VerticalLineTo { abs, y } => self.line(Point::new(from.x, if abs { y } else { from.y + y })),
            S::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                self.cubic(point(abs, x1, y1), point(abs, x2, y2), point(abs, x, y));
            }
            S::SmoothCurveTo { abs, x2, y2, x, y } => {
                self.cubic(mirrored(cubic), point(abs, x2, y2), point(abs, x, y));
            }
            S::Quadratic { abs, x1, y1, x, y } => self.quad(point(abs, x1, y1), point(abs, x, y)),
            S::SmoothQuadratic { abs, x, y } => self.quad(mirrored(quad), point(abs, x, y)),
            S::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                let to = point(abs, x, y);
                for curve in arc(from, to, Vec2::new(rx, ry), x_axis_rotation, large_arc, sweep) {
                    self.piece.curves.push(curve);
                }
                self.at = to;
            }
            S::ClosePath { .. } => self.close(),
        }
    }

    fn cubic(&mut self, c1: Point, c2: Point, to: Point) {
        self.push(Curve::Cubic(CubicBez::new(self.at, c1, c2, to)), to);
        self.cubic = Some(c2);
    }

    fn quad(&mut self, c: Point, to: Point) {
        let raised = CubicBez::new(self.at, self.at.lerp(c, 2.0 / 3.0), to.lerp(c, 2.0 / 3.0), to);
        self.push(Curve::Cubic(raised), to);
        self.quad = Some(c);
    }

    fn close(&mut self) {
        if self.piece.curves.is_empty() {
            return;
        }
        if self.at != self.start {
            self.line(self.start);
        }
        self.piece.closed = true;
        self.lift();
        self.at = self.start;
    }
}

/// An elliptical arc by its ends (SVG 2, "Elliptical arc implementation notes"): nothing where the ends are the same, a line
/// where a radius is 0, radii that are too small scaled up. Circular arcs are at most half circles.
#[allow(clippy::float_cmp, reason = "radii that are written the same make a circle")]
fn arc(from: Point, to: Point, radii: Vec2, turn_deg: f64, large: bool, positive: bool) -> Vec<Curve> {
    if from == to {
        return Vec::new();
    }
    let (mut rx, mut ry) = (radii.x.abs(), radii.y.abs());
    if rx == 0.0 || ry == 0.0 {
        return vec![Curve::line(from, to)];
    }
    let (sin, cos) = trig::sin_cos_deg(turn_deg);
    let half = (from - to) / 2.0;
    let p = Vec2::new(cos * half.x + sin * half.y, cos * half.y - sin * half.x);
    let over = (p.x / rx) * (p.x / rx) + (p.y / ry) * (p.y / ry);
    if over > 1.0 {
        rx *= over.sqrt();
        ry *= over.sqrt();
    }
    let far = ((1.0 - over) / over).max(0.0).sqrt() * if large == positive { -1.0 } else { 1.0 };
    let c = Vec2::new(far * rx * p.y / ry, -far * ry * p.x / rx);
    let start = trig::atan2((p.y - c.y) / ry, (p.x - c.x) / rx);
    let end = trig::atan2((-p.y - c.y) / ry, (-p.x - c.x) / rx);
    let sweep = match (positive, end - start) {
        (true, sweep) if sweep <= 0.0 => sweep + TAU,
        (false, sweep) if sweep >= 0.0 => sweep - TAU,
        (_, sweep) => sweep,
    };
    let centre = from.midpoint(to) + Vec2::new(cos * c.x - sin * c.y, sin * c.x + cos * c.y);
    if rx == ry {
        return circular(from, to, centre, sweep);
    }
    let (a, b) = (Vec2::new(cos, sin) * rx, Vec2::new(-sin, cos) * ry);
    vec![Curve::Ellipse(EllipticArc { centre, a, b, start, sweep })]
}

/// A circular arc between its very ends.
fn circular(from: Point, to: Point, centre: Point, sweep: f64) -> Vec<Curve> {
    // A hair more than half a circle is still one arc.
    if sweep.abs() <= PI * 1.01 {
        return vec![Curve::Segment(Segment::arc(from, to, trig::tan(sweep / 4.0)))];
    }
    let (sin, cos) = trig::sin_cos(sweep / 2.0);
    let ray = from - centre;
    let middle = centre + Vec2::new(ray.x * cos - ray.y * sin, ray.x * sin + ray.y * cos);
    let bulge = trig::tan(sweep / 8.0);
    vec![Curve::Segment(Segment::arc(from, middle, bulge)), Curve::Segment(Segment::arc(middle, to, bulge))]
}
