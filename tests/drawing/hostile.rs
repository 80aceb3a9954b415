//! Files that want to do harm, and files that are nothing that is read. No input may make a reader panic.

use std::fmt::Write as _;

use grainwise::problem::Severity;

use super::reading::{Read, dxf, lines, read};
use super::repair::{WHOLE, binary};
use super::svg::{SAMPLE, svg};

/// The file is refused with this code.
#[track_caller]
fn refused(bytes: impl AsRef<[u8]>, code: &str) -> Read {
    let read = read(bytes);
    assert!(read.found.is_none(), "{read:?}");
    assert_eq!(read.problem(code).severity, Severity::Error);
    read
}

#[test]
fn an_empty_file() {
    refused("", "empty-drawing");
    refused("  \r\n\t\n", "empty-drawing");
}

#[test]
fn files_of_other_kinds_are_named() {
    for (bytes, name) in [
        (&b"%PDF-1.7 ..."[..], "PDF"),
        (b"AC1032\0\0", "DWG"),
        (b"\x89PNG\r\n\x1a\n", "picture"),
        (b"\x1f\x8b\x08\0", "compressed"),
        (b"<!DOCTYPE html><html></html>", "web page"),
        (b"just words", "neither"),
        (b"{\"a\": 1}", "neither"),
    ] {
        assert!(refused(bytes, "unknown-format").problem("unknown-format").message.contains(name), "{name}");
    }
}

#[test]
fn a_number_alone_is_no_drawing() {
    refused("12\nabc\n", "unreadable");
}

#[test]
fn xml_of_another_kind_is_refused() {
    refused("<?xml version=\"1.0\"?><note>hi</note>", "unknown-format");
}

#[test]
fn xml_that_breaks_off_is_refused_with_its_line() {
    let read = refused("<svg xmlns=\"http://www.w3.org/2000/svg\">\n<path d=\"M0 0", "unreadable");
    assert!(read.problem("unreadable").line.is_some());
}

#[test]
fn a_drawing_with_nothing_to_cut_is_told() {
    assert!(read(dxf("0 HATCH")).problem("nothing-to-cut").message.contains("1 HATCH"));
}

#[test]
fn entities_that_laugh_a_billion_times_are_refused_in_time() {
    let mut text = "<!DOCTYPE svg [<!ENTITY a0 \"ha\">".to_owned();
    for i in 1..12 {
        let inner = format!("&a{};", i - 1).repeat(10);
        let _ = write!(text, "<!ENTITY a{i} \"{inner}\">");
    }
    text.push_str("]><svg xmlns=\"http://www.w3.org/2000/svg\"><text>&a11;</text></svg>");
    assert!(read(text).found.is_none());
}

#[test]
fn an_entity_repeated_too_often_is_refused_in_time() {
    let text = format!(
        "<!DOCTYPE svg [<!ENTITY a \"{}\">]><svg xmlns=\"http://www.w3.org/2000/svg\"><text>{}</text></svg>",
        "x".repeat(100_000),
        "&a;".repeat(100_000)
    );
    refused(text, "too-large");
}

#[test]
fn external_entities_are_not_opened() {
    let text = "<!DOCTYPE svg [<!ENTITY e SYSTEM \"file:///etc/passwd\">]>\
        <svg xmlns=\"http://www.w3.org/2000/svg\"><text x=\"1\" y=\"1\">&e;</text></svg>";
    let said = format!("{:?}", read(text));
    assert!(!said.contains("root:"), "{said}");
}

#[test]
fn uses_that_double_at_every_level_are_refused_in_time() {
    let mut text = "<defs><path id=\"u0\" d=\"M0 0H1\" stroke=\"#000\"/>".to_owned();
    for i in 1..40 {
        let _ = write!(text, "<g id=\"u{i}\"><use href=\"#u{0}\"/><use href=\"#u{0}\"/></g>", i - 1);
    }
    text.push_str("</defs><use href=\"#u39\"/>");
    refused(svg(&text), "unreadable");
}

#[test]
fn uses_that_go_in_a_circle_are_refused() {
    let text = "<g id=\"a\"><use href=\"#b\"/></g><g id=\"b\"><use href=\"#a\"/></g><path d=\"M0 0H9\" stroke=\"#000\"/>";
    assert!(refused(svg(text), "unreadable").problem("unreadable").hint.contains("each other"));
}

#[test]
fn groups_nested_too_deep_are_refused_without_a_crash() {
    for depth in [900, 5_000, 100_000] {
        let text =
            format!("{}<path d=\"M0 0H9\" stroke=\"#000\"/>{}", "<g>".repeat(depth), "</g>".repeat(depth));
        let read = read(svg(&text));
        assert_eq!(read.found.is_some(), depth < 1000, "{depth}");
    }
}

#[test]
fn deep_groups_with_transforms_and_opacity_do_not_crash() {
    let open = "<g transform=\"translate(1)\" opacity=\"0.99\">";
    let text = format!("{}<path d=\"M0 0H9\" stroke=\"#000\"/>{}", open.repeat(1000), "</g>".repeat(1000));
    assert_eq!(read(svg(&text)).used("path"), 1);
}

#[test]
fn a_polyline_of_200_000_vertices_is_read() {
    let mut text = "0 LWPOLYLINE|90 200000|70 1".to_owned();
    for i in 0..200_000 {
        let _ = write!(text, "|10 {}|20 {}", f64::from(i) * 0.001, i % 2);
    }
    assert_eq!(read(dxf(&text)).only().len(), 200_000);
}

#[test]
fn a_path_of_200_000_commands_is_read() {
    let steps = "l0.001 0.001 0.001 -0.001".repeat(100_000);
    assert_eq!(read(svg(&format!("<path stroke=\"#000\" d=\"M0 0{steps}\"/>"))).only().len(), 200_000);
}

/// A small generator of numbers (xorshift, G. Marsaglia 2003): the same ones on every run.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % limit as u64).unwrap()
    }
}

/// Reads a file changed at random in many ways. Nothing may panic, and no number that is none may come out.
fn mangle(good: &[u8], rounds: usize, seed: u64) {
    let mut numbers = Numbers(seed);
    let pieces: [&[u8]; 14] = [
        b"\n",
        b"0\n",
        b"-",
        b"1e999",
        b"nan",
        b"\r",
        b"\0",
        b"99999999999",
        b"<",
        b"\xff\xfe",
        b"0\nINSERT\n2\nb\n",
        b"&",
        b"\"",
        b"e",
    ];
    for _ in 0..rounds {
        let mut bytes = good.to_vec();
        for _ in 0..=numbers.below(4) {
            let at = numbers.below(bytes.len() + 1).min(bytes.len());
            match numbers.below(6) {
                0 => bytes.truncate(at),
                1 if at < bytes.len() => bytes[at] = u8::try_from(numbers.below(256)).unwrap(),
                2 if at < bytes.len() => {
                    bytes.remove(at);
                }
                3 => {
                    let piece = pieces[numbers.below(pieces.len())];
                    bytes.splice(at..at, piece.iter().copied());
                }
                4 => {
                    let end = (at + numbers.below(40)).min(bytes.len());
                    bytes.drain(at..end);
                }
                _ => {
                    let end = (at + numbers.below(60)).min(bytes.len());
                    let copy = bytes[at..end].to_vec();
                    bytes.splice(at..at, copy);
                }
            }
        }
        let read = read(&bytes);
        let strokes = read.found.iter().flat_map(|found| &found.strokes);
        assert!(
            strokes.flat_map(|stroke| &stroke.item.curves).all(grainwise::geometry::curve::Curve::is_finite)
        );
    }
}

#[test]
fn mangled_ascii_files_do_not_panic() {
    mangle(lines(WHOLE).as_bytes(), 3000, 1);
}

#[test]
fn mangled_binary_files_do_not_panic() {
    mangle(&binary(WHOLE, true), 3000, 2);
    mangle(&binary(WHOLE, false), 1000, 3);
}

#[test]
fn mangled_svg_files_do_not_panic() {
    mangle(SAMPLE.as_bytes(), 2000, 4);
}

#[test]
fn a_million_blank_lines_are_passed_in_time() {
    let text = dxf("0 LINE|10 0|20 0|11 9|21 0");
    let blanks = "\n".repeat(1_000_000);
    for place in ["0\nENDSEC\n0\nEOF", "0\nEOF", "0\nLINE"] {
        let read = read(text.replacen(place, &format!("{blanks}{place}"), 1));
        assert_eq!(read.used("LINE"), 1, "{place}");
    }
    assert_eq!(read(format!("{text}{blanks}")).used("LINE"), 1);
}
