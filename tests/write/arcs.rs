//! Arcs through every post: what is written is the arc that was meant, and its radii agree after rounding.

use std::f64::consts::{PI, TAU};

use grainwise::geometry::Point;
use grainwise::shop::Post;
use grainwise::shop::post::ArcForm;
use grainwise::stages::cut::Move;
use proptest::prelude::*;

use super::reread::{self, Done};
use super::sample;

/// The moves of one arc.
fn arc(centre: Point, radius: f64, start: f64, sweep: f64, router: bool) -> Vec<Move> {
    let on = |angle: f64| Point::new(centre.x + radius * angle.cos(), centre.y + radius * angle.sin());
    let (from, to) = (on(start), on(start + sweep));
    let down = if router { Move::Line { to: from, z: -1.0, feed: 200.0 } } else { Move::Beam { power: 0.5 } };
    let z = if router { -1.0 } else { 0.0 };
    let cut = Move::Arc { to, z, centre, counter_clockwise: sweep > 0.0, feed: 500.0 };
    vec![Move::Rapid { to: from, z: if router { 3.0 } else { 0.0 } }, down, cut]
}

/// The cutting motions of one arc through a post.
fn written(post: &Post, centre: Point, radius: f64, start: f64, sweep: f64) -> Vec<Done> {
    let text = sample::program(post, arc(centre, radius, start, sweep, !post.drives_beam())).unwrap();
    let done = reread::read(&text, post);
    let first = done.iter().position(|d| d.motion > 0 && d.from != d.to);
    first.map_or(Vec::new(), |first| done[first..].iter().filter(|d| d.motion > 0).cloned().collect())
}

/// Everything that has to hold of an arc.
fn check(post: &Post, centre: Point, radius: f64, start: f64, sweep: f64) {
    let done = written(post, centre, radius, start, sweep);
    let count = 10f64.powi(-post.numbers.decimals.cast_signed()) * post.units.millimetres();
    let near =
        1.6 * count + 0.002 + if post.arcs.form == ArcForm::Lines { post.arcs.tolerance_mm } else { 0.0 };
    let mut swept = 0.0;
    for d in &done {
        assert!(d.radii_differ() <= post.arcs.agree_mm, "{}: {d:?}", post.name);
        assert!(d.sweep().abs().to_degrees() <= post.arcs.most_deg + 20.0, "{}: {d:?}", post.name);
        for p in [d.from, d.middle(), d.to] {
            let off = (p.distance(centre) - radius).abs();
            assert!(off <= near, "{}: {off} at {p:?} of {d:?}", post.name);
        }
        let angle = |p: Point| (p.y - centre.y).atan2(p.x - centre.x);
        let turn = (angle(d.middle()) - angle(d.from) + PI).rem_euclid(TAU) - PI;
        let rest = (angle(d.to) - angle(d.middle()) + PI).rem_euclid(TAU) - PI;
        swept += turn + rest;
    }
    if radius > 0.05 {
        assert!((swept - sweep).abs() * radius <= 4.0 * count + 1e-9, "{}: {swept} for {sweep}", post.name);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn what_is_written_is_the_arc_that_was_meant(
        x in 0.0..200.0f64,
        y in 0.0..90.0f64,
        size in -2.5..2.3f64,
        start in 0.0..TAU,
        sweep in 0.01..6.2f64,
        ccw: bool,
    ) {
        let sweep = if ccw { sweep } else { -sweep };
        for post in sample::posts() {
            check(&post, Point::new(x, y), 10f64.powf(size), start, sweep);
        }
    }

    #[test]
    fn an_arc_of_hardly_any_angle_stays_in_its_place(
        radius in 1.0..500.0f64,
        start in 0.0..TAU,
        angle in -7.0..-1.0f64,
    ) {
        for post in sample::posts() {
            check(&post, Point::new(300.0, 50.0), radius, start, 10f64.powf(angle));
        }
    }
}

#[test]
fn an_arc_just_short_of_a_full_circle_goes_all_the_way_round() {
    for post in sample::posts() {
        for gap in [1e-3, 1e-5, 1e-7, 1e-9] {
            check(&post, Point::new(20.0, 20.0), 10.0, 0.3, TAU - gap);
        }
    }
}

#[test]
fn an_arc_shorter_than_the_last_digit_is_not_written() {
    for post in sample::posts() {
        // In the middle of a count both ways, so that nothing can round apart.
        let done = written(&post, Point::new(12.7, 12.7), 1e-6, 0.0, 3.0);
        assert!(done.is_empty(), "{}: {done:?}", post.name);
    }
}

#[test]
fn half_a_digit_between_centre_and_ends_still_agrees() {
    // From (0, 0) to (0.4001, 0) with the centre half a digit off: the nearest centre alone would not do.
    for post in sample::posts() {
        check(&post, Point::new(10.00025, 10.00025), 0.20005, PI, PI);
        check(&post, Point::new(10.0 + 25.4 * 0.000_005, 10.0), 25.4 * 0.000_015, PI, PI);
    }
}

#[test]
fn arcs_by_radius_stay_clear_of_half_circles() {
    let post = sample::post("terse.yaml");
    let done = written(&post, Point::new(30.0, 30.0), 8.0, 0.0, PI);
    assert_eq!(done.len(), 2);
    assert!(done.iter().all(|d| d.sweep().to_degrees() < 121.0));
}

#[test]
fn lines_stay_within_the_stated_tolerance() {
    let post = sample::post("router-lines");
    for radius in [0.5, 3.0, 40.0] {
        let done = written(&post, Point::new(60.0, 50.0), radius, 0.0, 3.0);
        let worst =
            done.iter().map(|d| radius - d.middle().distance(Point::new(60.0, 50.0))).fold(0.0, f64::max);
        assert!(worst <= 0.005 + 0.001 && worst > 0.001, "{radius}: {worst}");
    }
}

#[test]
fn a_helix_ends_at_its_depth() {
    for name in ["router-mm", "router-lines", "terse.yaml"] {
        let post = sample::post(name);
        let mut moves = arc(Point::new(20.0, 20.0), 5.0, 0.0, 5.0, true);
        if let Some(Move::Arc { z, .. }) = moves.last_mut() {
            *z = -2.5;
        }
        let done = reread::read(&sample::program(&post, moves).unwrap(), &post);
        let cuts: Vec<&Done> = done.iter().filter(|d| d.motion > 0 && d.from != d.to).collect();
        assert!((cuts.last().unwrap().z + 2.5).abs() < 0.001);
        assert!(cuts.windows(2).all(|pair| pair[1].z < pair[0].z), "always on the way down");
    }
}
