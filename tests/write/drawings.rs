//! DXF and SVG of the sample kit: structure, layers, order, bulges, tabs as gaps.

use dxf::entities::EntityType;
use grainwise::geometry::{Outline, Point, Segment};
use grainwise::problem::Problems;
use grainwise::shop::{DrawingFormat, Machine};
use grainwise::stages::cut::{Cut, Lead, Operation, Path, SheetCuts, Tab};
use grainwise::stages::write;

use super::sample;

/// The text of one drawing of the first sheet.
fn text_of(sheets: &[SheetCuts], format: DrawingFormat) -> String {
    let machine = Machine { drawings: vec![format], ..sample::laser() };
    let (_, parts) = sample::kit(sample::LASER);
    let mut problems = Problems::new();
    let files = write::all(sheets, &parts, &sample::job(), &machine, None, &mut problems);
    assert!(problems.is_empty(), "{problems:?}");
    String::from_utf8(files[0].bytes.clone()).unwrap()
}

fn kit(format: DrawingFormat) -> String {
    text_of(&sample::kit(sample::LASER).0, format)
}

/// One sheet with one cut on it.
fn with(operation: Operation, path: Path, tabs: Vec<Tab>) -> Vec<SheetCuts> {
    let (mut sheets, _) = sample::kit(sample::LASER);
    sheets.truncate(1);
    sheets[0].cuts =
        vec![Cut { operation, placed: 0, path, tabs, lead: Lead::default(), rough: None, depth_mm: None }];
    sheets
}

fn pairs(text: &str) -> Vec<(u16, &str)> {
    let lines: Vec<&str> = text.lines().collect();
    lines.chunks(2).map(|pair| (pair[0].parse().unwrap(), pair[1])).collect()
}

/// The value after a header variable.
fn variable<'t>(text: &'t str, name: &str) -> &'t str {
    let pairs = pairs(text);
    let at = pairs.iter().position(|p| *p == (9, name)).unwrap();
    pairs[at + 1].1
}

/// Segments of every entity, as the `dxf` crate reads them.
fn entities(text: &str) -> Vec<(String, Vec<Segment>)> {
    let drawing = dxf::Drawing::load(&mut text.as_bytes()).unwrap();
    let read = |e: &dxf::entities::Entity| {
        let corners: (Vec<(Point, f64)>, bool) = match &e.specific {
            EntityType::LwPolyline(p) => {
                (p.vertices.iter().map(|v| (Point::new(v.x, v.y), v.bulge)).collect(), p.is_closed())
            }
            EntityType::Polyline(p) => {
                let corner = |v: &dxf::entities::Vertex| (Point::new(v.location.x, v.location.y), v.bulge);
                (p.vertices().map(corner).collect(), p.is_closed())
            }
            EntityType::Circle(c) => {
                let circle = Outline::circle(Point::new(c.center.x, c.center.y), c.radius);
                (circle.vertices().iter().map(|v| (v.at, v.bulge)).collect(), true)
            }
            other => panic!("{other:?}"),
        };
        (e.common.layer.clone(), segments(&corners.0, corners.1))
    };
    drawing.entities().map(read).collect()
}

fn segments(corners: &[(Point, f64)], closed: bool) -> Vec<Segment> {
    let n = corners.len();
    let count = if closed { n } else { n - 1 };
    (0..count)
        .map(|i| Segment { from: corners[i].0, to: corners[(i + 1) % n].0, bulge: corners[i].1 })
        .collect()
}

#[test]
fn both_versions_say_what_they_are_and_in_millimetres() {
    for (format, version) in [(DrawingFormat::DxfR12, "AC1009"), (DrawingFormat::DxfR2000, "AC1015")] {
        let text = kit(format);
        assert_eq!(variable(&text, "$ACADVER"), version);
        assert_eq!((variable(&text, "$INSUNITS"), variable(&text, "$MEASUREMENT")), ("4", "1"));
        assert!(text.ends_with("\n0\nEOF\n"));
    }
}

#[test]
fn handles_are_hexadecimal_unlike_and_below_the_seed() {
    for format in [DrawingFormat::DxfR12, DrawingFormat::DxfR2000] {
        let text = kit(format);
        let seed = u64::from_str_radix(variable(&text, "$HANDSEED"), 16).unwrap();
        let after: Vec<(u16, &str)> = pairs(&text).into_iter().skip_while(|p| *p != (2, "TABLES")).collect();
        let mut handles: Vec<u64> = after
            .iter()
            .filter(|(code, _)| matches!(code, 5 | 105))
            .map(|(_, value)| u64::from_str_radix(value, 16).unwrap())
            .collect();
        let all = handles.len();
        handles.sort_unstable();
        handles.dedup();
        assert_eq!(handles.len(), all);
        assert!(*handles.last().unwrap() < seed);
    }
}

#[test]
fn r12_has_no_entity_of_later_versions() {
    let text = kit(DrawingFormat::DxfR12);
    for later in ["LWPOLYLINE", "SPLINE", "ELLIPSE", "AcDbEntity"] {
        assert!(!text.contains(later), "{later}");
    }
    assert_eq!(text.matches("\nPOLYLINE\n").count(), text.matches("\nSEQEND\n").count());
}

#[test]
fn r2000_has_every_section_and_table() {
    let text = kit(DrawingFormat::DxfR2000);
    let names: Vec<&str> = pairs(&text)
        .windows(2)
        .filter(|two| matches!(two[0], (0, "SECTION" | "TABLE")))
        .map(|two| two[1].1)
        .collect();
    let expected = [
        "HEADER",
        "CLASSES",
        "TABLES",
        "VPORT",
        "LTYPE",
        "LAYER",
        "STYLE",
        "VIEW",
        "UCS",
        "APPID",
        "DIMSTYLE",
        "BLOCK_RECORD",
        "BLOCKS",
        "ENTITIES",
        "OBJECTS",
    ];
    assert_eq!(names, expected);
}

#[test]
fn cuts_stand_in_the_order_in_which_they_are_made() {
    for format in [DrawingFormat::DxfR12, DrawingFormat::DxfR2000] {
        let layers: Vec<String> = entities(&kit(format)).into_iter().map(|(layer, _)| layer).collect();
        let piece = ["mark", "score", "cut-inside", "cut-outside", "cut-outside"];
        assert_eq!(layers, [piece, piece].concat());
    }
}

#[test]
fn the_extents_hold_every_cut() {
    let text = kit(DrawingFormat::DxfR2000);
    let pairs = pairs(&text);
    let corner = |name| {
        let at = pairs.iter().position(|p| *p == (9, name)).unwrap();
        let value = |i: usize| pairs[at + i].1.parse::<f64>().unwrap();
        (value(1), value(2))
    };
    assert_eq!((corner("$EXTMIN"), corner("$EXTMAX")), ((10.0, 10.0), (100.0, 30.5)));
}

/// Bulge = tan(included angle / 4), positive counter-clockwise: DXF reference, LWPOLYLINE, group code 42.
#[test]
fn a_curve_is_a_bulge_by_the_reference_s_definition() {
    let quarter = (std::f64::consts::FRAC_PI_2 / 4.0).tan();
    let corners = [(0.0, 0.0, 0.0), (10.0, 0.0, quarter), (0.0, 10.0, 0.0)];
    let vertices = corners.iter().map(|&(x, y, b)| grainwise::geometry::Vertex::new(x, y, b)).collect();
    let path = Path::Closed(Outline::new(vertices).unwrap());
    for format in [DrawingFormat::DxfR12, DrawingFormat::DxfR2000] {
        let text = text_of(&with(Operation::CutOutside, path.clone(), vec![]), format);
        let entities_of = pairs(&text)
            .into_iter()
            .skip_while(|p| *p != (2, "ENTITIES"))
            .take_while(|p| *p != (0, "ENDSEC"));
        let bulges: Vec<&str> = entities_of.filter(|p| p.0 == 42).map(|p| p.1).collect();
        assert_eq!(bulges, ["0.414213562"], "a quarter circle about the corner");
        let read = &entities(&text)[0].1;
        let area: f64 = read.iter().map(Segment::twice_area).sum::<f64>() / 2.0;
        assert!(
            (area - 25.0 * std::f64::consts::PI).abs() < 1e-5,
            "a quarter of a disc of radius 10: {area}"
        );
    }
}

#[test]
fn a_whole_circle_is_a_circle() {
    let circle = Path::Closed(Outline::circle(Point::new(7.0, 8.0), 2.5));
    for format in [DrawingFormat::DxfR12, DrawingFormat::DxfR2000] {
        let text = text_of(&with(Operation::CutInside, circle.clone(), vec![]), format);
        assert!(text.contains("\n0\nCIRCLE\n") && !text.contains("POLYLINE\n"));
    }
    let text = text_of(&with(Operation::CutInside, circle, vec![]), DrawingFormat::Svg);
    assert!(text.contains("<circle cx=\"7\" cy=\"92\" r=\"2.5\""));
}

#[test]
fn a_circle_with_a_tab_is_an_arc_that_leaves_the_tab() {
    let circle = Path::Closed(Outline::circle(Point::new(7.0, 8.0), 2.0));
    let tab = Tab { from_mm: 1.0, to_mm: 2.5, height_mm: 2.0 };
    let whole = 2.0 * 2.0 * std::f64::consts::PI;
    for format in [DrawingFormat::DxfR12, DrawingFormat::DxfR2000] {
        let read = entities(&text_of(&with(Operation::CutInside, circle.clone(), vec![tab]), format));
        assert_eq!(read.len(), 1);
        let length: f64 = read[0].1.iter().map(Segment::length).sum();
        assert!((length - (whole - 1.5)).abs() < 1e-5, "{length}");
        assert!(read[0].1.iter().all(|s| (s.radius() - 2.0).abs() < 1e-5));
    }
}

#[test]
fn tabs_are_gaps_wherever_they_lie() {
    let square = sample::rectangle(10.0, 10.0, 30.0, 30.0);
    let at = |from: f64, to: f64| Tab { from_mm: from, to_mm: to, height_mm: 2.0 };
    let cases = [
        (vec![at(5.0, 7.0)], 1),
        (vec![at(0.0, 2.0)], 1),
        (vec![at(78.0, 80.0)], 1),
        (vec![at(19.0, 21.0), at(40.0, 42.0)], 2),
        (vec![at(0.0, 1.0), at(79.0, 80.0)], 1),
        (vec![at(50.0, 52.0), at(10.0, 12.0), at(30.0, 32.0)], 3),
    ];
    for (tabs, pieces) in cases {
        let gone: f64 = tabs.iter().map(|t| t.to_mm - t.from_mm).sum();
        let read = entities(&text_of(
            &with(Operation::CutOutside, square.clone(), tabs.clone()),
            DrawingFormat::DxfR2000,
        ));
        let length: f64 = read.iter().flat_map(|(_, s)| s).map(Segment::length).sum();
        assert_eq!(read.len(), pieces, "{tabs:?}");
        assert!((length - (80.0 - gone)).abs() < 1e-4, "{tabs:?}: {length}");
    }
}

#[test]
fn layers_of_one_name_stand_once_in_the_table() {
    let mut machine = sample::laser();
    machine.layers.cut_inside.name = "CUT".into();
    machine.layers.cut_outside.name = "cut".into();
    let (sheets, parts) = sample::kit(sample::LASER);
    let files = write::all(&sheets, &parts, &sample::job(), &machine, None, &mut Problems::new());
    let text = String::from_utf8(files[1].bytes.clone()).unwrap();
    let drawing = dxf::Drawing::load(&mut text.as_bytes()).unwrap();
    let named: Vec<&str> =
        drawing.layers().map(|l| l.name.as_str()).filter(|n| n.eq_ignore_ascii_case("cut")).collect();
    assert_eq!(named, ["CUT"]);
    let svg = String::from_utf8(files[2].bytes.clone()).unwrap();
    assert!(svg.contains("id=\"CUT\"") && svg.contains("id=\"cut\""));
}

#[test]
fn names_tell_the_two_dxf_versions_apart_only_where_both_are_taken() {
    let (sheets, parts) = sample::kit(sample::LASER);
    let names = |drawings: Vec<DrawingFormat>| {
        let machine = Machine { drawings, ..sample::laser() };
        let files = write::all(&sheets[..1], &parts, &sample::job(), &machine, None, &mut Problems::new());
        files.into_iter().map(|f| f.name).collect::<Vec<_>>()
    };
    let (r12, r2000) = (DrawingFormat::DxfR12, DrawingFormat::DxfR2000);
    assert_eq!(names(vec![r12]), ["sheet-1.dxf", "cutlist.txt"]);
    assert_eq!(names(vec![r2000, DrawingFormat::Svg]), ["sheet-1.dxf", "sheet-1.svg", "cutlist.txt"]);
    assert_eq!(names(vec![r12, r2000, r12]), ["sheet-1-r12.dxf", "sheet-1-r2000.dxf", "cutlist.txt"]);
}

/// SVG is read back by usvg, which knows its units and arcs by itself.
#[test]
fn an_svg_is_at_true_size_and_right_way_up() {
    let path = Path::Closed(Outline::circle(Point::new(30.0, 20.0), 5.0));
    let tab = Tab { from_mm: 0.0, to_mm: 0.001, height_mm: 2.0 };
    let text = text_of(&with(Operation::CutInside, path, vec![tab]), DrawingFormat::Svg);
    let tree = usvg::Tree::from_str(&text, &usvg::Options::default()).unwrap();
    let px = 96.0 / 25.4;
    assert!(
        (tree.size().width() - 1000.0 * px).abs() < 0.01 && (tree.size().height() - 100.0 * px).abs() < 0.01
    );
    let bounds = tree.root().abs_bounding_box();
    let mm = |v: f32| f64::from(v) / f64::from(px);
    assert!((mm(bounds.left()) - 25.0).abs() < 0.01 && (mm(bounds.right()) - 35.0).abs() < 0.01);
    assert!((mm(bounds.top()) - 75.0).abs() < 0.01 && (mm(bounds.bottom()) - 85.0).abs() < 0.01);
}
