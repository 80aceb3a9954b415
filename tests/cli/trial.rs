//! Posts tried on the standard part: the shipped ones, and three for controllers that want something else.

use std::fs;

use super::{folder, run};
use grainwise::shop::Post;

/// Line numbers on every line, percent signs around the program, and each number with its point.
const NUMBERED: &str = "\
extends: router-mm
about: Numbered lines between percent signs, CRLF, capitals.
extension: cnc
line: {end: crlf, percent: true, numbers: {start: 5, step: 5}}
words: {rapid: G00, line: G01, clockwise: G02, counter_clockwise: G03}
numbers: {point: true}
comments: {upper_case: true}
";

/// Arcs by their radius, inches with four fixed decimals and no zero before the point.
const RADIUS: &str = "\
extends: router-inch
about: Inches by radius, packed.
extension: ngc
line: {spaces: false}
words: {repeat: true}
numbers: {decimals: 4, trailing_zeros: true, leading_zero: false}
arcs: {form: radius, most_deg: 90}
";

/// No comments, no arcs, and lines of at most 80 characters.
const BARE: &str = "\
extends: laser-scaled
about: Lines only, nothing else, 80 characters.
extension: txt
line: {most: 80}
comments: {form: none}
arcs: {form: lines, tolerance_mm: 0.003}
";

/// Tries a post that is written so; gives what it wrote.
fn tried(text: &str) -> String {
    let folder = folder();
    fs::write(folder.path().join("mine.yaml"), text).unwrap();
    let done = run(folder.path(), &["shop", "--try-post", "mine.yaml", "-o", "out.txt"], 0);
    let told = String::from_utf8_lossy(&done.stdout).into_owned();
    assert!(told.contains("2 pieces, all within 0.0"), "{told}");
    assert!(told.contains("as planned"), "{told}");
    fs::read_to_string(folder.path().join("out.txt")).unwrap()
}

#[test]
fn every_shipped_post_is_proved_on_the_standard_part() {
    for post in Post::shipped() {
        let folder = folder();
        let done = run(folder.path(), &["shop", "--try-post", &post], 0);
        assert!(String::from_utf8_lossy(&done.stdout).contains("as planned"), "{post}");
    }
}

#[test]
fn line_numbers_and_percent_signs_take_only_yaml() {
    let program = tried(NUMBERED);
    let lines: Vec<&str> = program.split_terminator("\r\n").collect();
    assert_eq!((lines[0], lines[lines.len() - 1]), ("%", "%"));
    for (i, line) in lines[1..lines.len() - 1].iter().enumerate() {
        assert!(line.starts_with(&format!("N{} ", 5 * (i + 1))), "{line}");
    }
    assert!(program.contains(" G02 ") && program.contains(" G03 ") && program.contains("(RIB, CUT OUTSIDE)"));
    // Every coordinate has its point: 40. and not 40.
    let coordinates = |word: &&str| word.starts_with(['X', 'Y', 'Z', 'I', 'J']);
    for word in lines.iter().filter(|line| !line.contains('(')).flat_map(|l| l.split(' ')).filter(coordinates)
    {
        assert!(word.contains('.'), "{word}");
    }
}

#[test]
fn radius_arcs_in_inches_with_fixed_decimals_take_only_yaml() {
    let program = tried(RADIUS);
    assert!(program.contains("G20") && program.contains('R'));
    let words = program.lines().filter(|line| !line.contains('(')).flat_map(words_of);
    let mut arcs = 0;
    for (letter, number) in words {
        assert!(!"IJ".contains(letter), "{letter}{number}");
        if "XYZR".contains(letter) {
            let (whole, fraction) = number.split_once('.').unwrap();
            assert_eq!(fraction.len(), 4, "{letter}{number}");
            assert!(!matches!(whole, "0" | "-0"), "{letter}{number}");
        }
        arcs += usize::from(letter == 'R');
    }
    assert!(arcs > 10);
}

/// The letters of a packed line with their numbers.
fn words_of(line: &str) -> Vec<(char, String)> {
    let mut words: Vec<(char, String)> = Vec::new();
    for sign in line.chars().filter(|c| !c.is_whitespace() && *c != '%') {
        match words.last_mut() {
            Some((_, number)) if !sign.is_ascii_alphabetic() => number.push(sign),
            _ => words.push((sign, String::new())),
        }
    }
    words
}

#[test]
fn no_comments_no_arcs_and_short_lines_take_only_yaml() {
    let program = tried(BARE);
    assert!(program.lines().all(|line| line.len() <= 80));
    assert!(!program.contains([';', '(']));
    let motions = |word: &str| program.lines().filter(|l| l.split(' ').any(|w| w == word)).count();
    assert_eq!((motions("G2"), motions("G3")), (0, 0));
    assert!(program.lines().count() > 100);
}

#[test]
fn what_a_post_gets_wrong_is_told_and_nothing_is_written() {
    let cases = [
        ("extends: router-mm\nstart: [G20 G17 G90 G94]\n", "post-start"),
        ("extends: router-mm\nline: {mots: 80}\n", "post-key-unknown"),
    ];
    for (text, code) in cases {
        let folder = folder();
        fs::write(folder.path().join("mine.yaml"), text).unwrap();
        let done = run(folder.path(), &["shop", "--try-post", "mine.yaml", "-o", "out.txt"], 1);
        assert!(String::from_utf8_lossy(&done.stderr).contains(code), "{text}");
        assert!(!folder.path().join("out.txt").exists());
    }
}

#[test]
fn a_post_is_tried_on_a_machine_of_its_kind() {
    let folder = folder();
    run(folder.path(), &["shop", "--try-post", "laser-steady", "--machine", "workshop-router"], 1);
    run(folder.path(), &["shop", "--try-post", "router-lines", "--machine", "workshop-router"], 0);
}

/// Every schema is JSON that names its dialect, and holds the keys of the files that ship.
#[test]
fn schemas_are_written_for_editors() {
    let folder = folder();
    for (kind, key) in [("job", "drawings"), ("post", "arcs"), ("table", "laser"), ("machine", "reach_mm")] {
        let done = run(folder.path(), &["shop", "--schema", kind], 0);
        let schema: serde_json::Value = serde_json::from_slice(&done.stdout).unwrap();
        assert!(schema["$schema"].as_str().unwrap().contains("2020-12"));
        assert!(schema["properties"][key].is_object(), "{kind}");
        assert_eq!(schema["additionalProperties"], false);
    }
}
