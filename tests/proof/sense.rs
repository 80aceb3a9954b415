//! Machine sense: one good program that is clean, and each rule broken once.

use grainwise::problem::{Problem, Problems, Severity};
use grainwise::shop::Post;
use grainwise::stages::proof::read::{self, Reading};
use grainwise::stages::proof::{Limits, Program, Source};

use crate::write::sample;

/// A sheet of 200 x 100 mm, 2.5 mm thick, on a small router.
fn limits() -> Limits {
    Limits {
        reach_mm: Some([300.0, 200.0, 40.0]),
        sheet_mm: Some([200.0, 100.0]),
        kerf_mm: Some(2.0),
        lowest_mm: Some(-2.8),
        clearance_mm: Some(3.0),
        feed_mm_min: Some(900.0),
        plunge_mm_min: Some(300.0),
        pass_mm: Some(1.5),
        rpm: Some([8000.0, 24_000.0]),
        table_rpm: Some(18_000.0),
        rapid_mm_min: Some(3000.0),
    }
}

/// A square in two passes with a slope over a tab, then a drilled hole.
const GOOD: &str = "G21 G17 G90 G94
G0 Z3
T1 M6
S18000 M3
G4 P3
G0 X20 Y20
G1 Z-1.4 F300
X60 F900
Y60
X20
Y20
G1 Z-2.8 F300
X60 F900
Y60
X50
X49.5 Z-2
X45
X43 Z-2.8 F600
X20
Y20
G0 Z3
X100 Y50
G1 Z-1.4 F300
Z-2.8
G0 Z3
M5
M30
";

/// The good program of a beam.
const BURNT: &str = "G21 G17 G90 G94
M5
G0 X20 Y20
M3 S500
G1 X60 F600
G2 X60 Y40 I0 J10
G1 X20
Y20
M5
G0 X0 Y0
M2
";

fn read_as(text: &str, post: Option<&Post>, limits: &Limits, strict: bool) -> Program {
    let source = Source { name: "a.nc", bytes: text.as_bytes() };
    read::read(source, &Reading { machine: None, post, limits, units: None, strict })
}

fn codes(problems: &[Problem]) -> Vec<&'static str> {
    problems.iter().map(|p| p.code).collect()
}

/// What is wrong with the good program once this is replaced by that.
fn milled(this: &str, that: &str) -> Vec<&'static str> {
    assert!(GOOD.contains(this), "{this:?}");
    codes(&read_as(&GOOD.replacen(this, that, 1), None, &limits(), true).problems)
}

/// The same of the beam's.
fn burnt(this: &str, that: &str) -> Vec<&'static str> {
    assert!(BURNT.contains(this), "{this:?}");
    let post = sample::post("laser-steady");
    let limits = Limits { kerf_mm: Some(0.2), feed_mm_min: Some(600.0), ..beam_limits() };
    codes(&read_as(&BURNT.replacen(this, that, 1), Some(&post), &limits, true).problems)
}

fn beam_limits() -> Limits {
    let limits = limits();
    Limits { reach_mm: Some([300.0, 200.0, 0.0]), sheet_mm: limits.sheet_mm, ..Limits::default() }
}

#[test]
fn a_good_program_of_a_cutter_is_clean() {
    assert_eq!(milled("", ""), [""; 0]);
}

#[test]
fn a_good_program_of_a_beam_is_clean() {
    assert_eq!(burnt("", ""), [""; 0]);
}

#[test]
fn what_is_not_known_is_not_judged() {
    assert_eq!(codes(&read_as(GOOD, None, &Limits::default(), true).problems), [""; 0]);
}

#[test]
fn a_problem_knows_file_line_and_place() {
    let problem =
        read_as(&GOOD.replacen("X100 Y50", "X400 Y50", 1), None, &limits(), true).problems.remove(0);
    assert_eq!(
        (problem.file.as_deref(), problem.line, problem.at_mm),
        (Some("a.nc"), Some(22), Some([400.0, 50.0]))
    );
    assert_eq!(problem.severity, Severity::Error);
}

#[test]
fn travel_stays_within_the_machine_s_reach() {
    let travel = |to: &str| milled("G0 X20 Y20", &format!("G0 {to}\nG0 X20 Y20"));
    assert_eq!(travel("X300 Y200"), [""; 0], "beyond the sheet, but not beyond the machine");
    for to in ["X300.1 Y0", "X0 Y200.1", "X-0.1 Y0", "X0 Y-0.1"] {
        assert_eq!(travel(to), ["beyond-reach"], "{to}");
    }
}

#[test]
fn an_arc_s_belly_stays_within_the_machine_s_reach() {
    let round = "X290 Y100\nG3 X290 Y140 I0 J20 F900\nG0 X100 Y50";
    assert_eq!(milled("X100 Y50", round), ["beyond-reach"]);
}

#[test]
fn heights_stay_within_the_machine_s_reach() {
    assert_eq!(milled("G0 X20 Y20", "G0 Z37\nZ3\nX20 Y20"), [""; 0], "from -2.8 to 37 are 39.8 mm");
    assert_eq!(
        milled("G0 X20 Y20", "G0 Z37.5\nZ3\nX20 Y20"),
        ["beyond-reach"],
        "from -2.8 to 37.5 are 40.3 mm"
    );
}

#[test]
fn half_the_cut_s_width_stays_on_the_sheet_too() {
    assert_eq!(milled("X100 Y50", "X1 Y1"), [""; 0]);
    assert_eq!(milled("X100 Y50", "X0.9 Y1").first(), Some(&"off-sheet"));
    assert_eq!(milled("X100 Y50", "X199.1 Y50").first(), Some(&"off-sheet"));
    assert_eq!(burnt("G1 X60 F600", "G1 X60 Y0.05 F600\nX60 Y20").first(), Some(&"off-sheet"));
}

#[test]
fn an_arc_s_belly_stays_on_the_sheet() {
    // Over the top, and through the bottom: its ends are on the sheet, its belly comes to y -7.4.
    assert_eq!(burnt("G1 X60 F600", "G1 X30 F600\nG2 X60 Y20 I15 J-10\nG1 X60 Y20"), [""; 0]);
    assert!(burnt("G1 X60 F600", "G1 X20 Y5 F600\nG3 X60 Y5 I20 J10").contains(&"off-sheet"));
}

#[test]
fn travel_across_is_at_the_clearance_height_or_above() {
    assert_eq!(milled("G0 Z3\nX100", "G0 Z2\nX100"), ["rapid-too-low"]);
    assert_eq!(milled("G0 Z3\nX100", "G0 Z0.5\nZ3\nX100"), [""; 0], "straight up in two steps");
    assert_eq!(milled("X100 Y50\n", "X100 Y50\nZ1\n"), [""; 0], "straight down to above the wood");
}

#[test]
fn travel_across_waits_until_the_cutter_is_up() {
    assert!(milled("G0 Z3\nX100 Y50", "G0 X100 Y50 Z3").contains(&"rapid-in-wood"));
}

#[test]
fn a_rapid_does_not_go_into_the_wood() {
    assert_eq!(milled("X100 Y50\nG1 Z-1.4 F300", "X100 Y50\nG0 Z-1.4\nG1 X100 F300"), ["rapid-into-wood"]);
}

#[test]
fn a_rapid_does_not_go_deeper_in_the_wood() {
    assert_eq!(milled("G1 Z-2.8 F300\nX60", "G0 Z-2.8\nG1 X60"), ["rapid-in-wood"]);
}

#[test]
fn travel_before_any_height_is_told_is_an_error_in_a_strict_file_and_odd_in_others() {
    let text = GOOD.replacen("G0 Z3\nT1", "G0 X1 Y1\nG0 Z3\nT1", 1);
    for (strict, severity) in [(true, Severity::Error), (false, Severity::Warning)] {
        let problems = read_as(&text, None, &limits(), strict).problems;
        assert_eq!((codes(&problems), problems[0].severity), (vec!["height-unknown"], severity));
    }
}

#[test]
fn a_plunge_is_no_faster_than_the_plunge_feed() {
    assert_eq!(milled("Z-1.4 F300", "Z-1.4 F301"), [""; 0], "within rounding");
    assert_eq!(milled("Z-1.4 F300", "Z-1.4 F303"), ["plunge-too-fast"]);
    assert_eq!(milled("Z-1.4 F300", "Z-1.4 F900"), ["plunge-too-fast"]);
}

#[test]
fn a_slope_counts_by_its_speed_downwards() {
    // 0.8 mm down over 2 mm along: of 900 mm/min 334 are downwards, of 800 are 297.
    assert_eq!(milled("X43 Z-2.8 F600", "X43 Z-2.8 F800"), [""; 0]);
    assert_eq!(milled("X43 Z-2.8 F600", "X43 Z-2.8 F900"), ["plunge-too-fast"]);
}

#[test]
fn upwards_any_feed_will_do() {
    assert_eq!(milled("X49.5 Z-2\n", "X49.5 Z-2 F900\n"), [""; 0]);
}

#[test]
fn a_cut_is_no_faster_than_the_feed_of_the_tables() {
    assert_eq!(milled("X60 F900", "X60 F901"), [""; 0], "within rounding");
    assert_eq!(milled("X60 F900\nY60", "X60 F903\nY60 F900"), ["feed-too-fast"]);
    assert_eq!(burnt("X60 F600", "X60 F6000\nF600"), ["feed-too-fast"]);
}

#[test]
fn above_the_wood_any_feed_will_do() {
    assert_eq!(milled("G0 Z3\nX100 Y50", "G0 Z3\nG1 X100 Y50 F2500"), [""; 0]);
}

#[test]
fn the_spindle_turns_while_the_cutter_is_in_the_wood() {
    let off = milled("S18000 M3\n", "S18000\n");
    assert!(!off.is_empty() && off.iter().all(|code| *code == "spindle-off"));
    assert_eq!(milled("Z-2.8\nG0 Z3\nM5", "Z-2.8\nM5\nG0 Z3"), ["spindle-off"], "it stops in the wood");
    assert!(milled("S18000 M3", "M3").contains(&"spindle-off"), "on, but at no speed");
}

#[test]
fn the_spindle_turns_clockwise() {
    assert!(milled("M3", "M4").iter().all(|code| *code == "spindle-backwards"));
}

#[test]
fn the_spindle_s_speed_is_within_the_machine_s_range() {
    for speed in ["S1800", "S180000"] {
        let found = milled("S18000", speed);
        assert!(!found.is_empty() && found.iter().all(|code| *code == "spindle-range"), "{speed}");
    }
}

#[test]
fn the_spindle_s_speed_is_the_table_s() {
    assert_eq!(milled("S18000", "S18100"), [""; 0]);
    let found = milled("S18000", "S13000");
    assert!(!found.is_empty() && found.iter().all(|code| *code == "spindle-speed"));
}

#[test]
fn another_speed_than_the_table_s_is_odd_in_a_file_from_elsewhere() {
    let problems = read_as(&GOOD.replace("S18000", "S13000"), None, &limits(), false).problems;
    assert!(problems.iter().all(|p| p.severity == Severity::Warning) && !problems.is_empty());
}

#[test]
fn spindle_and_beam_are_off_at_the_end() {
    assert_eq!(milled("M5\nM30", "M30"), ["spindle-left-on"]);
    assert_eq!(milled("M5\nM30", "M5 M30"), [""; 0]);
    assert_eq!(burnt("Y20\nM5\nG0 X0 Y0\n", "Y20\n"), ["beam-left-on"]);
}

#[test]
fn the_cutter_is_out_of_the_wood_at_the_end() {
    assert!(milled("Z-2.8\nG0 Z3\nM5", "Z-2.8\nM5").contains(&"ends-in-wood"));
}

#[test]
fn no_cut_is_deeper_than_wood_and_overcut() {
    assert_eq!(milled("Z-1.4 F300\nZ-2.8", "Z-1.4 F300\nZ-2.81"), ["too-deep"; 2], "down, and up again");
    assert_eq!(milled("Z-1.4 F300\nZ-2.8", "Z-1.4 F300\nZ-2.801"), [""; 0], "within rounding");
}

#[test]
fn no_pass_is_deeper_than_the_tables_allow() {
    assert_eq!(milled("G1 Z-1.4 F300\nZ-2.8", "G1 Z-2.8 F300"), ["pass-too-deep"]);
    let one_round = milled("G1 Z-1.4 F300\nX60 F900\nY60\nX20\nY20\n", "");
    assert!(one_round.len() >= 4 && one_round.iter().all(|code| *code == "pass-too-deep"), "{one_round:?}");
}

#[test]
fn a_slope_into_uncut_wood_is_a_pass_too() {
    assert_eq!(
        milled("X100 Y50\nG1 Z-1.4 F300\nZ-2.8", "X100 Y50\nG1 Z0 F300\nX120 Z-2.8"),
        ["pass-too-deep"]
    );
    let there_back_and_there = "X100 Y50\nG1 Z0 F300\nX120 Z-1.4\nX100\nX120 Z-2.8";
    assert_eq!(milled("X100 Y50\nG1 Z-1.4 F300\nZ-2.8", there_back_and_there), [""; 0]);
}

#[test]
fn the_beam_is_off_during_travel() {
    assert_eq!(burnt("Y20\nM5\nG0 X0 Y0\n", "Y20\nG0 X0 Y0\nM5\n"), ["beam-on-in-travel"]);
}

#[test]
fn the_beam_does_not_stand_still() {
    assert_eq!(burnt("M3 S500\n", "M3 S500\nG4 P1\n"), ["beam-on-standing"]);
    assert_eq!(burnt("M3 S500\n", "G4 P1\nM3 S500\n"), [""; 0]);
    assert_eq!(burnt("G1 X20\n", "G1 X20\nM0\n"), ["beam-on-standing"]);
}

#[test]
fn the_program_does_not_stop_while_the_cutter_is_in_the_wood() {
    assert_eq!(milled("X60 F900\nY60\n", "X60 F900\nM0\nY60\n"), ["stop-in-wood"]);
    assert_eq!(milled("G0 X20 Y20\n", "M0\nG0 X20 Y20\n"), [""; 0]);
}

#[test]
fn the_beam_s_power_is_no_more_than_full() {
    assert!(burnt("M3 S500", "M3 S5000").iter().all(|code| *code == "beam-power"));
}

#[test]
fn a_spindle_at_rest_may_wait() {
    assert_eq!(milled("M5\nM30", "M5\nG4 P1\nM30"), [""; 0]);
}

#[test]
fn a_program_cuts_something() {
    assert_eq!(codes(&read_as("G21\nG0 X1 Y1 Z3\nM2\n", None, &limits(), true).problems), ["nothing-cut"]);
    assert_eq!(burnt("M3 S500", "S500"), ["nothing-cut"]);
}

#[test]
fn a_tool_is_changed_while_the_spindle_is_at_rest() {
    assert_eq!(milled("T1 M6\nS18000 M3", "S18000 M3\nT1 M6\nM3"), ["tool-change-turning"]);
}

#[test]
fn a_tool_is_changed_out_of_the_wood() {
    let in_wood = milled("Z-2.8\nG0 Z3\nM5", "Z-2.8\nM5\nT1 M6\nM3\nG0 Z3\nM5");
    assert_eq!(in_wood, ["tool-change-in-wood"]);
}

#[test]
fn no_second_tool_cuts() {
    assert_eq!(milled("X100 Y50", "M5\nT2 M6\nM3\nX100 Y50"), ["second-tool"]);
    assert_eq!(milled("X100 Y50", "M5\nT1 M6\nM3\nX100 Y50"), [""; 0]);
}

#[test]
fn a_beam_is_not_turned_on_in_a_way_that_its_post_does_not_say() {
    // laser-steady turns it on by M3; M4 would burn on the machine and not in the proof.
    assert!(burnt("M3 S500", "M4 S500").contains(&"unknown-word"));
}

// Millions of lines.

#[test]
fn of_each_kind_a_few_are_told_and_the_rest_is_counted() {
    let text = GOOD.replacen("X60 F900", &"X60 F2000\nX59\n".repeat(5000), 1);
    let problems = read_as(&text, None, &limits(), true).problems;
    let too_fast: Vec<&Problem> = problems.iter().filter(|p| p.code == "feed-too-fast").collect();
    assert_eq!(too_fast.len(), 6);
    // Three more cuts follow before the next F.
    assert_eq!(too_fast[5].message, "and 9998 more like this");
    let text = "G5\n".repeat(5000);
    let problems = read_as(&text, None, &limits(), true).problems;
    assert_eq!(codes(&problems)[..5], ["unknown-word"; 5]);
    assert!(problems.len() < 10 && problems.iter().any(|p| p.message == "and 4995 more like this"));
}

// The form of strict files.

fn numbered(text: &str, strict: bool) -> Vec<&'static str> {
    let mut problems = Problems::new();
    let post = "extends: router-mm\nline: {numbers: {start: 10, step: 10}, percent: false}";
    let post = Post::from_text("mine.yaml", post, &mut problems).unwrap();
    codes(&read_as(text, Some(&post), &Limits::default(), strict).problems)
}

const NUMBERED: &str =
    "N10 G21 G90\nN20 G0 X0 Y0 Z3\nN30 S9000 M3\nN40 G1 Z-1 F100\nN50 X5\nN60 G0 Z3\nN70 M5\nN80 M2\n";

#[test]
fn line_numbers_in_their_order_are_clean() {
    assert_eq!(numbered(NUMBERED, true), [""; 0]);
    assert_eq!(numbered(&NUMBERED.replace("N50", "\n(a comment)\nN50"), true), [""; 0]);
}

#[test]
fn a_line_that_is_missing_doubled_or_swapped_breaks_the_order_of_numbers() {
    let line = "N50 X5\n";
    assert_eq!(numbered(&NUMBERED.replace(line, ""), true), ["line-number-order"]);
    assert_eq!(numbered(&NUMBERED.replace(line, &line.repeat(2)), true), ["line-number-order"]);
    let swapped = NUMBERED.replace("N50 X5\nN60 G0 Z3\n", "N60 G0 Z3\nN50 X5\n");
    assert!(numbered(&swapped, true).contains(&"line-number-order"));
    assert!(numbered(&NUMBERED.replace(line, "X5\n"), true).contains(&"line-number-order"));
}

#[test]
fn line_numbers_of_a_file_from_elsewhere_may_run_as_they_like() {
    assert_eq!(numbered(&NUMBERED.replace("N50", "N20"), false), [""; 0]);
}

#[test]
fn line_numbers_begin_again_after_the_last() {
    let line = |n: usize| format!("N{n} G1 X{}\n", n % 7);
    let numbers = (5..=9999).map(|n| n * 10).chain((1..=20).map(|n| n * 10));
    let long: String = numbers.map(line).collect();
    let program = format!(
        "N10 G21 G90\nN20 G0 X0 Y0 Z3\nN30 S9000 M3\nN40 G1 Z-1 F100\n{long}N210 G0 Z3\nN220 M5\nN230 M2\n"
    );
    assert_eq!(numbered(&program, true), [""; 0]);
}

#[test]
fn a_post_that_wants_carriage_returns_gets_them() {
    let post = sample::post("wordy.yaml");
    let limits = Limits { table_rpm: None, ..Limits::default() };
    let file = String::from_utf8(sample::written(&post)[0].bytes.clone()).unwrap();
    let of = |text: &str, strict| codes(&read_as(text, Some(&post), &limits, strict).problems);
    assert_eq!(of(&file, true), [""; 0]);
    assert!(of(&file.replace("\r\n", "\n"), true).iter().all(|code| *code == "line-end"));
    assert!(!of(&file.replace("\r\n", "\n"), true).is_empty());
    assert_eq!(of(&file.replace("\r\n", "\n"), false), [""; 0]);
}

#[test]
fn carriage_returns_that_a_post_does_not_ask_for_are_harmless_at_a_line_s_end_alone() {
    assert_eq!(milled("\nT1 M6\n", "\r\nT1 M6\r\n"), [""; 0]);
    assert!(milled("T1 M6\n", "T1\r M6\n").contains(&"stray-carriage-return"));
    assert!(milled("T1 M6\n", "T1 M6 (the\rcutter)\n").contains(&"stray-carriage-return"));
    assert!(milled("T1 M6\n", "T1 M6\r\r\n").contains(&"stray-carriage-return"));
}

// Files of ours.

#[test]
fn what_every_post_writes_is_clean() {
    for post in sample::posts() {
        let (settings, machine) = if post.drives_beam() {
            (sample::LASER, sample::laser())
        } else {
            (sample::ROUTER, sample::router())
        };
        let (sheets, _) = sample::kit(settings);
        for (file, sheet) in sample::written(&post).iter().filter(|file| file.sheet.is_some()).zip(&sheets) {
            let mut limits = Limits::of_sheet(&machine, sheet);
            // The sample marks as fast as its laser does, on the router too.
            limits.feed_mm_min = Some(3000.0);
            let source = Source { name: &file.name, bytes: &file.bytes };
            let reading = Reading {
                machine: Some(&machine),
                post: Some(&post),
                limits: &limits,
                units: None,
                strict: true,
            };
            let problems = read::read(source, &reading).problems;
            assert!(problems.is_empty(), "{}: {problems:#?}", post.name);
        }
    }
}
