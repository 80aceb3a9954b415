//! Time on the machine.

use grainwise::geometry::Point;
use grainwise::shop::Shop;
use grainwise::stages::cut::{Move, Operation, Settings, SheetCuts, steps};
use grainwise::stages::job::Cutting;

use super::support::{job_with, part, planned, rectangle, shop, solid};

/// A square of `size` without tabs, one pass.
fn square(size: f64, shop: &Shop) -> SheetCuts {
    let parts = [part("A", solid(rectangle(20.0, 20.0, 20.0 + size, 20.0 + size)))];
    let cutting = Cutting {
        tabs: Some(0),
        kerf_mm: Some(0.0),
        passes: Some(1),
        feed_mm_min: Some(600.0),
        ..Cutting::default()
    };
    planned(&parts, &job_with(cutting), shop)
}

#[test]
fn a_long_cut_takes_its_length_over_its_feed() {
    let mut shop = shop("desktop-laser");
    shop.machine.acceleration_mm_s2 = 1e9;
    shop.machine.rapid_mm_min = 1e9;
    let sheet = square(300.0, &shop);
    assert!(matches!(sheet.settings, Settings::Laser(_)));
    assert!((sheet.time_s - 1200.0 / 10.0).abs() < 0.01, "{}", sheet.time_s);
}

/// From rest over a distance d and to rest again, never reaching the top speed: 2 sqrt(d / a).
#[test]
fn a_rapid_is_run_up_and_down() {
    let mut shop = shop("desktop-laser");
    shop.machine.rapid_mm_min = 1e9;
    let time = |acceleration: f64| {
        let mut shop = shop.clone();
        shop.machine.acceleration_mm_s2 = acceleration;
        square(300.0, &shop).time_s
    };
    let distance = 800.0_f64.sqrt();
    // The rest of the way costs 120 s at 10 mm/s; run-up for a feed of 10 mm/s costs 10 / a at the ends.
    let slow = time(100.0);
    let rapid = 2.0 * (distance / 100.0).sqrt();
    assert!((slow - 120.0 - rapid) > 0.0 && (slow - 120.0 - rapid) < 0.5, "{slow}");
}

#[test]
fn slower_acceleration_takes_longer() {
    let (mut quick, mut lame) = (shop("desktop-laser"), shop("desktop-laser"));
    quick.machine.acceleration_mm_s2 = 3000.0;
    lame.machine.acceleration_mm_s2 = 100.0;
    assert!(square(50.0, &lame).time_s > square(50.0, &quick).time_s);
}

/// Acceleration in these sums by hand, mm/s2, and the speed of 6000 mm/min, mm/s.
const A: f64 = 1000.0;
const V: f64 = 100.0;

fn line(x: f64, y: f64) -> Move {
    Move::Line { to: Point::new(x, y), z: 0.0, feed: V * 60.0 }
}

fn outline() -> Move {
    Move::Begin { operation: Operation::CutOutside, part: String::new() }
}

/// Time of these moves on a machine that accelerates by `A`, s.
fn time(moves: &[Move]) -> f64 {
    let mut shop = shop("desktop-laser");
    shop.machine.acceleration_mm_s2 = A;
    steps(moves, &shop.machine).total()
}

fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-6, "{found} s instead of {wanted} s");
}

/// Run up in 0.1 s over 5 mm, down the same, 90 mm at 100 mm/s in between.
#[test]
fn a_straight_is_run_up_held_and_run_down() {
    near(time(&[line(100.0, 0.0)]), 0.1 + 0.9 + 0.1);
}

/// 3.6 mm: half of it run up to sqrt(2 x 1000 x 1.8) = 60 mm/s in 0.06 s, never to the feed.
#[test]
fn a_short_straight_never_reaches_its_feed() {
    near(time(&[line(3.6, 0.0)]), 0.12);
}

/// At a square corner the velocity changes by sqrt 2 of the speed, within 0.01 s: 1000 x 0.01 / sqrt 2 = 7.0710678 mm/s.
/// Each leg: up in 0.1 s over 5 mm, down to that in 0.0929289 s over (10000 - 50) / 2000 = 4.975 mm, 90.025 mm held.
#[test]
fn a_corner_is_passed_slowly() {
    near(time(&[line(100.0, 0.0), line(100.0, 100.0)]), 2.0 * (0.1 + 0.092_928_932 + 0.900_25));
}

/// Radius 1 mm: at most sqrt(1000 x 1) = 31.6227766 mm/s, reached in 0.0316228 s over 0.5 mm, and left the same way; of
/// the half circle's 3.1415927 mm are 2.1415927 mm held, in 0.0677231 s.
#[test]
fn an_arc_is_no_faster_than_its_radius_allows() {
    let arc = Move::Arc {
        to: Point::new(0.0, 2.0),
        z: 0.0,
        centre: Point::new(0.0, 1.0),
        counter_clockwise: true,
        feed: V * 60.0,
    };
    near(time(&[arc]), 2.0 * 0.031_622_777 + 0.067_723_106);
}

/// A straight in a hundred legs is a straight.
#[test]
fn many_legs_in_line_take_no_longer_than_one() {
    let legs: Vec<Move> = (1..=100).map(|i| line(f64::from(i), 0.0)).collect();
    near(time(&legs), 1.1);
}

/// A polygon of 72 legs of 1 mm turns by 5 degrees at each: the velocity changes by 2 sin 2.5 deg = 0.0872388 of the
/// speed, which at 100 mm/s is less than the 10 mm/s that are taken up: as fast as a straight, 0.2 s and 62 mm held.
#[test]
fn slight_bends_do_not_slow_down() {
    near(time(&ring(72, 5.0, 1.0)), 0.2 + 0.62);
}

/// So many legs, each turned by so many degrees from the one before.
fn ring(count: u32, turn_deg: f64, length: f64) -> Vec<Move> {
    let (mut x, mut y) = (0.0, 0.0);
    (0..count)
        .map(|i| {
            let (sin, cos) = (f64::from(i) * turn_deg).to_radians().sin_cos();
            (x, y) = (x + length * cos, y + length * sin);
            line(x, y)
        })
        .collect()
}

/// The integral of ds / v: at each place the speed is the least of the feed and of what the corners (and the ends, at
/// rest) allow at their distance, sqrt(v0^2 + 2 a d). Simpson's rule cannot take the roots at rest, so the middles of
/// steps that are short there are summed up.
fn integral(count: u32, turn_deg: f64, length: f64) -> f64 {
    let whole = f64::from(count) * length;
    let corner = (A * 0.01 / (2.0 * (turn_deg.to_radians() / 2.0).sin())).min(V);
    let speed = |s: f64| {
        let mut v = V.min((2.0 * A * s).sqrt()).min((2.0 * A * (whole - s)).sqrt());
        for i in 1..count {
            let d = (s - f64::from(i) * length).abs();
            v = v.min((corner * corner + 2.0 * A * d).sqrt());
        }
        v
    };
    // s = whole (1 - cos u) / 2: steps shrink towards both ends as the roots ask.
    let steps = 20_000;
    let du = std::f64::consts::PI / f64::from(steps);
    (0..steps)
        .map(|k| {
            let u = (f64::from(k) + 0.5) * du;
            whole / 2.0 * u.sin() * du / speed(whole * (1.0 - u.cos()) / 2.0)
        })
        .sum()
}

#[test]
fn the_model_is_the_integral_over_the_way() {
    let mut worst: f64 = 0.0;
    for (count, turn, length) in
        [(1, 1.0, 7.0), (2, 90.0, 40.0), (40, 30.0, 0.7), (200, 12.0, 0.3), (9, 170.0, 3.0)]
    {
        let (found, wanted) = (time(&ring(count, turn, length)), integral(count, turn, length));
        assert!((found / wanted - 1.0).abs() < 1e-4, "{count} legs turned by {turn}: {found} s, {wanted} s");
        worst = worst.max((found / wanted - 1.0).abs());
    }
    println!("greatest error of the time of a way against its integral: {worst:.1e} of it");
}

/// What is run with the beam off is travel, the rest belongs to what is being done.
#[test]
fn time_is_told_by_what_is_done() {
    let mut shop = shop("desktop-laser");
    shop.machine.acceleration_mm_s2 = A;
    shop.machine.rapid_mm_min = V * 60.0;
    let begin = |operation| Move::Begin { operation, part: String::new() };
    let moves = [
        begin(Operation::Mark),
        line(3.6, 0.0),
        begin(Operation::CutInside),
        Move::Rapid { to: Point::new(103.6, 0.0), z: 0.0 },
        line(103.6, 3.6),
        Move::Dwell { seconds: 0.5 },
        outline(),
        line(203.6, 3.6),
    ];
    let found = steps(&moves, &shop.machine);
    near(found.marks, 0.12);
    near(found.scores, 0.0);
    near(found.holes, 0.12 + 0.5);
    near(found.outlines, 1.1);
    near(found.travel, 1.1);
}
