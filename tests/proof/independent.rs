//! What judges the files may not share code with what writes them.

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

#[test]
fn the_proof_imports_neither_writers_nor_the_offset_kernel() {
    let mut files = Vec::new();
    sources(Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/src/stages/proof")), &mut files);
    assert!(files.len() > 1);
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        for forbidden in
            ["stages::write", "super::write", "geometry::offset", "cavalier_contours", "clipper2"]
        {
            assert!(!text.contains(forbidden), "{} in {}", forbidden, file.display());
        }
    }
}
