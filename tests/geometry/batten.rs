//! The batten: against other curves whose shape is known, and against its own errors.

use grainwise::geometry::batten::{Comb, End, Tooth, fair, through};
use grainwise::geometry::{Point, Vec2};

const RUNNING: (End, End) = (End::Running, End::Running);
const FREE: (End, End) = (End::Free, End::Free);

/// Points close together along a curve, by its parameter from 0 to 1.
fn traced(curve: impl Fn(f64) -> (f64, f64)) -> Vec<Point> {
    (0..=6000).map(|i| Point::from(curve(f64::from(i) / 6000.0))).collect()
}

/// Points every `step` mm along a trace, and its last one.
fn pricked(trace: &[Point], step: f64) -> Vec<Point> {
    let (mut points, mut along) = (vec![trace[0]], 0.0);
    for pair in trace.windows(2) {
        let length = pair[0].distance(pair[1]);
        while along + length >= step * points.len() as f64 {
            points.push(pair[0].lerp(pair[1], (step * points.len() as f64 - along) / length));
        }
        along += length;
    }
    points
}

/// How far a point lies from a trace; none beyond its ends.
fn off(trace: &[Point], at: Point) -> Option<f64> {
    let nearest = (0..trace.len())
        .min_by(|&i, &j| trace[i].distance_squared(at).total_cmp(&trace[j].distance_squared(at)))?;
    if nearest == 0 || nearest == trace.len() - 1 {
        return None;
    }
    let along = trace[nearest + 1] - trace[nearest - 1];
    Some((along.cross(at - trace[nearest]) / along.hypot()).abs())
}

fn worst(trace: &[Point], comb: &Comb) -> f64 {
    comb.teeth.iter().filter_map(|tooth| off(trace, tooth.at)).fold(0.0, f64::max)
}

/// Curvature along a trace: of the circles through three points of it.
fn true_comb(trace: &[Point]) -> Comb {
    let tooth = |p: &[Point]| {
        let (a, b) = (p[1] - p[0], p[2] - p[1]);
        let curvature = 2.0 * a.cross(b) / (a.hypot() * b.hypot() * (a + b).hypot());
        Tooth { at: p[1], left: Vec2::ZERO, curvature }
    };
    let thin: Vec<Point> = trace.iter().copied().step_by(4).collect();
    Comb { teeth: thin.windows(3).map(tooth).collect() }
}

fn laid(points: &[Point], ends: (End, End)) -> Comb {
    Comb::of(&through(points, false, ends).unwrap())
}

/// Half an ellipse, the upper surface of NACA 0012 at a chord of 200 mm from a tenth of it on (NACA Report 460: the four
/// digits' thickness), and an S of one cubic: no radius below 40 mm.
fn shapes() -> [(&'static str, Vec<Point>); 3] {
    let half_turn = std::f64::consts::PI;
    let ellipse = traced(|t| (120.0 * (half_turn * t).cos(), 70.0 * (half_turn * t).sin()));
    let naca = traced(|t| {
        let x = 0.1 + 0.9 * t;
        let y = 0.2969 * x.sqrt() - 0.1260 * x - 0.3516 * x * x + 0.2843 * x.powi(3) - 0.1015 * x.powi(4);
        (200.0 * x, 200.0 * 0.6 * y)
    });
    let cubic = traced(|t| {
        let mix = |p: [f64; 4]| {
            let u = 1.0 - t;
            u * u * u * p[0] + 3.0 * u * u * t * p[1] + 3.0 * u * t * t * p[2] + t * t * t * p[3]
        };
        (mix([0.0, 60.0, 140.0, 220.0]), mix([0.0, 90.0, -60.0, 40.0]))
    });
    [("ellipse", ellipse), ("aerofoil", naca), ("cubic", cubic)]
}

#[test]
fn pricks_every_ten_millimetres_give_the_curve_within_a_twentieth() {
    for (name, trace) in shapes() {
        let comb = laid(&pricked(&trace, 10.0), RUNNING);
        assert!(true_comb(&trace).least_radius() >= 40.0, "{name}");
        let worst = worst(&trace, &comb);
        println!("{name}: {worst:.4} mm off, {} turning points", comb.turning_points());
        assert!(worst <= 0.05, "{name}: {worst}");
    }
}

/// A generator of numbers from 0 to 1: Steele, Lea and Flood's `SplitMix64` (2014).
struct Dice(u64);

impl Dice {
    fn throw(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A point anywhere in a disc.
    fn disc(&mut self, radius: f64) -> Vec2 {
        let (r, a) = (radius * self.throw().sqrt(), std::f64::consts::TAU * self.throw());
        Vec2::new(r * a.cos(), r * a.sin())
    }
}

/// Readings of each shape.
const TRIES: u64 = 100;

/// Readings of pricks every quarter inch, each wrong by up to 0.2 mm: the curve that comes of them has no more turning
/// points than the true one, and lies within 0.25 mm of it, in nearly every one of a hundred readings of each shape.
#[test]
fn wobble_of_reading_is_taken_out() {
    for (name, trace) in shapes() {
        let clean = true_comb(&trace);
        let (mut within, mut calm, mut farthest, mut raw_turns) = (0, 0, 0.0_f64, 0);
        for seed in 0..TRIES {
            let mut dice = Dice(seed);
            let read: Vec<Point> = pricked(&trace, 6.35).iter().map(|p| *p + dice.disc(0.2)).collect();
            let comb = laid(&fair(&read, false, 0.2, (false, false)), RUNNING);
            let off = worst(&trace, &comb);
            farthest = farthest.max(off);
            within += u64::from(off <= 0.25);
            calm += u64::from(
                comb.turning_points() <= clean.turning_points() && comb.inflections() <= clean.inflections(),
            );
            raw_turns += laid(&read, RUNNING).turning_points();
        }
        println!(
            "{name}: {within} of {TRIES} within 0.25 mm, farthest {farthest:.3}; {calm} with no more turning points \
             than the true {} and {}; as read {} on the mean",
            clean.turning_points(),
            clean.inflections(),
            raw_turns as f64 / TRIES as f64
        );
        assert!(within >= 95 && calm >= 90 && farthest <= 0.4, "{name}");
    }
}

#[test]
fn no_point_moves_across_the_curve_by_more_than_the_error() {
    let (_, trace) = &shapes()[2];
    let mut dice = Dice(7);
    let read: Vec<Point> = pricked(trace, 6.35).iter().map(|p| *p + dice.disc(0.2)).collect();
    let moved = fair(&read, false, 0.2, (true, true));
    let curve: Vec<Point> = laid(&moved, RUNNING).teeth.iter().map(|t| t.at).collect();
    assert_eq!((moved[0], moved[moved.len() - 1]), (read[0], read[read.len() - 1]));
    for (i, point) in read.iter().enumerate() {
        assert!(off(&curve, *point).unwrap_or(0.0) <= 0.21, "point {i}");
    }
    assert_eq!(fair(&read, false, 0.0, (true, true)), read);
}

/// A closed curve keeps its evenness over the seam.
#[test]
fn a_closed_batten_has_no_seam() {
    let circle: Vec<Point> = (0..24)
        .map(|i| Point::ZERO + Vec2::from_angle(f64::from(i) * std::f64::consts::TAU / 24.0) * 50.0)
        .collect();
    let comb = Comb::of(&through(&fair(&circle, true, 0.1, (false, false)), true, RUNNING).unwrap());
    assert!(comb.teeth.iter().all(|t| (t.at.to_vec2().hypot() - 50.0).abs() < 0.02), "{:?}", comb.teeth[0]);
}

/// With free ends it is the natural cubic spline: second derivatives from the classical equations
/// (h[i-1] M[i-1] + 2 (h[i-1] + h[i]) M[i] + h[i] M[i+1] = 6 (slopes' difference), M zero at both ends; de Boor, A
/// Practical Guide to Splines, 1978, chapter IV), solved here by another method.
#[test]
fn a_free_batten_is_the_natural_cubic_spline() {
    let at = [(0.0, 0.0), (12.0, 3.0), (21.0, 9.0), (34.0, 8.0), (47.0, 2.0), (55.0, 4.0)].map(Point::from);
    let n = at.len();
    let h: Vec<f64> = at.windows(2).map(|p| p[0].distance(p[1])).collect();
    let mut m = vec![Vec2::ZERO; n];
    for _ in 0..500 {
        for i in 1..n - 1 {
            let right = ((at[i + 1] - at[i]) / h[i] - (at[i] - at[i - 1]) / h[i - 1]) * 6.0;
            m[i] = (right - m[i - 1] * h[i - 1] - m[i + 1] * h[i]) / (2.0 * (h[i - 1] + h[i]));
        }
    }
    let curves = through(&at, false, FREE).unwrap();
    for i in 0..n - 1 {
        for k in 0..=10 {
            let t = f64::from(k) / 10.0;
            let u = 1.0 - t;
            let bend = (m[i] * (u * u * u - u) + m[i + 1] * (t * t * t - t)) * (h[i] * h[i] / 6.0);
            let natural = at[i].lerp(at[i + 1], t) + bend;
            assert!(curves[i].at(t).distance(natural) < 1e-9, "piece {i} at {t}");
        }
    }
}

/// The rectangular elastica, the shape of a thin strip whose ends are pushed together until they stand square to the line
/// between them (Euler, 1744). Of height 1 its half span is the second lemniscate constant, 0.599070, and half its length
/// the first, 1.311029 (Todd, The lemniscate constants, 1975). Pins along it hold a free batten to it.
#[test]
fn pins_along_an_elastica_hold_the_batten_to_it() {
    const HEIGHT: f64 = 100.0;
    let (mut trace, mut length) = (vec![Point::ZERO], 0.0);
    let steps = 60_000;
    for i in 0..steps {
        let phi = std::f64::consts::PI * (f64::from(i) + 0.5) / f64::from(steps);
        let step = HEIGHT * std::f64::consts::PI / f64::from(steps) / (1.0 + phi.sin().powi(2)).sqrt();
        let x = trace[trace.len() - 1].x + step * phi.sin().powi(2);
        let y = HEIGHT * (std::f64::consts::PI * f64::from(i + 1) / f64::from(steps)).sin();
        trace.push(Point::new(x, y));
        length += step;
    }
    assert!(
        (trace[trace.len() - 1].x / 2.0 - 59.907_0).abs() < 1e-3 && (length / 2.0 - 131.102_9).abs() < 1e-3
    );
    let thin: Vec<Point> = trace.iter().copied().step_by(10).collect();
    let pins: Vec<Point> = pricked(&trace, length / 26.0 - 1e-9);
    let comb = laid(&pins, FREE);
    let (worst, radius) = (worst(&thin, &comb), comb.least_radius());
    println!("elastica: {worst:.4} mm off, least radius {radius:.2} mm for 50");
    assert!(worst < 0.01, "{worst}");
    assert!(
        (radius - HEIGHT / 2.0).abs() < 0.5,
        "curvature at the top is twice the height's inverse: {radius}"
    );
    assert_eq!(comb.inflections(), 0);
}

#[test]
fn an_end_is_held_in_its_direction() {
    let at = [(0.0, 0.0), (10.0, 4.0), (22.0, 6.0), (30.0, 5.0)].map(Point::from);
    let held = (End::Held(Vec2::new(0.0, 2.0)), End::Held(Vec2::new(1.0, -1.0)));
    let curves = through(&at, false, held).unwrap();
    let (first, last) = (curves[0].derivative(0.0), curves[2].derivative(1.0));
    assert!(first.x.abs() < 1e-9 && first.y > 0.0);
    assert!((last.x + last.y).abs() < 1e-9 && last.x > 0.0);
}

#[test]
fn nonsense_is_refused() {
    let one = [Point::new(1.0, 1.0); 3];
    assert!(through(&one, false, RUNNING).is_err());
    assert!(through(&[Point::ZERO, Point::new(f64::NAN, 0.0)], false, RUNNING).is_err());
    assert!(through(&[], false, RUNNING).is_err());
}
