//! Programs: their form, and what none may hold. Rules of RS-274/NGC by name.

use grainwise::geometry::Point;
use grainwise::problem::Problems;
use grainwise::stages::cut::{Move, Operation};
use grainwise::stages::write;

use super::{reread, sample};

fn codes(problems: &Problems) -> Vec<&'static str> {
    problems.iter().map(|p| p.code).collect()
}

fn at(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

/// What a router's moves are refused for.
fn refused(moves: Vec<Move>) -> Vec<&'static str> {
    codes(&sample::program(&sample::post("router-mm"), moves).unwrap_err())
}

/// The lines of a program between the start and the end blocks.
fn body(name: &str, moves: Vec<Move>) -> Vec<String> {
    let text = sample::program(&sample::post(name), moves).unwrap();
    text.lines()
        .skip_while(|line| !line.starts_with("G4 P3") && *line != "M5")
        .skip(1)
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_post_gives_the_path_of_the_moves_back() {
    for post in sample::posts() {
        let settings = if post.drives_beam() { sample::LASER } else { sample::ROUTER };
        let (sheets, _) = sample::kit(settings);
        let text = String::from_utf8(sample::written(&post)[0].bytes.clone()).unwrap();
        let done = reread::read(&text, &post);
        let mut next = done.iter();
        let near = 10f64.powi(-post.numbers.decimals.cast_signed()) * post.units.millimetres();
        for step in &sheets[0].moves {
            let (Move::Line { to, z, .. } | Move::Arc { to, z, .. } | Move::Rapid { to, z }) = step else {
                continue;
            };
            let z = if post.drives_beam() { 0.0 } else { *z };
            let found = next.any(|d| d.to.distance(*to) < near && (d.z - z).abs() < near);
            // A move that changes nothing is not written: the machine is there already.
            let there = done.iter().any(|d| d.to.distance(*to) < near && (d.z - z).abs() < near);
            assert!(found || there, "{}: {step:?}", post.name);
        }
    }
}

#[test]
fn the_feed_of_each_cut_is_the_move_s_own() {
    for post in sample::posts() {
        let text = String::from_utf8(sample::written(&post)[0].bytes.clone()).unwrap();
        let feeds = reread::read(&text, &post).into_iter().filter(|d| d.motion > 0).map(|d| d.feed);
        let near = 0.06 * post.units.millimetres();
        let known = [300.0, 600.0, 3000.0];
        assert!(
            feeds.into_iter().all(|f| known.iter().any(|k| (f - k).abs() <= near.max(2.6))),
            "{}",
            post.name
        );
    }
}

#[test]
fn power_is_scaled_to_the_post_s_full_power() {
    for (name, mark, cut) in [("laser-scaled", "M4 S125", "M4 S550"), ("laser-steady", "M3 S125", "M3 S550")]
    {
        let text = String::from_utf8(sample::written(&sample::post(name))[0].bytes.clone()).unwrap();
        assert!(text.contains(mark) && text.contains(cut), "{name}");
    }
    let wordy = sample::post("wordy.yaml");
    let text = String::from_utf8(sample::written(&wordy)[0].bytes.clone()).unwrap();
    let powers: Vec<f64> =
        reread::read(&text, &wordy).iter().filter(|d| d.motion > 0).map(|d| d.power).collect();
    assert!(
        powers.iter().all(|p| (p - 31.9).abs() < 1e-9 || (p - 140.3).abs() < 1e-9),
        "0.125 and 0.55 of 255"
    );
}

#[test]
fn the_header_says_material_tool_and_cautions() {
    for post in sample::posts().into_iter().filter(|p| !p.name.contains("terse")) {
        let text = String::from_utf8(sample::written(&post)[0].bytes.clone()).unwrap();
        let tool = if post.drives_beam() { "kerf 0.15" } else { "cutter 1.5" };
        for word in ["balsa-medium", "2.5", tool, "CAUTION", "starting points"] {
            assert!(text.contains(word), "{}: {word}", post.name);
        }
    }
}

#[test]
fn the_start_sets_unit_plane_distance_and_feed_mode() {
    for post in sample::posts() {
        let text = String::from_utf8(sample::written(&post)[0].bytes.clone()).unwrap();
        let unit = if post.units.millimetres() > 1.0 { "G20" } else { "G21" };
        for code in [unit, "G17", "G90", "G94"].iter().filter(|c| !post.words.implied.iter().any(|i| i == *c))
        {
            assert!(text.contains(code), "{}: {code}", post.name);
        }
    }
}

#[test]
fn a_move_that_rounds_to_nothing_is_not_written() {
    let go = |x, y, z| Move::Line { to: at(x, y), z, feed: 600.0 };
    let moves = vec![
        Move::Rapid { to: at(5.0, 5.0), z: 3.0 },
        go(5.0, 5.0, -1.0),
        go(5.0004, 5.0, -1.0),
        go(5.0, 5.0003, -1.0),
        go(6.0, 5.0, -1.0),
    ];
    assert_eq!(body("router-mm", moves)[..4], ["G0 Z3", "X5 Y5", "G1 Z-1 F600", "X6"]);
}

#[test]
fn rounding_does_not_add_up() {
    let mut moves =
        vec![Move::Rapid { to: at(0.0, 0.0), z: 3.0 }, Move::Line { to: at(0.0, 0.0), z: -1.0, feed: 600.0 }];
    moves.extend((1..=3000).map(|i| Move::Line {
        to: at(f64::from(i) / 3000.0 * 10.0, 0.0),
        z: -1.0,
        feed: 600.0,
    }));
    let post = sample::post("router-inch");
    let done = reread::read(&sample::program(&post, moves).unwrap(), &post);
    let last = done.iter().rfind(|d| d.motion == 1).unwrap();
    assert!((last.to.x - 10.0).abs() <= 25.4 * 0.5e-5 + 1e-12);
}

#[test]
fn there_is_no_minus_zero() {
    let moves = vec![
        Move::Rapid { to: at(1.0, 1.0), z: 3.0 },
        Move::Line { to: at(-0.0004, -0.0), z: -0.0, feed: 100.0 },
    ];
    assert_eq!(body("router-mm", moves)[2], "G1 X0 Y0 Z0 F100");
}

#[test]
fn a_rapid_goes_up_first_and_down_last() {
    let line = |x, z| Move::Line { to: at(x, 0.0), z, feed: 100.0 };
    let moves = vec![
        Move::Rapid { to: at(0.0, 0.0), z: 3.0 },
        line(0.0, -1.0),
        Move::Rapid { to: at(9.0, 0.0), z: 5.0 },
        Move::Rapid { to: at(7.0, 0.0), z: 3.0 },
    ];
    assert_eq!(body("router-mm", moves)[..7], ["G0 Z3", "X0 Y0", "G1 Z-1 F100", "G0 Z5", "X9", "X7", "Z3"]);
}

#[test]
fn the_clearance_height_is_never_rounded_down() {
    let post = sample::post("router-inch");
    let done =
        reread::read(&sample::program(&post, vec![Move::Rapid { to: at(1.0, 1.0), z: 3.0 }]).unwrap(), &post);
    assert!(done.iter().filter(|d| d.motion == 0).all(|d| d.z >= 3.0));
}

#[test]
fn a_rapid_below_the_clearance_height_is_refused() {
    assert_eq!(refused(vec![Move::Rapid { to: at(1.0, 1.0), z: 2.9 }]), ["rapid-too-low"]);
}

#[test]
fn a_cut_deeper_than_wood_and_overcut_is_refused() {
    let down =
        |z| vec![Move::Rapid { to: at(1.0, 1.0), z: 3.0 }, Move::Line { to: at(1.0, 1.0), z, feed: 100.0 }];
    assert_eq!(refused(down(-2.81)), ["too-deep"]);
    assert!(sample::program(&sample::post("router-mm"), down(-2.8)).is_ok());
}

#[test]
fn a_way_beyond_the_machine_s_reach_is_refused() {
    let moves = vec![Move::Rapid { to: at(0.0, 0.0), z: 3.0 }, Move::Rapid { to: at(0.0, 400.1), z: 3.0 }];
    assert_eq!(refused(moves), ["out-of-reach"]);
}

#[test]
fn travel_with_the_beam_on_is_refused() {
    let moves = vec![Move::Beam { power: 0.5 }, Move::Rapid { to: at(1.0, 1.0), z: 0.0 }];
    let problems = sample::program(&sample::post("laser-scaled"), moves).unwrap_err();
    assert_eq!(codes(&problems), ["beam-on-in-travel"]);
}

#[test]
fn a_beam_through_a_router_s_post_is_refused() {
    assert_eq!(refused(vec![Move::Beam { power: 0.5 }]), ["post-and-moves"]);
}

#[test]
fn a_router_s_post_on_a_laser_is_refused() {
    let (sheets, parts) = sample::kit(sample::LASER);
    let mut problems = Problems::new();
    let post = sample::post("router-mm");
    let files = write::all(&sheets, &parts, &sample::job(), &sample::laser(), Some(&post), &mut problems);
    assert_eq!(codes(&problems), ["post-and-machine", "post-and-machine"]);
    assert!(!files.iter().any(|f| f.name == "sheet-1.nc"));
}

#[test]
fn numbers_that_no_format_holds_are_refused() {
    for x in [f64::NAN, f64::INFINITY, 1e300] {
        let moves = vec![Move::Rapid { to: at(x, 1.0), z: 3.0 }];
        assert!(refused(moves).contains(&"number-out-of-range"), "{x}");
    }
    for feed in [0.0, -5.0, f64::NAN, 1e300, 0.4] {
        let moves =
            vec![Move::Rapid { to: at(0.0, 1.0), z: 3.0 }, Move::Line { to: at(1.0, 1.0), z: 3.0, feed }];
        assert_eq!(refused(moves), ["feed-out-of-range"], "{feed}");
    }
    for seconds in [-1.0, f64::NAN, 1e9] {
        assert_eq!(refused(vec![Move::Dwell { seconds }]), ["dwell-out-of-range"], "{seconds}");
    }
}

#[test]
fn the_beam_is_off_at_the_end_whatever_the_moves_say() {
    for post in sample::posts().into_iter().filter(grainwise::shop::Post::drives_beam) {
        let text =
            sample::program(&post, vec![Move::Rapid { to: at(1.0, 1.0), z: 0.0 }, Move::Beam { power: 1.0 }]);
        let text = text.unwrap();
        let off = if post.name == "wordy" { "M107" } else { "M5" };
        let on = if post.name == "wordy" { "M106" } else { "S1000" };
        assert!(text.rfind(off) > text.rfind(on), "{}", post.name);
    }
}

#[test]
fn line_numbers_begin_again_before_they_are_too_large() {
    let begin = Move::Begin { operation: Operation::Mark, part: "R1".into() };
    let text = sample::program(&sample::post("wordy.yaml"), vec![begin; 20_500]).unwrap();
    let numbers: Vec<usize> =
        text.lines().map(|l| l[1..].split(' ').next().unwrap().parse().unwrap()).collect();
    assert!(numbers.iter().all(|n| *n <= 99_999));
    assert!(numbers.windows(2).all(|pair| pair[1] == pair[0] + 5 || pair[1] == 10));
}
