//! What a disc sweeps: against the areas that geometry gives, and against distances to the path.

use std::f64::consts::PI;

use grainwise::geometry::{Point, Segment, Vec2};
use grainwise::stages::proof::sweep::{area, islands, removed};

/// What a sweep may be wrong by, mm.
const MOST_WRONG_MM: f64 = 0.002;

fn swept(run: &[Segment], radius: f64) -> f64 {
    removed(&[(run, radius)]).iter().map(area).sum()
}

fn line(x0: f64, y0: f64, x1: f64, y1: f64) -> Segment {
    Segment::line(Point::new(x0, y0), Point::new(x1, y1))
}

/// The area may be short by the chords' error along the whole edge.
fn near(found: f64, meant: f64, edge: f64) {
    assert!((found - meant).abs() <= edge * MOST_WRONG_MM / 2.0, "{found} and {meant}");
}

#[test]
fn a_straight_run_sweeps_its_length_and_a_disc() {
    near(swept(&[line(3.0, 4.0, 103.0, 4.0)], 0.75), 150.0 + PI * 0.5625, 200.0);
}

#[test]
fn an_arc_wider_than_the_disc_sweeps_a_band_and_a_disc() {
    let arc = Segment::arc(Point::new(10.0, 0.0), Point::new(-10.0, 0.0), 1.0);
    near(swept(&[arc], 1.5), 3.0 * 10.0 * PI + PI * 2.25, 70.0);
}

#[test]
fn an_arc_narrower_than_the_disc_leaves_no_hole() {
    let circle = [1.0, -1.0].map(|x| Segment::arc(Point::new(x, 0.0), Point::new(-x, 0.0), 1.0));
    near(swept(&circle, 1.5), PI * 6.25, 20.0);
}

#[test]
fn a_corner_opens_a_wedge_and_standing_still_a_disc() {
    let corner = [line(0.0, 0.0, 10.0, 0.0), line(10.0, 0.0, 10.0, 10.0)];
    near(swept(&corner, 1.0), 2.0 * 20.0 - 1.0 + PI * 0.25 + PI, 45.0);
    near(swept(&[line(5.0, 5.0, 5.0, 5.0)], 1.0), PI, 6.3);
}

#[test]
fn a_loop_sets_a_piece_free_smaller_by_the_radius_all_round() {
    let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)];
    let side = |i: usize| line(corners[i].0, corners[i].1, corners[(i + 1) % 4].0, corners[(i + 1) % 4].1);
    let outer = [0, 1, 2, 3].map(side);
    let hole = [8.0, -8.0].map(|x| Segment::arc(Point::new(20.0 + x, 15.0), Point::new(20.0 - x, 15.0), 1.0));
    let free = islands(&[(&outer, 0.5), (&hole, 0.5)]);
    let areas: Vec<f64> = free.iter().map(area).collect();
    assert_eq!(areas.len(), 2);
    let disc = PI * 7.5 * 7.5;
    near(areas[0].min(areas[1]), disc, 50.0);
    near(areas[0].max(areas[1]), 39.0 * 29.0 - PI * 8.5 * 8.5, 190.0);
}

#[test]
fn an_open_run_sets_nothing_free() {
    assert!(islands(&[(&[line(0.0, 0.0, 10.0, 0.0), line(10.0, 0.0, 10.0, 10.0)], 0.5)]).is_empty());
}

#[test]
fn four_runs_around_a_fifth_set_a_frame_and_a_piece_free() {
    let sides = [
        line(0.0, 0.0, 50.0, 0.0),
        line(50.0, 0.0, 50.0, 50.0),
        line(50.0, 50.0, 0.0, 50.0),
        line(0.0, 50.0, 0.0, 0.0),
    ];
    let inner =
        [5.0, -5.0].map(|x| Segment::arc(Point::new(25.0 + x, 25.0), Point::new(25.0 - x, 25.0), 1.0));
    let runs = sides.iter().map(std::slice::from_ref).chain([inner.as_slice()]);
    let runs: Vec<(&[Segment], f64)> = runs.map(|run| (run, 0.5)).collect();
    assert_eq!(islands(&runs).len(), 2);
}

/// A wandering run of lines and arcs that crosses itself.
fn wandering(seed: u64, count: usize) -> Vec<Segment> {
    let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
    let mut next = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 11) as f64 / (1u64 << 53) as f64
    };
    let mut at = Point::new(50.0, 50.0);
    (0..count)
        .map(|_| {
            let from = at;
            at = Point::new(100.0 * next(), 100.0 * next());
            let bulge = if next() < 0.5 { 0.0 } else { 3.0 * next() - 1.5 };
            Segment::arc(from, at, bulge)
        })
        .collect()
}

#[test]
fn the_edge_of_what_is_swept_lies_at_the_radius_from_the_path() {
    for seed in 1..=200 {
        let run = wandering(seed, 6);
        let radius = [0.075, 0.5, 1.5875, 3.0][seed as usize % 4];
        let off = |p: Point| run.iter().map(|s| s.nearest(p).1).fold(f64::INFINITY, f64::min) - radius;
        for contour in removed(&[(&run, radius)]).iter().flatten() {
            for (a, b) in contour.iter().zip(contour.iter().cycle().skip(1)) {
                for at in [*a, a.midpoint(*b)] {
                    assert!(off(at).abs() <= MOST_WRONG_MM, "seed {seed}: {} at {at:?}", off(at));
                }
            }
        }
    }
}

#[test]
fn what_is_nearer_than_the_radius_is_swept_and_what_is_farther_is_not() {
    for seed in 1..=60 {
        let run = wandering(seed, 5);
        let radius = 1.0;
        let polygons = removed(&[(&run, radius)]);
        let inside = |p: Point| {
            let crossings = polygons.iter().flatten().map(|contour| {
                let next = contour.iter().cycle().skip(1);
                let meets = |a: &Point, b: &Point| {
                    (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
                };
                contour.iter().zip(next).filter(|(a, b)| meets(a, b)).count()
            });
            crossings.sum::<usize>() % 2 == 1
        };
        for segment in &run {
            for i in 0..40 {
                let t = f64::from(i) / 40.0 + 0.0123;
                let way = segment.tangent(t);
                for reach in [0.0, 0.5, 0.997, 1.003, 1.5] {
                    let at = segment.at(t) + Vec2::new(-way.y, way.x) * reach;
                    let off = run.iter().map(|s| s.nearest(at).1).fold(f64::INFINITY, f64::min);
                    if (off - radius).abs() > MOST_WRONG_MM {
                        assert_eq!(inside(at), off < radius, "seed {seed}: {off} at {at:?}");
                    }
                }
            }
        }
    }
}
