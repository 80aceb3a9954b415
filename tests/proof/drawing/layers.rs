//! What layers and groups say is done.

use grainwise::shop::Machine;
use grainwise::stages::cut::Operation;
use grainwise::stages::proof::{Does, Limits};

use super::{codes, dxf, errors, freely, read_with, strictly, svg};
use crate::write::sample;

fn line_on(layer: &str) -> String {
    dxf(&format!("0\nLINE\n8\n{layer}\n10\n1\n20\n2\n11\n30\n21\n2\n"))
}

fn line_in(id: &str) -> String {
    svg(&format!("<g id=\"{id}\"><path d=\"M 1 2 L 30 2\"/></g>"))
}

/// A machine with these names for cuts inside, outside, scores and marks.
fn machine(names: [&str; 4]) -> Machine {
    let mut machine = sample::laser();
    let layers = &mut machine.layers;
    let styles = [&mut layers.cut_inside, &mut layers.cut_outside, &mut layers.score, &mut layers.mark];
    for (style, name) in styles.into_iter().zip(names) {
        style.name = name.into();
    }
    machine
}

#[test]
fn the_machine_s_names_say_what_is_done() {
    use Operation::{CutInside, CutOutside, Mark, Score};
    let machine = machine(["holes", "edges", "half way", "2nd ink"]);
    for (layer, id, operation) in [
        ("holes", "holes", CutInside),
        ("Edges", "edges", CutOutside),
        ("half_way", "half_way", Score),
        ("half way", "half way", Score),
        ("2nd ink", "layer-2nd_ink", Mark),
    ] {
        for text in [line_on(layer), line_in(id)] {
            let program = strictly(&text, &machine);
            assert_eq!(program.traces[0].does, Does::Says(operation), "{text}");
            assert_eq!(program.problems, vec![]);
        }
    }
}

#[test]
fn a_long_name_is_known_where_r12_cut_it_off() {
    let long = "a layer name of more than thirty-one characters";
    let machine = machine([long, "edges", "score", "mark"]);
    let held: String = long.replace(' ', "_").chars().take(31).collect();
    assert_eq!(strictly(line_on(&held), &machine).traces[0].does, Does::Says(Operation::CutInside));
    let shorter: String = held.chars().take(30).collect();
    assert_eq!(errors(&strictly(line_on(&shorter), &machine)), ["unknown-layer"]);
}

#[test]
fn of_operations_that_share_a_name_the_worst_counts() {
    let machine = machine(["CUT", "cut", "pen", "pen"]);
    let does = |text: String| strictly(text, &machine).traces[0].does.clone();
    assert_eq!(does(line_on("CUT")), Does::Says(Operation::CutOutside), "case means nothing in DXF");
    assert_eq!(does(line_in("CUT")), Does::Says(Operation::CutInside), "it does in SVG");
    assert_eq!(does(line_in("cut")), Does::Says(Operation::CutOutside));
    assert_eq!(does(line_in("pen")), Does::Says(Operation::Score));
    assert_eq!(does(line_in("pen-2")), Does::Says(Operation::Score));
}

#[test]
fn a_layer_that_the_machine_does_not_name_is_wrong_in_a_strict_file() {
    let machine = sample::laser();
    for text in [line_on("scored"), line_in("scored"), svg("<path d=\"M 1 2 L 30 2\"/>")] {
        let strict = strictly(&text, &machine);
        assert!(matches!(strict.traces[0].does, Does::Unsaid(_)));
        assert_eq!(errors(&strict), ["unknown-layer"]);
        let foreign = read_with(text.as_bytes(), Some(&machine), &Limits::default(), false);
        assert_eq!((errors(&foreign), codes(&foreign)), (vec![], vec!["unknown-layer"]));
    }
}

#[test]
fn without_a_machine_names_are_taken_by_their_meaning() {
    for (layer, does) in [
        ("Engraving", Does::Unsaid("Engraving".into())),
        ("Engrave 1", Does::Says(Operation::Mark)),
        ("my marks", Does::Says(Operation::Mark)),
        ("SCORE", Does::Says(Operation::Score)),
        ("cut-inside", Does::Says(Operation::CutInside)),
        ("Ribs", Does::Unsaid("Ribs".into())),
    ] {
        for text in [line_on(layer), line_in(layer)] {
            let program = freely(&text);
            assert_eq!(program.traces[0].does, does);
            assert_eq!(program.problems, vec![]);
        }
    }
}
