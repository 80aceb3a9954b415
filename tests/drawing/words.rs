//! Texts as names.

use super::reading::{Read, dxf, entities, file, near_by, read};

fn text_of(read: &Read) -> &str {
    &read.found().texts[0].item.text
}

fn said(value: &str) -> String {
    text_of(&entities(&format!("0 TEXT|10 0|20 0|40 5|1 {value}"))).to_owned()
}

fn paragraph(value: &str) -> String {
    text_of(&entities(&format!("0 MTEXT|10 0|20 0|40 5|71 1|1 {value}"))).to_owned()
}

#[test]
fn a_text_hangs_on_its_left_baseline() {
    let read = entities("0 TEXT|8 names|10 10|20 20|40 5|1 R1|0 LINE|10 0|20 0|11 1|21 1");
    let text = &read.found().texts[0];
    assert_eq!((text.item.text.as_str(), text.item.height, text.layer.as_str()), ("R1", 5.0, "names"));
    // Two letters of about 0.8 times their height.
    near_by(text.item.at, (14.0, 22.5), 1.0);
    assert_eq!(read.used("TEXT"), 1);
}

#[test]
fn a_turned_text_reads_along_its_direction() {
    let read = entities("0 TEXT|10 10|20 20|40 5|50 90|1 R1");
    near_by(read.found().texts[0].item.at, (7.5, 24.0), 1.0);
}

#[test]
fn an_aligned_text_hangs_on_its_second_point() {
    let at = |across: i32, up: i32| {
        entities(&format!("0 TEXT|10 0|20 0|11 50|21 60|40 4|72 {across}|73 {up}|1 R1")).found().texts[0]
            .item
            .at
    };
    near_by(at(1, 2), (50.0, 60.0), 1e-9);
    near_by(at(4, 0), (50.0, 60.0), 1e-9);
    near_by(at(1, 3), (50.0, 58.0), 1e-9);
    near_by(at(2, 0), (46.8, 62.0), 1.0);
}

#[test]
fn a_text_fitted_between_two_points_lies_in_their_middle() {
    let read = entities("0 TEXT|10 0|20 0|11 50|21 0|40 4|72 5|1 R1");
    near_by(read.found().texts[0].item.at, (25.0, 2.0), 1e-9);
}

#[test]
fn codes_of_a_text_become_what_they_print() {
    assert_eq!(said("R1 %%c3 %%d %%p"), "R1 ⌀3 ° ±");
    assert_eq!(said("%%uR1%%u %%oR2"), "R1 R2");
    assert_eq!(said("100%%%"), "100%");
    assert_eq!(said("50% of %%065"), "50% of A");
}

#[test]
fn letters_beyond_ascii_may_be_escaped() {
    assert_eq!(said(r"\U+00C4ussere Rippe"), "Äussere Rippe");
}

#[test]
fn carets_stand_for_control_characters() {
    assert_eq!(said("R1^IR2"), "R1 R2");
    assert_eq!(said("a^ b"), "a^b");
}

#[test]
fn a_paragraph_loses_its_codes() {
    assert_eq!(paragraph(r"{\fPlain;\H2.5x;R1}"), "R1");
    assert_eq!(paragraph(r"R1\PBalsa \C1;3 mm"), "R1\nBalsa 3 mm");
    assert_eq!(paragraph(r"\A1;\LR1\l"), "R1");
    assert_eq!(paragraph(r"a\~b \{c\} \\"), r"a b {c} \");
    assert_eq!(paragraph(r"\S1^2; mm"), "1/2 mm");
    assert_eq!(paragraph(r"\pxqc;R7"), "R7");
}

#[test]
fn a_long_paragraph_comes_in_chunks() {
    assert_eq!(text_of(&entities("0 MTEXT|10 0|20 0|40 5|71 1|3 Fuse|1 lage")), "Fuselage");
}

#[test]
fn a_paragraph_hangs_on_its_attachment() {
    let at = |attachment: i32| {
        entities(&format!("0 MTEXT|10 50|20 60|40 4|71 {attachment}|1 R1")).found().texts[0].item.at
    };
    near_by(at(5), (50.0, 60.0), 1e-9);
    near_by(at(2), (50.0, 58.0), 1e-9);
    near_by(at(7), (53.2, 62.0), 1.0);
}

#[test]
fn a_paragraph_may_be_turned_by_its_axis() {
    let read = entities("0 MTEXT|10 0|20 0|40 4|71 4|11 0|21 1|31 0|1 RIBS");
    let at = read.found().texts[0].item.at;
    assert!(at.x.abs() < 1e-9 && at.y > 3.0, "{at:?}");
}

#[test]
fn what_follows_an_embedded_object_does_not_move_the_paragraph() {
    let read = entities(
        "0 MTEXT|10 50|20 60|40 4|71 5|1 R1|101 Embedded Object|70 1|10 1|20 0|30 0|11 900|21 900|31 0|40 77",
    );
    near_by(read.found().texts[0].item.at, (50.0, 60.0), 1e-9);
    assert!(!read.stops());
}

#[test]
fn an_attribute_is_a_text_in_its_own_place() {
    let block = "0 BLOCK|2 b|70 0|10 0|20 0|0 LINE|10 0|20 0|11 1|21 0|0 ATTDEF|10 0|20 0|40 1|1 default|2 NAME|0 ENDBLK";
    let insert = "0 INSERT|66 1|2 b|10 100|20 0|0 ATTRIB|10 105|20 5|40 2|1 R9|2 NAME|70 0|0 SEQEND";
    let read = read(file("", block, insert));
    assert_eq!(text_of(&read), "R9");
    near_by(read.found().texts[0].item.at, (106.6, 6.0), 1.0);
    assert_eq!(read.unused("ATTDEF"), 1);
}

#[test]
fn a_hidden_attribute_is_not_used() {
    let read = entities("0 ATTRIB|10 0|20 0|40 2|1 secret|2 N|70 1|0 LINE|10 0|20 0|11 1|21 1");
    assert_eq!(read.unused("ATTRIB (invisible)"), 1);
    assert!(read.found().texts.is_empty());
}

#[test]
fn a_text_grows_with_its_insert() {
    let block = "0 BLOCK|2 b|70 0|10 0|20 0|0 TEXT|10 0|20 0|40 2|1 R1|0 ENDBLK";
    let read = read(file("", block, "0 INSERT|2 b|10 0|20 0|41 3|42 3|43 3"));
    assert_eq!(read.found().texts[0].item.height, 6.0);
}

#[test]
fn letters_of_an_old_code_page_are_read() {
    let text = dxf("0 TEXT|10 0|20 0|40 5|1 @")
        .replace("9\n$INSUNITS", "9\n$DWGCODEPAGE\n3\nANSI_1250\n9\n$INSUNITS");
    // The byte 0xC8 is Č in Windows-1250 (and È in Windows-1252).
    let bytes: Vec<u8> = text.bytes().map(|b| if b == b'@' { 0xc8 } else { b }).collect();
    assert_eq!(text_of(&read(bytes)), "Č");
}

#[test]
fn utf_8_is_read_whatever_the_code_page() {
    let text = dxf("0 TEXT|10 0|20 0|40 5|1 Größe");
    assert_eq!(text_of(&read(text)), "Größe");
}
