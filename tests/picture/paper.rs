//! The job on paper: what can be told without a reader of PDF. How true it is, poppler measures from outside.

use std::path::Path;

use grainwise::problem::{Problem, Problems};
use grainwise::shop;
use grainwise::stages::cut::SheetCuts;
use grainwise::stages::part::Part;
use grainwise::stages::picture::{Paper, Preview, Print, Scene, operator_pdf, pdf};
use grainwise::stages::proof::Proof;
use grainwise::stages::sheet::Layout;

use super::sheets::sheet;

fn printed(title: &str, parts: &[Part], cuts: &[SheetCuts], problems: &[Problem], print: &Print) -> Vec<u8> {
    let machine = shop::open_machine("makerspace-laser", Path::new("."), &mut Problems::new()).unwrap();
    let layout = Layout { sheets: cuts.iter().map(|cuts| cuts.sheet.clone()).collect() };
    let scene =
        Scene { title, machine: &machine.name, drawings: &[], parts, layout: &layout, cuts, problems };
    let proof = Proof::default();
    let preview = Preview { scene, machine: &machine, files: &[], proof: &proof, cautions: ["mind"; 3] };
    assert!(operator_pdf(&preview).unwrap().starts_with(b"%PDF-"));
    pdf(&preview, print).unwrap()
}

#[test]
fn the_same_kit_gives_the_same_bytes_and_another_paper_others() {
    let (parts, cuts) = sheet();
    let of = |paper| printed("Kite", &parts, &cuts, &[], &Print { paper, ..Print::default() });
    assert_eq!(of(Paper::A4), of(Paper::A4));
    assert_ne!(of(Paper::A4), of(Paper::A3));
}

#[test]
fn names_of_any_letters_are_printed() {
    let (mut parts, cuts) = sheet();
    for name in ["", "\u{4e00}\u{202e}\u{0}\n(\\", &"endless".repeat(300), "\u{1f6e9}"] {
        parts[0].id = name.to_owned();
        let bytes = printed(name, &parts, &cuts, &[], &Print::default());
        assert!(bytes.ends_with(b"%%EOF") || bytes.ends_with(b"%%EOF\n"), "{name:?}");
    }
}

#[test]
fn a_job_without_sheets_has_its_problems_and_patterns() {
    let (parts, _) = sheet();
    let problems: Vec<Problem> = (0..60).map(|i| Problem::error("no-room", format!("part {i}"))).collect();
    let without = printed("Kite", &parts, &[], &[], &Print::default());
    let with = printed("Kite", &parts, &[], &problems, &Print::default());
    assert!(with.len() > without.len());
    assert!(printed("", &[], &[], &[], &Print::default()).len() > 1000);
}

#[test]
fn a_part_far_larger_than_the_paper_goes_on_many_pages() {
    let (mut parts, _) = sheet();
    let pages = |bytes: &[u8]| String::from_utf8_lossy(bytes).matches("/Type/Page/").count();
    assert_eq!(pages(&printed("Kite", &[], &[], &[], &Print::default())), 2);
    let long = [(0.0, 0.0), (2000.0, 0.0), (2000.0, 60.0), (0.0, 60.0)];
    let outline = grainwise::geometry::Outline::polygon(&long).unwrap();
    parts[0].region = grainwise::geometry::Region::new(outline, Vec::new());
    let many = printed("Kite", &parts, &[], &[], &Print::default());
    // 2000 mm on windows of 277 mm that share 10 mm: 1990 / 267, rounded up.
    let hands = usize::from(parts[0].copies > parts[0].mirrored) + usize::from(parts[0].mirrored > 0);
    let expected = 2 + 8 * hands + usize::from(parts.len() > 1);
    assert_eq!(pages(&many), expected);
}
