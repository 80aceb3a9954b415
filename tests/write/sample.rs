//! A small kit on two sheets, with everything that a file can hold: lines, arcs, circles, tabs, marks, scores, both
//! hands; and machines to cut it.

use std::path::PathBuf;
use std::sync::LazyLock;

use grainwise::geometry::{Chain, Outline, Placement, Point, Rect, Region, Vec2, Vertex};
use grainwise::problem::Problems;
use grainwise::shop::{
    Cutter, DrawingFormat, LaserCraft, LaserSetting, LayerStyle, Layers, Machine, Post, RouterCraft,
    RouterSetting, Tool,
};
use grainwise::stages::cut::{Craft, Cut, Lead, Move, Operation, Path, Settings, SheetCuts, Steps, Tab};
use grainwise::stages::job::{Cutting, Job, LayerRules, PartRule, TabWish};
use grainwise::stages::part::Part;
use grainwise::stages::sheet::{Placed, Sheet};
use grainwise::stages::write::{self, Written};

pub(crate) fn job() -> Job {
    Job {
        title: "Fenwren, a trial".into(),
        file: None,
        folder: PathBuf::from("."),
        drawings: Vec::new(),
        layers: LayerRules::default(),
        parts: None,
        default_part: PartRule::default(),
        stock: Vec::new(),
        machine: "trial".into(),
        post: None,
        cutting: Cutting::default(),
        join_mm: 0.05,
        tolerance_mm: 0.01,
        seed: 1,
        ..Job::default()
    }
}

/// A rounded plate with a round hole.
fn plate() -> Region {
    let b = (std::f64::consts::FRAC_PI_8).tan();
    let corners = [
        (2.0, 0.0, 0.0),
        (38.0, 0.0, b),
        (40.0, 2.0, 0.0),
        (40.0, 18.0, b),
        (38.0, 20.0, 0.0),
        (2.0, 20.0, b),
        (0.0, 18.0, 0.0),
        (0.0, 2.0, b),
    ];
    let outer = Outline::new(corners.iter().map(|&(x, y, b)| Vertex::new(x, y, b)).collect()).unwrap();
    Region::new(outer, vec![Outline::circle(Point::new(12.0, 10.0), 4.0)])
}

pub(crate) fn part(id: &str, mirrored: u32) -> Part {
    let region = plate();
    Part {
        id: id.into(),
        drawing: 0,
        layer: "parts".into(),
        at: Point::new(30.0, 10.0),
        grain_deg: Some(0.0),
        wood: "balsa-medium".into(),
        thickness_mm: 2.5,
        copies: 2,
        mirrored,
        tabs: TabWish::Table,
        cutting: Cutting::default(),
        mark: true,
        lying: grainwise::stages::job::Lying::default(),
        mass_g: region.area() * 2.5 * 160.0 * 1e-6,
        scores: Vec::new(),
        marks: Vec::new(),
        note: None,
        recesses: Vec::new(),
        region,
    }
}

fn chain(points: &[(f64, f64, f64)]) -> Chain {
    Chain::new(points.iter().map(|&(x, y, b)| Vertex::new(x, y, b)).collect()).unwrap()
}

/// The cuts of one piece: mark, score, hole, outline with two tabs.
fn cuts_of(placed: usize, placement: &Placement) -> Vec<Cut> {
    let plate = plate();
    let open = |points: &[(f64, f64, f64)]| Path::Open(chain(points).placed(placement));
    let cut = |operation, path, tabs| Cut {
        operation,
        placed,
        path,
        tabs,
        lead: Lead::default(),
        rough: None,
        depth_mm: None,
    };
    let tab = |from_mm: f64| Tab { from_mm, to_mm: from_mm + 1.5, height_mm: 1.0 };
    vec![
        cut(
            Operation::Mark,
            open(&[(20.0, 9.0, 0.0), (24.0, 9.0, 1.0), (24.0, 11.0, 0.0), (20.0, 11.0, 0.0)]),
            vec![],
        ),
        cut(Operation::Score, open(&[(20.0, 3.0, 0.0), (36.0, 3.0, 0.0)]), vec![]),
        cut(Operation::CutInside, Path::Closed(plate.holes()[0].placed(placement)), vec![]),
        cut(Operation::CutOutside, Path::Closed(plate.outer().placed(placement)), vec![tab(20.0), tab(70.0)]),
    ]
}

/// Settings of a laser.
pub(crate) const LASER: Settings = Settings::Laser(LaserSetting {
    feed_mm_min: 600.0,
    power: 0.55,
    passes: 1,
    kerf_mm: 0.15,
    inside_more_mm: 0.0,
    mark_feed_mm_min: 3000.0,
    mark_power: 0.12,
    score_feed_mm_min: 1500.0,
    score_power: 0.2,
});

/// Settings of a router.
pub(crate) const ROUTER: Settings = Settings::Router(RouterSetting {
    rpm: 18_000.0,
    feed_mm_min: 900.0,
    finish_feed_mm_min: 900.0,
    plunge_mm_min: 300.0,
    pass_mm: 3.0,
    overcut_mm: 0.3,
    mark_depth_mm: 0.3,
    score_depth: 0.4,
});

/// Nothing beyond what goes without saying.
fn craft(settings: Settings) -> Craft {
    if settings == LASER {
        Craft::Laser(LaserCraft::default())
    } else {
        Craft::Router(RouterCraft::default())
    }
}

/// One sheet with these pieces on it.
pub(crate) fn sheet(number: usize, placed: Vec<Placed>, settings: Settings) -> SheetCuts {
    let cuts: Vec<Cut> = placed.iter().enumerate().flat_map(|(i, p)| cuts_of(i, &p.placement)).collect();
    let kerf_mm = if settings == LASER { 0.15 } else { 1.5 };
    let sheet = Sheet {
        number,
        wood: "balsa-medium".into(),
        thickness_mm: 2.5,
        length_mm: 1000.0,
        width_mm: 100.0,
        placed,
        ..Sheet::default()
    };
    SheetCuts {
        moves: moves(&cuts, settings),
        sheet,
        kerf_mm,
        settings,
        craft: craft(settings),
        cuts,
        cut_length_mm: 812.5,
        travel_length_mm: 99.0,
        time_s: 125.4,
        steps_s: Steps::default(),
    }
}

fn placed(part: usize, copy: u32, mirrored: bool, x: f64, y: f64) -> Placed {
    let placement =
        Placement { mirrored, turn_deg: if mirrored { 180.0 } else { 0.0 }, shift: Vec2::new(x, y) };
    Placed { part, copy, placement }
}

/// The kit: two parts, three pieces, two sheets.
pub(crate) fn kit(settings: Settings) -> (Vec<SheetCuts>, Vec<Part>) {
    let parts = vec![part("R1", 1), part("Rippe größer ☺", 0)];
    let first = sheet(1, vec![placed(0, 1, false, 10.0, 10.0), placed(0, 2, true, 60.0, 30.5)], settings);
    let second = sheet(2, vec![placed(1, 1, false, 5.0, 5.0)], settings);
    (vec![first, second], parts)
}

/// Moves for the cuts, tabs left out: the simplest that are right.
fn moves(cuts: &[Cut], settings: Settings) -> Vec<Move> {
    let mut moves = Vec::new();
    for cut in cuts {
        let segments: Vec<_> = match &cut.path {
            Path::Closed(outline) => outline.segments().collect(),
            Path::Open(chain) => chain.segments().collect(),
        };
        let from = segments[0].from;
        moves.push(Move::Begin { operation: cut.operation, part: "R1".into() });
        let router = settings == ROUTER;
        let (up, down) = if router { (3.0, -2.8) } else { (0.0, 0.0) };
        moves.push(Move::Rapid { to: from, z: up });
        let feed = if cut.operation == Operation::Mark { 3000.0 } else { 600.0 };
        if router {
            moves.push(Move::Line { to: from, z: down, feed: 300.0 });
        } else {
            moves.push(Move::Beam { power: if cut.operation == Operation::Mark { 0.125 } else { 0.55 } });
        }
        for segment in &segments {
            moves.push(match segment.centre() {
                None => Move::Line { to: segment.to, z: down, feed },
                Some(centre) => Move::Arc {
                    to: segment.to,
                    z: down,
                    centre,
                    counter_clockwise: segment.bulge > 0.0,
                    feed,
                },
            });
        }
        if router {
            moves.push(Move::Dwell { seconds: 0.25 });
            moves.push(Move::Rapid { to: segments[segments.len() - 1].to, z: up });
        } else {
            moves.push(Move::BeamOff);
        }
    }
    moves
}

fn layers() -> Layers {
    let style = |name: &str, dxf_colour, svg_colour: &str| LayerStyle {
        name: name.into(),
        dxf_colour,
        svg_colour: svg_colour.into(),
    };
    Layers {
        cut_inside: style("cut-inside", 1, "#d55e00"),
        cut_outside: style("cut-outside", 5, "#0072b2"),
        score: style("score", 3, "#009e73"),
        mark: style("mark", 6, "#cc79a7"),
    }
}

/// A laser that takes every drawing.
pub(crate) fn laser() -> Machine {
    Machine {
        name: "trial-laser".into(),
        about: String::new(),
        reach_mm: [1100.0, 600.0, 0.0],
        rapid_mm_min: 12_000.0,
        acceleration_mm_s2: 1000.0,
        tool: Tool::Laser { power_w: 60.0 },
        drawings: vec![DrawingFormat::DxfR12, DrawingFormat::DxfR2000, DrawingFormat::Svg],
        post: None,
        layers: layers(),
        spacing_mm: 2.0,
        margin_mm: 3.0,
    }
}

/// A router.
pub(crate) fn router() -> Machine {
    let cutters = vec![Cutter { diameter_mm: 1.5, flutes: 2, flute_length_mm: 6.0 }];
    Machine {
        name: "trial-router".into(),
        reach_mm: [1100.0, 400.0, 60.0],
        tool: Tool::Router { min_rpm: 8000.0, max_rpm: 24_000.0, clearance_mm: 3.0, cutters },
        drawings: Vec::new(),
        ..laser()
    }
}

/// The post by its name or path, without a problem.
pub(crate) fn post(name: &str) -> Post {
    let mut problems = Problems::new();
    let folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/write/posts"));
    let post = Post::open(name, &folder, &mut problems);
    assert!(problems.is_empty(), "{problems:#?}");
    post.unwrap()
}

static POSTS: LazyLock<Vec<Post>> = LazyLock::new(|| {
    let own = ["terse.yaml", "wordy.yaml"].map(str::to_owned);
    Post::shipped().into_iter().chain(own).map(|name| post(&name)).collect()
});

/// Every post that is tried: the shipped ones and the two test dialects.
pub(crate) fn posts() -> Vec<Post> {
    POSTS.clone()
}

/// The kit as this post writes it.
pub(crate) fn written(post: &Post) -> Vec<Written> {
    let (settings, machine) = if post.drives_beam() { (LASER, laser()) } else { (ROUTER, router()) };
    let machine = Machine { drawings: Vec::new(), ..machine };
    let (sheets, parts) = kit(settings);
    let mut problems = Problems::new();
    let files = write::all(&sheets, &parts, &job(), &machine, Some(post), &mut problems);
    assert!(problems.is_empty(), "{}: {problems:#?}", post.name);
    files
}

/// One program that runs these moves on the trial machine, or the problems.
pub(crate) fn program(post: &Post, moves: Vec<Move>) -> Result<String, Problems> {
    let (settings, machine) = if post.drives_beam() { (LASER, laser()) } else { (ROUTER, router()) };
    let machine = Machine { drawings: Vec::new(), ..machine };
    let (mut sheets, parts) = kit(settings);
    sheets.truncate(1);
    sheets[0].moves = moves;
    let mut problems = Problems::new();
    let files = write::all(&sheets, &parts, &job(), &machine, Some(post), &mut problems);
    if problems.is_empty() { Ok(String::from_utf8(files[0].bytes.clone()).unwrap()) } else { Err(problems) }
}

/// The bounds of a rectangle as a closed path.
pub(crate) fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Path {
    Path::Closed(Outline::rectangle(Rect::new(x0, y0, x1, y1)))
}
