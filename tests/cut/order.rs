//! The order of cuts.

use std::collections::BTreeMap;

use grainwise::geometry::Region;
use grainwise::stages::cut::{Cut, Operation, Path, SheetCuts};
use grainwise::stages::part::Part;
use grainwise::stages::sheet::Layout;
use proptest::prelude::*;

use super::support::{at, circle, closed, job, line, part, plan, planned, rectangle, sheet, shop, solid};

/// Every rule of the order, on one sheet.
fn check(sheet: &SheetCuts) -> Result<(), String> {
    let rank = |c: &Cut| match c.operation {
        Operation::Mark => 0,
        Operation::Score => 1,
        Operation::Recess => 2,
        Operation::CutInside | Operation::CutOutside => 3,
    };
    if !sheet.cuts.is_sorted_by_key(rank) {
        return Err("marks, then scores, then cuts".to_owned());
    }
    let mut outer_at = BTreeMap::new();
    for (i, cut) in sheet.cuts.iter().enumerate() {
        if cut.operation == Operation::CutOutside {
            outer_at.insert(cut.placed, i);
        }
    }
    for (i, hole) in sheet.cuts.iter().enumerate().filter(|(_, c)| c.operation == Operation::CutInside) {
        if i > outer_at[&hole.placed] {
            return Err(format!("hole {i} of piece {} after its outline", hole.placed));
        }
        for (&piece, &outer) in &outer_at {
            let inner = &sheet.cuts[outer];
            if piece != hole.placed && closed(hole).contains(closed(inner).vertices()[0].at) && outer > i {
                return Err(format!("piece {piece} in hole {i} of piece {} after that hole", hole.placed));
            }
        }
    }
    Ok(())
}

/// A frame with a window, and a hole in its rim.
fn frame(size: f64) -> Region {
    Region::new(
        rectangle(0.0, 0.0, size, size),
        vec![rectangle(6.0, 6.0, size - 6.0, size - 6.0), circle(3.0, 3.0, 1.5)],
    )
}

#[test]
fn a_piece_in_the_window_of_another_is_cut_before_the_window() {
    let parts = [part("F", frame(100.0)), part("G", frame(60.0)), part("P", solid(circle(0.0, 0.0, 8.0)))];
    let layout = Layout {
        sheets: vec![sheet(vec![
            at(0, 20.0, 20.0),
            at(1, 40.0, 40.0),
            at(2, 70.0, 70.0),
            at(2, 140.0, 30.0),
        ])],
    };
    let (sheets, problems) = plan(&layout, &parts, &job(), &shop("desktop-laser"));
    assert!(!problems.stop(), "{problems:?}");
    assert_eq!(check(&sheets[0]), Ok(()));
    let place = |piece: usize, what: Operation| {
        sheets[0].cuts.iter().rposition(|c| c.placed == piece && c.operation == what).unwrap()
    };
    assert!(place(2, Operation::CutOutside) < place(1, Operation::CutInside));
    assert!(place(1, Operation::CutOutside) < place(0, Operation::CutInside));
}

#[test]
fn marks_come_first_then_scores_then_cuts() {
    let mut parts = Vec::new();
    for i in 0..3 {
        let x = 20.0 + 60.0 * f64::from(i);
        let mut one = part(&format!("A{i}"), solid(rectangle(x, 20.0, x + 50.0, 60.0)));
        one.scores = vec![line(&[(x + 5.0, 30.0), (x + 45.0, 30.0)])];
        one.marks =
            vec![line(&[(x + 5.0, 50.0), (x + 45.0, 50.0)]), line(&[(x + 5.0, 40.0), (x + 45.0, 40.0)])];
        parts.push(one);
    }
    let sheet = planned(&parts, &job(), &shop("desktop-laser"));
    assert_eq!(check(&sheet), Ok(()));
    assert_eq!(sheet.cuts.len(), 3 * 4);
}

#[test]
fn lines_drawn_on_a_part_are_not_compensated() {
    let mut one = part("A", solid(rectangle(20.0, 20.0, 120.0, 60.0)));
    let drawn = line(&[(30.0, 30.0), (110.0, 50.0)]);
    one.scores = vec![drawn.clone()];
    let sheet = planned(&[one], &job(), &shop("desktop-laser"));
    let score = sheet.cuts.iter().find(|c| c.operation == Operation::Score).unwrap();
    assert!(score.path == Path::Open(drawn.clone()) || score.path == Path::Open(drawn.reversed()));
}

/// A row of 20 squares from the origin outwards: the shortest way passes each once, on the way out.
#[test]
fn a_row_is_cut_from_one_end_to_the_other() {
    let parts: Vec<Part> = (0..18)
        .map(|i| {
            // Every 7th, so that the order of the parts is not the order on the sheet.
            let x = 5.0 + 20.0 * f64::from(i * 7 % 18);
            part(&format!("A{i}"), solid(rectangle(x, 5.0, x + 15.0, 20.0)))
        })
        .collect();
    let sheet = planned(&parts, &job(), &shop("desktop-laser"));
    assert!(sheet.travel_length_mm < 360.0 * 1.1, "{}", sheet.travel_length_mm);
}

#[test]
fn travel_is_counted_from_cut_to_cut() {
    let parts = [
        part("A", solid(rectangle(20.0, 20.0, 60.0, 60.0))),
        part("B", solid(rectangle(80.0, 20.0, 90.0, 60.0))),
    ];
    let sheet = planned(&parts, &job(), &shop("desktop-laser"));
    let begin = |c: &Cut| closed(c).vertices()[0].at;
    let here = begin(&sheet.cuts[0]);
    let wanted = here.to_vec2().hypot() + here.distance(begin(&sheet.cuts[1]));
    assert!((sheet.travel_length_mm - wanted).abs() < 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Frames within frames and plain pieces, strewn over a grid: the rules hold, and nothing is lost.
    #[test]
    fn the_rules_hold_on_any_sheet(kinds in prop::collection::vec(0usize..4, 1..24), router in any::<bool>()) {
        let parts = [part("F", frame(60.0)), part("G", frame(40.0)), part("P", solid(circle(0.0, 0.0, 6.0)))];
        let mut placed = Vec::new();
        for (i, kind) in kinds.iter().enumerate() {
            let (x, y) = (8.0 + 75.0 * (i % 5) as f64, 8.0 + 75.0 * (i / 5) as f64);
            // 0: a disc alone; 1: a frame; 2: a frame in a frame; 3: a disc in a frame in a frame.
            if *kind > 0 {
                placed.push(at(0, x, y));
            }
            if *kind > 1 {
                placed.push(at(1, x + 10.0, y + 10.0));
            }
            if *kind != 1 && *kind != 2 {
                placed.push(at(2, x + 30.0, y + 30.0));
            }
        }
        let holes: usize = placed.iter().filter(|p| p.part < 2).count() * 2;
        let pieces = placed.len();
        let layout = Layout { sheets: vec![sheet(placed)] };
        let (sheets, problems) = plan(&layout, &parts, &job(), &shop(if router { "workshop-router" } else { "desktop-laser" }));
        prop_assert!(!problems.stop(), "{:?}", problems);
        prop_assert_eq!(check(&sheets[0]), Ok(()));
        prop_assert_eq!(sheets[0].cuts.len(), holes + pieces);
    }
}
