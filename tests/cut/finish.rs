//! Passes before the last that run farther out, skins, drilled holes.

use grainwise::geometry::{Point, Region, Segment};
use grainwise::shop::{RouterSetting, RouterWish, chip};
use grainwise::stages::cut::{Move, Operation, Settings, SheetCuts};
use grainwise::stages::job::{Cutting, Job};
use grainwise::stages::part::Part;

use super::support::{
    as_drawn, circle, codes, job_with, part, plan, planned, polygon, rectangle, segments, shop, solid,
};

/// Offsets may round so much, mm: a fiftieth of what the whole journey promises.
const NEAR_MM: f64 = 4e-4;

fn job(router: RouterWish) -> Job {
    job_with(Cutting { cutter_mm: Some(1.5), router, ..Cutting::default() })
}

fn finished() -> RouterWish {
    RouterWish { finish_mm: Some(0.15), skin_mm: Some(0.3), ..RouterWish::default() }
}

fn plate() -> Part {
    part("A", Region::new(rectangle(20.0, 20.0, 140.0, 60.0), vec![rectangle(50.0, 30.0, 80.0, 50.0)]))
}

fn setting(sheet: &SheetCuts) -> RouterSetting {
    let Settings::Router(setting) = sheet.settings else { panic!("a beam") };
    setting
}

/// Straight cuts and arcs with the heights of their ends.
fn cuts(sheet: &SheetCuts) -> Vec<(Segment, [f64; 2])> {
    let (mut at, mut height) = (Point::ORIGIN, 5.0);
    let mut cuts = Vec::new();
    for step in &sheet.moves {
        let (segment, z) = match *step {
            Move::Rapid { to, z } => {
                (at, height) = (to, z);
                continue;
            }
            Move::Line { to, z, .. } => (Segment::line(at, to), z),
            Move::Arc { to, z, centre, counter_clockwise, .. } => {
                (Segment::about(at, to, centre, counter_clockwise), z)
            }
            _ => continue,
        };
        cuts.push((segment, [height, z]));
        (at, height) = (segment.to, z);
    }
    cuts
}

/// By the part's own distances: all that is cut above the skin keeps half a cutter and the allowance away, but for leads
/// and the way to them; what is cut below it keeps half a cutter.
#[test]
fn only_the_last_pass_comes_to_the_outline_and_through_the_skin() {
    let part = plate();
    let sheet = planned(std::slice::from_ref(&part), &job(finished()), &shop("workshop-router"));
    let (skin, bottom) = (-2.7, -3.0 - setting(&sheet).overcut_mm);
    let (mut upper, mut last) = (0, 0);
    for (segment, [from, to]) in cuts(&sheet).into_iter().filter(|(s, _)| s.length() > 1e-6) {
        let middle = part.region.distance(segment.at(0.5));
        assert!(middle >= 0.75 - NEAR_MM, "{middle}");
        if from > skin + 1e-6 && from < 0.0 && to > skin + 1e-6 && segment.length() > 2.0 && middle < 1.0 {
            // Above a tab the last pass is high up, too: there it is short.
            let on_tab = sheet.cuts.iter().any(|cut| {
                cut.tabs.iter().any(|tab| {
                    let (_, place) = super::support::along(cut, f64::midpoint(tab.from_mm, tab.to_mm));
                    segment.nearest(place).1 < 1.0
                })
            });
            assert!(on_tab || (middle - 0.9).abs() < NEAR_MM, "{middle}");
            upper += usize::from(!on_tab);
        }
        if (from - bottom).abs() < 1e-6 && (to - bottom).abs() < 1e-6 && segment.length() > 2.0 {
            assert!((middle - 0.75).abs() < NEAR_MM, "{middle}");
            last += 1;
        }
    }
    assert!(upper >= 4 && last > 8, "{upper} {last}");
}

#[test]
fn no_pass_takes_more_than_the_table_allows() {
    for skin in [0.0, 0.3] {
        let wish = RouterWish { skin_mm: Some(skin), ..finished() };
        let sheet = planned(&[plate()], &job(wish), &shop("workshop-router"));
        let mut levels: Vec<f64> = cuts(&sheet)
            .iter()
            .filter(|(s, z)| s.length() > 5.0 && z[0] == z[1])
            .map(|(_, z)| z[1])
            .collect();
        levels.sort_by(|a, b| b.total_cmp(a));
        levels.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        let most = setting(&sheet).pass_mm;
        assert!(levels.windows(2).all(|pair| pair[0] - pair[1] <= most + 1e-9), "{levels:?}");
        let least = levels[levels.len() - 2];
        assert!((least + 3.0 - skin.max(0.1)).abs() < 1e-9, "{levels:?}");
    }
}

/// Above it conventionally, then climbing: the two run round a part in opposite ways.
#[test]
fn the_last_pass_may_run_the_other_way_round() {
    let wish = RouterWish { climb: Some(false), finish_climb: Some(true), ..finished() };
    let sheet = planned(&[plate()], &job(wish), &shop("workshop-router"));
    let cut = sheet.cuts.iter().find(|cut| cut.operation == Operation::CutOutside).unwrap();
    assert!(cut.rough.as_ref().unwrap().is_counter_clockwise());
    assert!(!super::support::closed(cut).is_counter_clockwise());
}

/// A notch of 1.7 mm takes a cutter of 1.5 mm, but not with 0.15 mm more on either side.
#[test]
fn a_notch_too_narrow_for_the_passes_before_is_cut_without_them_and_told() {
    let notched = polygon(&[
        (20.0, 20.0),
        (140.0, 20.0),
        (140.0, 60.0),
        (81.7, 60.0),
        (81.7, 50.0),
        (80.0, 50.0),
        (80.0, 60.0),
        (20.0, 60.0),
    ]);
    let parts = [part("A", solid(notched))];
    let (sheets, problems) = plan(&as_drawn(&parts), &parts, &job(finished()), &shop("workshop-router"));
    assert!(codes(&problems).contains(&"finish-left-out"), "{problems:?}");
    assert!(sheets[0].cuts.iter().all(|cut| cut.rough.is_none()));
}

/// Tabs are left standing by all passes, in the same places.
#[test]
fn passes_before_the_last_are_lifted_over_the_same_tabs() {
    let sheet = planned(&[plate()], &job(finished()), &shop("workshop-router"));
    let cut = sheet.cuts.iter().find(|cut| cut.operation == Operation::CutOutside).unwrap();
    assert!(!cut.tabs.is_empty());
    for tab in &cut.tabs {
        let (segment, place) = super::support::along(cut, f64::midpoint(tab.from_mm, tab.to_mm));
        assert!(segment.is_line());
        let top = tab.height_mm - 3.0;
        for (s, z) in cuts(&sheet) {
            if s.nearest(place).1 < 0.3 {
                assert!(z[0].min(z[1]) >= top - 1e-9, "{z:?} over a tab up to {top}");
            }
        }
    }
    assert!(segments(cut).len() >= 4);
}

/// After each pass up to the face of the wood, and straight down again.
#[test]
fn chips_are_cleared_out_of_a_drilled_hole() {
    let drilled = part("A", Region::new(rectangle(20.0, 20.0, 140.0, 60.0), vec![circle(50.0, 40.0, 0.8)]));
    let sheet = planned(&[drilled], &job(RouterWish::default()), &shop("workshop-router"));
    let hole = Point::new(50.0, 40.0);
    let near = |s: &Segment| s.to.distance(hole) < 1.0;
    let all = cuts(&sheet);
    let up = all.iter().filter(|(s, z)| near(s) && z[0] < 0.0 && z[1] == 0.0).count();
    let passes = ((3.0 + setting(&sheet).overcut_mm) / setting(&sheet).pass_mm).ceil();
    assert_eq!(up as f64, passes - 1.0);
}

/// Radial chip thinning as tables of feeds print it (from memory): at a tenth of the diameter the feed is multiplied by 1.67,
/// at a twentieth by 2.29, at a fifth by 1.25, at three tenths by 1.09, from a half on by 1.
#[test]
fn chips_thin_as_handbooks_have_it() {
    for (part, factor) in [(0.05, 2.29), (0.1, 1.67), (0.2, 1.25), (0.3, 1.09), (0.5, 1.0), (1.0, 1.0)] {
        let found = chip::faster(part * 12.0, 12.0, 10.0);
        assert!((found - factor).abs() < 0.006, "{part}: {found}");
    }
    // A worked example: n = 18000, two flutes, 0.03 mm a tooth are 1080 mm/min; a cutter of 1.5 mm that takes 0.15 mm
    // from the side keeps chips of 0.03 mm at 1080 / 0.6 = 1800 mm/min.
    assert!((18_000.0 * 2.0 * 0.03 * chip::faster(0.15, 1.5, 2.5) - 1800.0).abs() < 1e-6);
}

#[test]
fn the_last_pass_is_faster_where_it_takes_thin_chips_and_no_other_is() {
    let feeds = |thin_feed: Option<f64>| {
        let job = job(RouterWish { thin_feed, corner_feed: Some(1.0), ..finished() });
        let sheet = planned(&[plate()], &job, &shop("workshop-router"));
        let feed = setting(&sheet).feed_mm_min;
        let level = |step: &Move| match *step {
            Move::Line { z, feed, .. } | Move::Arc { z, feed, .. } => Some((z, feed)),
            _ => None,
        };
        let through = |z: f64| z < -3.0 - 1e-6;
        let most = |deep: bool| {
            let of = sheet.moves.iter().filter_map(level).filter(|(z, _)| through(*z) == deep);
            of.map(|(_, feed)| feed).fold(0.0, f64::max) / feed
        };
        (most(true), most(false))
    };
    let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-6, "{found} {wanted}");
    near(feeds(None).0, 1.0);
    near(feeds(Some(1.3)).0, 1.3);
    near(feeds(Some(2.5)).0, 1.0 / 0.6);
    near(feeds(None).1, 1.0);
}
