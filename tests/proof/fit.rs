//! Pieces of unknown origin: which part they are, and where it lies.

use std::f64::consts::TAU;
use std::path::PathBuf;
use std::sync::LazyLock;

use grainwise::geometry::{Outline, Placement, Point, Rect, Region, Vec2, trig};
use grainwise::problem::Problems;
use grainwise::stages::proof::fit::{Fit, Hand, Shapes, best};
use grainwise::stages::{drawing, job, part};

use crate::geometry::nasty::Dice;

/// How far a polygon strays from the arcs that it stands for, mm.
const FINE: f64 = 0.001;

/// Names and regions of the Fenwren's parts.
static FENWREN: LazyLock<(Vec<String>, Vec<Region>)> = LazyLock::new(|| {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("samples/fenwren");
    let text = std::fs::read_to_string(folder.join("laser.yaml")).unwrap();
    let mut problems = Problems::new();
    let job = job::parse(&text, "laser.yaml", &folder, &mut problems).unwrap();
    let drawings = drawing::read(&job, &mut problems);
    let parts = part::gather(&drawings, &job, &grainwise::shop::woods(), &mut problems);
    assert!(!problems.stop());
    parts.into_iter().map(|part| (part.id, part.region)).unzip()
});

/// A polygon through points on an outline, within [`FINE`] of it.
fn polygon(outline: &Outline) -> Vec<Point> {
    let chords = |segment: &grainwise::geometry::Segment| {
        // Sagitta = radius (1 - cos(half the angle)).
        let half = trig::acos(1.0 - (FINE / segment.radius()).min(1.0));
        if segment.is_line() { 1.0 } else { (segment.sweep().abs() / (2.0 * half)).ceil() }
    };
    outline
        .segments()
        .flat_map(|segment| {
            let count = chords(&segment);
            (0..count as u32).map(move |i| segment.at(f64::from(i) / count))
        })
        .collect()
}

fn piece(region: &Region) -> Vec<Vec<Point>> {
    region.outlines().map(polygon).collect()
}

fn anywhere(dice: &mut Dice, mirrored: bool) -> Placement {
    let shift = Vec2::new(dice.range(-500.0, 500.0), dice.range(-500.0, 500.0));
    Placement { mirrored, turn_deg: dice.range(0.0, 360.0), shift }
}

/// How far apart two placements bring any corner of a part, mm.
fn apart(region: &Region, a: &Placement, b: &Placement) -> f64 {
    let corners = region.outlines().flat_map(Outline::vertices);
    corners.map(|v| a.point(v.at).distance(b.point(v.at))).fold(0.0, f64::max)
}

fn rectangle(length: f64, width: f64) -> Outline {
    Outline::rectangle(Rect::new(0.0, 0.0, length, width))
}

fn circle(x: f64, y: f64, radius: f64) -> Outline {
    Outline::circle(Point::new(x, y), radius)
}

/// A piece is that part there, and neither another one nor the other hand.
fn is_surely(fit: &Fit, part: usize, region: &Region, placement: &Placement) {
    assert_eq!((fit.part, fit.hand, fit.others.as_slice()), (part, Hand::Sure, &[][..]), "{fit:?}");
    assert_eq!(fit.placement.mirrored, placement.mirrored);
    let off = apart(region, &fit.placement, placement);
    assert!(off < 0.001 && fit.worst_mm < 1.1 * FINE && fit.rms_mm <= fit.worst_mm, "{off}: {fit:?}");
}

#[test]
fn every_rib_is_known_among_all_parts_wherever_it_lies() {
    let (names, regions) = &*FENWREN;
    let shapes = Shapes::new(regions);
    let mut dice = Dice::new(31);
    let mut ribs = 0;
    for (i, name) in names.iter().enumerate() {
        if !(name.starts_with('R') && name[1..].parse::<u32>().is_ok()) {
            continue;
        }
        ribs += 1;
        for mirrored in [false, true] {
            let placement = anywhere(&mut dice, mirrored);
            let fit = shapes.best(&piece(&regions[i].placed(&placement))).unwrap();
            is_surely(&fit, i, &regions[i], &placement);
            assert!(fit.fits(0.02));
        }
    }
    assert_eq!(ribs, 11, "a usual tapered wing has eleven");
}

#[test]
fn every_part_of_the_kit_is_known() {
    let (names, regions) = &*FENWREN;
    let shapes = Shapes::new(regions);
    let mut dice = Dice::new(32);
    for (i, region) in regions.iter().enumerate() {
        let placed = region.placed(&anywhere(&mut dice, i % 2 == 1));
        let fit = shapes.best(&piece(&placed)).unwrap();
        assert_eq!(fit.part, i, "{}: {fit:?}", names[i]);
        // A symmetric part may lie in more ways than one: the outlines have to agree.
        let found = region.placed(&fit.placement);
        let off = found.outlines().flat_map(Outline::vertices).map(|v| placed.distance(v.at));
        assert!(off.fold(0.0, f64::max) < 0.001 && fit.worst_mm < 1.1 * FINE, "{}: {fit:?}", names[i]);
    }
}

#[test]
fn a_symmetric_part_fits_both_hands_and_is_laid_as_it_is_drawn() {
    let mut dice = Dice::new(33);
    let middle = |outline: Outline, holes| Region::new(outline, holes);
    for region in [
        middle(rectangle(80.0, 12.0), vec![]),
        middle(rectangle(30.0, 30.0), vec![circle(15.0, 15.0, 4.0)]),
        middle(circle(5.0, 5.0, 20.0), vec![circle(5.0, 5.0, 8.0)]),
        middle(circle(5.0, 5.0, 20.0), vec![circle(15.0, 5.0, 3.0)]),
        middle(Outline::polygon(&[(0.0, 0.0), (40.0, 0.0), (20.0, 70.0)]).unwrap(), vec![]),
    ] {
        for mirrored in [false, true] {
            let placed = region.placed(&anywhere(&mut dice, mirrored));
            let fit = best(&piece(&placed), std::slice::from_ref(&region)).unwrap();
            assert_eq!((fit.hand, fit.placement.mirrored), (Hand::Either, false));
            assert!(fit.worst_mm < 1.1 * FINE, "{fit:?}");
        }
    }
}

#[test]
fn a_round_part_is_turned_by_its_holes_and_its_hand_is_told_by_them() {
    let mut dice = Dice::new(34);
    let holes = vec![circle(12.0, 0.0, 2.0), circle(0.0, 12.0, 3.0), circle(-7.0, -3.0, 1.0)];
    for outer in [circle(0.0, 0.0, 20.0), Outline::rectangle(Rect::new(-18.0, -18.0, 18.0, 18.0))] {
        let region = Region::new(outer, holes.clone());
        for mirrored in [false, true, false, true] {
            let placement = anywhere(&mut dice, mirrored);
            let fit = best(&piece(&region.placed(&placement)), std::slice::from_ref(&region)).unwrap();
            is_surely(&fit, 0, &region, &placement);
        }
    }
}

#[test]
fn what_is_wrong_in_one_place_shows_in_full_and_does_not_shift_the_rest() {
    let (names, regions) = &*FENWREN;
    let root = names.iter().position(|name| name == "R1").unwrap();
    let region = &regions[root];
    let mut dice = Dice::new(35);
    for by_mm in [0.05, 0.2, 0.8] {
        let placement = anywhere(&mut dice, true);
        let mut wrong = piece(&region.placed(&placement));
        let turn = dice.range(0.0, TAU);
        let by = Vec2::new(trig::cos(turn), trig::sin(turn)) * by_mm;
        for point in &mut wrong[1] {
            *point += by;
        }
        let fit = best(&wrong, regions).unwrap();
        assert_eq!((fit.part, fit.hand), (root, Hand::Sure));
        let off = apart(region, &fit.placement, &placement);
        assert!(off < 0.1 * by_mm, "{by_mm} pulled the part by {off}");
        assert!((fit.worst_mm - by_mm).abs() < 0.1 * by_mm + FINE, "{by_mm}: {fit:?}");
        assert!(!fit.fits(0.02));
    }
}

#[test]
fn a_hole_that_is_missing_or_one_too_many_shows() {
    let plain = Region::new(rectangle(60.0, 25.0), vec![]);
    let holed = Region::new(rectangle(60.0, 25.0), vec![circle(20.0, 10.0, 3.0)]);
    let here = Placement { mirrored: false, turn_deg: 20.0, shift: Vec2::new(3.0, 4.0) };
    for (cut, wanted, worst) in [
        // From the hole's far side to the nearest edge: its top is 13 from the bottom, 12 from the top.
        (&plain, &holed, 12.0),
        (&holed, &plain, 12.0),
    ] {
        let fit = best(&piece(&cut.placed(&here)), std::slice::from_ref(wanted)).unwrap();
        assert!((fit.worst_mm - worst).abs() < 0.6, "{fit:?}");
        let both = best(&piece(&cut.placed(&here)), &[wanted.clone(), cut.clone()]).unwrap();
        assert_eq!((both.part, both.others.len()), (1, 0), "the one with as many holes fits");
    }
}

#[test]
fn what_fits_nothing_is_said_to_be_nearest_to_something() {
    let parts = [rectangle(80.0, 12.0), rectangle(40.0, 40.0), rectangle(200.0, 20.0)]
        .map(|outline| Region::new(outline, vec![]));
    let strange = Region::new(rectangle(79.0, 12.5), vec![]);
    let fit = best(&piece(&strange), &parts).unwrap();
    assert_eq!(fit.part, 0);
    // Half of the difference at each side, save that the least sum of squares does not lie at the least of them.
    assert!(fit.worst_mm > 0.25 && fit.worst_mm < 1.1, "{fit:?}");
    assert!(!fit.fits(0.02));
}

#[test]
fn parts_that_are_alike_are_named() {
    let one = Region::new(rectangle(80.0, 12.0), vec![circle(10.0, 4.0, 2.0)]);
    let other = Region::new(rectangle(81.0, 12.0), vec![circle(10.0, 4.0, 2.0)]);
    let turned = one.placed(&Placement { mirrored: true, turn_deg: 45.0, shift: Vec2::ZERO });
    let fit = best(&piece(&one), &[other, one.clone(), turned, one.clone()]).unwrap();
    assert_eq!((fit.part, fit.others.as_slice()), (1, &[2, 3][..]));
}

#[test]
fn a_kerf_on_the_wrong_side_still_is_the_same_rib() {
    let (names, regions) = &*FENWREN;
    let shapes = Shapes::new(regions);
    for name in ["R2", "R6", "R9"] {
        let i = names.iter().position(|held| held == name).unwrap();
        // Half a kerf of 0.2 mm cut away all around, corners left sharp.
        let polygon = polygon(regions[i].outer());
        let inward = |k: usize| {
            let (before, at) = (polygon[(k + polygon.len() - 1) % polygon.len()], polygon[k]);
            let chord = polygon[(k + 1) % polygon.len()] - before;
            at + Vec2::new(-chord.y, chord.x) / chord.hypot() * 0.2
        };
        let mut wrong = vec![(0..polygon.len()).map(inward).collect::<Vec<Point>>()];
        wrong.extend(regions[i].holes().iter().map(self::polygon));
        let fit = shapes.best(&wrong).unwrap();
        assert_eq!((fit.part, fit.placement.mirrored), (i, false), "{name}: {fit:?}");
        assert!(fit.worst_mm > 0.15 && fit.worst_mm < 0.4, "{name}: {fit:?}");
    }
}

#[test]
fn of_nothing_there_is_no_best() {
    let region = Region::new(rectangle(80.0, 12.0), vec![]);
    assert_eq!(best(&piece(&region), &[]), None);
    assert_eq!(best(&[], std::slice::from_ref(&region)), None);
    assert_eq!(best(&[vec![]], std::slice::from_ref(&region)), None);
    assert_eq!(best(&[vec![Point::ZERO; 5]], std::slice::from_ref(&region)), None);
}
