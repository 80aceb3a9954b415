//! Where pieces come to lie.

use grainwise::problem::Problems;
use grainwise::stages::job::{Effort, Lying, Turn};
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Room, lay};
use proptest::prelude::*;

use crate::sheet::kit::{
    ROOM, assert_right, disc, job, laid, part, polygon, rectangle, rib, ring, stock, used_fraction,
};

#[test]
fn a_part_as_wide_and_long_as_the_sheet_within_its_margins_is_placed() {
    let parts = [part("A", rectangle(994.0, 94.0))];
    assert_right(&laid(&parts, vec![stock(1000.0, 100.0, Some(1))]), &parts, ROOM);
}

#[test]
fn odd_sizes_fit_exactly_too() {
    let parts = [part("A", rectangle(331.23 - 6.0, 77.7 - 6.0))];
    assert_right(&laid(&parts, vec![stock(331.23, 77.7, Some(1))]), &parts, ROOM);
}

#[test]
fn grain_in_any_direction_comes_to_lie_along_the_sheet() {
    for grain in [0.0, 30.0, 45.0, 90.0, 137.5, 179.0] {
        let mut piece = part("A", polygon(&[(0.0, 0.0), (40.0, 0.0), (10.0, 25.0)]));
        (piece.grain_deg, piece.copies, piece.mirrored) = (Some(grain), 4, 2);
        let parts = [piece];
        assert_right(&laid(&parts, vec![stock(300.0, 100.0, None)]), &parts, ROOM);
    }
}

#[test]
fn a_part_across_the_grain_is_not_turned_to_fit() {
    let mut piece = part("A", rectangle(20.0, 120.0));
    let mut problems = Problems::new();
    lay(&[piece.clone()], &job(vec![stock(1000.0, 100.0, None)]), ROOM, &mut problems);
    assert_eq!(problems.iter().next().unwrap().code, "fits-no-sheet");
    piece.grain_deg = None;
    let parts = [piece];
    let layout = laid(&parts, vec![stock(1000.0, 100.0, None)]);
    assert_right(&layout, &parts, ROOM);
    assert_eq!(layout.sheets[0].placed[0].placement.turn_deg % 180.0, 90.0);
}

#[test]
fn each_wood_and_thickness_has_its_own_sheets() {
    let mut thick = part("B", rectangle(50.0, 20.0));
    thick.thickness_mm = 3.0;
    let mut ply = part("C", rectangle(50.0, 20.0));
    (ply.wood, ply.thickness_mm) = ("light-ply".to_owned(), 3.0);
    let parts = [part("A", rectangle(50.0, 20.0)), thick, ply];
    let mut kinds = vec![stock(300.0, 100.0, None), stock(300.0, 100.0, None), stock(300.0, 200.0, None)];
    kinds[1].thickness_mm = 3.0;
    (kinds[2].wood, kinds[2].thickness_mm) = ("light-ply".to_owned(), 3.0);
    let layout = laid(&parts, kinds);
    assert_right(&layout, &parts, ROOM);
    assert_eq!(layout.sheets.iter().map(|sheet| sheet.number).collect::<Vec<_>>(), [1, 2, 3]);
    assert_eq!(layout.sheets[2].width_mm, 200.0);
}

#[test]
fn a_small_part_goes_into_the_hole_of_a_large_one() {
    let parts = [part("ring", ring(47.0, 40.0)), part("disc", disc(30.0))];
    let layout = laid(&parts, vec![stock(100.0, 100.0, Some(1))]);
    assert_right(&layout, &parts, ROOM);
}

#[test]
fn two_triangles_lie_together_as_one_is_turned() {
    let mut triangle = part("T", polygon(&[(0.0, 0.0), (90.0, 0.0), (0.0, 90.0)]));
    triangle.copies = 2;
    let parts = [triangle];
    assert_right(&laid(&parts, vec![stock(102.0, 97.0, Some(1))]), &parts, ROOM);
}

#[test]
fn the_smaller_sheet_is_taken_for_what_fits_on_it() {
    let parts = [part("A", rectangle(80.0, 60.0))];
    let layout = laid(&parts, vec![stock(1000.0, 100.0, Some(1)), stock(100.0, 75.0, Some(1))]);
    assert_eq!(layout.sheets[0].length_mm, 100.0);
}

#[test]
fn ribs_fill_narrow_sheets_well() {
    let parts: Vec<Part> = (0..11)
        .map(|i| {
            let mut piece = part(&format!("R{i}"), rib(200.0 - 8.0 * f64::from(i)));
            (piece.copies, piece.mirrored) = (2, 1);
            piece
        })
        .collect();
    let layout = laid(&parts, vec![stock(1000.0, 100.0, None)]);
    assert_right(&layout, &parts, ROOM);
    // Four pairs deep and five long is what a careful person draws by hand.
    assert_eq!(layout.sheets.len(), 1);
    assert!(used_fraction(&layout, &parts) > 0.4, "{}", used_fraction(&layout, &parts));
}

#[test]
fn the_same_job_gives_the_same_layout_on_any_number_of_threads() {
    let mut piece = part("A", rib(120.0));
    piece.copies = 30;
    let parts = [piece, part("B", ring(20.0, 12.0)), part("C", disc(9.0))];
    let lay_on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| laid(&parts, vec![stock(400.0, 100.0, None)]))
    };
    assert_eq!(lay_on(1), lay_on(2));
}

#[test]
fn a_part_that_may_lie_askew_fits_where_it_is_turned_a_little() {
    // 105 by 8 mm: too long for the 104 mm within the margins; turned by 15 degrees it takes 105 cos 15 + 8 sin 15 = 103.5
    // by 34.9 mm.
    let mut piece = part("stick", rectangle(105.0, 8.0));
    piece.lying.turn = Turn::Within(15.0);
    let parts = [piece];
    let layout = laid(&parts, vec![stock(110.0, 60.0, Some(1))]);
    assert_right(&layout, &parts, ROOM);
    let lies = layout.sheets[0].placed[0].placement.grain_deg(0.0);
    assert!((lies.min(180.0 - lies) - 15.0).abs() < 1e-9, "{lies}");
}

#[test]
fn more_effort_never_takes_more_sheets() {
    let parts: Vec<Part> = (0..40)
        .map(|i| match i % 3 {
            0 => part(&format!("R{i}"), rib(90.0 + 3.0 * f64::from(i))),
            1 => part(&format!("D{i}"), disc(8.0 + 0.4 * f64::from(i))),
            _ => part(&format!("T{i}"), polygon(&[(0.0, 0.0), (60.0 + f64::from(i), 0.0), (20.0, 45.0)])),
        })
        .collect();
    let lay_with = |effort: Effort| {
        let mut problems = Problems::new();
        let job = grainwise::stages::job::Job { effort, ..job(vec![stock(300.0, 200.0, None)]) };
        let layout = lay(&parts, &job, ROOM, &mut problems);
        assert!(problems.is_empty(), "{problems:?}");
        assert_right(&layout, &parts, ROOM);
        layout.sheets.len()
    };
    let (none, quick, some) =
        (lay_with(Effort::Seconds(0.0)), lay_with(Effort::Quick), lay_with(Effort::Seconds(3.0)));
    assert!(quick <= none && some <= none, "{none} {quick} {some}");
}

fn any_part() -> impl Strategy<Value = Part> {
    let size = 4.0..60.0_f64;
    let region = prop_oneof![
        (size.clone(), size.clone()).prop_map(|(a, b)| rectangle(a, b)),
        (2.0..40.0_f64).prop_map(disc),
        (10.0..40.0_f64, 0.3..0.9_f64).prop_map(|(r, share)| ring(r, r * share)),
        (20.0..150.0_f64).prop_map(rib),
        (size.clone(), size, 0.1..0.9_f64).prop_map(|(a, b, s)| {
            polygon(&[(0.0, 0.0), (a, 0.0), (a, b * s), (a * s, b * s), (a * s, b), (0.0, b)])
        }),
    ];
    let grain = prop_oneof![Just(None), Just(Some(0.0)), Just(Some(90.0)), (0.0..180.0_f64).prop_map(Some)];
    let turn = prop_oneof![Just(Turn::Grain), (0.5..12.0_f64).prop_map(Turn::Within), Just(Turn::Any)];
    let lying = (turn, any::<bool>()).prop_map(|(turn, flip)| Lying { turn, flip, ..Lying::default() });
    (region, grain, 1u32..6, 0u32..6, lying).prop_map(|(region, grain_deg, copies, mirrored, lying)| Part {
        grain_deg,
        copies,
        mirrored: mirrored.min(copies),
        lying,
        ..part("", region)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn no_kit_is_ever_laid_wrong(
        parts in prop::collection::vec(any_part(), 1..12),
        spacing_mm in prop_oneof![Just(0.0), 0.05..6.0_f64],
        margin_mm in 0.0..8.0_f64,
        length in 200.0..600.0_f64,
        width in 180.0..400.0_f64,
    ) {
        let mut parts = parts;
        parts.iter_mut().enumerate().for_each(|(i, part)| part.id = format!("P{i}"));
        let room = Room { spacing_mm, margin_mm };
        let mut problems = Problems::new();
        let layout = lay(&parts, &job(vec![stock(length, width, None)]), room, &mut problems);
        prop_assert!(problems.is_empty(), "{problems:?}");
        assert_right(&layout, &parts, room);
    }
}
