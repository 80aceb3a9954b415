//! Blocks and inserts.

use grainwise::geometry::curve::Curve;
use grainwise::problem::Severity;
use grainwise::stages::drawing::Role;
use grainwise::stages::job::LayerRules;

use super::reading::{Read, file, near, read, read_as, segment, spans};

/// A block with a line from (0, 0) to (10, 0), base point at the origin.
const BAR: &str = "0 BLOCK|2 bar|70 0|10 0|20 0|30 0|0 LINE|8 0|10 0|20 0|11 10|21 0|0 ENDBLK";

fn inserted(blocks: &str, entities: &str) -> Read {
    read(file("", blocks, entities))
}

#[test]
fn an_insert_shifts_its_block() {
    let read = inserted(BAR, "0 INSERT|2 bar|10 5|20 7");
    near(read.only()[0].from(), (5.0, 7.0));
    assert_eq!(read.used("INSERT"), 1);
    assert_eq!(read.used("LINE"), 1);
    read.clean();
}

#[test]
fn block_names_do_not_mind_case() {
    near(inserted(BAR, "0 INSERT|2 BAR|10 5|20 7").only()[0].from(), (5.0, 7.0));
}

#[test]
fn the_base_point_comes_to_lie_at_the_insertion_point() {
    let block = "0 BLOCK|2 b|70 0|10 100|20 50|0 LINE|10 100|20 50|11 110|21 50|0 ENDBLK";
    near(inserted(block, "0 INSERT|2 b|10 1|20 2").only()[0].to(), (11.0, 2.0));
}

#[test]
fn an_insert_turns_its_block_about_the_insertion_point() {
    near(inserted(BAR, "0 INSERT|2 bar|10 5|20 7|50 90").only()[0].to(), (5.0, 17.0));
}

#[test]
fn an_insert_may_mirror() {
    let block = "0 BLOCK|2 b|70 0|10 0|20 0|0 ARC|10 0|20 0|40 5|50 0|51 90|0 ENDBLK";
    let read = inserted(block, "0 INSERT|2 b|10 0|20 0|41 -1|42 1|43 1");
    let arc = segment(&read.only()[0]);
    near(arc.from, (-5.0, 0.0));
    assert!(arc.bulge < 0.0);
}

#[test]
fn a_circle_scaled_unevenly_is_an_ellipse() {
    let block = "0 BLOCK|2 b|70 0|10 0|20 0|0 CIRCLE|10 0|20 0|40 5|0 ENDBLK";
    let read = inserted(block, "0 INSERT|2 b|10 0|20 0|41 2|42 1|43 1");
    spans(read.bounds(), (-10.0, -5.0), (10.0, 5.0));
    assert!(read.only().iter().all(|curve| matches!(curve, Curve::Ellipse(_))));
    assert!(read.closed());
}

#[test]
fn a_bulge_scaled_unevenly_keeps_its_ends() {
    let block = "0 BLOCK|2 b|70 0|10 0|20 0|0 LWPOLYLINE|90 2|70 0|10 0|20 0|42 1|10 10|20 0|0 ENDBLK";
    let read = inserted(block, "0 INSERT|2 b|10 0|20 0|41 1|42 3|43 1");
    near(read.only()[0].from(), (0.0, 0.0));
    near(read.only()[0].to(), (10.0, 0.0));
    near(read.only()[0].at(0.5), (5.0, -15.0));
}

#[test]
fn inserts_nest() {
    let blocks = format!("{BAR}|0 BLOCK|2 outer|70 0|10 0|20 0|0 INSERT|2 bar|10 1|20 0|50 90|0 ENDBLK");
    let read = inserted(&blocks, "0 INSERT|2 outer|10 100|20 0|41 2|42 2|43 2");
    near(read.only()[0].from(), (102.0, 0.0));
    near(read.only()[0].to(), (102.0, 20.0));
    assert_eq!(read.used("INSERT"), 2);
}

#[test]
fn an_uneven_scale_over_a_turn_shears() {
    let blocks = format!("{BAR}|0 BLOCK|2 outer|70 0|10 0|20 0|0 INSERT|2 bar|10 0|20 0|50 45|0 ENDBLK");
    let read = inserted(&blocks, "0 INSERT|2 outer|10 0|20 0|41 2|42 1|43 1");
    let half = 10.0 / 2.0_f64.sqrt();
    near(read.only()[0].to(), (2.0 * half, half));
}

#[test]
fn an_array_repeats_along_its_own_axes() {
    let read = inserted(BAR, "0 INSERT|2 bar|10 0|20 0|50 90|70 3|71 2|44 20|45 5");
    assert_eq!(read.found().strokes.len(), 6);
    // Columns run along x turned by 90 degrees, rows along y turned likewise.
    spans(read.bounds(), (-5.0, 0.0), (0.0, 50.0));
}

#[test]
fn the_spacing_of_an_array_is_not_scaled() {
    let read = inserted(BAR, "0 INSERT|2 bar|10 0|20 0|41 2|42 2|43 2|70 2|71 1|44 100|45 0");
    spans(read.bounds(), (0.0, 0.0), (120.0, 0.0));
}

#[test]
fn an_insert_facing_down_mirrors_its_block() {
    let read = inserted(BAR, "0 INSERT|2 bar|10 5|20 7|210 0|220 0|230 -1");
    near(read.only()[0].from(), (-5.0, 7.0));
    near(read.only()[0].to(), (-15.0, 7.0));
}

#[test]
fn two_mirrors_make_none() {
    let block = "0 BLOCK|2 b|70 0|10 0|20 0|0 ARC|10 0|20 0|40 5|50 0|51 90|210 0|220 0|230 -1|0 ENDBLK";
    let read = inserted(block, "0 INSERT|2 b|10 0|20 0|210 0|220 0|230 -1");
    let arc = segment(&read.only()[0]);
    near(arc.from, (5.0, 0.0));
    assert!(arc.bulge > 0.0);
}

#[test]
fn what_lies_on_layer_0_takes_the_layer_of_the_insert() {
    let block =
        "0 BLOCK|2 b|70 0|10 0|20 0|0 LINE|8 0|10 0|20 0|11 1|21 0|0 LINE|8 own|10 0|20 0|11 1|21 0|0 ENDBLK";
    let read = inserted(block, "0 INSERT|8 grain|2 b|10 0|20 0");
    let layers: Vec<_> = read.found().strokes.iter().map(|s| (s.layer.as_str(), s.role)).collect();
    assert_eq!(layers, [("grain", Role::Grain), ("own", Role::Cut)]);
}

#[test]
fn colour_by_block_is_that_of_the_insert() {
    let block = "0 BLOCK|2 b|70 0|10 0|20 0|0 LINE|62 0|10 0|20 0|11 1|21 0|0 ENDBLK";
    let rules = LayerRules { score: vec!["colour:3".to_owned()], ..LayerRules::default() };
    let bytes = file("", block, "0 INSERT|62 3|2 b|10 0|20 0|0 INSERT|62 4|2 b|10 0|20 9");
    let read = read_as(bytes.as_bytes(), None, &rules);
    let roles: Vec<_> = read.found().strokes.iter().map(|s| s.role).collect();
    assert_eq!(roles, [Role::Score, Role::Cut]);
}

#[test]
fn an_insert_on_a_frozen_layer_draws_nothing() {
    let block = "0 BLOCK|2 b|70 0|10 0|20 0|0 LINE|8 own|10 0|20 0|11 1|21 0|0 ENDBLK";
    let bytes = file("0 LAYER|2 cold|70 1|62 7", block, "0 INSERT|8 cold|2 b|10 0|20 0");
    assert_eq!(read(bytes).unused("INSERT (layer frozen)"), 1);
}

#[test]
fn an_insert_on_a_layer_that_is_off_still_draws_what_has_its_own_layer() {
    let block =
        "0 BLOCK|2 b|70 0|10 0|20 0|0 LINE|8 own|10 0|20 0|11 1|21 0|0 LINE|8 0|10 0|20 0|11 1|21 0|0 ENDBLK";
    let read = read(file("0 LAYER|2 dark|70 0|62 -7", block, "0 INSERT|8 dark|2 b|10 0|20 0"));
    assert_eq!(read.used("LINE"), 1);
    assert_eq!(read.unused("LINE (layer off)"), 1);
}

#[test]
fn a_missing_block_is_told_and_the_rest_kept() {
    let read = inserted(BAR, "0 INSERT|2 nowhere|10 0|20 0|0 INSERT|2 bar|10 0|20 0");
    assert_eq!(read.used("LINE"), 1);
    assert!(read.problem("broken-entity").message.contains("nowhere"));
    assert_eq!(read.unused("INSERT (broken)"), 1);
}

#[test]
fn a_block_in_another_file_is_told() {
    let read = inserted("0 BLOCK|2 far|70 4|10 0|20 0|1 other.dxf|0 ENDBLK", "0 INSERT|2 far|10 0|20 0");
    assert!(read.problem("broken-entity").message.contains("another file"));
}

#[test]
fn what_is_in_a_block_that_nothing_inserts_is_counted() {
    let read = inserted(BAR, "0 LINE|10 0|20 0|11 1|21 1");
    assert_eq!(read.unused("LINE (block not inserted)"), 1);
}

#[test]
fn what_is_not_read_within_a_block_counts_for_each_insert() {
    let block = "0 BLOCK|2 b|70 0|10 0|20 0|0 HATCH|0 LINE|10 0|20 0|11 1|21 0|0 ENDBLK";
    let read = inserted(block, "0 INSERT|2 b|10 0|20 0|0 INSERT|2 b|10 5|20 0");
    assert_eq!(read.unused("HATCH"), 2);
    assert_eq!(read.used("LINE"), 2);
}

#[test]
fn a_block_that_contains_itself_is_told_and_the_rest_kept() {
    let block = "0 BLOCK|2 a|70 0|10 0|20 0|0 LINE|10 0|20 0|11 1|21 0|0 INSERT|2 a|10 1|20 0|0 ENDBLK";
    let read = inserted(block, "0 INSERT|2 a|10 0|20 0");
    assert_eq!(read.used("LINE"), 1);
    assert!(read.problem("broken-entity").message.contains("itself"));
}

#[test]
fn two_blocks_that_contain_each_other_end() {
    let block = "0 BLOCK|2 a|70 0|10 0|20 0|0 INSERT|2 b|10 1|20 0|0 ENDBLK|0 BLOCK|2 b|70 0|10 0|20 0|0 LINE|10 0|20 0|\
                 11 1|21 0|0 INSERT|2 a|10 1|20 0|0 ENDBLK";
    let read = inserted(block, "0 INSERT|2 a|10 0|20 0");
    assert_eq!(read.used("LINE"), 1);
}

#[test]
fn a_scale_of_0_is_told() {
    let read = inserted(BAR, "0 INSERT|2 bar|10 0|20 0|41 0");
    assert!(read.problem("broken-entity").message.contains("scales"));
}

#[test]
fn an_array_of_a_billion_is_refused_in_time() {
    let read = inserted(BAR, "0 INSERT|2 bar|10 0|20 0|70 32767|71 32767|44 20|45 5");
    assert_eq!(read.problem("too-large").severity, Severity::Error);
}

#[test]
fn more_columns_than_an_integer_holds_are_refused() {
    let read = inserted(BAR, "0 INSERT|2 bar|10 0|20 0|70 1000000000|44 20|0 LINE|10 0|20 0|11 1|21 1");
    assert!(read.problem("broken-entity").message.contains("1000000000"));
    assert_eq!(read.found().strokes.len(), 1);
}

#[test]
fn blocks_that_double_at_every_level_are_refused_in_time() {
    let level = |i: usize| {
        format!(
            "|0 BLOCK|2 b{}|70 0|10 0|20 0|0 INSERT|2 b{i}|10 0|20 0|0 INSERT|2 b{i}|10 1|20 0|0 ENDBLK",
            i + 1
        )
    };
    let blocks: String =
        "0 BLOCK|2 b0|70 0|10 0|20 0|0 ENDBLK".to_owned() + &(0..35).map(level).collect::<String>();
    let read = inserted(&blocks, "0 INSERT|2 b35|10 0|20 0");
    assert_eq!(read.problem("too-large").severity, Severity::Error);
}

#[test]
fn blocks_nested_too_deep_are_told() {
    let level = |i: usize| format!("|0 BLOCK|2 b{}|70 0|10 0|20 0|0 INSERT|2 b{i}|10 0|20 0|0 ENDBLK", i + 1);
    let blocks: String =
        "0 BLOCK|2 b0|70 0|10 0|20 0|0 ENDBLK".to_owned() + &(0..200).map(level).collect::<String>();
    let read = inserted(&blocks, "0 INSERT|2 b200|10 0|20 0");
    assert!(read.problem("broken-entity").message.contains("nested"));
}
