//! Files of the Fenwren, judged: right as they are written, and wrong where they are not those of their plan.

use std::path::Path;
use std::sync::Arc;

use grainwise::geometry::Placement;
use grainwise::geometry::relief::Form;
use grainwise::problem::Problems;
use grainwise::shop::Shop;
use grainwise::stages::cut::Settings;
use grainwise::stages::job::Job;
use grainwise::stages::proof::read::Reading;
use grainwise::stages::proof::{self, FileProof, Limits, Plan, Source};
use grainwise::stages::{self, Kit, Unwatched, job};

/// A sample job travelled, on this machine or its own.
pub(super) fn travelled(name: &str, machine: Option<&str>) -> (Kit, Shop) {
    travelled_with(name, machine, |_| ())
}

pub(super) fn travelled_with(name: &str, machine: Option<&str>, change: impl Fn(&mut Job)) -> (Kit, Shop) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/fenwren").join(name);
    let text = std::fs::read_to_string(&file).unwrap();
    let mut problems = Problems::new();
    let mut job = job::parse(&text, name, file.parent().unwrap(), &mut problems).unwrap();
    if let Some(machine) = machine {
        machine.clone_into(&mut job.machine);
    }
    change(&mut job);
    let shop = Shop::open(&job.machine, job.post.as_deref(), &job.folder, &mut problems).unwrap();
    let kit = stages::travel(&job, &shop, &Unwatched, &mut problems);
    assert!(!problems.stop(), "{:?}", problems.iter().take(3).collect::<Vec<_>>());
    (kit, shop)
}

pub(super) fn judged(kit: &Kit, shop: &Shop, change: impl Fn(&mut Plan)) -> Vec<FileProof> {
    let files = kit.files.iter().filter(|file| file.sheet.is_some());
    files
        .map(|file| {
            let cuts = kit.sheets.iter().find(|cuts| Some(cuts.sheet.number) == file.sheet).unwrap();
            let mut plan = Plan::of(cuts, &kit.parts);
            change(&mut plan);
            let limits = Limits::of_sheet(&shop.machine, cuts);
            let reading = Reading {
                machine: Some(&shop.machine),
                post: shop.post.as_ref(),
                limits: &limits,
                units: None,
                strict: true,
            };
            proof::judge(Source { name: &file.name, bytes: &file.bytes }, &reading, &Arc::new(plan))
        })
        .collect()
}

/// Codes of all that is wrong, each once.
pub(super) fn codes(files: &[FileProof]) -> Vec<&str> {
    let mut codes: Vec<&str> = files.iter().flat_map(|file| &file.problems).map(|p| p.code).collect();
    codes.sort_unstable();
    codes.dedup();
    codes
}

#[test]
fn the_kit_is_right_on_every_machine() {
    for (name, machine) in
        [("laser.yaml", None), ("laser.yaml", Some("desktop-laser")), ("router.yaml", None)]
    {
        let (kit, shop) = travelled(name, machine);
        let pieces: usize = kit.sheets.iter().map(|sheet| sheet.sheet.placed.len()).sum();
        let files = judged(&kit, &shop, |_| ());
        assert!(
            files.iter().all(FileProof::ok),
            "{name} {machine:?}: {:#?}",
            files.iter().flat_map(|f| &f.problems).collect::<Vec<_>>()
        );
        let formats = shop.machine.drawings.len().max(1);
        assert_eq!(files.iter().map(|file| file.pieces.len()).sum::<usize>(), pieces * formats);
        for piece in files.iter().flat_map(|file| &file.pieces) {
            assert!(piece.gouge.mm < 0.002 && piece.excess.mm < 0.002, "{piece:?}");
        }
    }
}

#[test]
fn the_plan_of_another_sheet_is_not_cut() {
    let (kit, shop) = travelled("laser.yaml", None);
    let other = Plan::of(&kit.sheets[1], &kit.parts);
    let files = judged(&kit, &shop, |plan| {
        if plan.sheet == 1 {
            plan.pieces.clone_from(&other.pieces);
        }
    });
    assert!(!files[0].ok());
}

#[test]
fn a_kerf_a_hundredth_wider_than_it_is_leaves_pieces_within_and_a_tenth_does_not() {
    let (kit, shop) = travelled("router.yaml", None);
    // Tabs get narrower by what the kerf gets wider: only the pieces are looked at.
    let worst = |by: f64| {
        let files = judged(&kit, &shop, |plan| plan.kerf_mm += by);
        files.iter().flat_map(|f| &f.pieces).map(|p| p.gouge.mm).fold(0.0, f64::max)
    };
    assert!((worst(0.02) - 0.0106).abs() < 0.0006, "{}", worst(0.02));
    assert!((worst(0.2) - 0.1006).abs() < 0.0006, "{}", worst(0.2));
    let files = judged(&kit, &shop, |plan| plan.kerf_mm += 0.2);
    assert!(codes(&files).contains(&"gouge"));
}

#[test]
fn a_piece_that_lies_elsewhere_is_told() {
    let (kit, shop) = travelled("laser.yaml", Some("desktop-laser"));
    let shifted = |plan: &mut Plan| {
        let by = Placement { shift: grainwise::geometry::Vec2::new(0.05, 0.0), ..Placement::HERE };
        let piece = &mut plan.pieces[0];
        piece.region = piece.region.placed(&by);
    };
    let files = judged(&kit, &shop, shifted);
    let found = codes(&files);
    assert!(found.contains(&"gouge") && found.contains(&"excess"), "{found:?}");
    let piece = &files[0].pieces[0];
    assert!((piece.gouge.mm - 0.05).abs() < 0.002 && (piece.excess.mm - 0.05).abs() < 0.003, "{piece:?}");
}

#[test]
fn a_piece_too_many_on_the_plan_is_missed_and_one_too_few_is_a_stranger() {
    let (kit, shop) = travelled("laser.yaml", None);
    let more = judged(&kit, &shop, |plan| {
        let mut piece = plan.pieces[0].clone();
        let by = Placement { shift: grainwise::geometry::Vec2::new(2000.0, 0.0), ..Placement::HERE };
        (piece.region, piece.at) = (piece.region.placed(&by), by.point(piece.at));
        plan.pieces.push(piece);
    });
    assert!(codes(&more).contains(&"part-not-cut"), "{:?}", codes(&more));
    let fewer = judged(&kit, &shop, |plan| drop(plan.pieces.remove(0)));
    assert!(codes(&fewer).contains(&"extra-piece"), "{:?}", codes(&fewer));
}

#[test]
fn other_tabs_than_planned_are_told() {
    let (kit, shop) = travelled("router.yaml", None);
    let one_more = judged(&kit, &shop, |plan| plan.pieces[0].tabs.as_mut().unwrap().push([3.0, 1.0]));
    assert_eq!(codes(&one_more), ["tab-count"]);
    let wider =
        judged(&kit, &shop, |plan| plan.pieces[0].tabs.iter_mut().flatten().for_each(|tab| tab[0] += 0.1));
    assert_eq!(codes(&wider), ["tab-size"]);
    let higher =
        judged(&kit, &shop, |plan| plan.pieces[0].tabs.iter_mut().flatten().for_each(|tab| tab[1] += 0.1));
    assert_eq!(codes(&higher), ["tab-size"]);
}

#[test]
fn corners_that_the_cutter_does_not_reach_are_counted_and_not_blamed() {
    let corners = |relief| {
        let (kit, shop) = travelled_with("router.yaml", None, |job| job.cutting.router.relief = Some(relief));
        let files = judged(&kit, &shop, |_| ());
        assert!(codes(&files).is_empty());
        files.iter().flat_map(|f| &f.pieces).map(|p| p.unreachable_corners).sum::<usize>()
    };
    // Every square notch and slot of the kit has them, if they are not relieved.
    let [none, dogbone, edge] = [None, Some(Form::Dogbone), Some(Form::Edge)].map(corners);
    assert!(none > 100 && dogbone < none / 2 && edge < none / 2, "{none} {dogbone} {edge}");
}

/// Beams that take more, or less, on the inside: pieces come off true, and with one kerf for all they would not.
#[test]
fn holes_have_a_kerf_of_their_own() {
    for (machine, inside) in [("makerspace-laser", 0.3), ("desktop-laser", 0.06)] {
        let (kit, shop) = travelled_with("laser.yaml", Some(machine), |job| {
            job.cutting.kerf_mm = Some(0.16);
            job.cutting.kerf_inside_mm = Some(inside);
        });
        let right = judged(&kit, &shop, |_| ());
        assert!(right.iter().all(FileProof::ok), "{machine}: {:?}", codes(&right));
        let wrong = judged(&kit, &shop, |plan| {
            let Settings::Laser(setting) = &mut plan.settings else { panic!("no laser") };
            setting.inside_more_mm = 0.0;
        });
        assert!(wrong.iter().any(|file| !file.ok()), "{machine}");
    }
}
