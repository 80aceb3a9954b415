//! What a strict file may not be, and what is only told of another one.

use std::fs;

use super::{codes, dxf, errors, freely, strictly, svg};
use crate::write::sample;

fn golden(name: &str) -> Vec<u8> {
    fs::read(format!("{}/tests/write/golden/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

#[test]
fn a_file_cut_off_anywhere_is_told() {
    for name in ["sheet-1-r12.dxf", "sheet-1-r2000.dxf", "sheet-1.svg"] {
        let whole = golden(name);
        // What is left of the line end after the last word matters to nobody.
        let meant = whole.trim_ascii_end().len();
        for length in (0..meant).step_by(10).chain(meant - 10..meant) {
            let program = strictly(&whole[..length], &sample::laser());
            assert!(!errors(&program).is_empty(), "{name}: {length} bytes of {}", whole.len());
        }
    }
}

#[test]
fn what_had_to_be_mended_is_wrong_in_a_strict_file_and_told_of_another() {
    let line = "0\nLINE\n8\ncut-outside\n10\n1\n20\n2\n11\n30\n21\n2\n";
    let cases = [
        // No unit.
        (dxf(line).replace("$INSUNITS", "$LUNITS"), "units-missing"),
        (svg("<g id=\"mark\"><path d=\"M 1 2 H 3\"/></g>").replace("mm\"", "\""), "size-assumed"),
        // A number that is none.
        (dxf(&format!("{line}{}", line.replace("30", "3O"))), "broken-entity"),
        (svg("<g id=\"mark\"><path d=\"M 1 2 H 3 H x\"/></g>"), "broken-entity"),
        // A line too many.
        (dxf(&line.replace("11\n", "11\n\n")), "blank-line"),
        // No EOF.
        (dxf(line).replace("0\nEOF\n", ""), "no-end"),
        // What nobody looks at.
        (dxf(&format!("{line}0\nTEXT\n8\nmark\n10\n1\n20\n5\n40\n2\n1\nR1\n")), "not-judged"),
        (dxf(&format!("{line}0\nHATCH\n8\nmark\n")), "not-judged"),
        (svg("<g id=\"mark\"><path d=\"M 1 2 H 3\"/><image width=\"3\" height=\"3\"/></g>"), "not-judged"),
        // Nothing to cut.
        (dxf(""), "nothing-to-cut"),
        (svg(""), "nothing-to-cut"),
    ];
    for (text, code) in cases {
        let strict = strictly(&text, &sample::laser());
        assert!(errors(&strict).contains(&code), "{code}: {:?}", strict.problems);
        let free = freely(&text);
        assert!(errors(&free).is_empty() && codes(&free).contains(&code), "{code}: {:?}", free.problems);
        assert!(free.problems.iter().all(|p| p.file.as_deref() == Some("test")));
    }
}

#[test]
fn an_empty_file_and_what_is_no_drawing_are_wrong_in_any_case() {
    for bytes in [&b""[..], b" \n\n", b"%PDF-1.7\n", b"\x89PNG\r\n", b"<html></html>", b"AC1032\0"] {
        for program in [strictly(bytes, &sample::laser()), freely(bytes)] {
            assert!(program.traces.is_empty() && !errors(&program).is_empty(), "{bytes:?}");
        }
    }
}

#[test]
fn what_the_forgiving_reader_passes_over_is_wrong_in_a_strict_file() {
    let line = "0\nLINE\n8\ncut-outside\n10\n1\n20\n2\n11\n30\n21\n2\n";
    assert_eq!(codes(&strictly(dxf(line), &sample::laser())), [""; 0]);
    // A locale's comma; a number as some writers of old put it.
    for number in ["30,5", "3.0D1"] {
        let text = dxf(&line.replace("30", number));
        assert_eq!(errors(&strictly(&text, &sample::laser())), ["not-to-the-letter"], "{text}");
        assert_eq!(errors(&freely(&text)), [""; 0]);
    }
}

#[test]
fn a_corner_lost_between_two_others_is_told() {
    let corners = "10\n1\n20\n2\n10\n30\n20\n2\n10\n30\n20\n9\n";
    let text = dxf(&format!("0\nLWPOLYLINE\n8\ncut-outside\n90\n3\n70\n0\n{corners}"));
    assert_eq!(codes(&strictly(&text, &sample::laser())), [""; 0]);
    let lost = text.replace("10\n30\n20\n2\n", "");
    assert!(!errors(&strictly(&lost, &sample::laser())).is_empty());
}

#[test]
fn a_byte_of_nought_in_a_name_is_wrong() {
    for name in ["sheet-1-r12.dxf", "sheet-1-r2000.dxf", "sheet-1.svg"] {
        let mut bytes = golden(name);
        let at = bytes.windows(11).position(|word| word == b"cut-outside").unwrap() + 4;
        bytes[at] = 0;
        let program = strictly(&bytes, &sample::laser());
        assert!(!errors(&program).is_empty(), "{name}");
    }
}
