//! Smooth curves to count segments on.

use grainwise::geometry::curve::{Curve, EllipticArc, Spline};
use grainwise::geometry::{Point, Vec2};
use kurbo::CubicBez;

/// A named path.
pub(crate) struct Path {
    pub(crate) name: &'static str,
    pub(crate) curves: Vec<Curve>,
    pub(crate) closed: bool,
}

fn path(name: &'static str, closed: bool, curves: Vec<Curve>) -> Path {
    Path { name, curves, closed }
}

fn ellipse(a: f64, b: f64) -> Vec<Curve> {
    let round = EllipticArc::circle(Point::new(3.0, 5.0), a);
    vec![Curve::Ellipse(EllipticArc { b: Vec2::new(0.0, b), ..round })]
}

/// A point of a NACA 4-digit section (Abbott and von Doenhoff; NACA Report 460, 1933): camber `m` at `p`, thickness `t`,
/// as fractions of the chord, at station `x`, on the upper side (`side` 1) or the lower (-1).
pub(crate) fn naca(m: f64, p: f64, t: f64, chord: f64, x: f64, side: f64) -> Point {
    let yt = 5.0
        * t
        * (0.2969 * x.sqrt() - 0.1260 * x - 0.3516 * x.powi(2) + 0.2843 * x.powi(3) - 0.1015 * x.powi(4));
    let (yc, slope) = if m == 0.0 {
        (0.0, 0.0)
    } else if x < p {
        (m * (2.0 * p * x - x * x) / (p * p), 2.0 * m * (p - x) / (p * p))
    } else {
        let q = (1.0 - p) * (1.0 - p);
        (m * ((1.0 - 2.0 * p) + 2.0 * p * x - x * x) / q, 2.0 * m * (p - x) / q)
    };
    let root = (1.0 + slope * slope).sqrt();
    Point::new(x - side * yt * slope / root, yc + side * yt / root).lerp(Point::ZERO, 1.0 - chord)
}

/// Points around a section from the upper tail over the nose to the lower tail, closer together at the nose.
pub(crate) fn naca_points(m: f64, p: f64, t: f64, chord: f64, half: usize) -> Vec<Point> {
    let station = |i: usize| {
        let u = i as f64 / half as f64 - 1.0;
        (u * u, if u <= 0.0 { 1.0 } else { -1.0 })
    };
    (0..=2 * half).map(station).map(|(x, side)| naca(m, p, t, chord, x, side)).collect()
}

/// The section as one spline through many of its points, and a line down the tail.
pub(crate) fn naca_spline(m: f64, p: f64, t: f64, chord: f64) -> Vec<Curve> {
    let points = naca_points(m, p, t, chord, 100);
    let tail = Curve::line(points[200], points[0]);
    vec![Curve::Spline(Spline::through(&points, false, (None, None)).unwrap()), tail]
}

/// The section as cubic Béziers, with slopes from points close by.
fn naca_cubics(m: f64, p: f64, t: f64, chord: f64) -> Vec<Curve> {
    let fine = naca_points(m, p, t, chord, 4000);
    let slope = |i: usize| match i {
        0 => (fine[1] - fine[0]) * 200.0,
        8000 => (fine[8000] - fine[7999]) * 200.0,
        _ => (fine[i + 1] - fine[i - 1]) * 100.0,
    };
    let cubic = |i: usize| {
        let (a, b) = (fine[i], fine[i + 200]);
        Curve::Cubic(CubicBez::new(a, a + slope(i) / 3.0, b - slope(i + 200) / 3.0, b))
    };
    (0..40).map(|k| cubic(200 * k)).chain([Curve::line(fine[8000], fine[0])]).collect()
}

fn cubic(p: [(f64, f64); 4]) -> Vec<Curve> {
    vec![Curve::Cubic(CubicBez::new(p[0], p[1], p[2], p[3]))]
}

fn through(xy: &[(f64, f64)], closed: bool) -> Vec<Curve> {
    let points: Vec<Point> = xy.iter().map(|&p| p.into()).collect();
    vec![Curve::Spline(Spline::through(&points, closed, (None, None)).unwrap())]
}

fn uniform(xy: &[(f64, f64)]) -> Vec<Curve> {
    let points = xy.iter().map(|&p| p.into()).collect();
    vec![Curve::Spline(Spline::uniform(3, points, true).unwrap())]
}

/// The curve cut in two smoothly, as drawing programs do.
fn halved(curves: &[Curve]) -> Vec<Curve> {
    let halves = |curve: &Curve| match curve {
        Curve::Cubic(c) => {
            let (a, b) = kurbo::ParamCurve::subdivide(c);
            vec![Curve::Cubic(a), Curve::Cubic(b)]
        }
        other => vec![other.clone()],
    };
    curves.iter().flat_map(halves).collect()
}

/// All of them.
pub(crate) fn smooth() -> Vec<Path> {
    let arch = cubic([(0.0, 0.0), (30.0, 60.0), (80.0, 50.0), (100.0, 0.0)]);
    let wave: Vec<(f64, f64)> =
        (0..=24).map(|i| (10.0 * f64::from(i), 15.0 * (f64::from(i) * 0.5).sin())).collect();
    let fin =
        [(0.0, 0.0), (18.0, 46.0), (60.0, 95.0), (96.0, 108.0), (117.0, 96.0), (121.0, 60.0), (118.0, 0.0)];
    let blob = [(0., 0.), (60., -20.), (110., 10.), (100., 70.), (50., 60.), (20., 90.), (-20., 50.)];
    vec![
        path("ellipse 60 x 50", true, ellipse(30.0, 25.0)),
        path("ellipse 60 x 20", true, ellipse(30.0, 10.0)),
        path("ellipse 200 x 40", true, ellipse(100.0, 20.0)),
        path("ellipse 12 x 8", true, ellipse(6.0, 4.0)),
        path("NACA 2412, 200, spline", true, naca_spline(0.02, 0.4, 0.12, 200.0)),
        path("NACA 0012, 100, spline", true, naca_spline(0.0, 0.4, 0.12, 100.0)),
        path("NACA 4415, 150, cubics", true, naca_cubics(0.04, 0.4, 0.15, 150.0)),
        path("NACA 0006, 60, cubics", true, naca_cubics(0.0, 0.4, 0.06, 60.0)),
        path("arch", false, arch.clone()),
        path("arch in two", false, halved(&arch)),
        path("S-curve", false, cubic([(0.0, 0.0), (70.0, 0.0), (30.0, 50.0), (100.0, 50.0)])),
        path("tight turn", false, cubic([(0.0, 0.0), (120.0, 10.0), (-20.0, 10.0), (80.0, 40.0)])),
        path("gentle sweep", false, cubic([(0.0, 0.0), (100.0, 12.0), (220.0, 18.0), (300.0, 10.0)])),
        path("sine wave", false, through(&wave, false)),
        path("fin", false, through(&fin, false)),
        path("closed spline through points", true, through(&blob, true)),
        path("closed spline by controls", true, uniform(&blob)),
    ]
}
