//! Tests of what has to fit.

mod crossing;
mod slots;

use std::path::Path;

use grainwise::problem::{Problem, Problems};
use grainwise::shop::Wood;
use grainwise::stages::fit::{self, Row, Verdict};
use grainwise::stages::job;
use grainwise::stages::part::{self, Part};
use grainwise::stages::{drawing, fit as room};

/// A side with two slots for formers, and a former with notches: what the pieces are is plain from their numbers.
const PIECES: &str = "measured:
- name: SIDE
  rectangle: [200, 60]
  holes: [{rectangle: [3.1, 12], at: [[50, 30], [120, 30]]}]
- name: F2
  rectangle: [52, 44]
  notches:
  - {at: [10, 44], width: 5, depth: 5}
  - {at: [42, 44], width: 5, depth: 5}
  holes: [{circle: 20, at: [26, 20]}]
- name: F3
  half: true
  edges: [[25, 0], [25, 40], [0, 40]]
stock:
- {wood: light-ply, thickness: 3, sheet: 600x300, measured: 2.9}
parts: [{name: \"*\", wood: light-ply, thickness: 3}]
";

struct Checked {
    parts: Vec<Part>,
    rows: Vec<Row>,
    problems: Vec<Problem>,
}

fn checked_of(text: &str) -> Checked {
    let mut problems = Problems::new();
    let job = job::parse(text, "job.yaml", Path::new("."), &mut problems).unwrap();
    let drawings = drawing::read(&job, &mut problems);
    let woods: Vec<Wood> = [("light-ply", 450.0), ("balsa-light", 110.0), ("balsa-hard", 220.0)]
        .map(|(name, density_kg_m3)| Wood {
            name: name.to_owned(),
            density_kg_m3,
            thicknesses_mm: vec![3.0],
            source: String::new(),
        })
        .into();
    let mut parts = part::gather(&drawings, &job, &woods, &mut problems);
    let rows = room::check(&mut parts, &job, &mut problems);
    let problems = problems.into_iter().filter(|p| p.code != "grain-assumed").collect();
    Checked { parts, rows, problems }
}

fn checked(fits: &str) -> Checked {
    checked_of(&format!("{PIECES}fit:\n{fits}"))
}

impl Checked {
    /// Should and is of the only row, rounded to a micrometre.
    fn sizes(&self) -> (f64, f64) {
        assert_eq!(self.rows.len(), 1, "{:?}", self.problems);
        let round = |v: f64| (v * 1000.0).round() / 1000.0;
        (round(self.rows[0].should_mm), round(self.rows[0].is_mm))
    }

    fn codes(&self) -> Vec<&str> {
        self.problems.iter().map(|p| p.code).collect()
    }

    fn part(&self, id: &str) -> Option<&Part> {
        self.parts.iter().find(|part| part.id == id)
    }
}

#[test]
fn a_slot_is_held_against_the_wood_as_measured() {
    let slot = checked(
        "- {is: {part: SIDE, slot: [50, 30]}, should: {wood: light-ply, thickness: 3}, play: -0.1}\n",
    );
    assert_eq!(slot.sizes(), (3.0, 3.1));
    assert_eq!(slot.rows[0].verdict, Verdict::Fits);
    let tight = checked(
        "- {is: {part: SIDE, slot: [50, 30]}, should: {wood: light-ply, thickness: 3}, within: 0.05}\n",
    );
    assert_eq!((tight.sizes(), tight.rows[0].verdict), ((2.9, 3.1), Verdict::Large));
    assert_eq!(tight.codes(), ["does-not-fit"]);
    assert_eq!(tight.problems[0].line, Some(18));
}

#[test]
fn overall_and_notch_to_notch() {
    let overall = checked(
        "- {is: {part: F2, from: [0, 20], to: [52, 20]}, should: [54, 2], less: [{wood: light-ply, thickness: 3}, 1.1]}\n",
    );
    assert_eq!((overall.sizes(), overall.rows[0].verdict), ((52.0, 52.0), Verdict::Fits));
    let notches = checked(
        "- {is: {part: F2, from: [12.5, 39], to: [39.5, 39]}, should: {part: F3, from: [-25, 5], to: [2, 40]}}\n",
    );
    assert_eq!(notches.sizes().1, 27.0);
}

/// A point read off by a millimetre means the edge near it; a corner near it wins.
#[test]
fn points_need_not_be_exact() {
    let rough = checked("- {is: {part: F2, from: [1.2, 20.3], to: [51.1, 20.3]}, should: 52}\n");
    assert_eq!(rough.sizes(), (52.0, 52.0));
}

#[test]
fn a_notch_s_width_is_measured_across() {
    assert_eq!(checked("- {is: {part: F2, slot: [10, 42]}, should: 5}\n").sizes(), (5.0, 5.0));
    let round = checked("- {is: {part: F2, slot: [26.5, 20]}, should: 20, within: 0.01}\n");
    assert_eq!(round.rows[0].verdict, Verdict::Fits, "{:?}", round.rows);
}

#[test]
fn parts_wait_until_their_fits_hold() {
    let waits = checked("- {is: {part: F2, from: [0, 20], to: [52, 20]}, should: 50, holds: \"F*\"}\n");
    assert_eq!(waits.codes(), ["does-not-fit", "held-back"]);
    assert_eq!(waits.rows[0].held, ["F2", "F3"]);
    assert_eq!(waits.parts.iter().map(|p| p.id.as_str()).collect::<Vec<_>>(), ["SIDE"]);
    let goes = checked("- {is: {part: F2, from: [0, 20], to: [52, 20]}, should: 52, holds: \"F*\"}\n");
    assert_eq!((goes.codes().len(), goes.parts.len()), (0, 3));
}

#[test]
fn parts_wait_until_what_is_built_was_measured() {
    let fit = |more: &str| {
        checked(&format!(
            "- {{is: {{part: F2, from: [0, 20], to: [52, 20]}}, should: 52, holds: F2, until: built{more}}}\n"
        ))
    };
    let waits = fit("");
    assert_eq!(
        (waits.codes(), waits.parts.len(), waits.rows[0].verdict),
        (vec!["held-back"], 2, Verdict::Fits)
    );
    let measured = fit(", built: 51.95");
    assert_eq!((measured.codes().len(), measured.parts.len(), measured.rows[0].built), (0, 3, true));
    let off = fit(", built: 51");
    assert_eq!((off.codes(), off.parts.len()), (vec!["does-not-fit", "held-back"], 2));
}

#[test]
fn when_all_is_held_back_there_is_nothing_to_cut() {
    let none = checked("- {is: {part: F2, from: [0, 20], to: [52, 20]}, should: 50, holds: \"*\"}\n");
    assert_eq!(none.codes(), ["does-not-fit", "all-held-back"]);
}

/// A former made 1.4 mm narrower between its notches: notches and hole keep their size, what lies beyond the line moves.
#[test]
fn a_part_is_brought_to_the_size_that_was_measured() {
    let fitted = checked(
        "- {is: {part: F2, from: [0, 20], to: [52, 20]}, built: 50.6, adjust: [37.5, 20], holds: F2, until: built}\n",
    );
    assert_eq!(fitted.codes(), ["fit-adjusted"]);
    assert_eq!(fitted.rows[0].verdict, Verdict::Adjusted);
    let part = fitted.part("F2 -1.40").unwrap();
    let bounds = part.region.bounds();
    assert!((bounds.width() - 50.6).abs() < 1e-9 && (bounds.height() - 44.0).abs() < 1e-9);
    let area = 50.6 * 44.0 - 2.0 * 25.0 - std::f64::consts::PI * 100.0;
    assert!((part.region.area() - area).abs() < 1e-3, "{}", part.region.area());
    assert!((part.mass_g - area * 3.0 * 450e-6).abs() < 1e-4);
}

/// Slots follow the wood as it was measured, in a hole and in an edge.
#[test]
fn slots_are_made_to_the_wood() {
    let fit = |slot: &str| {
        checked(&format!(
            "- {{is: {{part: {slot}}}, should: {{wood: light-ply, thickness: 3}}, play: -0.08, within: 0.01, adjust: true}}\n"
        ))
    };
    let side = fit("SIDE, slot: [50, 30]");
    assert_eq!((side.codes(), side.rows[0].verdict), (vec!["fit-adjusted"], Verdict::Adjusted));
    let part = side.part("SIDE").unwrap();
    assert!((part.region.area() - (12_000.0 - 12.0 * (2.98 + 3.1))).abs() < 1e-6);
    let middle = part.region.holes().iter().map(|h| h.bounds().center().x).fold(f64::INFINITY, f64::min);
    assert!((middle - 50.0).abs() < 1e-9);
    let notch = fit("F2, slot: [10, 42]");
    let (before, after) =
        (checked("- {is: {part: F2, slot: [10, 42]}, should: 5}\n"), notch.part("F2").unwrap());
    let gained = after.region.area() - before.part("F2").unwrap().region.area();
    assert!((gained - 5.0 * (5.0 - 2.98)).abs() < 1e-6, "{gained}");
    assert_eq!(fit("F2, slot: [26.5, 20]").codes(), ["fit-adjust", "does-not-fit"]);
}

#[test]
fn what_would_be_bent_is_not_adjusted() {
    let through = checked("- {is: {part: F2, from: [0, 20], to: [52, 20]}, built: 51, adjust: [26, 20]}\n");
    assert_eq!(through.codes(), ["fit-adjust", "does-not-fit"]);
    let outside = checked("- {is: {part: F2, from: [0, 20], to: [52, 20]}, built: 51, adjust: [60, 20]}\n");
    assert_eq!(outside.codes(), ["fit-adjust", "does-not-fit"]);
    let eaten = checked("- {is: {part: F2, from: [0, 20], to: [52, 20]}, built: 20, adjust: [37.5, 20]}\n");
    assert_eq!(eaten.codes(), ["fit-adjust", "does-not-fit"]);
}

#[test]
fn nonsense_is_told_with_its_line() {
    for (text, code) in [
        ("- {is: {part: F9, slot: [0, 0]}, should: 1}\n", "fit-part"),
        ("- {is: {part: F2, slot: [5, 5]}, should: 1}\n", "fit-dimension"),
        ("- {is: {part: F2, from: [26, 35], to: [52, 20]}, should: 1}\n", "fit-dimension"),
        ("- {is: {part: F2, from: [0, 20]}, should: 1}\n", "fit-dimension"),
        ("- {is: 5, should: 1}\n", "fit-part"),
        ("- {is: {part: F2, slot: [10, 42]}, should: 5, until: soon}\n", "fit-until"),
        ("- {is: {part: F2, slot: [10, 42]}, should: {wood: teak, thickness: 3}}\n", "unknown-wood"),
        ("- {is: {part: F2, slot: [10, 42]}}\n", "missing-key"),
        ("- {is: {part: F2, overall: 90, along: 0}, should: 44}\n", "fit-dimension"),
        (
            "- {line: [{part: F2, station: 0, slot: [10, 42]}, {part: F3, station: 9, to: [0, 0]}]}\n",
            "fit-line",
        ),
        ("- {line: [{part: F2, station: 0, slot: [10, 42]}], should: 3}\n", "fit-line"),
        ("- {halving: [{part: F2, slot: [10, 42]}]}\n", "fit-dimension"),
        ("- {halving: [{part: F2, slot: [10, 42]}, {part: SIDE, slot: [50, 30]}]}\n", "fit-dimension"),
        (
            "- {halving: [{part: F2, slot: [10, 42]}, {part: F2, slot: [42, 42]}], built: 3}\n",
            "fit-dimension",
        ),
    ] {
        let told = checked(text);
        assert_eq!(told.codes().first(), Some(&code), "{text}");
        assert!(told.problems[0].line >= Some(18), "{text}");
    }
}

/// 1/32 x 3 x 36 inch at 6 lb/ft3 weighs 0.1875 oz (arithmetic): 5.3155 g, 96.1 kg/m3.
#[test]
fn a_weighed_sheet_gives_its_density() {
    let text = "measured: [{name: A, rectangle: [100, 50]}]\nstock:\n- {wood: balsa-light, thickness: 1/32 inch, \
                sheet: 36x3 inch, weight_g: 5.3155}\nparts: [{name: A, wood: balsa-light, thickness: 1/32 inch}]\n";
    let light = checked_of(text);
    assert_eq!(light.codes(), [""; 0]);
    assert!(
        (light.parts[0].mass_g / (5000.0 * 0.793_75e-6) - 96.11).abs() < 0.01,
        "{}",
        light.parts[0].mass_g
    );
    let heavy = checked_of(&text.replace("5.3155", "11.5"));
    assert_eq!(heavy.codes(), ["weighed-grade"]);
    assert!(heavy.problems[0].message.ends_with("balsa-hard"), "{}", heavy.problems[0].message);
}

#[test]
fn verdicts_have_words() {
    assert_eq!(fit::Verdict::Small.told(), "too small");
}
