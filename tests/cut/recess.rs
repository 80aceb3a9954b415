//! Recesses: pockets, halving joints, slots part of the way, cleared by a cutter, read back and held against the plan.

use std::path::Path as FilePath;

use grainwise::geometry::{Outline, Point, Region, Segment};
use grainwise::problem::Problems;
use grainwise::shop::{RouterSetting, RouterWish, Shop};
use grainwise::stages::cut::{Move, Operation, Settings, SheetCuts};
use grainwise::stages::job::{Cutting, Job, parse};
use grainwise::stages::part::{Part, Recess};
use grainwise::stages::proof::{self, FileProof, Source};
use grainwise::stages::watch::Unwatched;
use grainwise::stages::{Kit, drawing, travel_unseen, write};

use super::support::{
    as_drawn, circle, codes, job_with, length, part, plan, planned, polygon, rectangle, shop, solid,
};

const CUTTER: f64 = 2.0;
const RADIUS: f64 = CUTTER / 2.0;

fn job() -> Job {
    job_with(Cutting { cutter_mm: Some(CUTTER), ..Cutting::default() })
}

fn plate(recess: Region, depth_mm: f64) -> Part {
    let recesses = vec![Recess { region: recess, depth_mm }];
    Part { recesses, at: Point::new(22.0, 22.0), ..part("A", solid(rectangle(20.0, 20.0, 120.0, 60.0))) }
}

/// A pocket of 30 by 20 mm within the plate.
fn pocket(depth_mm: f64) -> Part {
    plate(solid(rectangle(50.0, 30.0, 80.0, 50.0)), depth_mm)
}

/// A slot across the plate, drawn just to its edges: half of a halving joint.
fn halving(depth_mm: f64) -> Part {
    plate(solid(rectangle(60.0, 20.0, 66.0, 60.0)), depth_mm)
}

fn setting(sheet: &SheetCuts) -> RouterSetting {
    let Settings::Router(setting) = sheet.settings else { panic!("a beam") };
    setting
}

/// What the moves of recesses cut, with the height at both ends.
fn recess_cuts(sheet: &SheetCuts) -> Vec<(Segment, [f64; 2])> {
    let (mut at, mut height, mut what) = (Point::ORIGIN, 5.0, Operation::Mark);
    let mut cuts = Vec::new();
    for step in &sheet.moves {
        let (segment, z, cuts_here) = match *step {
            Move::Begin { operation, .. } => {
                what = operation;
                continue;
            }
            Move::Rapid { to, z } => (Segment::line(at, to), z, false),
            Move::Line { to, z, .. } => (Segment::line(at, to), z, true),
            Move::Arc { to, z, centre, counter_clockwise, .. } => {
                (Segment::about(at, to, centre, counter_clockwise), z, true)
            }
            _ => continue,
        };
        if cuts_here && what == Operation::Recess && z.min(height) < 0.0 {
            cuts.push((segment, [height, z]));
        }
        (at, height) = (segment.to, z);
    }
    cuts
}

/// Places of a grid over the part: each must be cut to the floor if it lies in the recess and a disc that touches nothing
/// of the rest could reach it, and left alone if it lies in the rest.
fn check_floor(part: &Part, sheet: &SheetCuts, corner: f64) {
    let recess = &part.recesses[0];
    let floor: Vec<Segment> = recess_cuts(sheet)
        .into_iter()
        .filter(|(_, z)| z.iter().all(|z| (z + recess.depth_mm).abs() < 1e-9))
        .map(|(segment, _)| segment)
        .collect();
    let all: Vec<Segment> = recess_cuts(sheet).into_iter().map(|(segment, _)| segment).collect();
    let nearest = |cuts: &[Segment], at: Point| {
        cuts.iter().map(|segment| segment.nearest(at).1).fold(f64::INFINITY, f64::min)
    };
    let bounds = part.region.bounds();
    let (mut within, mut beside) = (0, 0);
    let step = 0.37;
    for i in 0..(bounds.width() / step) as usize {
        for j in 0..(bounds.height() / step) as usize {
            let at = Point::new(bounds.x0 + step * (i as f64 + 0.5), bounds.y0 + step * (j as f64 + 0.5));
            if !part.region.contains(at) {
                continue;
            }
            let mut corners = recess.region.outlines().flat_map(Outline::vertices);
            let in_corner = corners.any(|v| v.at.distance(at) < corner);
            if recess.region.contains(at) {
                within += 1;
                let off = nearest(&floor, at);
                assert!(off <= RADIUS + 0.003 || in_corner, "{at:?} is {off} from the floor's cuts");
            } else {
                beside += 1;
                assert!(nearest(&all, at) >= RADIUS - 0.003, "{at:?} is cut");
            }
        }
    }
    assert!(within > 50 && beside > 50, "{within} {beside}");
}

#[test]
fn a_pocket_is_cleared_to_its_depth_and_nothing_beside_it() {
    let part = pocket(1.3);
    let sheet = planned(std::slice::from_ref(&part), &job(), &shop("workshop-router"));
    check_floor(&part, &sheet, RADIUS);
    let lowest = recess_cuts(&sheet).iter().map(|(_, z)| z[0].min(z[1])).fold(0.0, f64::min);
    assert!((lowest + 1.3).abs() < 1e-9);
    // Equal passes, none deeper than the table allows.
    let pass = setting(&sheet).pass_mm;
    let mut heights: Vec<i64> = recess_cuts(&sheet)
        .iter()
        .filter(|(s, z)| s.length() > 0.0 && z[0] == z[1])
        .map(|(_, z)| (z[1] * -1e6).round() as i64)
        .collect();
    heights.sort_unstable();
    heights.dedup();
    let passes = (1.3 / pass).ceil();
    assert_eq!(heights.len(), passes as usize);
    assert_eq!(heights[0], (1.3e6 / passes).round() as i64);
}

/// A round pocket of diameter D under a cutter of d: circles of radius (D - d) / 2 - k s for every k that leaves one, and
/// the steps of length s between them. By geometry.
#[test]
fn the_way_over_a_round_pocket_is_as_long_as_its_circles_and_steps() {
    let part = plate(solid(circle(70.0, 40.0, 9.0)), 1.0);
    let router = RouterWish { helix_deg: Some(3.0), ..RouterWish::default() };
    let job = job_with(Cutting { cutter_mm: Some(CUTTER), router, ..Cutting::default() });
    let sheet = planned(&[part], &job, &shop("workshop-router"));
    let cuts: Vec<_> = sheet.cuts.iter().filter(|c| c.operation == Operation::Recess).collect();
    assert_eq!(cuts.len(), 1);
    let step = 0.4 * CUTTER;
    let radii: Vec<f64> =
        (0..100).map(|k| 9.0 - RADIUS - f64::from(k) * step).take_while(|r| *r > 1e-6).collect();
    let circles: f64 = radii.iter().map(|r| 2.0 * std::f64::consts::PI * r).sum();
    // The innermost ground is narrower than a step: no loop lies in it.
    let expected = circles + step * (radii.len() - 1) as f64;
    assert!((length(cuts[0]) - expected).abs() < 0.02, "{} {expected}", length(cuts[0]));
    // Round pockets are entered on a helix no steeper than asked: rise over run by geometry.
    let slopes = recess_cuts(&sheet).into_iter().filter(|(s, z)| z[1] < z[0] - 1e-9 && s.length() > 1e-6);
    let steepest = slopes.map(|(s, z)| ((z[0] - z[1]) / s.length()).atan().to_degrees()).fold(0.0, f64::max);
    assert!(steepest > 2.0 && steepest < 3.0 + 1e-6, "{steepest}");
}

#[test]
fn a_halving_joint_runs_out_over_both_edges() {
    let part = halving(1.5);
    let sheet = planned(std::slice::from_ref(&part), &job(), &shop("workshop-router"));
    check_floor(&part, &sheet, 0.0);
    let cuts = recess_cuts(&sheet);
    let low = cuts.iter().map(|(s, _)| s.from.y.min(s.to.y)).fold(f64::INFINITY, f64::min);
    let high = cuts.iter().map(|(s, _)| s.from.y.max(s.to.y)).fold(0.0, f64::max);
    assert!((low - (20.0 - RADIUS / 2.0)).abs() < 0.02, "{low}");
    assert!((high - (60.0 + RADIUS / 2.0)).abs() < 0.02, "{high}");
}

/// A lap at the end of a strip, drawn larger than the strip; a slanted slot; an island; a curved edge.
#[test]
fn recesses_of_many_shapes_are_cleared() {
    let island = Region::new(rectangle(50.0, 26.0, 90.0, 54.0), vec![circle(70.0, 40.0, 4.0)]);
    let slanted = polygon(&[(40.0, 15.0), (48.0, 15.0), (68.0, 65.0), (60.0, 65.0)]);
    let shapes = [
        solid(rectangle(90.0, 10.0, 130.0, 70.0)),
        solid(rectangle(90.0, 20.0, 120.0, 60.0)),
        solid(slanted),
        island,
        solid(rectangle(55.0, 45.0, 62.0, 60.0)),
        solid(circle(70.0, 60.0, 12.0)),
    ];
    for shape in shapes {
        let part = plate(shape, 1.5);
        let sheet = planned(std::slice::from_ref(&part), &job(), &shop("workshop-router"));
        check_floor(&part, &sheet, 1.2 * RADIUS);
        let files = proved(std::slice::from_ref(&part), &[sheet], &shop("workshop-router"));
        assert_eq!(errors(&files), Vec::<&str>::new(), "{:?}", files[0].problems);
    }
}

#[test]
fn recesses_come_before_holes_and_outlines_and_climb_with_the_wall_on_the_right() {
    let mut part = pocket(1.0);
    part.region = Region::new(part.region.outer().clone(), vec![circle(100.0, 40.0, 5.0)]);
    let sheet = planned(&[part], &job(), &shop("workshop-router"));
    let first_through = sheet.cuts.iter().position(|c| c.operation == Operation::CutInside).unwrap();
    let last_recess = sheet.cuts.iter().rposition(|c| c.operation == Operation::Recess).unwrap();
    assert!(last_recess < first_through);
    // The last loop of a pocket runs counter-clockwise: twice its area is positive.
    let cut = &sheet.cuts[last_recess];
    let all = super::support::segments(cut);
    let wall: Vec<&Segment> = all.iter().rev().take(4).collect();
    let turn: f64 = wall.iter().map(|s| (s.from - Point::new(65.0, 40.0)).cross(s.to - s.from)).sum();
    assert!(turn > 0.0, "{turn}");
}

#[test]
fn the_overlap_of_the_loops_can_be_set() {
    let wide = |overlap: f64| {
        let router = RouterWish { overlap: Some(overlap), ..RouterWish::default() };
        let job = job_with(Cutting { cutter_mm: Some(CUTTER), router, ..Cutting::default() });
        let sheet = planned(&[pocket(1.0)], &job, &shop("workshop-router"));
        let cuts = sheet.cuts.iter().filter(|c| c.operation == Operation::Recess);
        cuts.map(length).sum::<f64>()
    };
    // Twice as many loops where they lie half as far apart.
    let ratio = wide(0.75) / wide(0.5);
    assert!((1.6..2.4).contains(&ratio), "{ratio}");
}

#[test]
fn a_beam_refuses_a_recess_and_a_cutter_one_too_narrow() {
    let (_, problems) = plan(&as_drawn(&[pocket(1.0)]), &[pocket(1.0)], &job(), &shop("makerspace-laser"));
    assert!(codes(&problems).contains(&"recess-by-beam"), "{problems:?}");
    for narrow in [rectangle(50.0, 30.0, 51.9, 50.0), rectangle(50.0, 30.0, 51.9, 60.0)] {
        let part = plate(solid(narrow), 1.0);
        let parts = std::slice::from_ref(&part);
        let (_, problems) = plan(&as_drawn(parts), parts, &job(), &shop("workshop-router"));
        assert!(codes(&problems).contains(&"too-narrow"), "{problems:?}");
    }
}

fn proved(parts: &[Part], sheets: &[SheetCuts], shop: &Shop) -> Vec<FileProof> {
    let mut problems = Problems::new();
    let files = write::all(sheets, parts, &job(), &shop.machine, shop.post.as_ref(), &mut problems);
    assert!(!problems.stop(), "{problems:?}");
    let cut = files.iter().filter_map(|f| Some((Source { name: &f.name, bytes: &f.bytes }, f.sheet?)));
    proof::prove(&cut.collect::<Vec<_>>(), sheets, parts, shop).files
}

fn errors(files: &[FileProof]) -> Vec<&'static str> {
    let all = files.iter().flat_map(|file| &file.problems);
    all.filter(|p| p.severity == grainwise::problem::Severity::Error).map(|p| p.code).collect()
}

/// The file of one part held against the plan of another.
fn held_against(cut: &Part, wanted: &Part) -> Vec<&'static str> {
    let shop = shop("workshop-router");
    let made = planned(std::slice::from_ref(cut), &job(), &shop);
    let mut problems = Problems::new();
    let files = write::all(
        std::slice::from_ref(&made),
        std::slice::from_ref(cut),
        &job(),
        &shop.machine,
        shop.post.as_ref(),
        &mut problems,
    );
    let sheet = planned(std::slice::from_ref(wanted), &job(), &shop);
    let cut = files.iter().filter_map(|f| Some((Source { name: &f.name, bytes: &f.bytes }, f.sheet?)));
    errors(&proof::prove(&cut.collect::<Vec<_>>(), &[sheet], std::slice::from_ref(wanted), &shop).files)
}

#[test]
fn what_is_cut_as_planned_is_right() {
    for part in [pocket(1.5), halving(1.5), pocket(0.4)] {
        let shop = shop("workshop-router");
        let sheet = planned(std::slice::from_ref(&part), &job(), &shop);
        let files = proved(&[part], &[sheet], &shop);
        assert_eq!(errors(&files), Vec::<&str>::new(), "{:?}", files[0].problems);
    }
}

#[test]
fn a_recess_that_is_not_as_planned_is_told() {
    let plain = Part { recesses: Vec::new(), ..pocket(1.0) };
    let moved = |by: f64| plate(solid(rectangle(50.0 + by, 30.0, 80.0 + by, 50.0)), 1.5);
    let sized = |by: f64| plate(solid(rectangle(50.0 - by, 30.0 - by, 80.0 + by, 50.0 + by)), 1.5);
    let with_island = Region::new(rectangle(50.0, 30.0, 80.0, 50.0), vec![circle(65.0, 40.0, 3.0)]);
    let cases = vec![
        ("missing", plain.clone(), pocket(1.5), "recess-missing"),
        ("too shallow", pocket(1.45), pocket(1.5), "recess-shallow"),
        ("too deep", pocket(1.55), pocket(1.5), "odd-setting"),
        ("moved to one side", moved(0.05), pocket(1.5), "recess-large"),
        ("too large", sized(0.03), pocket(1.5), "recess-large"),
        ("too small", sized(-0.03), pocket(1.5), "recess-small"),
        ("an island left on the floor", plate(with_island.clone(), 1.5), pocket(1.5), "recess-floor"),
        ("an island milled away", pocket(1.5), plate(with_island, 1.5), "recess-large"),
        ("one that nobody wants", pocket(1.5), plain, "odd-setting"),
        (
            "open where it is closed",
            plate(solid(rectangle(60.0, 40.0, 66.0, 60.0)), 1.5),
            plate(solid(rectangle(60.0, 40.0, 66.0, 55.0)), 1.5),
            "odd-setting",
        ),
        (
            "closed where it is open",
            plate(solid(rectangle(60.0, 40.0, 66.0, 59.0)), 1.5),
            plate(solid(rectangle(60.0, 40.0, 66.0, 60.0)), 1.5),
            "recess-small",
        ),
    ];
    for (name, cut, wanted, code) in cases {
        let told = held_against(&cut, &wanted);
        assert!(told.contains(&code), "{name}: {told:?}");
    }
}

/// A strip of 100 x 20 mm with half a halving joint and a slot on it, from the job's own words to what is read back.
fn journey(layers: &str, holes: &str, cutting: &str) -> (Kit, Problems) {
    let text = format!(
        "machine: workshop-router\n{layers}\n\
         measured: [{{ name: S, rectangle: [100, 20], grain: 0, holes: [{holes}] }}]\n\
         parts: [{{ name: S, wood: light-ply, thickness: 3, flip: true }}]\n\
         stock: [{{ wood: light-ply, thickness: 3, sheet: 200x100, measured: 2.9 }}]\n\
         cutting: {{ cutter: 1.5{cutting} }}\n"
    );
    let mut problems = Problems::new();
    let job = parse(&text, "job.yaml", FilePath::new("."), &mut problems).unwrap();
    assert!(!problems.stop(), "{problems:?}");
    let kit = travel_unseen(&job, &shop("workshop-router"), &Unwatched, &mut problems);
    (kit, problems)
}

const LAP: &str = "{ rectangle: [3, 20], at: [50, 10], depth: half }";

#[test]
fn half_is_half_of_the_wood_as_measured_and_the_part_lies_face_up() {
    let (kit, problems) = journey("", LAP, "");
    assert!(!problems.stop() && kit.proof.ok(), "{problems:?}");
    let part = &kit.parts[0];
    assert!((part.recesses[0].depth_mm - 1.45).abs() < 1e-9);
    assert!(!part.lying.flip);
    // Grams: volume in mm3 times kg/m3, less the lap of 3 x 20 x 1.45 mm. By arithmetic.
    let expected = (100.0 * 20.0 * 3.0 - 3.0 * 20.0 * 1.45) * 400.0 * 1e-6;
    assert!((part.mass_g - expected).abs() < 1e-3, "{} {expected}", part.mass_g);
    let list = kit.files.iter().find(|f| f.name == "cutlist.txt").unwrap();
    assert!(String::from_utf8_lossy(&list.bytes).contains("S: a recess 1.45 mm deep, 60 mm² of its face"));
}

#[test]
fn the_depth_is_asked_of_the_recess_then_of_the_part_then_of_the_job() {
    let depth = |holes: &str, cutting: &str| journey("", holes, cutting).0.parts[0].recesses[0].depth_mm;
    assert_eq!(depth("{ rectangle: [3, 20], at: [50, 10], depth: 1.2 }", ", recess: 0.8"), 1.2);
    assert_eq!(depth(LAP, ", recess: 0.8"), 1.45);
    let too_deep = "{ rectangle: [3, 20], at: [50, 10], depth: 2.95 }";
    assert!(codes(&journey("", too_deep, "").1).contains(&"recess-too-deep"));
}

/// In a drawing the layer says it: by its name, with a depth where the job gives one.
#[test]
fn a_layer_makes_a_recess_of_an_outline() {
    let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="60mm" viewBox="0 0 120 60">
        <g id="parts"><rect x="10" y="10" width="100" height="40"/></g>
        <g id="halving"><rect x="30" y="5" width="6" height="50"/></g>
        <g id="spar"><rect x="60" y="20" width="30" height="8"/></g></svg>"#;
    let text = "drawings: [a.svg]\nlayers: { cut: [parts], recess: [\"*halv*\", { layer: SPAR, depth: 0.8 }] }\n\
        cutting: { recess: 1.1 }\nparts: [{ name: \"*\", wood: light-ply, thickness: 3 }]\n";
    let mut problems = Problems::new();
    let job = parse(text, "job.yaml", FilePath::new("."), &mut problems).unwrap();
    let drawing = drawing::read_bytes(&job, &job.drawings[0], svg, &mut problems).unwrap();
    let shop = shop("workshop-router");
    let parts = grainwise::stages::part::gather(&[drawing], &job, &shop.woods, &mut problems);
    assert!(!problems.stop(), "{problems:?}");
    let mut depths: Vec<f64> = parts[0].recesses.iter().map(|r| r.depth_mm).collect();
    depths.sort_by(f64::total_cmp);
    assert_eq!(depths, [0.8, 1.1]);
}
