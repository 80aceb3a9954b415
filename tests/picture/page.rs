//! The page to look around in: what its script is given, and that nothing in it can be run or loaded but its own.

use std::path::Path;

use grainwise::geometry::Point;
use grainwise::problem::{Problem, Problems};
use grainwise::shop;
use grainwise::stages::cut::SheetCuts;
use grainwise::stages::part::Part;
use grainwise::stages::picture::{Preview, Scene, html};
use grainwise::stages::proof::Proof;
use grainwise::stages::sheet::Layout;
use grainwise::stages::write::Written;
use serde_json::Value;
use sha2::{Digest as _, Sha256};

use super::proof::file;
use super::sheets::sheet;

fn page_of(title: &str, parts: &[Part], cuts: &[SheetCuts], proof: &Proof, problems: &[Problem]) -> String {
    let machine = shop::open_machine("makerspace-laser", Path::new("."), &mut Problems::new()).unwrap();
    let layout = Layout { sheets: cuts.iter().map(|cuts| cuts.sheet.clone()).collect() };
    let scene =
        Scene { title, machine: &machine.name, drawings: &[], parts, layout: &layout, cuts, problems };
    let files = [Written { name: "sheet-3.dxf".to_owned(), sheet: Some(3), bytes: b"0\nEOF\n".to_vec() }];
    html(&Preview { scene, machine: &machine, files: &files, proof, cautions: ["mind", "the", "beam"] })
}

fn page(problems: &[Problem]) -> String {
    let (parts, cuts) = sheet();
    page_of("Kite", &parts, &cuts, &Proof { files: vec![file(0.0123, 0.3)] }, problems)
}

fn between<'a>(text: &'a str, begin: &str, end: &str) -> &'a str {
    text.split_once(begin).unwrap().1.split_once(end).unwrap().0
}

fn data(page: &str) -> Value {
    serde_json::from_str(between(page, "<script type=\"application/json\" id=\"kit\">", "</script>")).unwrap()
}

#[test]
fn a_piece_lies_where_the_layout_has_it_and_arcs_stay_arcs() {
    let data = data(&page(&[]));
    let piece = &data["sheets"][0]["pieces"][0];
    assert_eq!(piece["shift"], serde_json::json!([10.0, 5.0]));
    assert_eq!(data["parts"][0]["size"], serde_json::json!([40.0, 40.0]));
    // The hole of 12 mm is two half circles, clockwise: bulge -1.
    let hole = data["parts"][0]["outlines"][1].as_array().unwrap();
    assert_eq!((hole.len(), hole[2].as_f64(), hole[5].as_f64()), (6, Some(-1.0), Some(-1.0)));
}

#[test]
fn traces_come_as_they_were_read_back() {
    let data = data(&page(&[]));
    let trace = &data["files"][0]["traces"][0];
    assert_eq!(trace["kind"], "t");
    let corners = trace["at"].as_array().unwrap();
    assert_eq!(corners.len(), 5 * 4);
    assert_eq!((corners[4].as_f64(), corners[5].as_f64()), (Some(50.1), Some(4.9)));
}

#[test]
fn a_drawing_has_no_lines_and_so_no_text() {
    let data = data(&page(&[]));
    assert!(
        data["files"][0]["text"].is_null() && data["files"][0]["traces"][0]["lines"] == serde_json::json!([])
    );
}

#[test]
fn a_problem_of_a_file_is_on_its_sheet_and_one_of_a_drawing_is_not() {
    let on_sheet = Problem::error("gouge", "deep").in_file("sheet-3.dxf").at(Point::new(1.0, 2.0));
    let drawn = Problem::warning("small-hole", "small").in_file("wing.dxf").at(Point::new(1.0, 2.0));
    let data = data(&page(&[on_sheet, drawn]));
    assert_eq!(data["problems"][0]["sheet"], 3);
    assert!(data["problems"][1]["sheet"].is_null());
}

#[test]
fn no_name_ends_the_element_that_holds_it() {
    let hostile = "</script><img src=x onerror=alert(1)><!-- {{script}}";
    let (mut parts, cuts) = sheet();
    hostile.clone_into(&mut parts[0].id);
    let page = page_of(hostile, &parts, &cuts, &Proof::default(), &[]);
    assert_eq!(page.matches("</script>").count(), 2);
    assert!(!page.contains("<img") && !page.contains("<!--"));
    assert_eq!(data(&page)["parts"][0]["id"], hostile);
    assert_eq!(data(&page)["title"], hostile);
}

/// W3C, Content Security Policy Level 3: a policy that begins with `default-src 'none'` forbids what it does not name.
#[test]
fn the_policy_names_nothing_but_the_hashes_of_the_pages_own_script_and_style() {
    let page = page(&[]);
    let policy = between(&page, "Content-Security-Policy\" content=\"", "\"");
    let sources: Vec<&str> = policy.split("; ").collect();
    assert_eq!(sources.len(), 5);
    assert_eq!(sources[0], "default-src 'none'");
    let script = page.rsplit_once("<script>").unwrap().1.split_once("</script>").unwrap().0;
    for (name, text) in [("script-src", script), ("style-src", between(&page, "<style>", "</style>"))] {
        let hash = base64(&Sha256::digest(text.as_bytes()));
        assert!(sources.contains(&format!("{name} 'sha256-{hash}'").as_str()), "{name}");
    }
    assert!(sources[3..] == ["base-uri 'none'", "form-action 'none'"]);
}

/// By bits rather than by bytes, and so unlike the page's own.
fn base64(bytes: &[u8]) -> String {
    let letters: Vec<char> = ('A'..='Z').chain('a'..='z').chain('0'..='9').chain(['+', '/']).collect();
    let bits: Vec<u8> = bytes.iter().flat_map(|byte| (0..8).rev().map(move |i| byte >> i & 1)).collect();
    let six = |bits: &[u8]| (0..6).fold(0, |sum, i| sum * 2 + usize::from(bits.get(i).copied().unwrap_or(0)));
    let text: String = bits.chunks(6).map(|chunk| letters[six(chunk)]).collect();
    let whole = text.len().div_ceil(4) * 4;
    format!("{text:=<whole$}")
}

#[test]
fn the_page_asks_for_nothing_from_outside() {
    let page = page(&[]);
    for words in ["http://", "https://", " src=", "href=", "@import", "url(", "fetch(", "innerHTML", "eval("]
    {
        assert!(!page.contains(words), "{words}");
    }
}

#[test]
fn the_same_preview_gives_the_same_bytes() {
    assert_eq!(page(&[]), page(&[]));
}

#[test]
fn a_kit_without_sheets_still_has_a_page() {
    let page = page_of("Nothing", &[], &[], &Proof::default(), &[Problem::error("no-parts", "nothing")]);
    let data = data(&page);
    assert_eq!((data["ok"].as_bool(), data["verdict"].as_str()), (Some(false), Some("")));
}
