//! The good files: a small kit, travelled from its drawing to every kind of file.

use std::fmt::Write as _;
use std::path::Path;
use std::sync::{Arc, LazyLock};

use grainwise::geometry::Segment;
use grainwise::problem::Problems;
use grainwise::shop::{DrawingFormat, Machine, Post, Shop};
use grainwise::stages::cut::SheetCuts;
use grainwise::stages::job::{self, Job};
use grainwise::stages::proof::read::Reading;
use grainwise::stages::proof::{self, FileProof, Limits, Plan, Source};
use grainwise::stages::{self, Kit, Unwatched, write};

use super::harm;

/// What a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Form {
    R2000,
    R12,
    Svg,
    Gcode,
}

/// A kit on its sheets, and what made it.
#[derive(Debug)]
pub(crate) struct Made {
    pub(crate) kit: Kit,
    pub(crate) job: Job,
    pub(crate) shop: Shop,
}

/// A file that is right, with everything that it is held against.
#[derive(Clone, Debug)]
pub(crate) struct Good {
    /// What it is called in the table: format or post.
    pub(crate) name: String,
    pub(crate) form: Form,
    pub(crate) text: String,
    /// The file of the other sheet.
    pub(crate) other: String,
    pub(crate) made: Arc<Made>,
    /// The machine, which takes this form only.
    pub(crate) machine: Machine,
    pub(crate) post: Option<Post>,
    pub(crate) plan: Arc<Plan>,
    limits: Limits,
}

/// A file with something changed in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Change {
    pub(crate) bytes: Vec<u8>,
    /// What was changed, for the one who has to find out why it slipped through.
    pub(crate) what: String,
}

impl Change {
    pub(crate) fn new(text: impl Into<String>, what: impl Into<String>) -> Self {
        Self { bytes: text.into().into_bytes(), what: what.into() }
    }
}

impl Good {
    /// The sheet that the file cuts.
    pub(crate) fn sheet(&self) -> &SheetCuts {
        &self.made.kit.sheets[0]
    }

    /// Whether a cutter makes it.
    pub(crate) fn milled(&self) -> bool {
        self.post.as_ref().is_some_and(|post| !post.drives_beam())
    }

    /// The sheet written in the form of this file; none where the writer refuses it.
    pub(crate) fn written(&self, sheet: &SheetCuts) -> Option<String> {
        let mut problems = Problems::new();
        let (parts, sheets) = (&self.made.kit.parts, std::slice::from_ref(sheet));
        let post = self.post.as_ref();
        let files = write::all(sheets, parts, &self.made.job, &self.machine, post, &mut problems);
        let file = files.into_iter().find(|file| file.sheet.is_some())?;
        problems.is_empty().then(|| String::from_utf8(file.bytes).unwrap())
    }

    /// The proof of these bytes under this file's name.
    pub(crate) fn proved(&self, bytes: &[u8]) -> FileProof {
        let source = Source { name: &self.name, bytes };
        let reading = Reading {
            machine: Some(&self.machine),
            post: self.post.as_ref(),
            limits: &self.limits,
            units: None,
            strict: true,
        };
        proof::judge(source, &reading, &self.plan)
    }

    /// Whether such a change of the paths is large enough to be a fault.
    pub(crate) fn harmed(&self, before: &[Segment], now: &[Segment]) -> bool {
        harm::of(before, now, &self.plan) >= harm::FAULT_MM
    }
}

const JOB: &str = "
title: Fenwren, a kit to spoil
machine: MACHINE
drawings: [parts.dxf]
layers: {cut: [PARTS], score: [SCORE], mark: [MARK]}
parts:
  - {name: R1, wood: balsa-medium, thickness: 2, pairs: 1}
  - {name: [F1, D1], wood: balsa-medium, thickness: 2}
  - {name: B1, wood: balsa-medium, thickness: 3}
stock:
  - {wood: balsa-medium, thickness: 2, sheet: 260x80, count: 1}
  - {wood: balsa-medium, thickness: 3, sheet: 260x80, count: 1}
cutting: {CUTTING}
";

/// An entity's groups, written `8 PARTS|10 0|20 0`.
fn groups(text: &mut String, groups: &str) {
    for group in groups.split('|') {
        let (code, value) = group.split_once(' ').unwrap();
        let _ = write!(text, "{code}\n{value}\n");
    }
}

fn polyline(text: &mut String, layer: &str, closed: bool, corners: &[(f64, f64, f64)]) {
    let closed = u8::from(closed);
    groups(text, &format!("0 LWPOLYLINE|8 {layer}|90 {}|70 {closed}", corners.len()));
    for (x, y, bulge) in corners {
        groups(text, &format!("10 {x}|20 {y}|42 {bulge}"));
    }
}

fn named(text: &mut String, x: f64, y: f64, name: &str) {
    groups(text, &format!("0 TEXT|8 PARTS|10 {x}|20 {y}|40 2|1 {name}"));
}

fn circle(text: &mut String, x: f64, y: f64, radius: f64) {
    groups(text, &format!("0 CIRCLE|8 PARTS|10 {x}|20 {y}|40 {radius}"));
}

/// A rib with a notch, a hole, a slot, a score and a mark; a former with a round head; a disc; a plate.
fn drawing() -> String {
    let mut text = String::new();
    groups(
        &mut text,
        "0 SECTION|2 HEADER|9 $ACADVER|1 AC1015|9 $INSUNITS|70 4|0 ENDSEC|0 SECTION|2 ENTITIES",
    );
    let rib = [
        (0.0, 4.0, 0.0),
        (3.0, 0.0, 0.0),
        (30.0, 0.0, 0.0),
        (30.0, 4.0, 0.0),
        (33.0, 4.0, 0.0),
        (33.0, 0.0, 0.0),
        (80.0, 2.0, 0.0),
        (80.0, 5.0, 0.05),
        (45.0, 14.0, 0.08),
        (15.0, 15.0, 0.12),
    ];
    polyline(&mut text, "PARTS", true, &rib);
    circle(&mut text, 19.0, 8.0, 3.0);
    let slot = [(42.0, 4.5, 0.0), (50.0, 4.5, 1.0), (50.0, 9.5, 0.0), (42.0, 9.5, 1.0)];
    polyline(&mut text, "PARTS", true, &slot);
    polyline(&mut text, "SCORE", false, &[(57.0, 7.0, 0.0), (72.0, 6.0, 0.0)]);
    polyline(&mut text, "MARK", false, &[(57.0, 4.0, 0.0), (64.0, 4.0, 0.3), (70.0, 4.5, 0.0)]);
    named(&mut text, 34.0, 8.0, "R1");
    let former = [(100.0, 0.0, 0.0), (130.0, 0.0, 0.0), (130.0, 20.0, 1.0), (100.0, 20.0, 0.0)];
    polyline(&mut text, "PARTS", true, &former);
    let window = [(106.0, 5.0, 0.0), (114.0, 5.0, 0.0), (114.0, 17.0, 0.0), (106.0, 17.0, 0.0)];
    polyline(&mut text, "PARTS", true, &window);
    circle(&mut text, 122.0, 10.0, 2.5);
    polyline(&mut text, "SCORE", false, &[(104.0, 22.0, 0.0), (126.0, 22.0, 0.0)]);
    named(&mut text, 115.0, 27.0, "F1");
    circle(&mut text, 150.0, 10.0, 7.0);
    circle(&mut text, 152.5, 10.0, 1.5);
    named(&mut text, 145.0, 8.0, "D1");
    let plate = [(170.0, 0.0, 0.0), (195.0, 0.0, 0.0), (195.0, 18.0, 0.0), (170.0, 16.0, 0.0)];
    polyline(&mut text, "PARTS", true, &plate);
    circle(&mut text, 176.0, 6.0, 2.0);
    named(&mut text, 182.0, 10.0, "B1");
    groups(&mut text, "0 ENDSEC|0 EOF");
    text
}

/// The kit on a machine, by a post where it takes G-code.
fn travelled(machine: &str, post: Option<&Path>, cutting: &str) -> Arc<Made> {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("parts.dxf"), drawing()).unwrap();
    let text = JOB.replace("MACHINE", machine).replace("CUTTING", cutting);
    let mut problems = Problems::new();
    let job = job::parse(&text, "job.yaml", folder.path(), &mut problems).unwrap();
    let post = post.map(|post| post.to_str().unwrap());
    let mut shop = Shop::open(machine, post, folder.path(), &mut problems).unwrap();
    if post.is_none() {
        shop.machine.drawings = vec![DrawingFormat::DxfR2000, DrawingFormat::DxfR12, DrawingFormat::Svg];
    }
    let kit = stages::travel(&job, &shop, &Unwatched, &mut problems);
    assert!(!problems.stop() && kit.sheets.len() == 2, "{problems:#?}");
    Arc::new(Made { kit, job, shop })
}

/// A file of the first sheet of a kit, written in this form.
pub(crate) fn good(name: &str, form: Form, made: &Arc<Made>, machine: Machine) -> Good {
    let (kit, post) = (&made.kit, made.shop.post.clone());
    let plan = Arc::new(Plan::of(&kit.sheets[0], &kit.parts));
    let limits = Limits::of_sheet(&machine, &kit.sheets[0]);
    let (text, other) = (String::new(), String::new());
    let mut good =
        Good { name: name.into(), form, text, other, made: made.clone(), machine, post, plan, limits };
    good.text = good.written(&kit.sheets[0]).unwrap();
    good.other = kit.sheets.get(1).map(|sheet| good.written(sheet).unwrap()).unwrap_or_default();
    good
}

fn drawn() -> Vec<Good> {
    let made = travelled("makerspace-laser", None, "");
    let formats = [
        ("dxf-r2000", Form::R2000, DrawingFormat::DxfR2000),
        ("dxf-r12", Form::R12, DrawingFormat::DxfR12),
        ("svg", Form::Svg, DrawingFormat::Svg),
    ];
    let one = |(name, form, format)| {
        good(name, form, &made, Machine { drawings: vec![format], ..made.shop.machine.clone() })
    };
    formats.into_iter().map(one).collect()
}

fn programs() -> Vec<Good> {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/write/posts");
    let (ramps, laser) = (("workshop-router", "cutter: 1.5"), ("desktop-laser", ""));
    let plunges = ("workshop-router", "cutter: 1.5, ramp: 90, helix: 90, lead: 0, tab_shape: ramped");
    let finished = ("workshop-router", "cutter: 1.5, finish: 0.15, skin: 0.2");
    let posts = [
        (ramps, "router-mm".into()),
        (plunges, "router-inch".into()),
        (plunges, "router-lines".into()),
        (finished, own.join("terse.yaml")),
        (laser, "laser-scaled".into()),
        (laser, "laser-steady".into()),
        (laser, own.join("wordy.yaml")),
    ];
    let one = |((machine, cutting), post): ((&str, &str), std::path::PathBuf)| {
        let made = travelled(machine, Some(&post), cutting);
        let name = post.file_stem().unwrap().to_str().unwrap();
        good(name, Form::Gcode, &made, made.shop.machine.clone())
    };
    posts.into_iter().map(one).collect()
}

static GOOD: LazyLock<Vec<Good>> = LazyLock::new(|| drawn().into_iter().chain(programs()).collect());

/// Every good file.
pub(crate) fn all() -> &'static [Good] {
    &GOOD
}
