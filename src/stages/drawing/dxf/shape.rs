//! Entities to curves, in their own plane or in space.

use std::f64::consts::{PI, TAU};

use dxf::entities::{Arc, Circle, Ellipse, Line, LwPolyline, Polyline, Vertex};
use dxf::{Point as Point3, Vector};

use super::frame::{Frame, Triple, cross, unit};
use crate::geometry::curve::{Curve, EllipticArc};
use crate::geometry::{Point, Segment, Vec2, trig};

/// Curves as they are drawn, in millimetres.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    pub(super) curves: Vec<Curve>,
    pub(super) closed: bool,
    /// Its plane leans.
    pub(super) leans: bool,
}

/// A shape, or why there is none.
pub(super) type Made = Result<Shape, &'static str>;

/// An ellipse this round, in millimetres, is a circle: far below what is cut, far above the digits that files carry.
const ROUND: f64 = 1e-6;

/// An angle smaller than this, in radians, between the two ends of an arc is none: they are the same point.
const NO_ANGLE: f64 = 1e-12;

pub(super) fn triple(p: &Point3) -> Triple {
    [p.x, p.y, p.z]
}

pub(super) fn direction(v: &Vector) -> Triple {
    [v.x, v.y, v.z]
}

/// The frame of an entity whose coordinates are its own.
pub(super) fn own_frame(frame: &Frame, normal: &Vector) -> Result<Frame, &'static str> {
    let own = Frame::of_normal(direction(normal)).ok_or("its extrusion direction has no length")?;
    Ok(frame.after(&own))
}

/// A line: its ends are in the drawing's coordinates.
pub(super) fn line(frame: &Frame, line: &Line) -> Shape {
    let ends = (frame.flat(triple(&line.p1)), frame.flat(triple(&line.p2)));
    Shape { curves: vec![Curve::line(ends.0, ends.1)], closed: false, leans: false }
}

/// A circle, as two half circles from its eastmost point.
pub(super) fn circle(frame: &Frame, circle: &Circle) -> Made {
    let own = own_frame(frame, &circle.normal)?;
    turn(&own, &circle.center, circle.radius, 0.0, TAU, true)
}

/// An arc, counter-clockwise in its own plane.
pub(super) fn arc(frame: &Frame, arc: &Arc) -> Made {
    let own = own_frame(frame, &arc.normal)?;
    let sweep = (arc.end_angle - arc.start_angle).rem_euclid(360.0);
    let full = sweep.to_radians() < NO_ANGLE;
    let sweep = if full { 360.0 } else { sweep };
    turn(&own, &arc.center, arc.radius, arc.start_angle, sweep.to_radians(), full)
}

fn turn(own: &Frame, centre: &Point3, radius: f64, start_deg: f64, sweep: f64, full: bool) -> Made {
    let radius = radius.abs();
    if radius == 0.0 {
        return Err("its radius is 0");
    }
    let map = own.plane(centre.z);
    let middle = Point::new(centre.x, centre.y);
    // No piece may turn by more than half a circle, or its bulge would lose digits.
    let pieces = if sweep > PI { 2 } else { 1 };
    let step = sweep / f64::from(pieces);
    let at = |piece: i32| {
        let piece = if full && piece == pieces { 0 } else { piece };
        let (sin, cos) = trig::sin_cos_deg(start_deg + step.to_degrees() * f64::from(piece));
        middle + Vec2::new(cos, sin) * radius
    };
    let bulge = if full { 1.0 } else { trig::tan(step / 4.0) };
    let curves =
        (0..pieces).map(|i| Curve::Segment(Segment::arc(at(i), at(i + 1), bulge)).transformed(map)).collect();
    Ok(Shape { curves, closed: full, leans: own.leans() })
}

/// An ellipse or part of one; its centre and axis are in the drawing's coordinates.
pub(super) fn ellipse(frame: &Frame, ellipse: &Ellipse) -> Made {
    let normal = unit(direction(&ellipse.normal)).ok_or("its extrusion direction has no length")?;
    let major = direction(&ellipse.major_axis);
    let minor = cross(normal, major).map(|x| x * ellipse.minor_axis_ratio);
    let sweep = ellipse.end_parameter - ellipse.start_parameter;
    let turns = sweep.rem_euclid(TAU);
    // A whole ellipse is written with parameters 0 and two pi, rounded to a few digits by some.
    let full = !(1e-6..=TAU - 1e-6).contains(&turns);
    let arc = EllipticArc {
        centre: frame.flat(triple(&ellipse.center)),
        a: frame.flat_direction(major),
        b: frame.flat_direction(minor),
        start: ellipse.start_parameter,
        sweep: if full { TAU } else { turns },
    };
    if arc.a.cross(arc.b) == 0.0 {
        return Err("it has no width");
    }
    let leans = frame.after(&Frame::of_normal(normal).unwrap_or(Frame::scaled(1.0))).leans();
    let curves = match arc.round(ROUND) {
        Some(segments) => segments.into_iter().map(Curve::Segment).collect(),
        None => vec![Curve::Ellipse(arc)],
    };
    Ok(Shape { curves, closed: full, leans })
}

/// A light polyline: flat, with bulges.
pub(super) fn light_polyline(frame: &Frame, poly: &LwPolyline, elevation: f64) -> Made {
    let own = own_frame(frame, &poly.extrusion_direction)?;
    let vertices: Vec<(Point, f64)> = poly.vertices.iter().map(|v| (Point::new(v.x, v.y), v.bulge)).collect();
    chain(&own, elevation, &vertices, poly.is_closed())
}

/// An old polyline: flat with bulges, or in space. Where it was fitted or splined, the fitted vertices count, and the
/// control points of its frame do not.
pub(super) fn polyline(frame: &Frame, poly: &Polyline) -> Made {
    if poly.is_3d_polygon_mesh() || poly.is_polyface_mesh() {
        return Err(MESH);
    }
    let drawn: Vec<&Vertex> = poly
        .vertices()
        .filter(|v| !(v.is_spline_frame_control_point() && poly.spline_fit_vertices_added()))
        .collect();
    if poly.is_3d_polyline() {
        let vertices: Vec<(Point, f64)> =
            drawn.iter().map(|v| (frame.flat(triple(&v.location)), 0.0)).collect();
        return chain(&Frame::scaled(1.0), 0.0, &vertices, poly.is_closed());
    }
    let own = own_frame(frame, &poly.normal)?;
    let vertices: Vec<(Point, f64)> =
        drawn.iter().map(|v| (Point::new(v.location.x, v.location.y), v.bulge)).collect();
    chain(&own, poly.location.z, &vertices, poly.is_closed())
}

/// What a mesh is refused with: it is counted, not told as broken.
pub(super) const MESH: &str = "it is a mesh";

fn chain(own: &Frame, height: f64, vertices: &[(Point, f64)], closed: bool) -> Made {
    let map = own.plane(height);
    let step =
        |a: &(Point, f64), b: &(Point, f64)| Curve::Segment(Segment::arc(a.0, b.0, a.1)).transformed(map);
    let mut curves: Vec<Curve> = vertices.windows(2).map(|pair| step(&pair[0], &pair[1])).collect();
    if let (true, [first, .., last]) = (closed, vertices)
        && (first.0 != last.0 || last.1 != 0.0)
    {
        curves.push(step(last, first));
    }
    if curves.is_empty() {
        return Err("it has fewer than two vertices");
    }
    Ok(Shape { curves, closed, leans: own.leans() })
}
