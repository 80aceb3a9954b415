//! Files whose layout no plan knows: their pieces are placed by best fit.

use std::collections::BTreeMap;

use grainwise::geometry::Vec2;
use grainwise::problem::Severity;
use grainwise::shop::Shop;
use grainwise::stages::Kit;
use grainwise::stages::cut::SheetCuts;
use grainwise::stages::proof::read::Reading;
use grainwise::stages::proof::{FileProof, Limits, Sheets, Source};

use super::judge::travelled;

/// The sheets with every piece laid elsewhere, so that no file of the kit fits them.
fn laid_elsewhere(kit: &Kit) -> Vec<SheetCuts> {
    let mut sheets = kit.sheets.clone();
    for placed in sheets.iter_mut().flat_map(|cuts| &mut cuts.sheet.placed) {
        placed.placement.shift += Vec2::new(5000.0 + 10.0 * f64::from(placed.copy), 37.0);
        placed.placement.turn_deg = (placed.placement.turn_deg + 180.0) % 360.0;
    }
    sheets
}

fn found(kit: &Kit, shop: &Shop, name: &str) -> FileProof {
    let sheets = Sheets::of(&laid_elsewhere(kit), &kit.parts, &shop.machine);
    let limits = Limits::of_machine(&shop.machine);
    let (machine, post) = (Some(&shop.machine), shop.post.as_ref());
    let reading = Reading { machine, post, limits: &limits, units: None, strict: false };
    let file = kit.files.iter().find(|file| file.name == name).unwrap();
    sheets.find(Source { name: "of-others", bytes: &file.bytes }, &reading)
}

/// How many pieces of each part, and of its other hand, are on a sheet.
fn counts<'a>(pieces: impl Iterator<Item = (&'a str, bool)>) -> BTreeMap<(&'a str, bool), usize> {
    let mut counts = BTreeMap::new();
    pieces.for_each(|piece| *counts.entry(piece).or_insert(0) += 1);
    counts
}

/// The sheet that holds the ribs, counted from 0, and the name of its file with this ending.
fn rib_sheet(kit: &Kit, ending: &str) -> (usize, String) {
    let is_rib = |part: usize| kit.parts[part].id == "R1";
    let sheet = kit.sheets.iter().position(|cuts| cuts.sheet.placed.iter().any(|p| is_rib(p.part))).unwrap();
    (sheet, format!("sheet-{}.{ending}", sheet + 1))
}

fn on_sheet(kit: &Kit, sheet: usize) -> BTreeMap<(&str, bool), usize> {
    let placed = &kit.sheets[sheet].sheet.placed;
    counts(placed.iter().map(|p| (kit.parts[p.part].id.as_str(), p.placement.mirrored)))
}

#[test]
fn every_rib_of_a_laser_s_sheet_is_known_with_its_hand() {
    let (kit, shop) = travelled("laser.yaml", None);
    for ending in ["dxf", "svg"] {
        let (sheet, name) = rib_sheet(&kit, ending);
        let proof = found(&kit, &shop, &name);
        let errors: Vec<_> = proof.problems.iter().filter(|p| p.severity == Severity::Error).collect();
        assert!(errors.is_empty(), "{name}: {errors:#?}");
        // Ribs have a hand; what is as good for either is taken as it is drawn.
        let ribs = |counts: BTreeMap<(&str, bool), usize>| -> Vec<(String, bool, usize)> {
            let ribs = counts.into_iter().filter(|((id, _), _)| id.starts_with('R'));
            ribs.map(|((id, mirrored), count)| (id.to_owned(), mirrored, count)).collect()
        };
        let read = counts(proof.pieces.iter().map(|piece| (piece.id.as_str(), piece.mirrored)));
        assert_eq!(ribs(read), ribs(on_sheet(&kit, sheet)), "{name}");
        assert_eq!(proof.pieces.len(), kit.sheets[sheet].sheet.placed.len());
        assert!(proof.pieces.iter().all(|p| p.gouge.mm < 0.01 && p.excess.mm < 0.01), "{name}");
    }
}

#[test]
fn formers_of_a_router_s_sheet_are_known_although_it_leaves_their_corners_round() {
    let (kit, shop) = travelled("router.yaml", None);
    let sheet = kit.sheets.iter().position(|cuts| cuts.sheet.wood == "light-ply").unwrap();
    let proof = found(&kit, &shop, &format!("sheet-{}.nc", sheet + 1));
    let read = counts(proof.pieces.iter().map(|piece| (piece.id.as_str(), false)));
    let mut meant = BTreeMap::new();
    for ((id, _), n) in on_sheet(&kit, sheet) {
        *meant.entry((id, false)).or_insert(0) += n;
    }
    assert_eq!(read, meant);
    assert!(proof.pieces.iter().all(|p| p.gouge.mm < 0.02 && p.excess.mm < 0.02), "{:#?}", proof.pieces);
}

#[test]
fn pieces_that_are_wanted_and_in_no_file_are_told() {
    let (kit, shop) = travelled("laser.yaml", None);
    let sheets = Sheets::of(&laid_elsewhere(&kit), &kit.parts, &shop.machine);
    let proof = found(&kit, &shop, &rib_sheet(&kit, "dxf").1);
    let missing = sheets.missing(std::slice::from_ref(&proof));
    assert!(missing.iter().any(|p| p.part.as_deref() == Some("SIDE")), "{missing:?}");
    assert!(!missing.iter().any(|p| p.part.as_deref() == Some("R1")), "{missing:?}");
}

#[test]
fn a_file_of_another_kit_fits_nothing() {
    let (kit, shop) = travelled("laser.yaml", None);
    let mut sheets = laid_elsewhere(&kit);
    // Only sheets of wood that holds no ribs are known.
    sheets.retain(|cuts| cuts.sheet.wood != "balsa-medium");
    let sheets = Sheets::of(&sheets, &kit.parts, &shop.machine);
    let limits = Limits::of_machine(&shop.machine);
    let reading =
        Reading { machine: Some(&shop.machine), post: None, limits: &limits, units: None, strict: false };
    let name = rib_sheet(&kit, "dxf").1;
    let file = kit.files.iter().find(|file| file.name == name).unwrap();
    let proof = sheets.find(Source { name: "of-others", bytes: &file.bytes }, &reading);
    assert!(!proof.ok());
}
