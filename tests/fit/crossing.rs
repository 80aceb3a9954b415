//! Parts that cross each other, parts along a side, parts that a spar runs through.

use std::fmt::Write as _;

use super::{Checked, checked, checked_of};
use grainwise::stages::fit::Verdict;

#[test]
fn a_dimension_may_be_meant_in_a_direction_and_over_all() {
    let along =
        checked("- {is: {part: F2, from: [0, 0], to: [52, 44], along: 90}, should: 44, within: 0.01}\n");
    assert_eq!((along.sizes(), along.rows[0].verdict), ((44.0, 44.0), Verdict::Fits));
    let overall = checked("- {is: {part: F2, overall: 0}, should: {part: SIDE, overall: 90}, less: 8}\n");
    assert_eq!((overall.sizes(), overall.rows[0].verdict), ((52.0, 52.0), Verdict::Fits));
    // A square of 52 x 44 seen from the corner: the sum of both over the root of two.
    let askew = checked("- {is: {part: F2, overall: 45}, should: 67.882, within: 0.001}\n");
    assert_eq!(askew.rows[0].verdict, Verdict::Fits, "{:?}", askew.rows);
}

/// A former's station along the side: from the side's nose to the middle of its slot, both ways of saying so.
#[test]
fn a_former_stands_where_its_slot_in_the_side_is() {
    for along in ["", ", along: 0"] {
        let fit =
            format!("- {{is: {{part: SIDE, from: [0, 20], slot: [120.4, 29]{along}}}, should: 119.5}}\n");
        let station = checked(&fit);
        assert_eq!((station.sizes(), station.rows[0].verdict), ((119.5, 120.0), Verdict::Large), "{along}");
    }
    let between =
        "- {is: {part: SIDE, from: [51.55, 30], slot: [120, 30], along: 0}, should: 68.45, within: 0.01}\n";
    assert_eq!(checked(between).codes(), [""; 0]);
}

/// A former of 40 and a keel of 20, crossing: the former's slot from above is 12 deep and leaves 28, the keel's from below
/// 9 and leaves 11.
fn crossed(more: &str) -> Checked {
    checked_of(&format!(
        "measured:
- name: F
  rectangle: [50, 40]
  notches: [{{at: [25, 40], width: 3.1, depth: 12}}]
- name: KEEL
  edges: [[100, 0], [100, 20], [0, 20]]
  notches: [{{at: [60, 0], width: 3, depth: 9}}]
stock:
- {{wood: light-ply, thickness: 3, sheet: 600x300, measured: 2.9}}
- {{wood: balsa-hard, thickness: 3, sheet: 600x100}}
parts: [{{name: F, wood: light-ply, thickness: 3}}, {{name: KEEL, wood: balsa-hard, thickness: 3}}]
fit:
- {{halving: [{{part: F, slot: [25.3, 35]}}, {{part: KEEL, slot: [60, 8]}}], within: 0.15{more}}}
"
    ))
}

#[test]
fn a_halving_joint_is_as_wide_as_the_wood_and_as_deep_as_what_it_takes_in() {
    let joint = crossed("");
    let told: Vec<_> = joint.rows.iter().map(|r| (r.name.as_str(), r.part.as_str(), r.verdict)).collect();
    let wanted = [
        ("F across KEEL, width of F", "F", Verdict::Fits),
        ("F across KEEL, depth of F", "F", Verdict::Large),
        ("F across KEEL, width of KEEL", "KEEL", Verdict::Fits),
        ("F across KEEL, depth of KEEL", "KEEL", Verdict::Small),
    ];
    assert_eq!(told, wanted);
    let sizes: Vec<_> = joint.rows.iter().map(|r| [r.should_mm, r.is_mm]).collect();
    let wanted = [[3.0, 3.1], [11.0, 12.0], [2.9, 3.0], [28.0, 9.0]];
    for (sizes, wanted) in sizes.iter().zip(wanted) {
        assert!(sizes.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-5), "{sizes:?} {wanted:?}");
    }
    assert_eq!(joint.codes(), ["does-not-fit"; 2]);
    let waits = crossed(", holds: KEEL, play: -0.1");
    assert_eq!(waits.codes(), ["does-not-fit", "does-not-fit", "held-back"]);
    assert!((waits.rows[0].should_mm - 3.1).abs() < 1e-9);
}

/// Eleven ribs with a slot each that moves back by 2 mm from one to the next; one of them is off by so much.
fn ribs(off: f64) -> Checked {
    let mut text = "measured:\n".to_owned();
    let mut places = String::new();
    for k in 0..11 {
        let x = 40.0 + 2.0 * f64::from(k) + if k == 7 { off } else { 0.0 };
        let lift = if k == 3 { off } else { 0.0 };
        let depth = 4.0 + lift;
        writeln!(
            text,
            "- {{name: R{k}, rectangle: [140, 20], notches: [{{at: [{x}, 20], width: 5, depth: {depth}}}]}}"
        )
        .unwrap();
        writeln!(places, "  - {{part: R{k}, station: {}, slot: [{x}, 19]}}", 50 * k).unwrap();
    }
    let levels: String = (0..11)
        .map(|k| {
            let x = 40.0 + 2.0 * f64::from(k) + if k == 7 { off } else { 0.0 };
            format!("  - {{part: R{k}, station: {}, from: [0, 0], to: [{x}, 16], along: 90}}\n", 50 * k)
        })
        .collect();
    text += "stock: [{wood: light-ply, thickness: 3, sheet: 600x300}]\n";
    text += "parts: [{name: \"*\", wood: light-ply, thickness: 3}]\nfit:\n";
    write!(text, "- name: spar\n  line:\n{places}- name: its floor\n  holds: R5\n  line:\n{levels}").unwrap();
    checked_of(&text)
}

#[test]
fn a_spar_runs_straight_through_eleven_ribs() {
    let straight = ribs(0.0);
    assert_eq!((straight.rows.len(), straight.codes().len(), straight.parts.len()), (22, 0, 11));
    assert!(straight.rows.iter().all(|row| (row.is_mm - row.should_mm).abs() < 1e-6));
    assert_eq!(
        (straight.rows[2].name.as_str(), (straight.rows[2].is_mm * 1e3).round()),
        ("spar at 100", 44e3)
    );
}

/// The others are as they should be: it alone is to be changed, by what it is off.
#[test]
fn the_rib_that_is_out_of_line_is_named() {
    let bent = ribs(0.6);
    let off: Vec<_> = bent.rows.iter().filter(|row| row.verdict != Verdict::Fits).collect();
    let told: Vec<_> = off.iter().map(|row| (row.part.as_str(), row.name.as_str(), row.verdict)).collect();
    let wanted = [("R7", "spar at 350", Verdict::Large), ("R3", "its floor at 150", Verdict::Small)];
    assert_eq!(told, wanted);
    assert!((off[0].is_mm - off[0].should_mm - 0.6).abs() < 1e-6);
    assert_eq!(bent.codes(), ["does-not-fit", "does-not-fit", "held-back"]);
    assert!(bent.part("R5").is_none() && bent.part("R7").is_some());
}

/// A part that was brought to size is still meant by its own name, and carries both changes.
#[test]
fn a_part_brought_to_size_twice_is_found_by_its_name() {
    let twice = checked(
        "- {is: {part: F2, overall: 90}, should: 44}
- {is: {part: F2, from: [0, 20], to: [52, 20]}, built: 51, adjust: [37.5, 20]}
- {is: {part: F2, from: [26, 0], to: [26, 44]}, built: 45, adjust: [26, 37]}
",
    );
    assert_eq!(twice.codes(), ["fit-adjusted", "fit-adjusted"], "{:?}", twice.problems);
    let part = twice.part("F2 -1.00 +1.00").unwrap();
    assert!((part.region.bounds().width() - 51.0).abs() < 1e-9);
    assert!((part.region.bounds().height() - 45.0).abs() < 1e-9);
}
