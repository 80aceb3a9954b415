//! Pictures of sheets with all that is done on them.

use grainwise::geometry::{Chain, Outline, Placement, Point, Region, Vec2, Vertex};
use grainwise::problem::Problem;
use grainwise::shop::{LaserCraft, LaserSetting};
use grainwise::stages::cut::{Craft, Cut, Lead, Operation, Path, Settings, SheetCuts, Steps, Tab};
use grainwise::stages::job::{Cutting, TabWish};
use grainwise::stages::part::Part;
use grainwise::stages::picture::{NoPng, Scene, png, svg};
use grainwise::stages::sheet::{Layout, Placed, Sheet};
use resvg::{tiny_skia, usvg};

pub(super) const SETTING: LaserSetting = LaserSetting {
    feed_mm_min: 600.0,
    power: 0.5,
    passes: 1,
    kerf_mm: 0.2,
    inside_more_mm: 0.0,
    mark_feed_mm_min: 3000.0,
    mark_power: 0.1,
    score_feed_mm_min: 1500.0,
    score_power: 0.2,
};

pub(super) fn part(id: &str, outer: Outline, holes: Vec<Outline>) -> Part {
    let region = Region::new(outer, holes);
    Part {
        id: id.to_owned(),
        drawing: 0,
        layer: "cut".to_owned(),
        at: Point::new(4.0, 4.0),
        region,
        scores: Vec::new(),
        marks: Vec::new(),
        note: None,
        recesses: Vec::new(),
        grain_deg: Some(0.0),
        wood: "balsa-medium".to_owned(),
        thickness_mm: 2.5,
        copies: 1,
        mirrored: 0,
        tabs: TabWish::Table,
        cutting: Cutting::default(),
        mark: true,
        lying: grainwise::stages::job::Lying::default(),
        mass_g: 1.0,
    }
}

fn square(from: f64, to: f64) -> Outline {
    Outline::polygon(&[(from, from), (to, from), (to, to), (from, to)]).unwrap()
}

/// A square of 40 mm at (10, 5) with a round hole, on a sheet of 300 by 100 mm; two cuts, one tab on each square's side.
pub(super) fn sheet() -> (Vec<Part>, Vec<SheetCuts>) {
    let hole = Outline::circle(Point::new(20.0, 20.0), 6.0);
    let parts = vec![part("R1 <left> & \"right\"", square(0.0, 40.0), vec![hole])];
    let placement = Placement { shift: Vec2::new(10.0, 5.0), ..Placement::HERE };
    let sheet = Sheet {
        number: 1,
        wood: "balsa-medium".to_owned(),
        thickness_mm: 2.5,
        length_mm: 300.0,
        width_mm: 100.0,
        placed: vec![Placed { part: 0, copy: 1, placement }],
        ..Sheet::default()
    };
    let inside = Cut {
        operation: Operation::CutInside,
        placed: 0,
        path: Path::Closed(Outline::circle(Point::new(30.0, 25.0), 5.9)),
        tabs: Vec::new(),
        lead: Lead::default(),
        rough: None,
        depth_mm: None,
    };
    let outside = Cut {
        operation: Operation::CutOutside,
        path: Path::Closed(square(-0.1, 40.1).placed(&placement)),
        tabs: vec![Tab { from_mm: 15.0, to_mm: 17.0, height_mm: 2.5 }],
        ..inside.clone()
    };
    let cuts = SheetCuts {
        sheet,
        kerf_mm: 0.2,
        settings: Settings::Laser(SETTING),
        craft: Craft::Laser(LaserCraft::default()),
        cuts: vec![inside, outside],
        moves: Vec::new(),
        cut_length_mm: 200.0,
        travel_length_mm: 60.0,
        time_s: 75.0,
        steps_s: Steps::default(),
    };
    (parts, vec![cuts])
}

fn drawn(parts: &[Part], cuts: &[SheetCuts], problems: &[Problem]) -> String {
    let layout = Layout { sheets: cuts.iter().map(|cuts| cuts.sheet.clone()).collect() };
    let scene = Scene {
        title: "Kite & <co>",
        machine: "makerspace-laser",
        drawings: &[],
        parts,
        layout: &layout,
        cuts,
        problems,
    };
    svg(&scene)
}

/// Bounds in page millimetres of all paths whose stroke has this colour and width.
pub(super) fn bounds_of(svg: &str, colour: [u8; 3], width: f32) -> tiny_skia::Rect {
    fn walk(group: &usvg::Group, colour: usvg::Color, width: f32, found: &mut Vec<tiny_skia::Rect>) {
        for node in group.children() {
            match node {
                usvg::Node::Group(group) => walk(group, colour, width, found),
                usvg::Node::Path(path) => {
                    let hit = path.stroke().is_some_and(|stroke| {
                        (stroke.width().get() - width).abs() < 1e-4
                            && matches!(stroke.paint(), usvg::Paint::Color(c) if *c == colour)
                    });
                    if hit {
                        found.push(path.abs_bounding_box());
                    }
                }
                _ => {}
            }
        }
    }
    let tree = usvg::Tree::from_str(svg, &usvg::Options::default()).unwrap();
    let mut found = Vec::new();
    let [red, green, blue] = colour;
    walk(tree.root(), usvg::Color::new_rgb(red, green, blue), width, &mut found);
    assert_eq!(found.len(), 1);
    found[0]
}

const BAND: [u8; 3] = [0x8c, 0x2f, 0x14];
/// Where usvg puts a millimetre of the page: its user unit is the view box's.
const ROUNDING: f32 = 0.002;

#[test]
fn a_millimetre_of_the_page_is_a_millimetre() {
    let (parts, cuts) = sheet();
    let text = drawn(&parts, &cuts, &[]);
    let tree = usvg::Tree::from_str(&text, &usvg::Options::default()).unwrap();
    let view = text.split("viewBox=\"0 0 ").nth(1).unwrap().split('"').next().unwrap();
    let width: f32 = view.split(' ').next().unwrap().parse().unwrap();
    // W3C SVG: 25.4 mm are 96 px.
    assert!((tree.size().width() - width * 96.0 / 25.4).abs() < 0.01);
}

#[test]
fn the_band_lies_where_the_cut_runs_and_is_as_wide_as_the_kerf() {
    let (parts, cuts) = sheet();
    let text = drawn(&parts, &cuts, &[]);
    let band = bounds_of(&text, BAND, 0.2);
    let px = 96.0 / 25.4;
    assert!((band.width() / px - 40.2).abs() < ROUNDING, "{}", band.width() / px);
    assert!((band.height() / px - 40.2).abs() < ROUNDING, "{}", band.height() / px);
}

#[test]
fn travel_leads_to_a_name_and_not_from_stroke_to_stroke() {
    let (parts, mut cuts) = sheet();
    let stroke = |x: f64| {
        let ends = vec![Vertex::new(x, 10.0, 0.0), Vertex::new(x, 14.0, 0.0)];
        let path = Path::Open(Chain::new(ends).unwrap());
        Cut {
            operation: Operation::Mark,
            placed: 0,
            path,
            tabs: Vec::new(),
            lead: Lead::default(),
            rough: None,
            depth_mm: None,
        }
    };
    cuts[0].cuts.splice(0..0, [stroke(41.0), stroke(43.0)]);
    let text = drawn(&parts, &cuts, &[]);
    assert!(text.contains("M0 0L41 10") && text.contains("M43 14L35.9 25"));
    assert!(!text.contains("M41 14L43 10"));
}

#[test]
fn arcs_stay_arcs() {
    let (parts, cuts) = sheet();
    assert!(drawn(&parts, &cuts, &[]).contains("A5.9 5.9 0 0 1"));
}

#[test]
fn a_name_with_signs_of_xml_is_still_one() {
    let (parts, cuts) = sheet();
    let text = drawn(&parts, &cuts, &[]);
    assert!(text.contains("<title>R1 &lt;left&gt; &amp; &quot;right&quot;</title>"));
    assert!(text.contains("<title>Kite &amp; &lt;co&gt;</title>"));
    assert!(usvg::Tree::from_str(&text, &usvg::Options::default()).is_ok());
}

#[test]
fn control_characters_in_a_name_do_not_break_the_picture() {
    let (mut parts, cuts) = sheet();
    parts[0].id = "a\u{0}b\u{1f}c\u{ffff}".to_owned();
    assert!(usvg::Tree::from_str(&drawn(&parts, &cuts, &[]), &usvg::Options::default()).is_ok());
}

#[test]
fn the_legend_explains_what_is_there_and_nothing_else() {
    let (parts, mut cuts) = sheet();
    let text = drawn(&parts, &cuts, &[]);
    for words in ["part", "wood that is removed", "tab", "order of cuts", "travel between cuts", "grain"] {
        assert!(text.contains(&format!("aria-label=\"{words}\"")), "{words}");
    }
    assert!(!text.contains("aria-label=\"score\""));
    cuts[0].cuts[1].tabs.clear();
    assert!(!drawn(&parts, &cuts, &[]).contains("aria-label=\"tab\""));
}

#[test]
fn the_heading_says_wood_size_and_kerf() {
    let (parts, cuts) = sheet();
    let text = drawn(&parts, &cuts, &[]);
    for words in [
        "Sheet 1 of 1",
        "balsa-medium 2.5 mm",
        "300 x 100 mm",
        "kerf 0.2 mm",
        "1 min 15 s",
        "makerspace-laser",
    ] {
        assert!(text.contains(words), "{words}");
    }
}

#[test]
fn a_problem_is_flagged_where_its_part_lies() {
    let (parts, cuts) = sheet();
    let problem = Problem::warning("small-hole", "the hole is small")
        .of_part(parts[0].id.clone())
        .at(Point::new(20.0, 20.0));
    let text = drawn(&parts, &cuts, &[problem]);
    assert!(text.contains("problem, by its number"));
    assert!(text.contains("small-hole: the hole is small"));
}

#[test]
fn the_same_scene_gives_the_same_bytes() {
    let (parts, cuts) = sheet();
    assert_eq!(drawn(&parts, &cuts, &[]), drawn(&parts, &cuts, &[]));
}

#[test]
fn a_png_is_as_wide_as_asked_and_not_blank() {
    let (parts, cuts) = sheet();
    let bytes = png(&drawn(&parts, &cuts, &[]), 800).unwrap();
    let pixels = tiny_skia::Pixmap::decode_png(&bytes).unwrap();
    assert_eq!(pixels.width(), 800);
    let first = pixels.pixel(0, 0).unwrap();
    assert!(pixels.pixels().iter().filter(|&&pixel| pixel != first).count() > 10_000);
}

#[test]
fn a_png_beyond_measure_or_of_nothing_is_refused() {
    let (parts, cuts) = sheet();
    let text = drawn(&parts, &cuts, &[]);
    assert!(matches!(png(&text, 1_000_000), Err(NoPng::Size(..))));
    assert!(matches!(png(&text, 0), Err(NoPng::Size(..))));
    assert!(matches!(png("no picture", 100), Err(NoPng::Unreadable(_))));
}
