//! The files of the sample kit as they were accepted. `GRAINWISE_ACCEPT=1` accepts what is written now.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use grainwise::problem::Problems;
use grainwise::stages::write;

use super::sample;

fn folder() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/write/golden"))
}

/// Every golden file and what is written for it now.
fn files() -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let (sheets, parts) = sample::kit(sample::LASER);
    let mut problems = Problems::new();
    for file in write::all(&sheets, &parts, &sample::job(), &sample::laser(), None, &mut problems) {
        files.insert(file.name, file.bytes);
    }
    assert!(problems.is_empty());
    for post in sample::posts() {
        let first = sample::written(&post).remove(0);
        files.insert(format!("{}-{}", post.name, first.name), first.bytes);
    }
    files
}

#[test]
fn every_file_is_as_it_was_accepted() {
    let accept = std::env::var_os("GRAINWISE_ACCEPT").is_some_and(|v| v == "1");
    let mut changed = Vec::new();
    for (name, bytes) in files() {
        let path = folder().join(&name);
        if accept {
            fs::write(&path, &bytes).unwrap();
        } else if fs::read(&path).ok().as_deref() != Some(&bytes) {
            changed.push(name);
        }
    }
    assert!(changed.is_empty(), "not as accepted (GRAINWISE_ACCEPT=1 accepts them): {changed:?}");
}

#[test]
fn no_golden_file_is_left_over() {
    let known = files();
    let lie = fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let left: Vec<String> = lie.filter(|name| !known.contains_key(name)).collect();
    assert!(left.is_empty(), "nothing writes these any more: {left:?}");
}

#[test]
fn two_runs_give_the_same_bytes() {
    assert_eq!(files(), files());
}
