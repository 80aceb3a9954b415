//! Programs of every post, read back by the interpreter: no fault, the same path, and sense to the machine.

use grainwise::problem::Problems;
use grainwise::stages::cut::Move;
use grainwise::stages::proof::ngc::{self, Dialect, Motion, Spindle, Step};
use grainwise::stages::proof::read::{self, Reading};
use grainwise::stages::proof::{Limits, Source};
use grainwise::stages::write;

use super::judge::travelled;
use crate::write::sample;

fn steps(text: &[u8], dialect: &Dialect) -> Vec<Step> {
    let mut steps = Vec::new();
    let faults = ngc::read(text, dialect, &mut |step| steps.push(step.clone()));
    assert!(faults.is_empty(), "{faults:#?}");
    steps
}

#[test]
fn what_every_post_writes_is_read_without_a_fault() {
    for post in sample::posts() {
        for file in sample::written(&post).iter().filter(|file| file.sheet.is_some()) {
            let steps = steps(&file.bytes, &Dialect::of(&post));
            assert_eq!(steps.last().unwrap().motion, Motion::End, "{}", post.name);
        }
    }
}

#[test]
fn cutting_happens_with_the_beam_on_or_the_spindle_turning_and_only_then() {
    for post in sample::posts() {
        for step in steps(&sample::written(&post)[0].bytes, &Dialect::of(&post)) {
            match step.motion {
                Motion::Rapid { .. } => assert_eq!(step.beam, 0.0, "{}: {step:?}", post.name),
                Motion::Line { .. } | Motion::Arc { .. } if post.drives_beam() => {
                    assert!(
                        (step.beam - 0.125).abs() < 0.001 || (step.beam - 0.55).abs() < 0.001,
                        "{step:?}"
                    );
                }
                Motion::Line { .. } | Motion::Arc { .. } => {
                    assert_eq!((step.spindle, step.speed), (Spindle::Clockwise, 18_000.0));
                }
                _ => {}
            }
        }
    }
}

#[test]
fn every_move_s_end_and_feed_come_back() {
    for post in sample::posts() {
        let settings = if post.drives_beam() { sample::LASER } else { sample::ROUTER };
        let (sheets, _) = sample::kit(settings);
        let meant = sheets[0].moves.iter().filter_map(|step| match step {
            Move::Line { to, z, feed } | Move::Arc { to, z, feed, .. } => Some((*to, *z, *feed)),
            _ => None,
        });
        let read = steps(&sample::written(&post)[0].bytes, &Dialect::of(&post));
        let mut cuts = read.iter().filter_map(|step| match step.motion {
            Motion::Line { to, feed, .. } | Motion::Arc { to, feed, .. } => Some((to, feed)),
            _ => None,
        });
        for (to, z, feed) in meant {
            let found = cuts.any(|(at, f)| {
                let near = (at[0] - to.x).hypot(at[1] - to.y) < 0.001 && (at[2] - z).abs() < 0.001;
                near && (f - feed).abs() < 1.5
            });
            assert!(found, "{}: {to:?} {z} {feed}", post.name);
        }
    }
}

#[test]
fn a_dwell_lasts_as_long_as_it_should_in_every_dialect() {
    for post in sample::posts() {
        let text = sample::program(&post, vec![Move::Dwell { seconds: 0.5 }]).unwrap();
        let read = steps(text.as_bytes(), &Dialect::of(&post));
        assert!(read.iter().any(|s| s.motion == Motion::Dwell { seconds: 0.5 }), "{}", post.name);
    }
}

#[test]
fn the_whole_kit_makes_sense_to_the_machine_in_every_dialect() {
    for (name, machine) in [("router.yaml", None), ("laser.yaml", Some("desktop-laser"))] {
        let (kit, shop) = travelled(name, machine);
        for post in sample::posts().iter().filter(|post| post.drives_beam() == shop.machine.is_laser()) {
            let mut problems = Problems::new();
            let files =
                write::all(&kit.sheets, &kit.parts, &sample::job(), &shop.machine, Some(post), &mut problems);
            assert!(!problems.stop(), "{}: {problems:#?}", post.name);
            for (file, cuts) in files.iter().filter(|file| file.sheet.is_some()).zip(&kit.sheets) {
                let limits = Limits::of_sheet(&shop.machine, cuts);
                let reading = Reading {
                    machine: Some(&shop.machine),
                    post: Some(post),
                    limits: &limits,
                    units: None,
                    strict: true,
                };
                let program = read::read(Source { name: &file.name, bytes: &file.bytes }, &reading);
                assert!(program.problems.is_empty(), "{}: {:#?}", post.name, program.problems);
            }
        }
    }
}
