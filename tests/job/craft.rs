//! Craft in a job: for all parts, for one wood, for one part.

use grainwise::stages::job::{Cutting, Job};

use super::{good, only};

fn job(rest: &str) -> Job {
    good(&format!("drawings: a.dxf\n{rest}"))
}

#[test]
fn a_wood_has_its_own_values_and_the_job_s_for_the_rest() {
    let cutting = job("cutting:\n  kerf: 0.15\n  passes: 2\n  woods:\n    birch-ply: {kerf: 0.2}\n").cutting;
    let birch = cutting.for_wood("birch-ply");
    assert_eq!((birch.kerf_mm, birch.passes), (Some(0.2), Some(2)));
    assert_eq!(cutting.for_wood("balsa-hard").kerf_mm, Some(0.15));
}

#[test]
fn a_part_has_its_own_craft() {
    let job = job("parts:\n- {name: A, cutting: {climb: false}}\n- {name: B}\n");
    let rules = job.parts.unwrap();
    assert_eq!((rules[0].cutting.router.climb, rules[1].cutting.router.climb), (Some(false), None));
}

#[test]
fn nearer_wins() {
    let near = Cutting { feed_mm_min: Some(1.0), ..Cutting::default() };
    let far = Cutting { feed_mm_min: Some(2.0), rpm: Some(3.0), ..Cutting::default() };
    let both = near.over(&far);
    assert_eq!((both.feed_mm_min, both.rpm), (Some(1.0), Some(3.0)));
}

#[test]
fn an_unknown_key_of_craft_names_the_nearest() {
    let (problem, line, column) =
        only("drawings: a.dxf\ncutting:\n  woods:\n    light-ply: {climbs: true}\n");
    assert_eq!((problem.code, line, column), ("unknown-key", 4, 17));
    assert_eq!(problem.hint, "did you mean 'climb'?");
}

#[test]
fn a_part_has_no_kerf_of_its_own() {
    let (problem, line, column) = only("drawings: a.dxf\nparts:\n- {name: A, cutting: {kerf: 0.2}}\n");
    assert_eq!((problem.code, line, column), ("unknown-key", 3, 23));
}

#[test]
fn an_unknown_wood_names_the_nearest() {
    let (problem, line, column) = only("drawings: a.dxf\ncutting:\n  woods:\n    light-pli: {climb: true}\n");
    assert_eq!((problem.code, line, column), ("unknown-wood", 4, 5));
    assert_eq!(problem.hint, "did you mean 'light-ply'?");
}

#[test]
fn a_beam_s_craft_is_read_in_the_job_s_unit() {
    let laser = job("units: inch\ncutting:\n  apart: 0.5\n  bridge: 3\n").cutting.laser;
    assert_eq!((laser.apart_mm, laser.bridge_kerfs), (Some(12.7), Some(3.0)));
}
