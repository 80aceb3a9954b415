//! What is wrong with a job file is told with its line and column, and all of it at once.

use super::{only, problems};

#[test]
fn an_unknown_key_names_the_nearest_known_one() {
    let (problem, line, column) = only("drawings: a.dxf\nmachin: workshop-router\n");
    assert_eq!((problem.code, line, column), ("unknown-key", 2, 1));
    assert_eq!(problem.hint, "did you mean 'machine'?");
}

#[test]
fn an_unknown_key_deep_down_has_its_own_place() {
    let (problem, line, column) = only("drawings: a.dxf\nparts:\n  - name: A\n    thicknes: 2\n");
    assert_eq!((problem.code, line, column), ("unknown-key", 4, 5));
    assert_eq!(problem.hint, "did you mean 'thickness'?");
}

#[test]
fn a_key_like_no_other_gets_the_whole_list() {
    let (problem, ..) = only("drawings: a.dxf\nqqq: 1\n");
    assert!(problem.hint.starts_with("known are: title, units, drawings"), "{}", problem.hint);
}

#[test]
fn a_negative_thickness_is_told_with_its_place() {
    let (problem, line, column) = only("drawings: a.dxf\nparts:\n- {name: A, thickness: -2}\n");
    assert_eq!((problem.code, line, column), ("out-of-range", 3, 24));
    assert!(problem.message.contains("-2 mm"), "{}", problem.message);
}

#[test]
fn an_unknown_unit_is_told_with_its_place() {
    let (problem, line, column) = only("units: inchs\ndrawings: a.dxf\n");
    assert_eq!((problem.code, line, column), ("unknown-unit", 1, 8));
    assert_eq!(problem.hint, "did you mean 'inch'?");
}

#[test]
fn a_bad_sheet_is_told_with_its_place() {
    let text = "drawings: a.dxf\nstock:\n- {wood: birch-ply, thickness: 3, sheet: 1000by100}\n";
    let (problem, line, column) = only(text);
    assert_eq!((problem.code, line, column), ("bad-sheet-size", 3, 42));
}

#[test]
fn an_unknown_wood_in_stock_names_the_nearest() {
    let text = "drawings: a.dxf\nstock:\n- {wood: birch-plie, thickness: 3, sheet: 300x300}\n";
    let (problem, line, column) = only(text);
    assert_eq!((problem.code, line, column), ("unknown-wood", 3, 10));
    assert_eq!(problem.hint, "did you mean 'birch-ply'?");
}

#[test]
fn a_rule_for_a_drawing_that_is_not_there_is_told() {
    let (problem, line, column) = only("drawings: [wing.dxf]\nparts:\n- {name: A, drawing: wings.dxf}\n");
    assert_eq!((problem.code, line, column), ("unknown-drawing", 3, 22));
}

#[test]
fn a_rule_without_a_name_is_told() {
    let (problem, line, column) = only("drawings: a.dxf\nparts:\n  - wood: birch-ply\n");
    assert_eq!((problem.code, line, column), ("missing-key", 3, 5));
}

#[test]
fn pairs_beside_copies_are_told() {
    let (problem, line, column) = only("drawings: a.dxf\nparts:\n- {name: A, copies: 2, pairs: 1}\n");
    assert_eq!((problem.code, line, column), ("conflicting-keys", 3, 24));
}

#[test]
fn a_drawing_named_twice_is_told() {
    let (problem, line, column) = only("drawings: [a.dxf, b.dxf, a.dxf]\n");
    assert_eq!((problem.code, line, column), ("duplicate-drawing", 1, 26));
}

#[test]
fn a_wrong_type_says_what_was_expected_and_what_is_there() {
    let cases = [
        ("drawings: a.dxf\nparts: all\n", "'parts' should be a list, but here is the text 'all'"),
        (
            "drawings: a.dxf\nparts: [A]\n",
            "'a part' should be a map of keys and values, but here is the text 'A'",
        ),
        (
            "drawings: a.dxf\nparts: [{name: A, mark: 1}]\n",
            "'mark' should be true or false, but here is the number 1",
        ),
        (
            "drawings: a.dxf\nparts: [{name: A, copies: 1.5}]\n",
            "'copies' should be a whole number, but here is the number 1.5",
        ),
        (
            "drawings: a.dxf\nparts: [{name: A, grain: up}]\n",
            "'grain' should be 'along', 'free' or a number of degrees, but here is the text 'up'",
        ),
        ("drawings: a.dxf\ncutting: {kerf: thin}\n", "'kerf' should be a length, but here is 'thin'"),
        (
            "drawings: a.dxf\ncutting: {power: high}\n",
            "'power' should be a number, but here is the text 'high'",
        ),
        ("drawings: a.dxf\nmachine: [a]\n", "'machine' should be a text, but here is a list"),
        ("- a\n- b\n", "'a job' should be a map of keys and values, but here is a list"),
        ("just words\n", "'a job' should be a map of keys and values, but here is the text 'just words'"),
    ];
    for (text, message) in cases {
        let (problem, ..) = only(text);
        assert_eq!((problem.code, problem.message.as_str()), ("wrong-type", message));
    }
}

#[test]
fn every_problem_is_told_not_only_the_first() {
    let text = "\
titel: x
units: furlong
drawings: []
parts:
  - {name: A, thickness: 0, copies: -1, grain: [1]}
  - {nam: B}
stock:
  - {wood: balsa-medium, sheet: big}
cutting: {power: 2, seed: 0.5, tolerance: -1}
";
    let expected = [
        ("unknown-key", 1),
        ("unknown-unit", 2),
        ("out-of-range", 3),
        ("out-of-range", 5),
        ("out-of-range", 5),
        ("wrong-type", 5),
        ("unknown-key", 6),
        ("missing-key", 6),
        ("missing-key", 8),
        ("bad-sheet-size", 8),
        ("out-of-range", 9),
        ("out-of-range", 9),
        ("wrong-type", 9),
    ];
    let sorted = |mut list: Vec<(&'static str, usize)>| {
        list.sort_unstable();
        list
    };
    let found: Vec<(&'static str, usize)> =
        problems(text).iter().map(|p| (p.code, p.line.unwrap())).collect();
    assert_eq!(sorted(found), sorted(expected.to_vec()));
}

#[test]
fn numbers_beyond_all_sense_are_told() {
    for number in [".nan", ".inf", "-.inf", "1e300", "-1e300", "99999999999999999999999"] {
        for key in ["thickness", "copies", "grain"] {
            let (problem, line, column) =
                only(&format!("drawings: a.dxf\nparts: [{{name: A, {key}: {number}}}]\n"));
            assert_eq!((line, column), (2, 21 + key.len()), "{number} {key}: {problem:?}");
        }
    }
}
