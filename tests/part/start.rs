//! The text of a job that is begun from drawings.

use std::path::Path;

use grainwise::problem::{Problem, Problems};
use grainwise::stages::drawing::{self, Drawing};
use grainwise::stages::job::{self, DrawingSource, Job};
use grainwise::stages::part::{Part, gather, start};
use grainwise::units::Unit;

fn gathered(job: &Job) -> (Vec<Drawing>, Vec<Part>, Vec<Problem>) {
    let mut problems = Problems::new();
    let drawings = drawing::read(job, &mut problems);
    let parts = gather(&drawings, job, &grainwise::shop::woods(), &mut problems);
    (drawings, parts, problems.into_iter().collect())
}

/// What flags say of two of the kit's drawings.
fn asked() -> Job {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/fenwren");
    let source =
        |file: &str, units| DrawingSource { file: file.to_owned(), units, px_per_inch: 96.0, stretch: None };
    let drawings = vec![source("fuselage.dxf", Some(Unit::Inch)), source("tail.svg", None)];
    let mut job = Job { folder, drawings, join_mm: 0.08, ..Job::default() };
    job.layers.cut = vec!["PARTS".to_owned(), "parts".to_owned()];
    job.cutting.tabs = Some(3);
    job
}

fn again(text: &str, asked: &Job) -> Job {
    let mut problems = Problems::new();
    let read = job::parse(text, "new.yaml", &asked.folder, &mut problems);
    assert_eq!(problems, Problems::new(), "{text}");
    read.unwrap()
}

#[test]
fn the_text_is_a_job_without_a_problem_that_says_the_same() {
    let asked = asked();
    let (drawings, parts, _) = gathered(&asked);
    let read = again(&start::text(&asked, &drawings, &parts), &asked);
    assert_eq!(read.drawings, asked.drawings);
    assert_eq!(read.layers, asked.layers);
    assert_eq!(read.machine, asked.machine);
    assert_eq!(read.cutting, asked.cutting);
    assert_eq!((read.join_mm, read.tolerance_mm), (asked.join_mm, asked.tolerance_mm));
}

#[test]
fn the_text_finds_every_part_again_and_gives_it_wood_that_is_in_stock() {
    let asked = asked();
    let (drawings, parts, _) = gathered(&asked);
    assert!(parts.len() > 10, "{}", parts.len());
    let read = again(&start::text(&asked, &drawings, &parts), &asked);
    let (_, found, problems) = gathered(&read);
    let told: Vec<&Problem> = problems.iter().filter(|p| p.code != "unused-text").collect();
    assert!(told.is_empty(), "{told:#?}");
    let ids = |parts: &[Part]| parts.iter().map(|p| p.id.clone()).collect::<Vec<_>>();
    assert_eq!(ids(&found), ids(&parts));
    assert!(found.iter().all(|p| p.wood == "balsa-medium" && p.thickness_mm == 3.0 && p.copies == 1));
}

#[test]
fn names_that_look_like_patterns_mean_themselves() {
    let asked = asked();
    let (drawings, mut parts, _) = gathered(&asked);
    parts.truncate(1);
    parts[0].id = "a*[b]? \"c\": #d".to_owned();
    let read = again(&start::text(&asked, &drawings, &parts), &asked);
    let pattern = &read.parts.unwrap()[0].name;
    let glob = globset::Glob::new(pattern).unwrap().compile_matcher();
    assert!(glob.is_match(&parts[0].id) && !glob.is_match("aXb? \"c\": #d"), "{pattern}");
}

#[test]
fn a_text_without_parts_is_a_job_too() {
    let asked = asked();
    assert!(again(&start::text(&asked, &[], &[]), &asked).parts.is_none());
}
