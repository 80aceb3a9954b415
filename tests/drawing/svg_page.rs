//! SVG: the page and its units.

use grainwise::problem::Severity;
use grainwise::stages::job::LayerRules;
use grainwise::units::Unit;

use super::reading::{Read, near, read, read_as, spans};

/// A square from (0, 0) to (10, 10) on a page with these attributes.
fn page(attributes: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" {attributes}><path stroke=\"#000\" d=\"M0 0H10V10H0z\"/></svg>"
    )
}

fn on(attributes: &str) -> Read {
    read(page(attributes))
}

#[test]
fn physical_sizes_in_every_unit() {
    // 1 in = 25.4 mm = 72 pt = 6 pc (CSS Values and Units).
    for (size, mm) in
        [("100mm", 100.0), ("10cm", 100.0), ("4in", 101.6), ("72pt", 25.4), ("6pc", 25.4), ("40Q", 10.0)]
    {
        let read = on(&format!("width=\"{size}\" height=\"{size}\" viewBox=\"0 0 100 100\""));
        assert!((read.bounds().width() - mm / 10.0).abs() < 1e-9, "{size}");
        read.clean();
    }
}

#[test]
fn the_unit_of_the_size_is_told() {
    assert_eq!(on("width=\"4in\" height=\"4in\" viewBox=\"0 0 9 9\"").found().units, Unit::Inch);
    assert_eq!(on("width=\"4cm\" height=\"4cm\" viewBox=\"0 0 9 9\"").found().units, Unit::Centimetre);
}

#[test]
fn without_a_physical_size_a_pixel_is_a_96th_of_an_inch_and_it_is_told() {
    for attributes in [
        "",
        "width=\"200\" height=\"100px\"",
        "viewBox=\"0 0 200 100\"",
        "width=\"100%\" viewBox=\"0 0 9 9\"",
    ] {
        let read = on(attributes);
        assert!((read.bounds().width() - 10.0 * 25.4 / 96.0).abs() < 1e-9, "{attributes}");
        assert_eq!(read.problem("size-assumed").severity, Severity::Warning);
    }
    assert!(on("width=\"960\" height=\"96\"").problem("size-assumed").message.contains("254.0 x 25.4 mm"));
}

#[test]
fn another_resolution_on_request() {
    let source = grainwise::stages::job::DrawingSource {
        file: "t".to_owned(),
        units: None,
        px_per_inch: 72.0,
        stretch: None,
    };
    let mut problems = grainwise::problem::Problems::new();
    let bytes = page("width=\"200\" height=\"100\"");
    let found = grainwise::stages::drawing::find::find(
        &source,
        bytes.as_bytes(),
        &LayerRules::default(),
        &mut problems,
    );
    let read = Read { found, problems: problems.into_iter().collect() };
    assert!((read.bounds().width() - 10.0 * 25.4 / 72.0).abs() < 1e-9);
}

#[test]
fn a_resolution_that_is_none_is_a_problem() {
    let source = grainwise::stages::job::DrawingSource {
        file: "t".to_owned(),
        units: None,
        px_per_inch: 0.0,
        stretch: None,
    };
    let mut problems = grainwise::problem::Problems::new();
    let found = grainwise::stages::drawing::find::find(
        &source,
        page("").as_bytes(),
        &LayerRules::default(),
        &mut problems,
    );
    assert!(found.is_none() && problems.stop());
}

#[test]
fn the_view_box_may_begin_anywhere() {
    let read = on("width=\"100mm\" height=\"50mm\" viewBox=\"-20 -10 100 50\"");
    // x 0 lies 20 from the left; y 0 lies 10 from the top, 40 from the bottom.
    spans(read.bounds(), (20.0, 30.0), (30.0, 40.0));
    read.clean();
}

#[test]
fn a_view_box_of_another_shape_is_centred() {
    spans(on("width=\"200mm\" height=\"100mm\" viewBox=\"0 0 10 10\"").bounds(), (50.0, 0.0), (150.0, 100.0));
    spans(on("width=\"100mm\" height=\"200mm\" viewBox=\"0 0 10 10\"").bounds(), (0.0, 50.0), (100.0, 150.0));
}

#[test]
fn the_aspect_ratio_says_where_it_goes() {
    let bounds = |aspect: &str| {
        on(&format!(
            "width=\"200mm\" height=\"100mm\" viewBox=\"0 0 10 10\" preserveAspectRatio=\"{aspect}\""
        ))
        .bounds()
    };
    spans(bounds("xMinYMin meet"), (0.0, 0.0), (100.0, 100.0));
    spans(bounds("xMaxYMin"), (100.0, 0.0), (200.0, 100.0));
    spans(bounds("none"), (0.0, 0.0), (200.0, 100.0));
    spans(bounds("xMidYMid slice"), (0.0, -50.0), (200.0, 150.0));
    spans(bounds("xMidYMax slice"), (0.0, 0.0), (200.0, 200.0));
}

#[test]
fn one_side_gives_the_other() {
    spans(on("width=\"100mm\" viewBox=\"0 0 10 20\"").bounds(), (0.0, 100.0), (100.0, 200.0));
    spans(on("height=\"100mm\" viewBox=\"0 0 10 20\"").bounds(), (0.0, 50.0), (50.0, 100.0));
}

#[test]
fn a_physical_size_without_a_view_box_leaves_pixels() {
    let read = on("width=\"254mm\" height=\"254mm\"");
    near(read.only()[0].from(), (0.0, 254.0));
    assert!((read.bounds().width() - 10.0 * 25.4 / 96.0).abs() < 1e-9);
}

#[test]
fn what_the_person_says_goes_before_the_size_and_is_noted() {
    let bytes = page("width=\"254mm\" height=\"254mm\" viewBox=\"0 0 100 100\"");
    let read = read_as(bytes.as_bytes(), Some(Unit::Millimetre), &LayerRules::default());
    spans(read.bounds(), (0.0, 90.0), (10.0, 100.0));
    assert_eq!(read.problem("units-overridden").severity, Severity::Note);
    let inch = read_as(page("viewBox=\"0 0 10 10\"").as_bytes(), Some(Unit::Inch), &LayerRules::default());
    assert!((inch.bounds().width() - 254.0).abs() < 1e-9);
    assert_eq!(inch.problems, Vec::new());
}

#[test]
fn a_size_or_view_box_that_is_none_is_told() {
    let read = on("width=\"wide\" height=\"100mm\" viewBox=\"0 0 10\"");
    assert_eq!(read.problems.iter().filter(|problem| problem.code == "spoilt-field").count(), 2);
    assert_eq!(read.found().strokes.len(), 1);
}

#[test]
fn sizes_beyond_reason_are_errors() {
    assert!(on("width=\"1e300mm\" height=\"1e300mm\" viewBox=\"0 0 10 10\"").stops());
    assert!(on("width=\"100mm\" height=\"100mm\" viewBox=\"0 0 1e-300 1e-300\"").stops());
}

#[test]
fn a_shape_beyond_reason_is_an_error_and_the_rest_is_kept() {
    let text = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9mm\" height=\"9mm\" viewBox=\"0 0 9 9\">\
        <path stroke=\"#000\" d=\"M0 0L1e30 0\"/><path stroke=\"#000\" d=\"M0 0L5 0\"/></svg>";
    let read = read(text);
    assert_eq!(read.problem("absurd-number").severity, Severity::Error);
    assert_eq!(read.used("path"), 1);
}

#[test]
fn a_drawing_far_out_says_what_it_loses() {
    let text = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9mm\" height=\"9mm\" viewBox=\"0 0 9 9\">\
        <g transform=\"translate(-1e6 0)\"><path transform=\"translate(2e6 0)\" stroke=\"#000\" d=\"M-1e6 0L-999990 0\"/></g></svg>";
    read(text).problem("far-out");
}

#[test]
fn letters_of_another_encoding_are_read() {
    let text = "<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?><svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9mm\" \
        height=\"9mm\" viewBox=\"0 0 9 9\"><text x=\"1\" y=\"1\">Gr@n</text></svg>";
    let bytes: Vec<u8> = text.bytes().map(|b| if b == b'@' { 0xfc } else { b }).collect();
    assert_eq!(read(bytes).found().texts[0].item.text, "Grün");
}
