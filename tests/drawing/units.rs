//! The unit of a DXF drawing.

use grainwise::problem::Severity;
use grainwise::stages::job::LayerRules;
use grainwise::units::Unit;

use super::reading::{Read, dxf, near, read, read_as};

const BAR: &str = "0 LINE|10 0|20 0|11 6|21 2";

fn with_unit(number: &str) -> String {
    dxf(BAR).replace("$INSUNITS\n70\n4", &format!("$INSUNITS\n70\n{number}"))
}

fn length(read: &Read) -> f64 {
    read.only()[0].to().x
}

#[test]
fn every_unit_of_the_header_becomes_millimetres() {
    // $INSUNITS of the DXF reference, and lengths by definition.
    for (number, mm) in [
        (1, 25.4),
        (2, 304.8),
        (4, 1.0),
        (5, 10.0),
        (6, 1000.0),
        (8, 25.4e-6),
        (9, 0.0254),
        (10, 914.4),
        (13, 0.001),
        (14, 100.0),
        (21, 1_200_000.0 / 3937.0),
    ] {
        let read = read(with_unit(&number.to_string()));
        assert!((length(&read) - 6.0 * mm).abs() < 1e-9, "{number}: {}", length(&read));
    }
}

#[test]
fn a_missing_unit_is_a_problem_that_tells_the_sizes() {
    let bare = dxf(BAR).replace("9\n$INSUNITS\n70\n4\n", "");
    let read = read(bare);
    let problem = read.problem("units-missing");
    assert_eq!(problem.severity, Severity::Error);
    for size in ["mm gives 6.000 x 2.000 mm", "inch gives 152 x 50.8 mm", "cm gives 60.0 x 20.0 mm"] {
        assert!(problem.hint.contains(size), "{}", problem.hint);
    }
    assert_eq!(read.found().strokes.len(), 1);
}

#[test]
fn unit_0_is_a_missing_unit() {
    assert!(read(with_unit("0")).stops());
}

#[test]
fn a_unit_of_no_use_is_named() {
    assert!(read(with_unit("18")).problem("units-missing").message.contains("18"));
}

#[test]
fn measurement_is_a_hint_only() {
    let bare = dxf(BAR).replace("$INSUNITS\n70\n4", "$MEASUREMENT\n70\n0");
    let read = read(bare);
    assert!(read.problem("units-missing").hint.contains("hints at inches"));
}

#[test]
fn what_the_person_says_goes_before_the_header_and_is_noted() {
    let read = read_as(dxf(BAR).as_bytes(), Some(Unit::Inch), &LayerRules::default());
    near(read.only()[0].to(), (152.4, 50.8));
    assert_eq!(read.found().units, Unit::Inch);
    assert_eq!(read.problem("units-overridden").severity, Severity::Note);
}

#[test]
fn what_the_person_says_ends_the_question() {
    let read = read_as(with_unit("0").as_bytes(), Some(Unit::Inch), &LayerRules::default());
    assert!(!read.stops());
    assert_eq!(read.problems, Vec::new());
}
