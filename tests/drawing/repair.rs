//! Files that a strict reader refuses: one test for each way in which they are broken.

use grainwise::problem::Severity;
use grainwise::stages::drawing::Found;

use super::reading::{Read, dxf, entities, file, lines, near, pairs, read};

const BAR: &str = "0 LINE|10 0|20 0|11 9|21 0";

/// A line that is broken, and one that is not.
fn beside(broken: &str) -> Read {
    let read = entities(&format!("{broken}|{BAR}"));
    assert!(!read.stops(), "{:?}", read.problems);
    read
}

/// The broken one is left out and told with its line; the other is kept.
#[track_caller]
fn left_out(broken: &str, kind: &str) {
    let read = beside(broken);
    assert_eq!(read.found().strokes.len(), 1);
    near(read.only()[0].to(), (9.0, 0.0));
    let problem = read.problem("broken-entity");
    assert_eq!(problem.severity, Severity::Warning);
    assert!(problem.line.is_some_and(|line| line > 20), "{problem:?}");
    assert_eq!(read.unused(&format!("{kind} (broken)")), 1);
}

/// Binary DXF: codes of two bytes from R13 on, of one byte before.
pub(super) fn binary(groups: &str, wide: bool) -> Vec<u8> {
    let mut bytes = b"AutoCAD Binary DXF\r\n\x1a\0".to_vec();
    for (code, value) in pairs(groups) {
        if wide {
            bytes.extend(i16::try_from(code).unwrap().to_le_bytes());
        } else {
            bytes.push(u8::try_from(code).unwrap());
        }
        match code {
            10..=59 | 110..=149 | 210..=239 => bytes.extend(value.parse::<f64>().unwrap().to_le_bytes()),
            60..=79 | 170..=179 => bytes.extend(value.parse::<i16>().unwrap().to_le_bytes()),
            90..=99 => bytes.extend(value.parse::<i32>().unwrap().to_le_bytes()),
            290..=299 => bytes.push(value.parse::<u8>().unwrap()),
            310..=319 => {
                bytes.push(u8::try_from(value.len()).unwrap());
                bytes.extend(value.bytes());
            }
            _ => {
                bytes.extend(value.bytes());
                bytes.push(0);
            }
        }
    }
    bytes
}

/// A whole drawing in the short form, for [`binary`].
pub(super) const WHOLE: &str = "0 SECTION|2 HEADER|9 $INSUNITS|70 4|0 ENDSEC|0 SECTION|2 TABLES|0 TABLE|2 LAYER|\
    0 LAYER|2 cold|70 1|62 7|0 ENDTAB|0 ENDSEC|0 SECTION|2 BLOCKS|0 BLOCK|2 b|70 0|10 0|20 0|0 LINE|10 0|20 0|11 1|\
    21 1|0 ENDBLK|0 ENDSEC|0 SECTION|2 ENTITIES|0 LINE|8 cut|10 0|20 0|11 9|21 0|0 CIRCLE|10 5|20 5|40 2|\
    0 LWPOLYLINE|90 3|70 1|10 0|20 0|42 0.5|10 10|20 0|10 10|20 20|0 ARC|10 0|20 0|40 9|50 0|51 90|\
    0 INSERT|2 b|10 3|20 3|50 30|0 TEXT|10 1|20 1|40 2|1 R1|0 SPLINE|70 8|71 1|72 4|73 2|40 0|40 0|40 1|40 1|10 0|20 0|\
    10 8|20 6|0 LINE|8 cold|10 0|20 0|11 9|21 9|0 ENDSEC|0 EOF";

/// What was found, less what only ASCII or only binary can have.
fn same(a: &Found, b: &Found) {
    assert_eq!(a, b);
}

#[test]
fn binary_of_r13_and_later_is_the_same_as_ascii() {
    let (ascii, wide) = (read(lines(WHOLE)), read(binary(WHOLE, true)));
    assert_eq!(ascii.found().strokes.len(), 6);
    same(ascii.found(), wide.found());
    assert!(!wide.stops());
}

#[test]
fn binary_of_r12_is_the_same_as_ascii() {
    same(read(lines(WHOLE)).found(), read(binary(WHOLE, false)).found());
}

#[test]
fn binary_chunks_and_single_bytes_keep_step() {
    let groups = WHOLE.replace("0 LINE|8 cut", "0 LINE|310 abcdef|290 1|8 cut");
    same(read(lines(WHOLE)).found(), read(binary(&groups, true)).found());
}

#[test]
fn a_binary_file_that_breaks_off_is_an_error_and_the_rest_is_kept() {
    let bytes = binary(WHOLE, true);
    let read = read(&bytes[..bytes.len() - 60]);
    assert_eq!(read.problem("cut-off").severity, Severity::Error);
    assert!(read.used("CIRCLE") == 1);
}

#[test]
fn a_binary_file_that_makes_no_sense_says_where() {
    let mut bytes = binary(&format!("0 SECTION|2 ENTITIES|{BAR}|{BAR}"), true);
    bytes.extend([0x50, 0x03, 1, 2, 3, 4]);
    let read = read(bytes);
    assert!(read.problem("broken-file").message.contains("byte"));
    assert_eq!(read.used("LINE"), 2);
}

#[test]
fn an_empty_integer_is_passed_over_and_told_with_its_line() {
    let read = entities("0 LINE|62 |10 0|20 0|11 9|21 0");
    near(read.only()[0].to(), (9.0, 0.0));
    let problem = read.problem("spoilt-field");
    assert_eq!((problem.severity, problem.line), (Severity::Warning, Some(39)));
}

#[test]
fn an_empty_coordinate_leaves_its_entity_out() {
    left_out("0 LINE|10 1|20 |11 9|21 5", "LINE");
}

#[test]
fn text_in_a_coordinate_leaves_its_entity_out() {
    left_out("0 CIRCLE|10 1|20 two|40 5", "CIRCLE");
}

#[test]
fn a_missing_coordinate_leaves_its_entity_out() {
    left_out("0 ARC|10 1|40 5|50 0|51 90", "ARC");
}

#[test]
fn a_vertex_without_y_leaves_its_polyline_out() {
    left_out("0 LWPOLYLINE|90 2|70 0|10 0|20 0|10 5", "LWPOLYLINE");
    left_out("0 LWPOLYLINE|90 2|70 0|10 0|10 5|20 0", "LWPOLYLINE");
}

#[test]
fn a_spoilt_bulge_leaves_its_polyline_out() {
    left_out("0 LWPOLYLINE|90 2|70 0|10 0|20 0|42 x|10 5|20 0", "LWPOLYLINE");
}

#[test]
fn a_spoilt_vertex_leaves_its_old_polyline_out() {
    left_out("0 POLYLINE|66 1|70 0|0 VERTEX|10 0|20 0|0 VERTEX|10 x|20 0|0 SEQEND", "POLYLINE");
}

#[test]
fn a_spline_with_too_few_knots_is_left_out() {
    left_out("0 SPLINE|70 8|71 3|73 4|40 0|40 1|10 0|20 0|10 1|20 0|10 1|20 1|10 2|20 2", "SPLINE");
}

#[test]
fn a_spline_with_a_weight_too_few_is_left_out() {
    left_out("0 SPLINE|70 12|71 1|72 4|73 2|40 0|40 0|40 1|40 1|41 1|10 0|20 0|10 8|20 6", "SPLINE");
}

#[test]
fn a_spline_with_a_point_too_few_is_told() {
    let read = beside("0 SPLINE|70 8|71 1|72 4|73 3|40 0|40 0|40 1|40 1|10 0|20 0|10 8|20 6");
    assert!(read.problem("miscounted").message.contains("3 control points"));
    assert_eq!(read.used("SPLINE"), 1);
}

#[test]
fn a_polyline_that_miscounts_its_vertices_is_told() {
    let read = beside("0 LWPOLYLINE|90 7|70 0|10 0|20 0|10 5|20 0");
    assert_eq!(read.problem("miscounted").severity, Severity::Warning);
}

#[test]
fn a_circle_of_no_size_is_left_out() {
    left_out("0 CIRCLE|10 1|20 2|40 0", "CIRCLE");
}

#[test]
fn an_extrusion_of_no_length_leaves_its_entity_out() {
    left_out("0 CIRCLE|10 1|20 2|40 3|210 0|220 0|230 0", "CIRCLE");
}

#[test]
fn of_a_field_that_stands_twice_the_first_counts_and_it_is_told() {
    let read = entities("0 CIRCLE|10 1|20 2|40 3|40 99");
    assert!((read.bounds().width() - 6.0).abs() < 1e-9);
    assert!(read.problem("doubled-field").message.contains("99"));
}

#[test]
fn a_decimal_comma_is_read() {
    near(entities("0 LINE|10 0|20 0|11 1,5|21 2").only()[0].to(), (1.5, 2.0));
}

#[test]
fn an_exponent_with_d_is_read() {
    near(entities("0 LINE|10 0|20 0|11 1.5D+01|21 2").only()[0].to(), (15.0, 2.0));
}

#[test]
fn an_integer_written_as_a_real_is_read() {
    assert!(entities("0 LWPOLYLINE|90 2.0|70 1.0|10 0|20 0|42 1|10 5|20 0").closed());
}

#[test]
fn a_number_that_is_none_is_an_error_never_a_zero() {
    for number in ["nan", "-1.#IND", "inf", "1.#QNAN", "1e999"] {
        let read = entities(&format!("0 LINE|10 0|20 0|11 {number}|21 0|{BAR}"));
        assert_eq!(read.problem("absurd-number").severity, Severity::Error, "{number}");
        assert_eq!(read.found().strokes.len(), 1, "{number}");
    }
}

#[test]
fn a_number_beyond_any_drawing_is_an_error() {
    let read = entities(&format!("0 LINE|10 0|20 0|11 1e300|21 0|{BAR}"));
    assert_eq!(read.problem("absurd-number").severity, Severity::Error);
    assert_eq!(read.unused("LINE (broken)"), 1);
    let far = entities("0 CIRCLE|10 0|20 0|40 1e8|0 TEXT|10 1e200|20 0|40 1|1 x|0 POINT|10 0|20 -1e12");
    assert_eq!(far.problems.iter().filter(|problem| problem.code == "absurd-number").count(), 3);
}

#[test]
fn a_spoilt_height_above_the_plane_does_no_harm() {
    let read = beside("0 LINE|10 1|20 1|30 |11 2|21 2");
    assert_eq!(read.found().strokes.len(), 2);
    assert_eq!(read.problem("spoilt-field").severity, Severity::Warning);
}

#[test]
fn line_ends_may_be_mixed() {
    let text = dxf(&format!("{BAR}|0 CIRCLE|10 1|20 2|40 3"));
    let plain = read(&text);
    for ends in [["\r\n", "\r\n"], ["\r", "\r"], ["\r\n", "\n"], ["\r\r\n", "\r\n"]] {
        let mut count = 0;
        let mixed: Vec<String> = text
            .lines()
            .map(|line| {
                count += 1;
                format!("{line}{}", ends[count % 2])
            })
            .collect();
        same(plain.found(), read(mixed.concat()).clean());
    }
}

#[test]
fn a_stray_blank_line_is_skipped_and_told() {
    for broken in ["0\nLINE\n\n8\ncut\n", "0\nLINE\n8\ncut\n10\n\n0.0\n"] {
        let whole = broken.replace("\n\n", "\n");
        let rest =
            if whole.contains("10\n") { "20\n0\n11\n9\n21\n0\n" } else { "10\n0\n20\n0\n11\n9\n21\n0\n" };
        let text = dxf("0 X").replace("0\nX\n", &format!("{broken}{rest}"));
        let read = read(text);
        near(read.only()[0].to(), (9.0, 0.0));
        assert_eq!(read.found().strokes[0].layer, "cut");
        assert_eq!(read.problem("blank-line").severity, Severity::Warning);
    }
}

#[test]
fn a_text_broken_over_two_lines_does_not_lose_what_follows() {
    let text = dxf(&format!("0 TEXT|10 0|20 0|40 2|1 first@second|{BAR}")).replace('@', "\n");
    let read = read(text);
    near(read.only()[0].to(), (9.0, 0.0));
    assert!(read.problem("stray-line").message.contains("second"));
}

#[test]
fn comments_are_passed_over() {
    let text = format!("999\nwritten by hand\n{}", dxf("0 LINE|999 a note|10 0|20 0|11 9|21 0"));
    near(read(text).clean().strokes[0].item.curves[0].to(), (9.0, 0.0));
}

#[test]
fn a_bom_and_blanks_before_codes_do_no_harm() {
    let text = dxf(BAR).lines().map(|line| format!("  {line} \n")).collect::<Vec<_>>().concat();
    read(format!("\u{feff}{text}")).clean();
}

#[test]
fn utf_16_is_read() {
    let text = dxf("0 TEXT|10 0|20 0|40 2|1 Größe|0 LINE|10 0|20 0|11 1|21 1");
    let wide: Vec<u8> = [0xfeff].into_iter().chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect();
    assert_eq!(read(wide).clean().texts[0].item.text, "Größe");
}

#[test]
fn entities_alone_are_a_drawing_without_a_unit() {
    let read = read(lines(&format!("0 SECTION|2 ENTITIES|{BAR}|0 ENDSEC|0 EOF")));
    assert_eq!(read.used("LINE"), 1);
    assert_eq!(read.problems.len(), 1);
    read.problem("units-missing");
}

#[test]
fn entities_outside_of_any_section_are_read_and_told() {
    let read = read(lines(&format!("0 SECTION|2 HEADER|9 $INSUNITS|70 4|0 ENDSEC|{BAR}|0 EOF")));
    assert_eq!(read.used("LINE"), 1);
    read.problem("no-section");
}

#[test]
fn sections_that_do_not_end_are_ended_by_the_next() {
    let text = dxf(BAR).replace("0\nENDSEC\n", "");
    assert_eq!(read(text).used("LINE"), 1);
}

#[test]
fn a_missing_end_of_file_is_told() {
    let text = dxf(BAR);
    let read = read(text.trim_end_matches("0\nEOF\n"));
    assert_eq!(read.problem("no-end").severity, Severity::Warning);
    assert_eq!(read.used("LINE"), 1);
}

#[test]
fn a_file_cut_off_within_a_line_is_an_error() {
    let text = dxf(&format!("{BAR}|0 LINE|10 0|20 0|11 123.456|21 0"));
    let read = read(&text[..text.find("123.456").unwrap() + 3]);
    assert_eq!(read.problem("cut-off").severity, Severity::Error);
    assert_eq!(read.used("LINE"), 1);
}

#[test]
fn a_block_without_its_end_is_kept_and_told() {
    let text = file("", "0 BLOCK|2 a|70 0|10 0|20 0|0 LINE|10 0|20 0|11 9|21 0", "0 INSERT|2 a|10 0|20 0");
    let read = read(text);
    assert_eq!(read.used("LINE"), 1);
    assert_eq!(read.problem("unfinished").severity, Severity::Warning);
}

#[test]
fn an_old_polyline_without_its_end_is_kept_and_told() {
    let read = beside("0 POLYLINE|66 1|70 0|0 VERTEX|10 0|20 0|0 VERTEX|10 5|20 0");
    assert_eq!(read.used("POLYLINE"), 1);
    read.problem("unfinished");
}

#[test]
fn a_stray_vertex_is_told() {
    let read = beside("0 VERTEX|10 0|20 0");
    assert_eq!(read.unused("VERTEX (stray)"), 1);
}

#[test]
fn an_unknown_code_page_is_told_where_it_matters() {
    let plain = dxf("0 TEXT|10 0|20 0|40 2|1 @|0 LINE|10 0|20 0|11 9|21 0")
        .replace("9\n$INSUNITS", "9\n$DWGCODEPAGE\n3\nklingon\n9\n$INSUNITS");
    assert_eq!(read(&plain).problems, Vec::new());
    let bytes: Vec<u8> = plain.bytes().map(|b| if b == b'@' { 0xe9 } else { b }).collect();
    let read = read(bytes);
    assert_eq!(read.found().texts[0].item.text, "é");
    assert!(read.problem("code-page").message.contains("klingon"));
}

#[test]
fn extended_data_and_reactors_do_not_change_an_entity() {
    let read = entities(
        "0 LINE|5 2F|102 {ACAD_REACTORS|330 1F|102 }|330 1|100 AcDbEntity|8 cut|100 AcDbLine|10 0|20 0|11 9|21 0|\
         1001 APP|1010 77|1020 77|1030 0|1040 5|1000 words",
    );
    near(read.clean().strokes[0].item.curves[0].to(), (9.0, 0.0));
}

#[test]
fn codes_that_nobody_knows_are_passed_over() {
    let read = entities("0 LINE|8 cut|10 0|20 0|11 9|21 0|85 x|155 y|1090 z");
    assert_eq!(read.used("LINE"), 1);
    assert!(!read.stops());
}

#[test]
fn names_keep_their_carets_and_blanks() {
    let read = entities("0 LINE|8 a^b c|10 0|20 0|11 9|21 0");
    assert_eq!(read.found().strokes[0].layer, "a^b c");
}

#[test]
fn many_problems_of_a_kind_are_summed_up() {
    let broken = vec!["0 LINE|10 0|20 x|11 1|21 1"; 100].join("|");
    let read = entities(&format!("{broken}|{BAR}"));
    let told: Vec<_> = read.problems.iter().filter(|problem| problem.code == "broken-entity").collect();
    assert!(told.len() < 20);
    assert!(told.last().unwrap().message.contains("88 more"));
    assert_eq!(read.unused("LINE (broken)"), 100);
}
