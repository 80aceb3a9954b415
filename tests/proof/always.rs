//! Whatever the part, the wood, the machine and the form of the file: what is made proves clean, and a cut that lies off its
//! place by more than a piece may be off does not.

use std::path::Path;
use std::sync::Arc;

use grainwise::geometry::{Outline, Point, Rect, Region, Vec2, Vertex, trig};
use grainwise::problem::{Problem, Problems, Severity};
use grainwise::shop::{DrawingFormat, Shop};
use grainwise::stages::cut::{self, Operation};
use grainwise::stages::job::{Cutting, DrawingSource, Job, Stock, TabWish};
use grainwise::stages::part::Part;
use grainwise::stages::{Kit, Unwatched, sheet};
use proptest::prelude::*;

use crate::faults::kit::{Form, Good, Made, good};
use crate::faults::paths::{rewritten, steps};

/// How far a piece may be off, mm; where a post writes lines for arcs, by its tolerance more.
const WITHIN_MM: f64 = 0.02;
const LINES_MM: f64 = 0.005;

/// What a post's last digit, and the fit of the path itself, take from a displacement, mm.
const ROUNDING_MM: f64 = 0.003;

/// Machine, post and form of file.
const FORMS: [(&str, Option<&str>, Form); 10] = [
    ("makerspace-laser", None, Form::R2000),
    ("makerspace-laser", None, Form::R12),
    ("makerspace-laser", None, Form::Svg),
    ("desktop-laser", Some("laser-scaled"), Form::Gcode),
    ("desktop-laser", Some("laser-steady"), Form::Gcode),
    ("desktop-laser", Some("tests/write/posts/wordy.yaml"), Form::Gcode),
    ("workshop-router", Some("router-mm"), Form::Gcode),
    ("workshop-router", Some("router-inch"), Form::Gcode),
    ("workshop-router", Some("router-lines"), Form::Gcode),
    ("workshop-router", Some("tests/write/posts/terse.yaml"), Form::Gcode),
];

fn corner(x: f64, y: f64, bulge: f64) -> Vertex {
    Vertex::new(x, y, bulge)
}

/// A rectangle with round corners.
fn plate(width: f64, height: f64, radius: f64) -> Outline {
    if radius < 0.5 {
        return Outline::rectangle(Rect::new(0.0, 0.0, width, height));
    }
    let (b, r) = (trig::tan(std::f64::consts::FRAC_PI_8), radius);
    Outline::new(vec![
        corner(r, 0.0, 0.0),
        corner(width - r, 0.0, b),
        corner(width, r, 0.0),
        corner(width, height - r, b),
        corner(width - r, height, 0.0),
        corner(r, height, b),
        corner(0.0, height - r, 0.0),
        corner(0.0, r, b),
    ])
    .unwrap()
}

fn angle(width: f64, height: f64, leg: f64) -> Outline {
    let points = [(0.0, 0.0), (width, 0.0), (width, leg), (leg, leg), (leg, height), (0.0, height)];
    Outline::polygon(&points).unwrap()
}

/// A rib: a straight lower side, an upper one of three arcs, a blunt tail.
fn rib(chord: f64, height: f64, bend: f64) -> Outline {
    Outline::new(vec![
        corner(0.0, 0.35 * height, bend),
        corner(0.04 * chord, 0.0, 0.0),
        corner(chord, 0.1 * height, 0.0),
        corner(chord, 0.3 * height, 0.5 * bend),
        corner(0.45 * chord, height, 0.5 * bend),
        corner(0.15 * chord, 0.9 * height, bend),
    ])
    .unwrap()
}

fn outline() -> impl Strategy<Value = Outline> {
    let (width, height) = (32.0..90.0, 18.0..40.0);
    prop_oneof![
        (width.clone(), height.clone(), 0.0..6.0).prop_map(|(w, h, r): (f64, f64, f64)| plate(w, h, r)),
        (width.clone(), height.clone(), 11.0..16.0).prop_map(|(w, h, leg): (f64, f64, f64)| angle(w, h, leg)),
        (width, height, 0.02..0.16).prop_map(|(w, h, b): (f64, f64, f64)| rib(w, h, b)),
        (10.0..20.0).prop_map(|r: f64| Outline::circle(Point::new(r, r), r)),
    ]
}

/// Some hole or none, where all of these outlines have material.
fn region() -> impl Strategy<Value = Region> {
    (outline(), prop::option::of(2.0..3.5_f64)).prop_map(|(outer, hole)| {
        let bounds = outer.bounds();
        let at = Point::new(bounds.x0 + 0.2 * bounds.width(), bounds.y0 + 0.45 * bounds.height());
        let fits = hole.filter(|r| outer.contains(at) && outer.distance(at) > r + 1.0);
        Region::new(outer, fits.map(|r| Outline::circle(at, r)).into_iter().collect())
    })
}

fn part(number: usize, region: Region, thickness_mm: f64) -> Part {
    let bounds = region.bounds();
    Part {
        cutting: Cutting::default(),
        id: format!("P{number}"),
        drawing: 0,
        layer: "PARTS".into(),
        at: Point::new(bounds.x0 + 0.6 * bounds.width(), bounds.y0 + 0.15 * bounds.height()),
        grain_deg: Some(0.0),
        wood: "balsa-medium".into(),
        thickness_mm,
        copies: 2,
        mirrored: 1,
        tabs: TabWish::Table,
        mark: number == 0,
        lying: grainwise::stages::job::Lying::default(),
        mass_g: 1.0,
        scores: Vec::new(),
        marks: Vec::new(),
        note: None,
        recesses: Vec::new(),
        region,
    }
}

/// One made file.
#[derive(Clone, Debug)]
struct Case {
    regions: Vec<Region>,
    thickness_mm: f64,
    form: usize,
    kerf_mm: f64,
    cutter_mm: f64,
}

fn case() -> impl Strategy<Value = Case> {
    let thickness = prop::sample::select(vec![1.0, 1.5, 2.0, 3.0, 5.0]);
    let cutter = prop::sample::select(vec![1.0, 1.5, 2.0, 3.175]);
    (prop::collection::vec(region(), 1..3), thickness, 0..FORMS.len(), 0.05..0.4, cutter).prop_map(
        |(regions, thickness_mm, form, kerf_mm, cutter_mm)| Case {
            regions,
            thickness_mm,
            form,
            kerf_mm,
            cutter_mm,
        },
    )
}

/// The file of a case; none where a detail is too small for the cutter.
fn made(case: &Case) -> Option<Good> {
    let (machine, post, form) = FORMS[case.form];
    let mut problems = Problems::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut shop = Shop::open(machine, post, root, &mut problems).unwrap();
    shop.machine.drawings = match form {
        Form::R2000 => vec![DrawingFormat::DxfR2000],
        Form::R12 => vec![DrawingFormat::DxfR12],
        Form::Svg => vec![DrawingFormat::Svg],
        Form::Gcode => Vec::new(),
    };
    let milled = machine == "workshop-router";
    let cutting = Cutting {
        kerf_mm: (!milled).then_some(case.kerf_mm),
        cutter_mm: milled.then_some(case.cutter_mm),
        ..Cutting::default()
    };
    let stock = Stock::new("balsa-medium".into(), case.thickness_mm, (600.0, 100.0));
    let drawings = vec![DrawingSource::of("plan.dxf".into())];
    let job = Job { machine: machine.into(), stock: vec![stock], cutting, drawings, ..Job::default() };
    let regions = case.regions.iter().cloned().enumerate();
    let parts: Vec<Part> = regions.map(|(i, region)| part(i, region, case.thickness_mm)).collect();
    let room = cut::room(&parts, &job, &shop, &mut problems);
    let layout = sheet::lay(&parts, &job, room, &mut problems);
    let sheets = cut::plan(&layout, &parts, &job, &shop, &Unwatched, &mut problems);
    if problems.stop() {
        return None;
    }
    let machine = shop.machine.clone();
    let kit = Kit { parts, layout, sheets, ..Kit::default() };
    Some(good("case", form, &Arc::new(Made { kit, job, shop }), machine))
}

fn errors(problems: Vec<Problem>) -> Vec<Problem> {
    problems.into_iter().filter(|problem| problem.severity == Severity::Error).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 80, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_made_proves_clean(case in case()) {
        let Some(good) = made(&case) else { return Err(TestCaseError::reject("too small for the cutter")) };
        let proof = good.proved(good.text.as_bytes());
        let found = errors(proof.problems);
        prop_assert!(found.is_empty(), "{:?}: {found:#?}", FORMS[case.form]);
        prop_assert!(proof.pieces.iter().all(|piece| piece.gouge.mm <= WITHIN_MM && piece.excess.mm <= WITHIN_MM));
    }

    #[test]
    fn a_cut_off_its_place_does_not(case in case(), which in any::<prop::sample::Index>(), off in 0.0..0.4_f64, way in 0..4_usize) {
        let Some(good) = made(&case) else { return Err(TestCaseError::reject("too small for the cutter")) };
        let mut steps = steps(good.sheet());
        let through: Vec<usize> = (0..steps.len()).filter(|i| steps[*i].is_through()).collect();
        let at = through[which.index(through.len())];
        let lines = FORMS[case.form].1 == Some("router-lines");
        let by = WITHIN_MM + ROUNDING_MM + if lines { LINES_MM } else { 0.0 } + off;
        // Along x or y there is an edge, a corner or a circle's side square to the way.
        let by = [Vec2::new(by, 0.0), Vec2::new(-by, 0.0), Vec2::new(0.0, by), Vec2::new(0.0, -by)][way];
        let hole = steps[at].cut.operation == Operation::CutInside;
        steps[at] = steps[at].shifted(by);
        let change = rewritten(&good, &steps, "off its place").unwrap();
        let found = errors(good.proved(&change.bytes).problems);
        prop_assert!(!found.is_empty(), "{:?}: by {by:?}, hole: {hole}", FORMS[case.form]);
    }
}
