//! The rules of RS-274/NGC one by one (Kramer, Proctor, Messina, NISTIR 6556, 2000), each as a test of its name.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use grainwise::geometry::Point;
use grainwise::problem::Problems;
use grainwise::shop::Post;
use grainwise::stages::proof::ngc::{self, Dialect, Motion, Spindle, Step};

/// What a program does, read by the standard.
fn run(program: &str) -> (Vec<Step>, Vec<&'static str>) {
    run_as(program, &Dialect::standard())
}

fn run_as(program: &str, dialect: &Dialect) -> (Vec<Step>, Vec<&'static str>) {
    let mut steps = Vec::new();
    let faults = ngc::read(program.as_bytes(), dialect, &mut |step| steps.push(step.clone()));
    (steps, faults.into_iter().map(|fault| fault.code).collect())
}

/// A program around some lines: millimetres, at X0 Y0 Z0, feed 100.
fn around(lines: &str) -> String {
    format!("G21 G17 G90 G94\nG0 X0 Y0 Z0\nF100\n{lines}\nM2\n")
}

/// The faults of some lines.
fn faults(lines: &str) -> Vec<&'static str> {
    run(&around(lines)).1
}

/// The steps of some lines that have no fault, without the first travel and the end.
fn steps(lines: &str) -> Vec<Step> {
    let (mut steps, faults) = run(&around(lines));
    assert!(faults.is_empty(), "{lines}: {faults:?}");
    steps.remove(0);
    steps.pop();
    steps
}

/// Where some lines lead.
fn end(lines: &str) -> [f64; 3] {
    match steps(lines).last().unwrap().motion {
        Motion::Line { to, .. } | Motion::Arc { to, .. } => to,
        Motion::Rapid { to, .. } => to.map(Option::unwrap),
        ref other => panic!("{other:?}"),
    }
}

fn feed(lines: &str) -> f64 {
    match steps(lines).last().unwrap().motion {
        Motion::Line { feed, .. } | Motion::Arc { feed, .. } => feed,
        ref other => panic!("{other:?}"),
    }
}

fn arc(line: &str) -> (Point, f64) {
    match steps(line).last().unwrap().motion {
        Motion::Arc { centre, sweep, .. } => (centre, sweep),
        ref other => panic!("{other:?}"),
    }
}

fn near(a: (Point, f64), x: f64, y: f64, sweep: f64) {
    assert!(a.0.distance(Point::new(x, y)) < 1e-9 && (a.1 - sweep).abs() < 1e-9, "{a:?}");
}

// The form of a line.

#[test]
fn case_means_nothing() {
    assert_eq!(end("g1 x1 y2"), [1.0, 2.0, 0.0]);
}

#[test]
fn spaces_and_tabs_mean_nothing_even_within_numbers() {
    // The standard's own example of a line that is odd and right: "g0x +0. 12 34y 7".
    assert_eq!(end("g1x +0. 12 34y 7"), [0.1234, 7.0, 0.0]);
    assert_eq!(end("G1\tX1\tY2"), [1.0, 2.0, 0.0]);
}

#[test]
fn blank_lines_are_allowed() {
    assert_eq!(end("\n\n  \nG1 X1\n\n"), [1.0, 0.0, 0.0]);
}

#[test]
fn a_line_holds_at_most_256_characters() {
    let line = |length: usize| format!("G1 X1 ({})", "c".repeat(length - 8));
    assert_eq!(line(256).len(), 256);
    assert!(faults(&line(256)).is_empty());
    assert_eq!(faults(&line(257)), ["line-too-long"]);
}

#[test]
fn a_carriage_return_before_the_line_s_end_belongs_to_it() {
    let (_, faults) = run(&around("G1 X1").replace('\n', "\r\n"));
    assert!(faults.is_empty());
}

#[test]
fn numbers_have_an_optional_sign_and_point_and_at_least_one_digit() {
    for (text, value) in [("1", 1.0), ("+1.", 1.0), ("-.5", -0.5), ("0012.50", 12.5)] {
        assert_eq!(end(&format!("G1 X{text}"))[0], value, "{text}");
    }
    for text in ["", "-", ".", "1.2.3", "--1"] {
        assert_eq!(faults(&format!("G1 X{text}")), ["bad-number"], "{text:?}");
    }
}

#[test]
fn a_comma_is_no_point() {
    assert_eq!(faults("G1 X1,5"), ["no-word"]);
}

#[test]
fn there_is_no_exponent() {
    // E is no letter of a word.
    assert_eq!(faults("G1 X1E3"), ["no-word"]);
}

#[test]
fn a_line_number_comes_first_and_has_at_most_five_digits() {
    assert_eq!(end("N99999 G1 X1"), [1.0, 0.0, 0.0]);
    assert_eq!(faults("N100000 G1 X1"), ["line-number"]);
    assert_eq!(faults("N1.5 G1 X1"), ["line-number"]);
    assert_eq!(faults("G1 N10 X1"), ["line-number-late"]);
}

#[test]
fn line_numbers_may_repeat_and_run_backwards() {
    assert_eq!(end("N20 G1 X1\nN10 X2\nN10 X3"), [3.0, 0.0, 0.0]);
}

#[test]
fn comments_stand_anywhere_and_do_not_nest() {
    assert_eq!(end("(go) G1 (to) X1 (there)"), [1.0, 0.0, 0.0]);
    assert_eq!(faults("G1 X1 (a (b) c)"), ["comment-nested"]);
    assert_eq!(faults("G1 X1 (a"), ["comment-not-closed"]);
    assert_eq!(faults("G1 X1 a)"), ["comment-not-open"]);
}

#[test]
fn words_in_comments_do_nothing() {
    assert_eq!(end("G1 X1 (X5 Y5)"), [1.0, 0.0, 0.0]);
}

#[test]
fn a_semicolon_is_not_in_the_grammar() {
    assert_eq!(faults("G1 X1 ; there"), ["comment-form"]);
}

#[test]
fn characters_beyond_ascii_are_no_words() {
    assert_eq!(faults("G1 X1 é"), ["no-word"]);
}

#[test]
fn an_optional_line_is_told() {
    assert_eq!(faults("/G1 X1"), ["optional-line"]);
    assert_eq!(faults("G1 / X1"), ["no-word"]);
}

#[test]
fn an_absurd_coordinate_is_told() {
    assert_eq!(faults("G1 X100000000"), ["number-absurd"]);
}

#[test]
fn every_letter_but_g_and_m_comes_once() {
    assert_eq!(faults("G1 X1 X1"), ["letter-twice"]);
    assert_eq!(faults("G1 X1 F10 F10"), ["letter-twice"]);
}

#[test]
fn words_of_a_line_may_come_in_any_order() {
    assert_eq!(end("Y2 X1 G1"), [1.0, 2.0, 0.0]);
}

#[test]
fn one_g_word_of_each_modal_group_stands_on_a_line() {
    for line in ["G0 G1 X1", "G90 G91", "G20 G21", "G93 G94", "G17 G18", "G40 G41", "G54 G55", "G61 G64"] {
        assert_eq!(faults(line), ["modal-group"], "{line}");
    }
    assert!(faults("G1 G17 G21 G40 G49 G54 G64 G90 G94 G98 X1").is_empty());
}

#[test]
fn one_m_word_of_each_modal_group_stands_on_a_line() {
    for line in ["M3 M5", "M0 M2", "M7 M8", "M48 M49"] {
        assert_eq!(faults(line), ["modal-group"], "{line}");
    }
}

#[test]
fn at_most_four_m_words_stand_on_a_line() {
    assert!(faults("M3 M6 M8 M48").is_empty());
    assert_eq!(faults("M3 M6 M8 M48 M0"), ["too-many-m"]);
}

#[test]
fn unknown_words_are_refused() {
    for line in ["G5", "G90.1", "G91.1 X1", "G0.5 X1", "G-1 X1", "M106", "M10"] {
        assert_eq!(faults(line), ["unknown-word"], "{line}");
    }
}

#[test]
fn parameters_and_expressions_are_told_and_not_followed() {
    for line in ["#1=5", "G1 X#1", "G1 X[1+2]"] {
        assert_eq!(faults(line), ["expression"], "{line}");
    }
}

#[test]
fn what_is_not_followed_is_told() {
    for line in
        ["G18", "G41 D1", "G43 H1", "G28", "G53 G0 X0", "G55", "G81 X1 Z-1 R1", "G92 X0", "G10 L2 P1 X0"]
    {
        assert_eq!(faults(line), ["not-followed"], "{line}");
    }
    assert_eq!(faults("G1 A90"), ["rotary-axis"]);
}

// The end of a program.

#[test]
fn a_program_ends_by_m2_or_m30() {
    for end in ["M2", "M30"] {
        let (steps, faults) = run(&format!("G21 G0 X0\n{end}\n"));
        assert!(faults.is_empty() && steps.last().unwrap().motion == Motion::End);
    }
}

#[test]
fn without_an_end_a_program_may_be_cut_off() {
    assert_eq!(run("G21 G0 X0\nM3").1, ["no-end"]);
    assert_eq!(run("").1, ["no-end"]);
}

#[test]
fn percent_signs_close_a_program_that_has_no_end_word() {
    let (steps, faults) = run("%\nG21 G0 X0\n%\n");
    assert!(faults.is_empty() && steps.last().unwrap().motion == Motion::End);
}

#[test]
fn a_percent_sign_that_opens_has_to_be_closed() {
    assert_eq!(run("%\nG21 G0 X0\nM2\n").1, ["percent-not-closed"]);
    assert_eq!(run("G21 G0 X0\n%\n").1, ["percent-not-open"]);
}

#[test]
fn nothing_after_the_end_is_carried_out_and_that_there_is_more_is_told() {
    let (steps, faults) = run("G21 G0 X0\nM2\nG1 X5 F1\nrubbish\n");
    assert_eq!((steps.len(), faults), (2, vec!["after-end"]));
    let (steps, faults) = run("%\nG21 G0 X0\n%\nrubbish");
    assert_eq!((steps.len(), faults), (2, vec!["after-end"]));
}

#[test]
fn comments_and_blank_lines_may_follow_the_end() {
    assert!(run("G21 G0 X0\nM2\n\n(all done)\n").1.is_empty());
    assert!(run("%\nG21 G0 X0\nM2\n%\n\n(all done)\n").1.is_empty());
}

// Units, distance, feed.

#[test]
fn g20_is_inches_and_g21_millimetres() {
    assert_eq!(end("G20\nG1 X1 F1"), [25.4, 0.0, 0.0]);
    assert_eq!(end("G20\nG21\nG1 X1 F1"), [1.0, 0.0, 0.0]);
}

#[test]
fn a_motion_before_the_unit_is_told() {
    assert_eq!(run("G0 X1\nM2").1, ["unit-not-said"]);
}

#[test]
fn units_change_within_a_line_before_its_motion() {
    assert_eq!(end("G0 X1 G20"), [25.4, 0.0, 0.0]);
}

#[test]
fn g91_counts_from_where_the_machine_is() {
    assert_eq!(end("G1 X1 Y1\nG91 X2\nY3"), [3.0, 4.0, 0.0]);
    assert_eq!(end("G1 X1\nG91 X2\nG90 X5"), [5.0, 0.0, 0.0]);
}

#[test]
fn g91_from_an_unknown_place_is_told() {
    assert_eq!(run("G21 G91 G0 X1\nM2").1, ["step-from-nowhere"]);
}

#[test]
fn in_g94_the_feed_is_units_a_minute_and_stays() {
    assert_eq!(feed("G1 X1 F250\nX2"), 250.0);
    assert_eq!(feed("G20\nG1 X1 F10"), 254.0);
}

#[test]
fn a_cut_before_any_feed_is_refused() {
    for line in ["G1 X1", "G2 X1 I0.5"] {
        assert_eq!(run(&format!("G21\nG0 X0 Y0 Z0\n{line}\nM2")).1, ["feed-missing"], "{line}");
    }
}

#[test]
fn a_feed_of_nothing_is_refused() {
    assert_eq!(faults("G1 X1 F0"), ["feed-zero"]);
    assert_eq!(faults("G1 X1 F-5"), ["feed-negative"]);
}

#[test]
fn in_g93_the_feed_is_the_inverse_of_the_time_and_stands_on_every_cut() {
    assert_eq!(feed("G93\nG1 X10 F2"), 20.0);
    assert_eq!(faults("G93\nG1 X10 F2\nX20"), ["feed-missing"]);
    assert_eq!(faults("G93\nG1 X10 F2\nG94\nX20"), ["feed-missing"]);
}

#[test]
fn a_feed_of_the_other_unit_counts_no_longer() {
    assert_eq!(faults("G20\nG1 X1"), ["feed-missing"]);
}

// Motion.

#[test]
fn motion_is_modal() {
    let steps = steps("G1 X1\nX2\nG0 X3\nX4");
    let rapid: Vec<bool> = steps.iter().map(|s| matches!(s.motion, Motion::Rapid { .. })).collect();
    assert_eq!(rapid, [false, false, true, true]);
}

#[test]
fn a_motion_word_needs_an_axis_word() {
    for line in ["G0", "G1", "G2 I1", "G3 R5"] {
        assert_eq!(faults(line), ["motion-no-axis"], "{line}");
    }
}

/// The standard's interpreter calls it an error (RS-274/NGC, its messages for I, J and R "with no G2 or G3").
#[test]
fn words_of_an_arc_stand_with_an_arc_only() {
    for line in ["G1 X1 I1", "G0 X1 J1", "G1 X1 Y1 R5", "G1 I1"] {
        assert_eq!(faults(line), ["word-no-use"], "{line}");
    }
}

#[test]
fn g80_ends_motion() {
    assert_eq!(faults("G80\nX1"), ["axis-no-motion"]);
    assert_eq!(run("G21\nX1\nM2").1, ["axis-no-motion"], "and none is in effect at the beginning");
}

#[test]
fn a_cut_from_an_unknown_place_is_told() {
    assert_eq!(run("G21 F100\nG1 X1 Y1 Z0\nM2").1, ["cut-from-nowhere"]);
    assert_eq!(run("G21 F100\nG0 X1 Y1\nG1 X2\nM2").1, ["cut-from-nowhere"], "no height yet");
}

#[test]
fn a_line_with_a_fault_is_not_carried_out_and_the_next_one_is() {
    let (steps, faults) = run(&around("G1 X1 X1\nG1 X2"));
    assert_eq!(faults, ["letter-twice"]);
    assert!(steps.iter().any(|s| matches!(s.motion, Motion::Line { from: [0.0, ..], to: [2.0, ..], .. })));
}

#[test]
fn faults_and_steps_know_their_line() {
    let mut lines = Vec::new();
    let faults =
        ngc::read(b"G21\n\nG0 X0\nG5\nM2\n", &Dialect::standard(), &mut |step| lines.push(step.line));
    assert_eq!((faults[0].line, lines), (4, vec![3, 5]));
    assert_eq!(faults[0].problem("a.nc").line, Some(4));
}

// Arcs, centre form.

#[test]
fn i_and_j_are_from_the_start_in_g90_and_in_g91() {
    near(arc("G1 X10\nG3 X0 Y10 I-10"), 0.0, 0.0, FRAC_PI_2);
    near(arc("G1 X10\nG91\nG3 X-10 Y10 I-10"), 0.0, 0.0, FRAC_PI_2);
}

#[test]
fn g2_is_clockwise_and_g3_counter_clockwise() {
    near(arc("G1 X10\nG2 X0 Y10 I-10"), 0.0, 0.0, FRAC_PI_2 - TAU);
    near(arc("G1 X10\nG3 X0 Y10 I-10"), 0.0, 0.0, FRAC_PI_2);
}

#[test]
fn an_arc_of_centre_form_needs_x_or_y() {
    assert_eq!(faults("G2 Z1 I5"), ["arc-no-end"]);
    near(arc("G3 X10 I5"), 5.0, 0.0, PI);
}

#[test]
fn an_arc_needs_a_centre_or_a_radius_and_not_both() {
    assert_eq!(faults("G2 X10"), ["arc-no-form"]);
    assert_eq!(faults("G2 X10 I5 R5"), ["arc-two-forms"]);
    assert_eq!(faults("G2 X10 I5 K1"), ["arc-k"]);
}

#[test]
fn equal_ends_are_a_full_circle() {
    near(arc("G3 X0 Y0 I5"), 5.0, 0.0, TAU);
    near(arc("G2 X0 I5"), 5.0, 0.0, -TAU);
}

#[test]
fn radii_may_differ_by_two_thousandths_of_a_millimetre() {
    assert!(faults("G3 X10.0019 Y0 I5").is_empty());
    assert_eq!(faults("G3 X10.0021 Y0 I5"), ["arc-radii-differ"]);
}

#[test]
fn radii_may_differ_by_two_ten_thousandths_of_an_inch() {
    assert!(faults("G20\nG3 X1.00019 Y0 I0.5 F1").is_empty());
    assert_eq!(faults("G20\nG3 X1.00021 Y0 I0.5 F1"), ["arc-radii-differ"]);
}

#[test]
fn a_centre_at_an_end_is_no_arc() {
    assert_eq!(faults("G3 X10 I0 J0"), ["arc-no-radius"]);
}

#[test]
fn an_arc_with_z_is_a_helix() {
    let done = steps("G3 X10 Z-2 I5");
    assert!(matches!(done[0].motion, Motion::Arc { from: [.., 0.0], to: [10.0, 0.0, -2.0], .. }));
}

// Arcs, radius form.

#[test]
fn a_positive_radius_is_the_shorter_arc() {
    near(arc("G1 X10\nG3 X0 Y10 R10"), 0.0, 0.0, FRAC_PI_2);
    near(arc("G1 X10\nG2 X0 Y10 R10"), 10.0, 10.0, -FRAC_PI_2);
}

#[test]
fn a_negative_radius_is_the_longer_arc() {
    near(arc("G1 X10\nG3 X0 Y10 R-10"), 10.0, 10.0, 3.0 * FRAC_PI_2);
    near(arc("G1 X10\nG2 X0 Y10 R-10"), 0.0, 0.0, -3.0 * FRAC_PI_2);
}

#[test]
fn equal_ends_are_no_arc_by_radius() {
    assert_eq!(faults("G2 X0 Y0 R5"), ["arc-ends-equal"]);
}

#[test]
fn a_radius_has_to_reach_from_end_to_end() {
    assert_eq!(faults("G2 X10 R4.9"), ["arc-radius-too-small"]);
    near(arc("G3 X10 R5"), 5.0, 0.0, PI);
    // Rounded down by less than the tolerance: a half circle.
    near(arc("G3 X10.001 R5"), 5.0005, 0.0, PI);
}

// Dwell, tool, spindle, stop.

#[test]
fn a_dwell_is_in_seconds_and_not_negative() {
    assert_eq!(steps("G4 P1.5")[0].motion, Motion::Dwell { seconds: 1.5 });
    assert_eq!(faults("G4 P-1"), ["dwell-negative"]);
    assert_eq!(faults("G4"), ["dwell-no-time"]);
}

#[test]
fn a_dwell_leaves_the_motion_as_it_was() {
    assert_eq!(end("G1 X1\nG4 P1\nX2"), [2.0, 0.0, 0.0]);
}

#[test]
fn the_spindle_turns_at_s_until_m5() {
    let done = steps("S8000 M3\nG1 X1\nM4\nX2\nM5\nG0 X3");
    let spindles: Vec<Spindle> = done.iter().map(|s| s.spindle).collect();
    assert_eq!(spindles, [Spindle::Clockwise, Spindle::CounterClockwise, Spindle::Stopped]);
    assert_eq!(done[0].speed, 8000.0);
    assert_eq!(faults("S-1"), ["speed-negative"]);
}

#[test]
fn m6_takes_the_tool_of_t_and_leaves_the_spindle_stopped() {
    let done = steps("M3 S100\nT7 M6\nG1 X1");
    assert_eq!(done[0].motion, Motion::Tool { number: 7 });
    assert_eq!(done[1].spindle, Spindle::Stopped);
    assert_eq!(faults("T1.5 M6"), ["tool-number"]);
}

#[test]
fn a_line_changes_its_tool_before_the_spindle_starts_and_the_spindle_before_it_moves() {
    let done = steps("G1 X1 M3 M6 T2 S500");
    assert_eq!(done[0].motion, Motion::Tool { number: 2 });
    assert!(matches!(done[1].motion, Motion::Line { .. }) && done[1].spindle == Spindle::Clockwise);
}

#[test]
fn a_line_dwells_before_it_moves_and_stops_after_it_moved() {
    let kinds: Vec<bool> =
        steps("G4 P1 G1 X1 M0").iter().map(|s| matches!(s.motion, Motion::Line { .. })).collect();
    assert_eq!(kinds, [false, true, false]);
}

// Departures that a post declares.

fn dialect(text: &str) -> Dialect {
    let mut problems = Problems::new();
    let post = Post::from_text("mine.yaml", text, &mut problems);
    assert!(problems.is_empty(), "{problems:#?}");
    Dialect::of(&post.unwrap())
}

#[test]
fn a_post_s_words_are_known_to_its_reader() {
    let own = dialect("extends: router-mm\nwords: {extra: [G91.1]}");
    assert!(run_as(&around("G91.1"), &own).1.is_empty());
    assert_eq!(run_as(&around("G90.1"), &own).1, ["unknown-word"]);
}

#[test]
fn a_post_s_comments_are_the_only_ones_that_its_reader_knows() {
    let own = dialect("extends: laser-scaled");
    assert!(run_as("G21 ; millimetres (and so on\nM2 ; end\n", &own).1.is_empty());
    assert_eq!(run_as("G21 (millimetres)\nM2\n", &own).1, ["comment-form"]);
}

#[test]
fn a_post_s_line_length_is_its_reader_s() {
    let own = dialect("extends: router-mm\nline: {most: 80}");
    assert_eq!(run_as(&around(&format!("G1 X1 ({})", "c".repeat(80))), &own).1, ["line-too-long"]);
}

#[test]
fn a_beam_is_on_between_the_words_that_its_post_has_for_it() {
    let own = dialect("extends: laser-steady");
    let (steps, faults) = run_as("G21 G90 F100\nM5\nG0 X0 Y0\nM3 S250\nG1 X1\nM5\nG0 X2\nM2\n", &own);
    assert!(faults.is_empty(), "{faults:?}");
    let beam: Vec<f64> = steps.iter().map(|s| s.beam).collect();
    assert_eq!(beam, [0.0, 0.25, 0.0, 0.0]);
}

#[test]
fn a_beam_left_on_shows_in_the_travel() {
    let own = dialect("extends: laser-scaled");
    let (steps, _) = run_as("G21 G90 F100\nG0 X0 Y0\nM4 S500\nG1 X1\nG0 X2\nM2\n", &own);
    assert_eq!(steps[2].beam, 0.5);
}

// Rubbish.

#[test]
fn rubbish_gives_faults_and_no_panic() {
    for text in [
        "\0\0\0",
        "%%%",
        "((((",
        "G",
        "N",
        "/",
        "/G21",
        "G1e999",
        "X99999999999999999999999999",
        "\u{fffd}",
        ")",
    ] {
        let (_, faults) = run(text);
        assert!(!faults.is_empty(), "{text:?}");
    }
}

#[test]
fn a_controller_that_is_always_in_a_unit_need_not_be_told() {
    let own = dialect("extends: router-inch\nwords: {implied: [G20]}\nstart: [G17 G90 G94]");
    let (steps, faults) = run_as("G0 X1 Y0 Z0\nM2\n", &own);
    assert!(faults.is_empty(), "{faults:?}");
    assert!(matches!(steps[0].motion, Motion::Rapid { to: [Some(25.4), ..], .. }));
}

#[test]
fn words_of_the_standard_that_turn_another_beam_on_are_unknown_to_this_one() {
    let own = dialect("extends: laser-steady");
    assert_eq!(run_as("G21\nM4 S100\nM2\n", &own).1, ["unknown-word"]);
}

#[test]
fn tool_and_end_show_the_machine_as_they_find_it() {
    let (steps, _) = run("G21 S100 M3\nT1 M6\nM4\nM2\n");
    let spindles: Vec<Spindle> = steps.iter().map(|s| s.spindle).collect();
    assert_eq!(spindles, [Spindle::Clockwise, Spindle::CounterClockwise]);
}

// Streams.

/// Gathers what a listener is told, as text.
#[derive(Default)]
struct Heard(Vec<String>);

impl ngc::Listener for Heard {
    fn step(&mut self, step: &Step) {
        self.0.push(format!("{step:?}"));
    }
    fn fault(&mut self, fault: ngc::Fault) {
        self.0.push(format!("{fault:?}"));
    }
    fn line(&mut self, line: ngc::LineRead) {
        self.0.push(format!("{line:?}"));
    }
}

fn heard(program: &[u8], buffer: usize) -> Vec<String> {
    let mut heard = Heard::default();
    let reader = std::io::BufReader::with_capacity(buffer, program);
    ngc::stream(reader, &Dialect::standard(), &mut heard).unwrap();
    heard.0
}

#[test]
fn a_stream_is_read_alike_in_pieces_of_any_size() {
    let long = format!("G1 X3 ({})\r\n", "c".repeat(300));
    let program = format!("%\r\nG21 G0 X1 Y1 Z1\n\nN7 G1 X2 (to there) F100\r\n{long}G5\nG1 Y2\n%");
    let whole = heard(program.as_bytes(), 1 << 16);
    assert!(whole.iter().any(|told| told.contains("the line has 308 characters")), "{whole:#?}");
    for buffer in 1..40 {
        assert_eq!(heard(program.as_bytes(), buffer), whole, "{buffer}");
    }
}

#[test]
fn a_stream_without_line_ends_is_one_line_that_is_too_long() {
    struct Endless(usize);
    impl std::io::Read for Endless {
        fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
            let n = into.len().min(self.0);
            into[..n].fill(b'X');
            self.0 -= n;
            Ok(n)
        }
    }
    let mut heard = Heard::default();
    let reader = std::io::BufReader::new(Endless(50_000_000));
    ngc::stream(reader, &Dialect::standard(), &mut heard).unwrap();
    assert!(heard.0[0].contains("the line has 50000000 characters"));
}

#[test]
fn what_the_reader_of_a_stream_refuses_comes_back() {
    struct Broken;
    impl std::io::Read for Broken {
        fn read(&mut self, _: &mut [u8]) -> std::io::Result<usize> {
            Err(std::io::Error::other("gone"))
        }
    }
    let reader = std::io::BufReader::new(Broken);
    assert!(ngc::stream(reader, &Dialect::standard(), &mut Heard::default()).is_err());
}

#[test]
fn faults_are_counted_up_to_a_limit() {
    assert_eq!(run(&"G5\n".repeat(5000)).1.len(), 200);
}

/// Every number of a program is the one that Rust's own reading gives, to the last bit.
fn read_as_rust_does(text: &str) {
    let (steps, faults) = run(&around(&format!("G1 X{text}")));
    let meant: f64 = text.parse().unwrap();
    if meant.abs() > 1e7 {
        assert_eq!(faults, ["number-absurd"], "{text}");
    } else {
        let Motion::Line { to, .. } = steps[1].motion else { panic!("{text}: {steps:?}") };
        assert_eq!(to[0].to_bits(), meant.to_bits(), "{text}");
    }
}

#[test]
fn numbers_of_any_length_are_read_as_rust_does() {
    for text in [
        "0",
        "-0",
        "+0.",
        "123.456",
        "0.1",
        ".3",
        "-.7",
        "999999999999999",
        "99999999999999.9",
        "0.3000000000000000444",
        "9007199254740993",
        "0.000000000000000000000001",
        "0.0000000000000000000000123456789012345",
        "00000000000000000001.5",
        "123456.789012345678901234567890",
        "8.5",
        "2.2250738585072011",
    ] {
        read_as_rust_does(text);
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(2000))]

    #[test]
    fn numbers_are_read_as_rust_does(text in "[+-]?([0-9]{1,9}[.][0-9]{0,30}|[0-9]{1,9}|[.][0-9]{1,25})") {
        read_as_rust_does(&text);
    }
}

proptest::proptest! {
    #[test]
    fn no_text_makes_it_panic(text in "[GMXYZIJRFSPTN%/;()0-9. \n+-]{0,200}") {
        let _ = run(&text);
    }
}
