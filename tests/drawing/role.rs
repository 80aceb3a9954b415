//! What layers and colours mean.

use grainwise::stages::drawing::Role;
use grainwise::stages::job::LayerRules;

use super::reading::{Read, file, read, read_as};

fn rules(score: &[&str], cut: &[&str]) -> LayerRules {
    let list = |names: &[&str]| names.iter().map(|&name| name.to_owned()).collect();
    LayerRules { score: list(score), cut: list(cut), ..LayerRules::default() }
}

fn on(layer: &str, rules: &LayerRules) -> Read {
    let layers = "0 LAYER|2 red|70 0|62 1|0 LAYER|2 true|70 0|62 5|420 1122867";
    read_as(file(layers, "", &format!("0 LINE|8 {layer}|10 0|20 0|11 1|21 1")).as_bytes(), None, rules)
}

fn role(layer: &str, rules: &LayerRules) -> Role {
    on(layer, rules).found().strokes[0].role
}

#[test]
fn the_usual_names_have_their_usual_roles_whatever_their_case() {
    let usual = LayerRules::default();
    assert_eq!(role("GRAIN arrows", &usual), Role::Grain);
    assert_eq!(role("Engrave", &usual), Role::Mark);
    assert_eq!(role("my score lines", &usual), Role::Score);
    assert_eq!(role("0", &usual), Role::Cut);
}

#[test]
fn the_first_list_wins() {
    assert_eq!(role("grain marks to score", &LayerRules::default()), Role::Grain);
    assert_eq!(role("mark and score", &LayerRules::default()), Role::Mark);
    let read = on("grain notes", &LayerRules::default());
    assert_eq!(read.unused("LINE (ignored layer)"), 1);
}

#[test]
fn a_line_that_no_rule_names_is_counted() {
    let read = on("other", &rules(&[], &["cut*"]));
    assert_eq!(read.unused("LINE (layer that no rule names)"), 1);
    assert!(read.problem("nothing-to-cut").message.contains("1 LINE"));
}

#[test]
fn patterns_have_stars_question_marks_and_choices() {
    assert_eq!(role("fold-12", &rules(&["fold-??"], &["*"])), Role::Score);
    assert_eq!(role("fold-123", &rules(&["fold-??"], &["*"])), Role::Cut);
    assert_eq!(role("blue", &rules(&["{red,blue}"], &["*"])), Role::Score);
    assert_eq!(role("a/b", &rules(&["a*b"], &["*"])), Role::Score);
}

#[test]
fn brackets_in_a_pattern_are_letters() {
    assert_eq!(role("[1]", &rules(&["[1]"], &["*"])), Role::Score);
    assert_eq!(role("1", &rules(&["[1]"], &["*"])), Role::Cut);
}

#[test]
fn a_pattern_that_cannot_be_understood_is_a_problem() {
    assert!(on("x", &rules(&["{a,b"], &["*"])).problem("layer-pattern").message.contains("{a,b"));
}

#[test]
fn a_colour_comes_from_the_layer() {
    assert_eq!(role("red", &rules(&["#FF0000"], &["*"])), Role::Score);
    assert_eq!(role("red", &rules(&["colour:1"], &["*"])), Role::Score);
    assert_eq!(role("red", &rules(&["colour:2"], &["*"])), Role::Cut);
}

#[test]
fn a_true_colour_goes_before_a_number() {
    // 1122867 is 0x112233.
    assert_eq!(role("true", &rules(&["#112233"], &["*"])), Role::Score);
    assert_eq!(role("true", &rules(&["colour:5"], &["*"])), Role::Cut);
}

#[test]
fn patterns_over_layers_do_not_see_colours() {
    // Every colour has an f in it, or a 0.
    assert_eq!(role("red", &rules(&["*f*", "*0*"], &["*"])), Role::Cut);
}

#[test]
fn an_entity_may_have_its_own_colour() {
    let bytes = file("", "", "0 LINE|62 5|10 0|20 0|11 1|21 1|0 LINE|420 255|10 0|20 0|11 1|21 1");
    let read = read_as(bytes.as_bytes(), None, &rules(&["#0000ff"], &["*"]));
    assert!(read.found().strokes.iter().all(|stroke| stroke.role == Role::Score));
}

#[test]
fn texts_are_found_on_layers_that_no_rule_names_but_not_on_ignored_ones() {
    let bytes = file("", "", "0 TEXT|8 x|10 0|20 0|40 2|1 R1|0 TEXT|8 notes|10 0|20 0|40 2|1 R2");
    let found = read_as(bytes.as_bytes(), None, &rules(&[], &["cut"]));
    assert_eq!(found.found().texts.len(), 1);
    assert_eq!(found.unused("TEXT (ignored layer)"), 1);
    assert_eq!(read(bytes).found().texts.len(), 1);
}
