//! True scale: maps that are known are found again.

use grainwise::geometry::stretch::{Decided, Known, affine, correction, laid_on};
use grainwise::geometry::{Affine, Point, Vec2};

/// What a plan becomes in print and scan, and the known lengths read off it: true vectors under the inverse.
fn read(truth: Affine, true_lengths: &[(f64, f64)], with_direction: bool) -> Vec<Known> {
    let one = |&(x, y): &(f64, f64)| Known {
        drawn: (truth.inverse() * Point::new(x, y)).to_vec2(),
        true_mm: x.hypot(y),
        true_deg: with_direction.then(|| y.atan2(x).to_degrees()),
    };
    true_lengths.iter().map(one).collect()
}

fn same(a: Affine, b: Affine) -> bool {
    a.as_coeffs().iter().zip(b.as_coeffs()).all(|(a, b)| (a - b).abs() < 1e-9)
}

#[test]
fn two_lengths_give_the_stretch_along_and_across() {
    let truth = Affine::new([0.9953, 0.0, 0.0, 1.0121, 0.0, 0.0]);
    let found = correction(&read(truth, &[(300.0, 0.0), (0.0, 180.0)], false)).unwrap();
    assert_eq!(found.decided, Decided::AlongAndAcross);
    assert!(same(found.map, truth), "{:?}", found.map);
    assert!(found.residuals_mm.iter().all(|r| r.abs() < 1e-9));
}

#[test]
fn three_lengths_give_the_skew_as_well() {
    let truth = Affine::new([0.9953, 0.0, 0.004, 1.0121, 0.0, 0.0]);
    let lengths = [(300.0, 0.0), (10.0, 180.0), (150.0, 200.0), (-150.0, 170.0)];
    let found = correction(&read(truth, &lengths, false)).unwrap();
    assert_eq!(found.decided, Decided::Skew);
    assert!(same(found.map, truth), "{:?}", found.map);
    let (_, _, skew, turn) = found.parts();
    assert!((skew - (0.004_f64 / 1.0121).atan().to_degrees()).abs() < 1e-9 && turn == 0.0);
}

#[test]
fn directions_give_the_turn() {
    let truth = Affine::rotate(0.05) * Affine::new([0.99, 0.0, 0.003, 1.01, 0.0, 0.0]);
    let found = correction(&read(truth, &[(300.0, 0.0), (10.0, 180.0)], true)).unwrap();
    assert!(same(found.map, truth), "{:?}", found.map);
}

#[test]
fn lengths_all_one_way_give_one_scale() {
    let even = Affine::scale(0.99);
    for lengths in [&[(300.0, 0.0)][..], &[(300.0, 0.0), (200.0, 3.0)], &[(100.0, 100.0), (90.0, -90.0)]] {
        let found = correction(&read(even, lengths, false)).unwrap();
        assert_eq!(found.decided, Decided::Scale, "{lengths:?}");
        assert!(same(found.map, even), "{:?}", found.map);
    }
}

/// A part of 200 mm beside known lengths of L in its direction: 200 e / sqrt(sum of L^2), by hand.
#[test]
fn the_expected_error_is_that_of_the_formula() {
    let lengths = [(300.0, 0.0), (400.0, 0.0), (0.0, 250.0)];
    let found = correction(&read(Affine::IDENTITY, &lengths, false)).unwrap();
    assert!((found.expected_mm(0.0, 200.0, 0.25) - 200.0 * 0.25 / 500.0).abs() < 1e-12);
    assert!((found.expected_mm(90.0, 200.0, 0.25) - 200.0 * 0.25 / 250.0).abs() < 1e-12);
}

/// Lengths read with an error: the maps found scatter as the formula says. Numbers from a small generator (Lehmer, 1949,
/// with the multiplier of Park, Miller and Stockmeyer, 1993).
#[test]
fn simulated_plans_scatter_as_expected() {
    let mut state = 12_345_u64;
    let mut throw = || {
        state = state * 48_271 % 2_147_483_647;
        state as f64 / 2_147_483_647.0
    };
    let truth = Affine::new([0.9953, 0.0, 0.0, 1.0121, 0.0, 0.0]);
    let lengths = [(300.0, 0.0), (280.0, 20.0), (0.0, 180.0), (15.0, 170.0)];
    let (mut square, mut expected, tries) = (0.0, 0.0, 2000);
    for _ in 0..tries {
        let mut known = read(truth, &lengths, false);
        for k in &mut known {
            // A sum of twelve even throws has a variance of 1.
            let error = 0.25 * ((0..12).map(|_| throw()).sum::<f64>() - 6.0);
            k.drawn += k.drawn / k.drawn.hypot() * error;
        }
        let Some(found) = correction(&known).filter(|c| c.decided != Decided::Scale) else { panic!() };
        if found.decided == Decided::AlongAndAcross {
            square += (200.0 * (found.map.as_coeffs()[0] / 0.9953 - 1.0)).powi(2);
            expected = found.expected_mm(0.0, 200.0, 0.25);
        }
    }
    let scatter = (square / f64::from(tries)).sqrt();
    println!("200 mm scatters by {scatter:.4} mm, expected {expected:.4}");
    assert!((scatter / expected - 1.0).abs() < 0.1, "{scatter} {expected}");
}

#[test]
fn pieces_are_laid_on_each_other() {
    let truth = Affine::translate(Vec2::new(-280.0, 4.0)) * Affine::rotate(0.02);
    let here = [(290.0, 20.0), (295.0, 180.0), (300.0, 90.0)].map(Point::from);
    let there = here.map(|p| truth * p);
    assert!(same(laid_on(&here, &there).unwrap(), truth));
    let uneven = truth * Affine::new([0.99, 0.001, 0.0, 1.01, 3.0, 4.0]);
    assert!(same(affine(&here, &here.map(|p| uneven * p)).unwrap(), uneven));
}

#[test]
fn too_little_is_refused() {
    let flat = [(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)].map(Point::from);
    assert!(affine(&flat, &flat).is_none() && affine(&flat[..2], &flat[..2]).is_none());
    assert!(laid_on(&flat[..1], &flat[..1]).is_none() && laid_on(&[], &[]).is_none());
    assert!(correction(&[]).is_none());
    let none = Known { drawn: Vec2::ZERO, true_mm: 1.0, true_deg: None };
    assert!(correction(&[none]).is_none());
}
