//! What judges the files may not share code with what writes them, nor with what made the offsets.

use std::fs;
use std::path::{Path, PathBuf};

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else {
            found.push(path);
        }
    }
}

/// The words of a source text that is no comment: names, keywords, numbers.
fn words(text: &str) -> Vec<&str> {
    let code = text.lines().map(|line| line.split("//").next().unwrap_or_default());
    code.flat_map(|line| line.split(|c: char| !(c.is_alphanumeric() || c == '_')))
        .filter(|w| !w.is_empty())
        .collect()
}

/// Every name that a `use` brings in, and every name in a path.
fn names_met(text: &str) -> Vec<&str> {
    let mut met = Vec::new();
    for line in text.split(';').flat_map(|statement| statement.split('{')) {
        if line.contains("use ") || line.contains("::") {
            met.extend(words(line));
        }
    }
    met.extend(text.split("use ").skip(1).flat_map(|rest| words(rest.split(';').next().unwrap_or_default())));
    met
}

const FORBIDDEN: [&str; 5] = ["write", "offset", "cavalier_contours", "clipper2", "clipper2_rust"];

#[test]
fn the_proof_imports_neither_writers_nor_the_offset_kernel() {
    let mut files = Vec::new();
    sources(Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/src/stages/proof")), &mut files);
    assert!(files.len() > 20);
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        for name in FORBIDDEN {
            assert!(!names_met(&text).contains(&name), "{name} in {}", file.display());
        }
    }
}

#[test]
fn an_import_in_any_of_its_forms_is_seen() {
    for text in [
        "use crate::stages::write;",
        "use crate::{geometry::{Point, offset::offset}, stages::cut};",
        "fn f() { crate::stages::write::all(); }",
        "use super::super::{\n    write as w,\n};",
        "use cavalier_contours::polyline::Polyline;",
    ] {
        assert!(names_met(text).iter().any(|name| FORBIDDEN.contains(name)), "{text}");
    }
    assert!(
        !names_met("// it shares nothing with write or offset\nuse std::fmt::Write as _;")
            .iter()
            .any(|n| FORBIDDEN.contains(n))
    );
}
