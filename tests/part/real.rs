//! Drawings as people made them, and the shipped kit's: read, joined, gathered.

use std::path::{Path, PathBuf};

use grainwise::problem::{Problem, Problems};
use grainwise::stages::drawing::{self, Drawing};
use grainwise::stages::job::{Cutting, DrawingSource, Job, LayerRules, PartRule};
use grainwise::stages::part::{Part, gather};
use grainwise::units::Unit;

/// A job that cuts everything in the drawings from 3 mm light ply.
fn job(folder: &Path, drawings: &[(&str, Option<Unit>)]) -> Job {
    let source = |&(file, units): &(&str, Option<Unit>)| DrawingSource {
        file: file.to_owned(),
        units,
        px_per_inch: 96.0,
        stretch: None,
    };
    let wood = Some("light-ply".to_owned());
    Job {
        title: String::new(),
        file: None,
        folder: folder.to_owned(),
        drawings: drawings.iter().map(source).collect(),
        layers: LayerRules::default(),
        parts: None,
        default_part: PartRule { wood, thickness_mm: Some(3.0), ..PartRule::default() },
        stock: Vec::new(),
        machine: "makerspace-laser".to_owned(),
        post: None,
        cutting: Cutting::default(),
        join_mm: 0.05,
        tolerance_mm: 0.01,
        seed: 0,
        ..Job::default()
    }
}

fn gathered(job: &Job) -> (Vec<Drawing>, Vec<Part>, Vec<Problem>) {
    let mut problems = Problems::new();
    let drawings = drawing::read(job, &mut problems);
    let parts = gather(&drawings, job, &grainwise::shop::woods(), &mut problems);
    (drawings, parts, problems.into_iter().collect())
}

#[test]
fn the_kit_is_read_without_an_error() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("samples/fenwren");
    let mut job = job(&folder, &[("wing.dxf", None), ("fuselage.dxf", Some(Unit::Inch)), ("tail.svg", None)]);
    job.layers.cut = vec!["PARTS".to_owned(), "parts".to_owned()];
    let (drawings, parts, problems) = gathered(&job);
    let bad: Vec<&Problem> =
        problems.iter().filter(|p| p.severity < grainwise::problem::Severity::Note).collect();
    assert!(bad.is_empty(), "{bad:#?}");
    assert_eq!(parts.len(), 26);
    assert!(parts.iter().all(|p| p.id.parse::<u32>().is_err()), "every part of the kit has a name");
    assert!(!problems.iter().any(|p| p.code == "grain-assumed"), "every part of the kit has a grain line");
    assert_eq!(drawings.len(), 3);
}

#[test]
fn a_missing_drawing_is_told_and_the_others_read() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("samples/fenwren");
    let (drawings, _, problems) = gathered(&job(&folder, &[("no-such.dxf", None), ("tail.svg", None)]));
    assert_eq!(drawings.len(), 1);
    assert_eq!((problems[0].code, problems[0].file.as_deref()), ("missing-file", Some("no-such.dxf")));
}

#[test]
fn a_folder_is_no_drawing() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let (_, _, problems) = gathered(&job(&folder, &[("samples", None)]));
    assert_eq!(problems[0].code, "unreadable-file");
}

/// Drawings by others that lie on some machines and are not ours to ship: set `GRAINWISE_DRAWINGS` to their folder. How
/// many closed outlines each holds was counted by other means, on all layers, ends joined within 0.01 mm. Where a drawing
/// has hidden layers or lines drawn twice there is no such count to compare with; it is read and shown all the same.
#[test]
#[allow(clippy::print_stderr, reason = "says that it was skipped, or what the drawings hold")]
fn drawings_by_others_hold_as_many_outlines_as_were_counted() {
    let Some(folder) = std::env::var_os("GRAINWISE_DRAWINGS").map(PathBuf::from).filter(|f| f.is_dir())
    else {
        eprintln!("skipped: GRAINWISE_DRAWINGS names no folder");
        return;
    };
    let counted = [
        ("indoor_wing_planform_inch.dxf", Some(Unit::Inch), Some(11)),
        ("kbd_top_plate_gaps002.dxf", None, None),
        ("kbd_frame_dims.dxf", None, None),
        ("kbd_foot_template_insert.dxf", None, None),
        ("kbd_bottom_plate.dxf", None, Some(69)),
        ("mitx_case_mm.svg", None, Some(418)),
        ("kbd_label_text_groups.svg", None, None),
    ];
    for (file, units, expected) in counted {
        let mut job = job(&folder, &[(file, units)]);
        job.join_mm = 0.01;
        let (drawings, parts, problems) = gathered(&job);
        let found = drawings.first().map_or(0, |d| d.outlines.len());
        let crossing = problems.iter().filter(|p| p.code == "crossing-outline").count();
        eprintln!("{file}: {found} outlines, {crossing} that cross themselves, {} parts", parts.len());
        for problem in &problems {
            eprintln!("   {} {:?} {}", problem.code, problem.at_mm, problem.message);
        }
        if let Some(expected) = expected {
            assert_eq!(found + crossing, expected, "{file}");
        }
    }
}
