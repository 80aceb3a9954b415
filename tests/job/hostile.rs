//! Texts that are no jobs, and texts that mean harm: one clear problem each, soon, and no panic.

use std::time::{Duration, Instant};

use proptest::prelude::*;

use super::problems;

fn code_of(text: &str) -> &'static str {
    let begun = Instant::now();
    let found = problems(text);
    assert!(begun.elapsed() < Duration::from_secs(5), "took {:?}", begun.elapsed());
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].message.len() < 400 && !found[0].hint.is_empty(), "{:?}", found[0]);
    found[0].code
}

#[test]
fn an_empty_file_is_told() {
    for text in ["", "\n\n", "# nothing but a comment\n", "---\n", "~"] {
        assert_eq!(code_of(text), "empty-job", "{text:?}");
    }
}

#[test]
fn tabs_in_the_indentation_are_told_as_such() {
    let found = problems("drawings:\n\t- a.dxf\n");
    assert_eq!((found[0].code, found[0].line), ("not-yaml", Some(2)));
    assert!(found[0].hint.contains("spaces"), "{}", found[0].hint);
}

#[test]
fn a_key_given_twice_is_told_with_its_line() {
    let found = problems("drawings: a.dxf\ntitle: one\ntitle: two\n");
    assert_eq!((found[0].code, found[0].line), ("duplicate-key", Some(3)), "{found:?}");
    let found = problems("drawings: a.dxf\nparts:\n- name: A\n  wood: a\n  wood: b\n");
    assert_eq!((found[0].code, found[0].line), ("duplicate-key", Some(5)), "{found:?}");
}

#[test]
fn an_open_bracket_or_quote_is_told() {
    for text in [
        "drawings: [a.dxf",
        "drawings: {file: a",
        "title: \"half",
        "a: b: c",
        "drawings: *none",
        "%",
        "@x",
        "`",
    ] {
        assert_eq!(code_of(text), "not-yaml", "{text}");
    }
}

#[test]
fn two_documents_are_refused() {
    assert_eq!(code_of("drawings: a.dxf\n---\ndrawings: b.dxf\n"), "not-yaml");
}

#[test]
fn aliases_that_multiply_are_refused() {
    let mut text = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for i in 1..12 {
        let list = vec![format!("*a{}", i - 1); 10].join(", ");
        text += &format!("a{i}: &a{i} [{list}]\n");
    }
    assert_eq!(code_of(&text), "not-yaml");
}

#[test]
fn an_alias_within_its_own_value_is_refused() {
    let found = problems("drawings: &d [*d]\n");
    assert_eq!(found[0].code, "not-yaml", "{found:?}");
}

#[test]
fn brackets_nested_ten_thousand_deep_are_refused() {
    assert_eq!(code_of(&format!("drawings: {}{}", "[".repeat(10_000), "]".repeat(10_000))), "not-yaml");
    assert_eq!(code_of(&format!("drawings: {}", "{a: ".repeat(10_000))), "not-yaml");
    assert_eq!(code_of(&"[".repeat(1_000_000)), "not-yaml");
}

#[test]
fn lists_nested_ten_thousand_deep_without_brackets_are_refused() {
    assert_eq!(code_of(&format!("drawings:\n  {}x\n", "- ".repeat(10_000))), "not-yaml");
    let deep: String = (0..2000).map(|i| format!("{}a:\n", " ".repeat(i))).collect();
    assert_eq!(code_of(&deep), "not-yaml");
}

#[test]
fn a_file_of_many_megabytes_is_refused() {
    let text = format!("title: {}\n", "x".repeat(5 << 20));
    assert_eq!(code_of(&text), "not-yaml");
}

#[test]
fn a_long_list_is_read_in_time() {
    let text = format!("drawings: a.dxf\nparts:\n{}", "- {name: A, copies: 1}\n".repeat(20_000));
    let begun = Instant::now();
    assert_eq!(problems(&text).len(), 0);
    assert!(begun.elapsed() < Duration::from_secs(5), "took {:?}", begun.elapsed());
}

#[test]
fn what_comes_back_as_bytes_of_another_kind_is_no_panic() {
    for text in
        ["\0", "\u{feff}drawings: a.dxf", "drawings: \u{1}", "PK\u{3}\u{4}", "0\nSECTION\n2\nHEADER\n"]
    {
        let _ = problems(text);
    }
}

const WORDS: [&str; 24] = [
    "drawings",
    "parts",
    "name",
    "thickness",
    "stock",
    "sheet",
    "tabs",
    "cutting",
    ": ",
    "\n",
    "\n  ",
    "- ",
    "[",
    "]",
    "{",
    "}",
    ", ",
    "&a ",
    "*a",
    "!!str ",
    "1e400",
    "x",
    "\"",
    "|\n",
];

proptest! {
    #[test]
    fn no_heap_of_words_makes_it_panic(picks in prop::collection::vec(0..WORDS.len(), 0..60)) {
        let text: String = picks.into_iter().map(|i| WORDS[i]).collect();
        let _ = problems(&text);
    }

    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,200}") {
        let _ = problems(&text);
    }
}
